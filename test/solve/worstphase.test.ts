import { describe, expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { comparisonCurves } from "../../lib/compare/curves.ts";
import { buildModel } from "../../lib/model/build.ts";
import { startModelAt } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { makeTimeline, playTimeline, shiftTimeline } from "../../lib/model/schedule/timeline.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { runStats } from "../../lib/solve/simulate.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { DAY, sinceMidnight } from "../../lib/time.ts";

const scenario = (schedule: string) =>
	parseScenario(`
chamber: { volume: 300 L, leak: 0.3 /h, temperature: { mean: 18 C, swing: 2 K } }
substrate: { species: oyster, mass: 5 kg, rate: 150 mg/(kg h) }
fan: { flow: 60 m3/h }
target: { ceiling: 1000 ppm }
schedules: { a: ${schedule} }
`);
const model = buildModel(scenario("{ on: 1 s, off: 99 s }"));

/** Peaks of runs that begin at other times of the day. */
function longRuns(schedule: Schedule, starts: number): number[] {
	return Array.from({ length: starts }, (_, k) => {
		const start = sinceMidnight(Math.round(k * (DAY / starts + 1200)));
		return runStats(startModelAt(model, start), schedule, {
			durationSeconds: (k === 0 ? 60 : 36) * DAY,
			ceilingPpm: 1000,
		}).peakPpm;
	});
}

describe("a cycle that never meets the day", () => {
	it.each([
		["30 h on, 5 h off", 30 * 3600, 5 * 3600, 4596],
		["5 min on, 7 h off", 300, 7 * 3600, 5097],
		["20 h on, 30 min off", 20 * 3600, 1800, 1188],
		["3 min on, 97 min off", 180, 97 * 60, null],
		["12 s on, 583 s off", 12, 583, null],
	])(
		"is judged at its worst timing, which long runs reach and do not pass: %s",
		(_, onSeconds, offSeconds, reached) => {
			const schedule = { kind: "cycle", onSeconds, offSeconds } as const;
			const { peakPpm, noPeriodicState } = summarize(model, schedule, { ceilingPpm: 1000 });
			expect(noPeriodicState?.cause).toBe("incommensurate periods");
			const [own, ...others] = longRuns(schedule, 3);
			if (reached !== null) expect(own).toBeCloseTo(reached, -0.5);
			for (const peak of [own!, ...others]) expect(peak).toBeLessThan(peakPpm * (1 + 1e-4));
			expect(Math.max(own!, ...others)).toBeGreaterThan(peakPpm * 0.9995);
		},
	);

	it("is no good because one day is", () => {
		const comparison = compareSchedules(scenario("{ on: 30 h, off: 5 h }"));
		expect(comparison.best).toBeNull();
		// The picture begins on the day of that peak.
		const { pattern } = comparisonCurves(comparison);
		const { peakPpm } = comparison.schedules[0]!.summary;
		expect(Math.max(...pattern[0]!.co2Ppm) / peakPpm).toBeCloseTo(1, 3);
	});

	it("is judged by the mean and the worst hour at their own worst timing", () => {
		const schedule = { kind: "cycle", onSeconds: 1200, offSeconds: 7 * 3600 } as const;
		for (const statistic of ["mean", "worst hour"] as const) {
			const { criterion } = summarize(model, schedule, { ceilingPpm: 1000, statistic });
			const values = Array.from({ length: 6 }, (_, k) => {
				const moved = startModelAt(model, sinceMidnight(Math.round((k * DAY) / 6)));
				const settled = runStats(moved, schedule, { durationSeconds: 36 * DAY, ceilingPpm: 1000 });
				return statistic === "mean" ? settled.meanPpm : settled.maxHourlyMeanPpm;
			});
			expect(Math.max(...values)).toBeLessThan(criterion.valuePpm * (1 + 1e-4));
			// The mean of one day at its worst is above that of many days, the worst hour is reached.
			expect(Math.max(...values)).toBeGreaterThan(criterion.valuePpm * (statistic === "mean" ? 0.9 : 0.999));
		}
	});

	it("keeps the memory of weak bursts, and errs upwards where the start is not forgotten", () => {
		// Each burst changes a twentieth of the air, and nothing leaks.
		const weak = { ...model, infiltrationM3PerS: 0, deliveredM3PerS: (0.05 * model.volumeM3) / 7 };
		const schedule = { kind: "cycle", onSeconds: 7, offSeconds: 7000 } as const;
		const { peakPpm } = summarize(weak, schedule, { ceilingPpm: 1000 });
		const { peakPpm: reached } = runStats(weak, schedule, { durationSeconds: 120 * DAY, ceilingPpm: 1000 });
		expect(reached).toBeLessThan(peakPpm * (1 + 1e-4));
		expect(reached).toBeGreaterThan(peakPpm * 0.999);
	});

	it("of a chamber that nothing airs is still no regime", () => {
		const sealed = { ...model, infiltrationM3PerS: 0, deliveredM3PerS: 0 };
		const summary = summarize(
			sealed,
			{ kind: "cycle", onSeconds: 60, offSeconds: 7000 },
			{ ceilingPpm: 1000 },
		);
		expect(summary.noPeriodicState?.cause).toBe("no air");
	});
});

it("a timeline with another time 0 does at once what the first does later", () => {
	const timeline = makeTimeline({ kind: "switches", switchSeconds: [3, 10, 40], repeatSeconds: 100 });
	const isOnAt = (list: typeof timeline, t: number) =>
		[...playTimeline(list, 400)].findLast(({ startSeconds }) => startSeconds <= t)!.isOn;
	for (const shift of [0, 1, 7.5, 99, 100, 250, -30]) {
		const shifted = shiftTimeline(timeline, shift);
		expect(shifted.segments.reduce((sum, { durationSeconds }) => sum + durationSeconds, 0)).toBeCloseTo(
			100,
			9,
		);
		for (let t = 0.25; t < 100; t++)
			expect(isOnAt(shifted, t)).toBe(isOnAt(timeline, (((t + shift) % 100) + 100) % 100));
	}
});
