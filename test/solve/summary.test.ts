import { describe, expect, it } from "vitest";
import type { Model } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { cabinet, everything, shortBursts, zoned } from "./models.ts";

const nightly: Schedule = {
	kind: "daily",
	parts: [
		{ fromSeconds: 7 * 3600, schedule: { kind: "cycle", onSeconds: 12, offSeconds: 540 } },
		{ fromSeconds: 22 * 3600, schedule: { kind: "cycle", onSeconds: 9, offSeconds: 1200 } },
	],
};

/** One second apart over a period of the regime, repeated for windows that run on. */
function secondBySecond(model: Model, schedule: Schedule, periods = 1) {
	const steadyState = periodicState(model, schedule);
	if (!steadyState.exists) throw new Error(steadyState.cause);
	const run = simulate(model, schedule, {
		start: steadyState.start,
		durationSeconds: periods * steadyState.periodSeconds,
		sampleIntervalSeconds: 1,
	});
	return steadyState.zone === "mixed" ? run.co2Ppm : run.stagnantPpm!;
}

describe("the summary of a schedule", () => {
	for (const [name, model, schedule] of [
		["one zone", cabinet, shortBursts],
		["two zones", zoned, shortBursts],
		["a slow fan", { ...cabinet, spinUpTauSeconds: 1, coastDownTauSeconds: 2 }, shortBursts],
		["another cycle at night", cabinet, nightly],
	] as [string, Model, Schedule][])
		it(`finds the times above the ceiling and below the floor that counting seconds finds: ${name}`, () => {
			const ppm = secondBySecond(model, schedule).slice(0, -1);
			const sorted = ppm.toSorted();
			const [floorPpm, ceilingPpm] = [
				sorted[Math.floor(0.3 * ppm.length)]!,
				sorted[Math.floor(0.8 * ppm.length)]!,
			];
			const summary = summarize(model, schedule, { ceilingPpm, floorPpm });
			const share = (test: (x: number) => boolean) => (100 * ppm.filter(test).length) / ppm.length;
			expect(Math.abs(summary.exceedancePercent - share((x) => x > ceilingPpm))).toBeLessThan(0.6);
			expect(Math.abs(summary.belowFloorPercent! - share((x) => x < floorPpm))).toBeLessThan(0.6);
			expect(summary.exceedanceSecondsPerHour).toBeCloseTo(36 * summary.exceedancePercent, 9);
		});

	it("finds the worst hour that sliding a window second by second finds", () => {
		for (const [model, schedule, periods] of [
			[cabinet, shortBursts, 9],
			[zoned, shortBursts, 9],
			[cabinet, nightly, 2],
			[cabinet, { kind: "cycle", onSeconds: 100, offSeconds: 9900 } as const, 2],
		] as const) {
			const ppm = secondBySecond(model, schedule, periods);
			// Trapezoid rule, whose error is far below the tolerance at one second.
			const area = new Float64Array(ppm.length);
			for (let i = 1; i < ppm.length; i++) area[i] = area[i - 1]! + (ppm[i - 1]! + ppm[i]!) / 2;
			let worst = 0;
			for (let i = 3600; i < ppm.length; i++) worst = Math.max(worst, (area[i]! - area[i - 3600]!) / 3600);
			const { maxHourlyMeanPpm } = summarize(model, schedule, { ceilingPpm: 1000 });
			expect(Math.abs(maxHourlyMeanPpm - worst)).toBeLessThan(0.05);
			expect(maxHourlyMeanPpm).toBeGreaterThan(worst - 0.01);
		}
		const dividing = summarize(
			cabinet,
			{ kind: "cycle", onSeconds: 12, offSeconds: 588 },
			{ ceilingPpm: 1000 },
		);
		expect(dividing.maxHourlyMeanPpm).toBeCloseTo(dividing.meanPpm, 9);
	});

	it("finds the worst hour of a lull that is longer than it, to 0.0001 ppm of the closed form, and never above the peak", () => {
		for (const [leakPerHour, onSeconds, offSeconds] of [
			[2, 600, 30 * 86_400],
			[0.5, 100, 2 * 86_400],
			[0.04, 12, 5000],
			[0, 60, 90_000],
			[3, 3000, 9000],
		] as const) {
			const infiltrationM3PerS = (leakPerHour * 0.18) / 3600;
			const model = { ...cabinet, infiltrationM3PerS };
			const summary = summarize(model, { kind: "cycle", onSeconds, offSeconds }, { ceilingPpm: 1000 });
			// Excess x in either half: x' = s - λx, and its integral (x0 + s t - x)/λ, or x0 t + s t²/2 without air.
			const rise = (1e6 * cabinet.generationM3PerS) / 0.18;
			const half = (rate: number) => ({
				at: (x0: number, t: number) =>
					rate === 0 ? x0 + rise * t : rise / rate + (x0 - rise / rate) * Math.exp(-rate * t),
				area: (x0: number, t: number) =>
					rate === 0
						? x0 * t + (rise * t * t) / 2
						: (rise * t) / rate - ((x0 - rise / rate) * Math.expm1(-rate * t)) / rate,
			});
			const off = half(leakPerHour / 3600);
			const on = half(leakPerHour / 3600 + cabinet.deliveredM3PerS / 0.18);
			let trough = 0;
			for (let i = 0; i < 500; i++) trough = on.at(off.at(trough, offSeconds), onSeconds);
			const peak = off.at(trough, offSeconds);
			// The window reaches u seconds into the burst that ends the lull, and begins in the lull.
			const mean = (u: number) =>
				430 +
				(off.area(trough, offSeconds) - off.area(trough, offSeconds + u - 3600) + on.area(peak, u)) / 3600;
			let [low, high] = [0, Math.min(onSeconds, 3600)];
			for (let i = 0; i < 200; i++) {
				const third = (high - low) / 3;
				if (mean(low + third) < mean(high - third)) low += third;
				else high -= third;
			}
			expect(Math.abs(summary.maxHourlyMeanPpm - mean(low))).toBeLessThan(1e-4);
			expect(summary.maxHourlyMeanPpm).toBeLessThanOrEqual(summary.peakPpm + 1e-5);
		}
	});

	it("counts air, bursts and what a burst replaces", () => {
		const summary = summarize(cabinet, shortBursts, { ceilingPpm: 1000 });
		// 43.2 m3/h for 12 s is 0.144 m3, on 0.18 m3 0.8 air changes; 86400/552 bursts a day.
		expect(summary.airChangesPerBurst).toBeCloseTo(0.8, 12);
		expect(summary.replacedFraction).toBeCloseTo(1 - Math.exp(-0.8), 12);
		expect(summary.burstsPerDay).toBeCloseTo(86_400 / 552, 9);
		expect(summary.freshAirM3PerDay).toBeCloseTo((0.144 * 86_400) / 552, 9);
		expect(summary.infiltrationM3PerDay).toBeCloseTo(0.0072 * 24, 9);
		expect(summary.airChangesPerHour).toBeCloseTo((0.8 * 3600) / 552, 9);
		const half = summarize({ ...cabinet, mixingEfficiency: 0.5 }, shortBursts, { ceilingPpm: 1000 });
		expect(half.airChangesPerBurst).toBeCloseTo(0.4, 12);
		expect(half.freshAirM3PerDay).toBeCloseTo(summary.freshAirM3PerDay, 9);
		// Fan that needs 1 s to spin up and coasts down in 2 s: 12 - 1 + 2 s worth of air, to e^-12.
		const slow = summarize({ ...cabinet, spinUpTauSeconds: 1, coastDownTauSeconds: 2 }, shortBursts, {
			ceilingPpm: 1000,
		});
		expect(slow.airChangesPerBurst! / 0.8).toBeCloseTo(13 / 12, 5);
	});

	it("says when the ceiling is first passed from a fresh start, and when the start is forgotten", () => {
		for (const model of [cabinet, zoned]) {
			const summary = summarize(model, shortBursts, { ceilingPpm: 700 });
			const run = simulate(model, shortBursts, { durationSeconds: 20_000, sampleIntervalSeconds: 1 });
			const ppm = model === cabinet ? run.co2Ppm : run.stagnantPpm!;
			const first = ppm.findIndex((x) => x > 700);
			expect(Math.abs(summary.firstExceedanceSeconds! - first)).toBeLessThanOrEqual(1);
			const steadyState = secondBySecond(model, shortBursts, 30);
			const away = (seconds: number) => Math.abs(ppm[seconds]! - steadyState[seconds]!);
			const limit = 0.01 * (summary.peakPpm - 430);
			const settled = summary.settlingSeconds!;
			// It lies on a switch, and at the switch before the two were still apart.
			expect([0, 12]).toContain(settled % 552);
			expect(away(settled)).toBeLessThanOrEqual(limit);
			expect(away(settled - (settled % 552 === 12 ? 12 : 540))).toBeGreaterThan(limit);
		}
		expect(summarize(cabinet, shortBursts, { ceilingPpm: 800 }).firstExceedanceSeconds).toBeNull();
		const stale = summarize({ ...cabinet, startPpm: 3000 }, shortBursts, { ceilingPpm: 800 });
		expect(stale.firstExceedanceSeconds).toBe(0);
	});

	it("judges peak, mean or worst hour, and the floor on the mean", () => {
		const on = (statistic: "peak" | "mean" | "worst hour", ceilingPpm: number, floorPpm?: number) =>
			summarize(cabinet, shortBursts, {
				ceilingPpm,
				statistic,
				...(floorPpm === undefined ? {} : { floorPpm }),
			}).criterion;
		expect(on("peak", 700)).toMatchObject({ isMet: false });
		expect(on("mean", 700)).toMatchObject({ isMet: true });
		expect(on("worst hour", 673)).toMatchObject({ isMet: false });
		expect(on("worst hour", 674)).toMatchObject({ isMet: true });
		expect(on("peak", 800, 660).isMet).toBe(true);
		expect(on("peak", 800, 680).isMet).toBe(false);
	});

	it.each([
		[60, 700],
		[300, 700],
		[300, 900],
	])(
		"leaves headroom that holds where the intake swings by %i ppm under a ceiling of %i ppm",
		(swing, ceilingPpm) => {
			const swinging = {
				...cabinet,
				intakeExcess: {
					ppmAt: (time: number) => swing * Math.cos((2 * Math.PI * time) / 86_400),
					breakpointsSeconds: [],
					lowestPpm: -swing,
					highestPpm: swing,
				},
			};
			const judge = (factor: number) =>
				summarize({ ...swinging, generationM3PerS: factor * cabinet.generationM3PerS }, shortBursts, {
					ceilingPpm,
				});
			const { headroomFactor, isMet } = judge(1).criterion;
			expect(headroomFactor! >= 1).toBe(isMet);
			if (headroomFactor! > 0) expect(judge(headroomFactor!).peakPpm).toBeLessThan(ceilingPpm * (1 + 1e-9));
			// Visitors alone are over the ceiling: no output is small enough.
			else expect(judge(1e-9).peakPpm).toBeGreaterThan(ceilingPpm);
		},
	);

	it("shows the price of intermittency against never-ending flow with the same air", () => {
		const summary = summarize(cabinet, shortBursts, { ceilingPpm: 1000 });
		const air = (0.144 * 3600) / 552 + 0.0072;
		expect(summary.continuousPpm).toBeCloseTo(430 + (1e6 * 0.216e-3) / air, 9);
		expect(summary.meanPenaltyPpm).toBeCloseTo(summary.meanPpm - summary.continuousPpm!, 12);
		expect(summary.peakPenaltyPpm).toBeGreaterThan(summary.meanPenaltyPpm!);
		const always = summarize(cabinet, { kind: "continuous" }, { ceilingPpm: 1000 });
		expect(always.peakPenaltyPpm).toBeCloseTo(0, 9);
	});

	it("takes the day of the peak where respiration grows, and says so", () => {
		const summary = summarize(everything, shortBursts, { ceilingPpm: 1000 });
		expect(summary.basis).toBe("run");
		expect(summary.settlingSeconds).toBeNull();
		expect(summary.noPeriodicState).toEqual({
			cause: "source does not repeat",
			isPeakDay: true,
			shiftSeconds: null,
		});
		expect(summary.windowFromSeconds).toBe(5 * 86_400);
		const run = simulate(everything, shortBursts, {
			durationSeconds: 14 * 86_400,
			sampleIntervalSeconds: 12,
		});
		expect(summary.peakPpm).toBeCloseTo(Math.max(...run.stagnantPpm!.slice(1)), 0);
		expect(summary.windowSeconds).toBe(86_400);
	});

	it("gives the first day of a chamber that nothing airs, with a remark instead of an infinite figure", () => {
		const summary = summarize({ ...cabinet, infiltrationM3PerS: 0 }, { kind: "off" }, { ceilingPpm: 1000 });
		expect(summary.peakPpm).toBeCloseTo(430 + 24 * 1200, 6);
		expect(summary.continuousPpm).toBeNull();
		expect(summary.airChangesPerBurst).toBeNull();
		expect(summary.noPeriodicState).toEqual({ cause: "no air", isPeakDay: false, shiftSeconds: null });
		expect(summary.windowFromSeconds).toBe(0);
	});

	it("of switches that end is looked at until past the last of them, and over the day of the peak", () => {
		const HOUR = 3600;
		const { peakPpm, windowFromSeconds, windowSeconds } = summarize(
			cabinet,
			{ kind: "switches", switchSeconds: [HOUR, 2 * HOUR, 50 * HOUR, 53 * HOUR] },
			{ ceilingPpm: 1000 },
		);
		// On from 2 h to 50 h the excess settles at 1e6 G/(L + Q); then it relaxes to 1e6 G/L for 3 h.
		const [still, blown] = [(1e6 * 0.216e-3) / 0.0072, (1e6 * 0.216e-3) / (0.0072 + 43.2)];
		expect(peakPpm).toBeCloseTo(430 + still + (blown - still) * Math.exp((-3 * 0.0072) / 0.18), 6);
		expect(windowFromSeconds).toBeLessThanOrEqual(50 * HOUR);
		expect(windowFromSeconds + windowSeconds).toBeGreaterThan(53 * HOUR);
	});

	it("shows through a lag less ripple than there is, and the same mean", () => {
		const { sensor, ...rest } = summarize({ ...cabinet, responseSeconds: 120 }, shortBursts, {
			ceilingPpm: 1000,
		});
		expect(sensor!.peakPpm).toBeLessThan(rest.peakPpm);
		expect(sensor!.ripplePpm).toBeLessThan(rest.ripplePpm);
		expect(sensor!.meanPpm).toBeCloseTo(rest.meanPpm, 6);
	});
});
