import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Model } from "../../lib/model/chamber.ts";
import { segments } from "../../lib/model/schedule/timeline.ts";
import { periodicColumns, periodicCycle } from "../../lib/solve/cycles/closedform.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { exponential } from "../../lib/solve/propagate/matrix.ts";
import { phi1, phi2 } from "../../lib/solve/propagate/phi.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { decay, double, exactly, ONE, over, times } from "./fixedpoint.ts";
import { cabinet, shortBursts, zoned } from "./models.ts";

const runs = { seed: 1, numRuns: 60 };

/** Log-uniform between two positive numbers. */
const spread = (low: number, high: number) =>
	fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp);

const models = fc.record({
	volumeM3: spread(0.01, 100),
	intakePpm: fc.double({ min: 300, max: 2000, noNaN: true }),
	generationM3PerS: spread(1e-9, 1e-4),
	infiltrationM3PerS: fc.oneof(fc.constant(0), spread(1e-15, 1)),
	deliveredM3PerS: spread(1e-4, 1),
});
const cycles = fc.record({
	kind: fc.constant("cycle" as const),
	onSeconds: spread(0.1, 5000),
	offSeconds: spread(0.1, 20_000),
});

/** One segment of one zone with 256 binary places: x e^-λt + s (1 - e^-λt)/λ, and x + s t where nothing moves. */
function reference(x: bigint, model: Model, on: boolean, seconds: number): bigint {
	const volume = exactly(model.volumeM3);
	const air = exactly(model.infiltrationM3PerS) + (on ? exactly(model.deliveredM3PerS) : 0n);
	const rise = over(exactly(model.generationM3PerS) * 1_000_000n, volume);
	const t = exactly(seconds);
	if (air === 0n) return x + times(rise, t);
	const rate = over(air, volume);
	const left = decay(times(rate, t));
	return times(x, left) + over(times(rise, ONE - left), rate);
}

