import { describe, expect, it } from "vitest";
import { detectSteps } from "../../../lib/fit/tests/stepdetection.ts";

const INTAKE = 430;
const LENGTH = 6;

/** Park and Miller's generator, normals by the sum of twelve. */
function normals(seed: number): () => number {
	let state = seed;
	return () => {
		let sum = -6;
		for (let k = 0; k < 12; k++) {
			state = (state * 48_271) % 2_147_483_647;
			sum += state / 2_147_483_647;
		}
		return sum;
	};
}

/** A chamber of 3000 ppm that bursts of 6 s thin out at the times given, watched by a sensor: Euler in steps of 0.1 s. */
function log(
	bursts: readonly { readonly atSeconds: number; readonly airChanges: number }[],
	{ tau = 20, leakPerS = 0, noise = 3, every = 5, seed = 17 },
) {
	const normal = normals(seed);
	const [times, ppm] = [[] as number[], [] as number[]];
	let [x, shown] = [3000 - INTAKE, 3000 - INTAKE];
	for (let k = 0; k <= 24_000; k++) {
		const t = k / 10;
		if (k % (10 * every) === 0) {
			times.push(t);
			ppm.push(Math.round(INTAKE + (tau > 0 ? shown : x) + noise * normal()));
		}
		const burst = bursts.find(({ atSeconds }) => Math.abs(t - atSeconds) < LENGTH / 2);
		x *= Math.exp(-0.1 * (leakPerS + (burst === undefined ? 0 : burst.airChanges / LENGTH)));
		if (tau > 0) shown += ((x - shown) * 0.1) / tau;
	}
	return { times, ppm };
}
const detect = ({ times, ppm }: ReturnType<typeof log>, tau: number, leakPerS = 0) =>
	detectSteps(times, ppm, {
		intakePpm: INTAKE,
		responseSeconds: tau,
		lengthsSeconds: [LENGTH],
		infiltrationPerS: leakPerS,
	});
const bursts = [300, 600, 900, 1250, 1600].map((atSeconds, i) => ({ atSeconds, airChanges: 0.3 + 0.05 * i }));

describe("steps of a log", () => {
	it.each([
		["a sensor at once", { tau: 0 }],
		["a sensor of 20 s", { tau: 20 }],
		["a leak of 0.3 /h", { tau: 20, leakPerS: 0.3 / 3600 }],
		["more noise", { tau: 20, noise: 12 }],
		["samples further apart than a burst is long", { tau: 30, every: 10, share: 0.2 }],
	])("are found in place and size, and no other of their size: %s", (_, how) => {
		const found = detect(log(bursts, how), how.tau, "leakPerS" in how ? how.leakPerS : 0);
		// What the tail of a sensor's answer leaves is small beside a burst that one would count.
		const steps = found.steps.filter(({ airChanges }) => Math.abs(airChanges) > 0.06);
		expect(found.steps.length).toBeLessThanOrEqual(bursts.length + 1);
		expect(steps).toHaveLength(bursts.length);
		for (const [i, { atSeconds, offSeconds, airChanges }] of steps.entries()) {
			expect(Math.abs(atSeconds - bursts[i]!.atSeconds)).toBeLessThan(Math.max(3 * offSeconds, 5));
			expect(Math.abs(atSeconds - bursts[i]!.atSeconds)).toBeLessThan(12);
			expect(Math.abs(airChanges / bursts[i]!.airChanges - 1)).toBeLessThan(
				"share" in how ? how.share : 0.12,
			);
		}
	});

	it("mend a time constant that was said too long or too short", () => {
		for (const [tau, said] of [
			[20, 20],
			[20, 30],
			[20, 14],
		] as const) {
			const { responseSeconds } = detect(log(bursts, { tau, noise: 12 }), said);
			expect(Math.abs(Math.log(responseSeconds / tau))).toBeLessThan(Math.log(1.5));
		}
		expect(detect(log(bursts, { tau: 0 }), 0).responseSeconds).toBe(0);
	});

	it("are not found in noise, nor in a leak that is known", () => {
		for (let seed = 1; seed <= 20; seed++) {
			expect(detect(log([], { seed: 31 * seed, noise: 10 }), 20).steps).toEqual([]);
			const leakPerS = 0.5 / 3600;
			expect(detect(log([], { seed: 31 * seed, leakPerS }), 20, leakPerS).steps).toEqual([]);
		}
	});

	it("below 0 are rises: a door that lets crop air in", () => {
		const { times, ppm } = log(bursts.slice(0, 2), { tau: 0 });
		const raised = ppm.map((value, i) => value + (times[i]! > 1500 ? 400 : 0));
		const { steps } = detect({ times, ppm: raised }, 0);
		expect(steps.map(({ airChanges }) => Math.sign(airChanges))).toEqual([1, 1, -1]);
		expect(Math.abs(steps[2]!.dropPpm + 400)).toBeLessThan(40);
	});
});
