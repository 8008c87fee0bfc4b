import { describe, expect, it } from "vitest";
import { estimateTimerClock } from "../../../lib/fit/model/phase.ts";
import type { ReadingModel } from "../../../lib/fit/model/readings.ts";

const cycle = { kind: "cycle", onSeconds: 20, offSeconds: 580 } as const;
const PERIOD = 600;
const model: ReadingModel = {
	volumeM3: 0.2,
	intakePpm: 430,
	mixingEfficiency: 1,
	deliveredM3PerS: 0.015,
	infiltrationM3PerS: 2e-5,
	sources: [1.2e-7],
	responseSeconds: 0,
	offsetPpm: 0,
	initialCo2Ppm: 600,
	initialReadingPpm: 600,
};

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

/** The chamber by Euler in steps of 1 s, with a timer that starts at `phase` and whose seconds last 1 + rate; the crop may grow. */
function log({ phase = 0, rate = 0, tau = 0, noise = 5, every = 20, hours = 24, growth = 0, seed = 5 }) {
	const normal = normals(seed);
	const [times, ppm] = [[] as number[], [] as number[]];
	let [c, shown] = [600, 600];
	for (let t = 0; t <= 3600 * hours; t++) {
		if (t % every === 0) {
			times.push(t);
			ppm.push((tau > 0 ? shown : c) + noise * normal());
		}
		const inCycle = ((((t - phase) / (1 + rate)) % PERIOD) + PERIOD) % PERIOD;
		const air = model.infiltrationM3PerS + (inCycle < cycle.onSeconds ? model.deliveredM3PerS : 0);
		const source = model.sources[0]! * (1 + (growth * t) / (3600 * hours));
		c += (1e6 * source - air * (c - model.intakePpm)) / model.volumeM3;
		if (tau > 0) shown += (c - shown) / tau;
	}
	return { times, ppm, every, tau };
}
const estimate = ({ times, ppm, every, tau }: ReturnType<typeof log>, isRateErrorSought: boolean) =>
	estimateTimerClock({ ...model, responseSeconds: tau }, {}, cycle, times, ppm, every, isRateErrorSought);
/** Distance of two phases of the cycle [s]. */
const apart = (a: number, b: number): number => {
	const d = (((a - b) % PERIOD) + PERIOD) % PERIOD;
	return Math.min(d, PERIOD - d);
};

describe("the clock of a timer that nobody noted", () => {
	it.each([0, 37, 150, 299, 300, 451, 599])("has the phase that the log was made with: %d s", (phase) => {
		const [best] = estimate(log({ phase, seed: phase + 3 }), false);
		expect(apart(best!.phaseSeconds, phase)).toBeLessThan(12);
		expect(best!.timerRateError).toBe(0);
	});

	it("has it through a slow sensor, coarse samples, noise and a crop that doubles", () => {
		for (const how of [{ tau: 60 }, { every: 60 }, { noise: 25 }, { growth: 1 }])
			expect(apart(estimate(log({ phase: 222, ...how }), false)[0]!.phaseSeconds, 222)).toBeLessThan(20);
	});

	it("runs as fast or slow as the log shows, to a turn of a tenth of a cycle over the log", () => {
		for (const rate of [-0.025, -0.004, 0, 0.0017, 0.012, 0.028]) {
			const [best] = estimate(log({ phase: 100, rate, hours: 36 }), true);
			const cycles = (36 * 3600) / PERIOD;
			expect(Math.abs(best!.timerRateError - rate) * cycles).toBeLessThan(0.1);
			expect(apart(best!.phaseSeconds, 100)).toBeLessThan(60);
		}
	});

	it("is given in at most three ways, each within a cycle before the log", () => {
		const found = estimate(log({ phase: 480 }), true);
		expect(found.length).toBeGreaterThan(0);
		expect(found.length).toBeLessThanOrEqual(3);
		for (const { phaseSeconds, timerRateError } of found) {
			expect(phaseSeconds).toBeGreaterThanOrEqual(-PERIOD * (1 + timerRateError) - 1e-9);
			expect(phaseSeconds).toBeLessThan(0);
		}
	});
});
