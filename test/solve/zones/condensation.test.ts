import { describe, expect, it } from "vitest";
import type { SwitchedZones } from "../../../lib/model/relays.ts";
import { OUTDOORS } from "../../../lib/model/zones.ts";
import { solveSwitched } from "../../../lib/solve/zones/limitcycle.ts";
import { compileSwitched, startSwitched, walkSwitched } from "../../../lib/solve/zones/switchedwalk.ts";

/** A chamber of one zone with a wet crop, a humidifier that follows the fan, and walls that may be colder. All in m3, g, s. */
interface Damp {
	volume: number;
	fan: number;
	leak: number;
	crop: number;
	intake: number;
	saturation: number;
	wallLevel: number;
	wall: number;
	mist: number;
	on: number;
	off: number;
	mistSeconds: number;
}

const modelOf = (d: Damp): SwitchedZones => ({
	zones: [{ name: "chamber", volumeM3: d.volume }],
	flows: [
		{ from: OUTDOORS, to: "chamber", m3PerS: d.leak },
		{ from: "chamber", to: OUTDOORS, m3PerS: d.leak },
		{ from: OUTDOORS, to: "chamber", m3PerS: d.fan, by: "fan" },
		{ from: "chamber", to: OUTDOORS, m3PerS: d.fan, by: "fan" },
	],
	actuators: [
		{ name: "fan", schedule: { kind: "cycle", onSeconds: d.on, offSeconds: d.off } },
		{
			name: "mist",
			schedule: { kind: "cycle", onSeconds: d.mistSeconds, offSeconds: d.on + d.off - d.mistSeconds },
			phaseSeconds: d.on,
		},
	],
	sources: [{ zone: "chamber", perS: d.mist, by: "mist" }],
	surfaces: [{ zone: "chamber", m3PerS: d.crop, level: d.saturation }],
	stores: [{ zone: "chamber", saturation: d.saturation, surface: d.wallLevel, m3PerS: d.wall }],
	outdoor: d.intake,
});

/**
 * The same chamber by Runge-Kutta of fixed steps, which are cut short at every event; it shares no line with the library.
 * @returns vapour and liquid [g/m3, g] at the end, and what was given, carried out and left over
 */
function reference(d: Damp, until: number, start: { x: number; m: number }) {
	let { x, m } = start;
	let [given, carried] = [0, 0];
	const period = d.on + d.off;
	const switches = [0, d.on, d.on + d.mistSeconds, period].filter((t) => t <= period).sort((a, b) => a - b);
	const air = (level: number, fan: boolean, mist: boolean) =>
		((fan ? d.fan : 0) + d.leak) * (d.intake - level) + d.crop * (d.saturation - level) + (mist ? d.mist : 0);
	const step = (
		from: { x: number; m: number; g: number; c: number },
		h: number,
		mode: string,
		fan: boolean,
		mist: boolean,
	) => {
		const f = ([level, , ,]: number[]) => {
			const a = air(level!, fan, mist);
			const wall = mode === "dry" ? 0 : d.wall * (level! - d.wallLevel);
			const own = mode === "fog" ? [0, a] : [(a - wall) / d.volume, wall];
			const outflow = ((fan ? d.fan : 0) + d.leak) * (level! - d.intake);
			return [own[0]!, own[1]!, d.crop * (d.saturation - level!) + (mist ? d.mist : 0), outflow];
		};
		const y = [from.x, from.m, from.g, from.c];
		const add = (k: number[], s: number) => y.map((v, i) => v + s * k[i]!);
		const k1 = f(y);
		const k2 = f(add(k1, h / 2));
		const k3 = f(add(k2, h / 2));
		const k4 = f(add(k3, h));
		const [nx, nm, ng, nc] = y.map((v, i) => v + (h / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!));
		return { x: nx!, m: nm!, g: ng!, c: nc! };
	};
	for (let t = 0; t < until - 1e-9; ) {
		const phase = t - period * Math.floor((t + 1e-9) / period);
		const fan = phase < d.on - 1e-9;
		const mist = phase > d.on - 1e-9 && phase < d.on + d.mistSeconds - 1e-9;
		const next = Math.min(...switches.filter((s) => s > phase + 1e-9)) - phase;
		const net = air(d.saturation, fan, mist) - d.wall * (d.saturation - d.wallLevel);
		const mode =
			x >= d.saturation - 1e-13 && net > 0 ? "fog" : m > 0 || x > d.wallLevel + 1e-13 ? "wet" : "dry";
		let h = Math.min(0.1, next, until - t);
		const isOver = (y: { x: number; m: number }) =>
			(mode !== "fog" && y.x > d.saturation + 1e-14) ||
			(mode === "dry" && y.x > d.wallLevel + 1e-14) ||
			(mode === "wet" && y.m < 0);
		const from = { x, m, g: given, c: carried };
		let to = step(from, h, mode, fan, mist);
		if (isOver(to)) {
			let [low, high] = [0, h];
			for (let i = 0; i < 60; i++) {
				const middle = (low + high) / 2;
				if (isOver(step(from, middle, mode, fan, mist))) high = middle;
				else low = middle;
			}
			h = high;
			to = step(from, h, mode, fan, mist);
			if (mode === "wet" && to.m < 0) to.m = 0;
		}
		x = Math.min(to.x, d.saturation);
		if (mode === "dry" && x > d.wallLevel) x = d.wallLevel + 2e-13;
		m = to.m;
		given = to.g;
		carried = to.c;
		t += h;
	}
	return { x, m, given, carried };
}