describe("the exact path", () => {
	it("keeps 1e-9 of the excess against 77-digit arithmetic, for any on and off, leak 0 or large, also at day 30", () => {
		fc.assert(
			fc.property(models, cycles, (model, cycle) => {
				const period = cycle.onSeconds + cycle.offSeconds;
				const count = Math.min(Math.ceil((30 * 86_400) / period), 150);
				// At most so many cycles, or the reference takes minutes; the next test goes through all of 30 days.
				const end = simulate(model, cycle, {
					durationSeconds: count * period,
					sampleTimes: [count * period],
				});
				let x = 0n;
				for (const { isOn, durationSeconds } of segments(cycle, count * period))
					x = reference(x, model, isOn, durationSeconds);
				const ours = end.end.state[0]!;
				expect(Math.abs(ours - double(x)) / double(x)).toBeLessThan(1e-9);
			}),
			runs,
		);
	});

	it("keeps 1e-9 of the excess through all 4,696 cycles of 30 days", () => {
		for (const infiltrationM3PerS of [0, 1e-12, 0.002, 5]) {
			const model = { ...cabinet, infiltrationM3PerS };
			const until = 4696 * 552;
			const samples = { durationSeconds: until, sampleTimes: [12, until - 540, until] };
			const ours = simulate(model, shortBursts, samples);
			let x = 0n;
			const marks = new Map<number, number>();
			for (const { startSeconds, durationSeconds, isOn } of segments(shortBursts, until)) {
				x = reference(x, model, isOn, durationSeconds);
				marks.set(startSeconds + durationSeconds, double(x));
			}
			for (const [i, time] of samples.sampleTimes.entries()) {
				const expected = marks.get(time)!;
				expect(Math.abs(ours.co2Ppm[i]! - model.intakePpm - expected) / expected).toBeLessThan(1e-9);
			}
		}
	});

	it("gives the periodic peak, mean and trough to 1e-12 of 77-digit arithmetic", () => {
		fc.assert(
			fc.property(models, cycles, (model, cycle) => {
				const { onSeconds: a, offSeconds: b } = cycle;
				const periodic = periodicState(model, cycle);
				if (!periodic.exists) throw new Error("the fan carries CO2 away, so there is a regime");
				const volume = exactly(model.volumeM3);
				const s = over(exactly(model.generationM3PerS) * 1_000_000n, volume);
				const on = over(exactly(model.deliveredM3PerS) + exactly(model.infiltrationM3PerS), volume);
				const off = over(exactly(model.infiltrationM3PerS), volume);
				const [ta, tb] = [exactly(a), exactly(b)];
				const [ea, eb] = [decay(times(on, ta)), decay(times(off, tb))];
				const gain = (rate: bigint, t: bigint, left: bigint) =>
					rate === 0n ? times(s, t) : over(times(s, ONE - left), rate);
				const peak = over(gain(off, tb, eb) + times(eb, gain(on, ta, ea)), ONE - times(ea, eb));
				const trough = times(peak, ea) + gain(on, ta, ea);
				// The balance gives the integral: rate ∫x = s t - (rise over the phase).
				const area = (rate: bigint, t: bigint, from: bigint, to: bigint) =>
					rate === 0n ? times(from, t) + times(times(s, t), t) / 2n : over(times(s, t) - (to - from), rate);
				const mean = over(area(on, ta, peak, trough) + area(off, tb, trough, peak), ta + tb);
				// A rate this small leaves the reference itself too few of its digits in the quotient.
				const resolved = off === 0n || off > 1n << 160n;
				for (const [ours, exact] of [
					[periodic.peakPpm, peak],
					[periodic.troughPpm, trough],
					...(resolved ? [[periodic.meanPpm, mean] as const] : []),
				] as const) {
					const expected = model.intakePpm + double(exact);
					expect(Math.abs(ours - expected) / expected).toBeLessThan(1e-12);
				}
			}),
			{ ...runs, numRuns: 300 },
		);
	});

	it("meets the dense reference case F for any start of the cycle", () => {
		for (const startsWith of ["on", "off"] as const) {
			const periodic = periodicState(cabinet, { ...shortBursts, startsWith });
			if (!periodic.exists) throw new Error("there is a regime");
			// Worked with closed form and RK4; computed for this project.
			expect(periodic.peakPpm).toBeCloseTo(759.2224764763182, 10);
			expect(periodic.troughPpm).toBeCloseTo(580.662667587615, 10);
			expect(periodic.meanPpm).toBeCloseTo(669.7738058452857, 10);
		}
	});

	it("computes many cycles at once to the same bits as one", () => {
		const columns = {
			intakePpm: Float64Array.of(430, 420, 420),
			risePpmPerS: Float64Array.of(0.3, 0.7, 0.7),
			onPerS: Float64Array.of(0.07, 0.08, 0.08),
			offPerS: Float64Array.of(1e-5, 0, 0.01),
			onSeconds: Float64Array.of(12, 10, 1e-3),
			offSeconds: Float64Array.of(540, 590, 1e6),
		};
		const { peakPpm, meanPpm, troughPpm } = periodicColumns(columns);
		for (let i = 0; i < 3; i++)
			expect(
				periodicCycle(
					columns.intakePpm[i]!,
					columns.risePpmPerS[i]!,
					columns.onPerS[i]!,
					columns.offPerS[i]!,
					columns.onSeconds[i]!,
					columns.offSeconds[i]!,
				),
			).toEqual({ peakPpm: peakPpm[i], meanPpm: meanPpm[i], troughPpm: troughPpm[i] });
	});

	it("has the limits of φ1 and φ2 right and no step where the series ends", () => {
		expect(phi1(0)).toBe(1);
		expect(phi2(0)).toBe(0.5);
		for (const x of [1e-300, 1e-16, 1e-9, 1e-3, 0.1, 0.3, 0.499, 0.5, 0.501, 1, 10, 700, 1e5]) {
			const fixed = exactly(x);
			const left = decay(fixed);
			if (x >= 1e-9) {
				expect(phi1(x) / double(over(ONE - left, fixed))).toBeCloseTo(1, 14);
				expect(phi2(x) / double(over(over(fixed - ONE + left, fixed), fixed))).toBeCloseTo(1, 13);
			} else expect([phi1(x), phi2(x)]).toEqual([1, 0.5]);
		}
	});

	it("treats a chamber without leak, fan or pause as what it is", () => {
		const tight = { ...cabinet, infiltrationM3PerS: 0 };
		const cycle = (onSeconds: number, offSeconds: number) =>
			({ kind: "cycle", onSeconds, offSeconds }) as const;
		const level = (model: Model) =>
			model.intakePpm + (1e6 * model.generationM3PerS) / (model.deliveredM3PerS + model.infiltrationM3PerS);
		for (const always of [cycle(10, 0), { kind: "continuous" } as const]) {
			const periodic = periodicState(cabinet, always);
			expect(periodic.exists && periodic.peakPpm).toBeCloseTo(level(cabinet), 9);
			expect(periodic.exists && periodic.ripplePpm).toBeCloseTo(0, 9);
		}
		expect(periodicState(tight, cycle(0, 10))).toMatchObject({ exists: false, cause: "no air" });
		expect(periodicState(tight, { kind: "off" })).toMatchObject({ exists: false, cause: "no air" });
		expect(periodicState({ ...tight, deliveredM3PerS: 0 }, shortBursts)).toMatchObject({ cause: "no air" });
		const leaky = periodicState(cabinet, { kind: "off" });
		expect(leaky.exists && leaky.meanPpm).toBeCloseTo(430 + (0.216e-3 / 0.0072) * 1e6, 6);
		// A closed chamber rises by 1e6 G/V a second.
		const closed = simulate(tight, { kind: "off" }, { durationSeconds: 3600, sampleIntervalSeconds: 3600 });
		expect(closed.co2Ppm[1]).toBeCloseTo(430 + (0.216e-3 / 0.18) * 1e6, 9);
	});

	it("samples the same whether the step divides the cycle or not, and never drifts from index × step", () => {
		for (const model of [cabinet, zoned]) {
			const even = simulate(model, shortBursts, { durationSeconds: 552 * 10, sampleIntervalSeconds: 0.1 });
			expect(even.timesSeconds).toHaveLength(55_201);
			expect(even.timesSeconds[55_200]).toBe(5520);
			const picked = [0, 7, 120, 121, 5_519, 5_521, 33_333, 55_199, 55_200];
			const single = simulate(model, shortBursts, {
				durationSeconds: 5520,
				sampleTimes: picked.map((i) => even.timesSeconds[i]!),
			});
			for (const [k, i] of picked.entries()) {
				expect(even.co2Ppm[i]).toBeCloseTo(single.co2Ppm[k]!, 9);
				expect(even.fanOn[i]).toBe(single.fanOn[k]);
			}
			expect([even.fanOn[0], even.fanOn[119], even.fanOn[120], even.fanOn[5519], even.fanOn[5520]]).toEqual([
				1, 1, 0, 0, 1,
			]);
		}
	});

	it("agrees with itself when a segment is cut in pieces (two zones and a sensor)", () => {
		const rest = { kind: "off" } as const;
		const whole = simulate(zoned, rest, { startPpm: 2000, durationSeconds: 4000, sampleTimes: [4000] });
		let start = simulate(zoned, rest, { startPpm: 2000, durationSeconds: 1, sampleTimes: [1] }).end;
		for (let t = 1; t < 4000; t++)
			start = simulate(zoned, rest, { start, durationSeconds: 1, sampleTimes: [1] }).end;
		for (let i = 0; i < 3; i++) expect(start.state[i]! / whole.end.state[i]!).toBeCloseTo(1, 11);
	});
});

describe("the matrix exponential", () => {
	it("meets the closed form of two exchanging zones to 1e-13, from a thousandth to thousands of time constants", () => {
		// x' = [[-a, a], [b, -b]] x has eigenvalues 0 and -(a + b).
		for (const [a, b] of [
			[1, 1],
			[1e-3, 5],
			[0.2, 0.03],
		] as const)
			for (const t of [1e-6, 1e-3, 1, 50, 1000]) {
				const m = exponential(Float64Array.of(-a, a, b, -b), 2, t);
				const left = Math.exp(-(a + b) * t);
				const share = -Math.expm1(-(a + b) * t);
				const expected = [
					(b + a * left) / (a + b),
					(a * share) / (a + b),
					(b * share) / (a + b),
					(a + b * left) / (a + b),
				];
				for (let i = 0; i < 4; i++)
					expect(Math.abs(m[i]! / expected[i]! - 1)).toBeLessThan(1e-13 * (1 + t * (a + b)));
			}
	});
});
