import { Solver } from "odex";
import { describe, expect, it } from "vitest";
import { InputError, SolverError } from "../../lib/errors.ts";
import type { Model } from "../../lib/model/chamber.ts";
import { segments } from "../../lib/model/schedule/timeline.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { integrateInterval } from "../../lib/solve/propagate/odex.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { sinceMidnight } from "../../lib/time.ts";
import { cabinet, everything, flush, shortBursts, zoned } from "./models.ts";

/** 1,200 lengths between 1 s and a day, evenly spread by logarithm. */
const lengths = Array.from({ length: 1200 }, (_, i) => 86_400 ** (i / 1199));

describe("the odex path", () => {
	for (const relativeTolerance of [1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10])
		it(`stays within twice a tolerance of ${relativeTolerance} of the exact path on 1,200 segment lengths, fan on and off`, () => {
			let worst = 0;
			for (const [i, seconds] of lengths.entries()) {
				// On and off by turns, and a chamber with and without a leak.
				const schedule = { kind: i % 2 === 0 ? "continuous" : "off" } as const;
				const model = i % 4 < 2 ? cabinet : { ...cabinet, infiltrationM3PerS: 0 };
				const run = { startPpm: 1800, durationSeconds: seconds, sampleTimes: [seconds], relativeTolerance };
				const exact = simulate(model, schedule, { ...run, method: "exact" }).co2Ppm[0]!;
				const ours = simulate(model, schedule, { ...run, method: "odex" }).co2Ppm[0]!;
				worst = Math.max(worst, Math.abs(ours - exact) / (relativeTolerance * exact));
			}
			expect(worst).toBeLessThanOrEqual(2);
		});

	it("misses no burst at any tolerance, where one call across the switches misses them and says that it converged", () => {
		const day = 86_400;
		const samples = { durationSeconds: day, sampleIntervalSeconds: 60 };
		const exact = simulate(cabinet, shortBursts, samples);
		for (const relativeTolerance of [1e-2, 1e-3, 1e-4, 1e-5, 1e-7, 1e-9, 1e-11]) {
			const ours = simulate(cabinet, shortBursts, { ...samples, method: "odex", relativeTolerance });
			let worst = 0;
			for (const [i, ppm] of ours.co2Ppm.entries())
				worst = Math.max(worst, Math.abs(ppm - exact.co2Ppm[i]!) / (relativeTolerance * exact.co2Ppm[i]!));
			expect(worst).toBeLessThanOrEqual(2);
		}
		// The trap itself, so that this test says why the wall stands.
		const raw = new Solver(1);
		raw.relativeTolerance = 1e-9;
		raw.absoluteTolerance = 1e-9;
		const { generationM3PerS: g, volumeM3: v, infiltrationM3PerS, deliveredM3PerS } = cabinet;
		const through = raw.solve(
			(t, [c]) => {
				const air = infiltrationM3PerS + (t % 552 < 12 ? deliveredM3PerS : 0);
				return [(1e6 * g - air * (c! - 430)) / v];
			},
			0,
			[430],
			day,
		);
		expect(through.outcome).toBe(0);
		expect(Math.abs(through.y[0]! - exact.co2Ppm.at(-1)!)).toBeGreaterThan(1000);
	});

	it("is not fooled by an error estimate that vanishes by accident in a 90 s purge of a 15 s chamber", () => {
		const purge: Model = {
			volumeM3: 0.25,
			intakePpm: 420,
			generationM3PerS: 0,
			infiltrationM3PerS: 0,
			deliveredM3PerS: 0.25 / 15,
		};
		const exact = 420 + 5000 * Math.exp(-6);
		const run = { startPpm: 5420, durationSeconds: 90, sampleTimes: [90] };
		for (const relativeTolerance of [1e-5, 1e-7, 1e-9, 1e-11]) {
			const ours = simulate(purge, { kind: "continuous" }, { ...run, method: "odex", relativeTolerance });
			expect(Math.abs(ours.co2Ppm[0]! - exact)).toBeLessThan(2 * relativeTolerance * exact);
		}
		const raw = new Solver(1);
		raw.relativeTolerance = 1e-7;
		raw.absoluteTolerance = 1e-7;
		raw.initialStepSize = 45;
		const fooled = raw.solve((_t, [x]) => [-x! / 15], 0, [5000], 90);
		expect(fooled.outcome).toBe(0);
		expect(Math.abs(fooled.y[0]! + 420 - exact)).toBeGreaterThan(1);
	});

	it("runs a day without the step limit that ends a capped run early", () => {
		const quick = { ...cabinet, responseSeconds: 1 };
		const run = { durationSeconds: 86_400, sampleTimes: [86_400] };
		const ours = simulate(quick, { kind: "off" }, { ...run, method: "odex" });
		const exact = simulate(quick, { kind: "off" }, { ...run, method: "exact" });
		expect(ours.stats.steps).toBeGreaterThan(10_000);
		expect(ours.sensorPpm![0]).toBeCloseTo(exact.sensorPpm![0]!, 3);
	});

	it("takes a state a hundred times faster than a second through a long lull", () => {
		const sharp = { ...cabinet, responseSeconds: 0.01 };
		const run = { durationSeconds: 552, sampleTimes: [12, 552] };
		const ours = simulate(sharp, shortBursts, { ...run, method: "odex" });
		const exact = simulate(sharp, shortBursts, { ...run, method: "exact" });
		for (const i of [0, 1]) expect(ours.sensorPpm![i]).toBeCloseTo(exact.sensorPpm![i]!, 3);
	});

	it("keeps the sensor right although the run restarts at the end of the fan's transient", () => {
		// Such a restart 20 s after the switch once left a 25 s sensor 8.6 ppm off where the step was free.
		const lagged = { ...cabinet, responseSeconds: 25, coastDownTauSeconds: 1, spinUpTauSeconds: 1 };
		const run = { durationSeconds: 552 * 20, sampleIntervalSeconds: 23 };
		const ours = simulate(lagged, shortBursts, { ...run, method: "odex", relativeTolerance: 1e-6 });
		const tight = simulate(lagged, shortBursts, { ...run, method: "odex", relativeTolerance: 1e-11 });
		for (const [i, ppm] of ours.sensorPpm!.entries())
			expect(Math.abs(ppm - tight.sensorPpm![i]!)).toBeLessThan(5e-3);
	});

	it("solves a cycle on day 10,000 as it does on day 1", () => {
		// A list of switches far from time 0: the solver counts from each switch, not from the epoch.
		const late = 1.7e9;
		const far = { kind: "switches", switchSeconds: [late, late + 12], startsWith: "off" } as const;
		const near = { kind: "switches", switchSeconds: [5e5, 5e5 + 12], startsWith: "off" } as const;
		const drop = (schedule: typeof far | typeof near, model: Model) => {
			const [t] = schedule.switchSeconds;
			const run = simulate(model, schedule, {
				durationSeconds: t! + 20,
				sampleTimes: [t!, t! + 12],
				method: "odex",
				relativeTolerance: 1e-10,
			});
			return (run.co2Ppm[1]! - 430) / (run.co2Ppm[0]! - 430);
		};
		// A leaky chamber is in its steady state long before either burst.
		const leaky = { ...cabinet, volumeM3: 1e5, infiltrationM3PerS: 1e5 / 1e4, deliveredM3PerS: 1e5 / 12 };
		expect(drop(far, leaky)).toBeCloseTo(drop(near, leaky), 7);
	});

	it("throws, with time and state, where odex only sets a field: slopes that are not numbers, blow-up, hopeless tolerance", () => {
		const interval = {
			seconds: 10,
			shortestSeconds: 1,
			relativeTolerance: 1e-6,
			absoluteTolerance: [1e-6],
		};
		for (const slope of [Number.NaN, Number.POSITIVE_INFINITY])
			expect(() => integrateInterval({ ...interval, derivative: () => [slope] }, [1])).toThrow(SolverError);
		expect(() => integrateInterval({ ...interval, derivative: (_t, [y]) => [y! * y!] }, [1])).toThrow(
			/did not converge \(at 10 s/,
		);
		for (const relativeTolerance of [0, -1, Number.NaN, 1])
			expect(() =>
				integrateInterval({ ...interval, relativeTolerance, derivative: (_t, y) => y }, [1]),
			).toThrow(InputError);
	});

	it("gives each state its own absolute tolerance", () => {
		// A state of size one beside one of size 1e6: with a single tolerance the small one is left to chance.
		const result = integrateInterval(
			{
				seconds: 30,
				shortestSeconds: 1,
				relativeTolerance: 1e-9,
				absoluteTolerance: [1e-9, 1],
				derivative: (t, [small, large]) => [Math.cos(t) - small! + 1e-9 * large!, -large! / 10],
			},
			[0, 1e6],
		);
		// Exact: y = (cos t + sin t)/2 + A e^-t + B e^(-t/10), B = 1e-3/(1 - 0.1).
		const b = 1e-3 / 0.9;
		const exact = (Math.cos(30) + Math.sin(30)) / 2 + (-0.5 - b) * Math.exp(-30) + b * Math.exp(-3);
		expect(Math.abs(result.y[0]! - exact)).toBeLessThan(1e-8);
	});

	it("puts its samples at index × step, the last one at the very end", () => {
		const ours = simulate(cabinet, shortBursts, {
			durationSeconds: 552,
			sampleIntervalSeconds: 0.1,
			method: "odex",
		});
		expect(ours.timesSeconds).toHaveLength(5521);
		expect(ours.timesSeconds[5519]).toBe(5519 * 0.1);
		expect(ours.timesSeconds[5520]).toBe(552);
		const exact = simulate(cabinet, shortBursts, { durationSeconds: 552, sampleIntervalSeconds: 0.1 });
		for (const [i, ppm] of ours.co2Ppm.entries()) expect(Math.abs(ppm - exact.co2Ppm[i]!)).toBeLessThan(2e-4);
	});

	it("computes the hundred-thousandth switch as index × period", () => {
		const cycle = { kind: "cycle", onSeconds: 0.1, offSeconds: 0.6 } as const;
		let last = { startSeconds: 0, durationSeconds: 0, isOn: false };
		let count = 0;
		for (const segment of segments(cycle, 70_000)) {
			last = segment;
			count++;
		}
		expect(count).toBe(200_000);
		expect(last.startSeconds).toBe(99_999 * 0.7 + 0.1);
	});

	it("closes the cycle of 300 random chambers without going round for ever, to the tolerance of the exact state", () => {
		let state = 1;
		const random = () => {
			state = (state * 48_271) % 2_147_483_647;
			return state / 2_147_483_647;
		};
		const within = (low: number, high: number) => low * (high / low) ** random();
		for (let i = 0; i < 300; i++) {
			const model = {
				volumeM3: within(0.03, 3),
				intakePpm: 430,
				generationM3PerS: within(1e-8, 1e-6),
				infiltrationM3PerS: within(1e-6, 1e-4),
				deliveredM3PerS: within(0.002, 0.05),
			};
			const cycle = { kind: "cycle", onSeconds: within(2, 100), offSeconds: within(30, 3000) } as const;
			const exact = periodicState(model, cycle);
			const odex = periodicState(model, cycle, { method: "odex" });
			if (!exact.exists || !odex.exists) throw new Error("there is a regime");
			expect(odex.peakPpm / exact.peakPpm).toBeCloseTo(1, 5);
			expect(odex.meanPpm / exact.meanPpm).toBeCloseTo(1, 5);
		}
	});

	it("agrees with the exact path on two zones and a sensor", () => {
		const run = { durationSeconds: 552 * 8, sampleIntervalSeconds: 4, relativeTolerance: 1e-9 };
		const exact = simulate(zoned, shortBursts, { ...run, method: "exact" });
		for (const method of ["odex", "runge-kutta"] as const) {
			const ours = simulate(zoned, shortBursts, { ...run, method });
			for (const series of ["co2Ppm", "stagnantPpm", "sensorPpm"] as const)
				for (const [i, ppm] of ours[series]!.entries())
					expect(Math.abs(ppm - exact[series]![i]!)).toBeLessThan(2e-5);
		}
	});
});

describe("the model with all parts on", () => {
	it("is within 5e-3 ppm over 6 days of classical Runge-Kutta in steps of half a second", () => {
		const days = 6;
		const samples = { durationSeconds: days * 86_400, sampleIntervalSeconds: 12 };
		const ours = simulate(everything, shortBursts, samples);
		expect(ours.method).toBe("runge-kutta");
		const reference = fixedSteps(days * 86_400, 0.5, 12);
		let worst = 0;
		for (const [i, ppm] of ours.co2Ppm.entries())
			worst = Math.max(
				worst,
				Math.abs(ppm - reference[0]![i]!),
				Math.abs(ours.stagnantPpm![i]! - reference[1]![i]!),
				Math.abs(ours.sensorPpm![i]! - reference[2]![i]!),
			);
		expect(worst).toBeLessThan(5e-3);
	});
});

/** The equations of the model once more, written out and stepped without any wit; switches fall on steps. */
function fixedSteps(until: number, h: number, sample: number): Float64Array[] {
	const { volumeM3, intakePpm, infiltrationM3PerS, deliveredM3PerS } = cabinet;
	const [v1, v2, k, q] = [0.7 * volumeM3, 0.3 * volumeM3, 5 / 3600, deliveredM3PerS];
	const out = [0, 1, 2].map(() => new Float64Array(until / sample + 1));
	let c = [intakePpm, intakePpm, intakePpm];
	let level = 0;
	let switched = { at: 0, level: 0 };
	const fanAt = (t: number, on: boolean) => {
		const rest = Math.exp(-(t - switched.at) / (on ? 1 : 2));
		return on ? 1 - (1 - switched.level) * rest : switched.level * rest;
	};
	for (let step = 0; step <= until / h; step++) {
		const t = step * h;
		if (t % sample === 0) for (const i of [0, 1, 2]) out[i]![t / sample] = c[i]!;
		const phase = t % 552;
		const on = phase < 12;
		if (phase === 0 || phase === 12) switched = { at: t, level };
		const slope = (time: number, [a, b, s]: number[]) => {
			const air = q * fanAt(time, on) + infiltrationM3PerS;
			return [
				(0.4e6 * flush.m3PerS(sinceMidnight(time), a!) + air * (intakePpm - a!) + k * (b! - a!)) / v1,
				(0.6e6 * flush.m3PerS(sinceMidnight(time), b!) + k * (a! - b!)) / v2,
				(a! - s!) / 60,
			];
		};
		const plus = (x: number[], f: number, y: number[]) => x.map((value, i) => value + f * y[i]!);
		const k1 = slope(t, c);
		const k2 = slope(t + h / 2, plus(c, h / 2, k1));
		const k3 = slope(t + h / 2, plus(c, h / 2, k2));
		const k4 = slope(t + h, plus(c, h, k3));
		c = c.map((value, i) => value + (h / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!));
		level = fanAt(t + h, on);
	}
	return out;
}