/** Numbers from 0 to 1 by a seed: Lehmer's generator. */
function randomSequence(seed: number): () => number {
	let state = (seed * 48_271 + 11) % 2_147_483_647;
	return () => {
		state = (state * 48_271) % 2_147_483_647;
		return state / 2_147_483_647;
	};
}

/** A chamber drawn at random; every second one has walls colder than the air, some are over-humidified. */
function draw(seed: number): Damp {
	const random = randomSequence(seed);
	const between = (a: number, b: number) => a + (b - a) * random();
	const saturation = between(9, 20);
	const volume = between(0.1, 1);
	const on = between(2, 40);
	return {
		volume,
		fan: between(10, 90) / 3600,
		leak: between(0.01, 0.3) / 3600,
		crop: between(0, 3) / 3600,
		intake: saturation * between(0.2, 0.95),
		saturation,
		wallLevel: seed % 2 === 0 ? saturation : saturation * between(0.8, 0.99),
		wall: (volume * between(0, 60)) / 3600,
		mist: between(0, 300) / 3600,
		on,
		off: between(60, 900),
		mistSeconds: between(1, 50),
	};
}

describe("vapour that condenses", () => {
	it("goes as an integration from event to event says, in 24 chambers drawn at random", () => {
		let [wetted, fogged] = [0, 0];
		for (let seed = 1; seed <= 24; seed++) {
			const d = draw(seed);
			const compiled = compileSwitched(modelOf(d));
			const until = 1.7 * (d.on + d.off);
			const fog = { seconds: 0 };
			const end = walkSwitched(compiled, until, startSwitched(compiled), {
				onSolution: (solution, _, modes) => {
					if (modes[0] === 2) fog.seconds += solution.durationSeconds;
				},
			});
			const expected = reference(d, until, { x: d.intake, m: 0 });
			expect(Math.abs(d.intake + end.state[0]! - expected.x), `vapour, seed ${seed}`).toBeLessThan(1e-6);
			expect(Math.abs(end.state[1]! * d.volume - expected.m), `liquid, seed ${seed}`).toBeLessThan(1e-6);
			if (expected.m > 0) wetted++;
			if (fog.seconds > 0) fogged++;
		}
		expect(wetted).toBeGreaterThan(4);
		expect(fogged).toBeGreaterThan(4);
	});

	it("repeats after a period, in which what is given is carried out or runs off, to 1e-9", () => {
		let runsOff = 0;
		for (let seed = 1; seed <= 24; seed++) {
			const d = draw(seed);
			const period = d.on + d.off;
			const sums = { crop: 0, out: 0 };
			const { basis, windowSeconds, levels, stores, actuators, gains } = solveSwitched(
				modelOf(d),
				(solution, isOn) => {
					const whole = solution.integralTo(0, solution.durationSeconds);
					sums.crop += d.crop * (d.saturation * solution.durationSeconds - whole);
					sums.out += (d.leak + (isOn[0] ? d.fan : 0)) * (whole - d.intake * solution.durationSeconds);
				},
			);
			expect(basis, `seed ${seed}`).toBe("periodic");
			expect(windowSeconds).toBeCloseTo(period, 6);
			const given = sums.crop + d.mist * actuators.mist!.onSeconds;
			const left = stores[0]!.gain * d.volume;
			expect(Math.abs(given - sums.out - left) / given, `mass, seed ${seed}`).toBeLessThan(1e-9);
			expect(Math.abs(gains.chamber!)).toBeLessThan(1e-10 * d.saturation);
			expect(levels.chamber!.peakPpm).toBeLessThanOrEqual(d.saturation * (1 + 1e-14));
			if (left > 1e-9) runsOff++;
			else expect(Math.abs(left)).toBeLessThan(1e-9);
			expect(actuators.fan!.starts).toBe(1);
		}
		expect(runsOff).toBeGreaterThan(2);
		expect(runsOff).toBeLessThan(22);
	});
});
