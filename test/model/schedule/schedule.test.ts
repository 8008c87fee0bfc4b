import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { InputError } from "../../../lib/errors.ts";
import { clock, inWords } from "../../../lib/model/schedule/inwords.ts";
import { checkSchedule, periodSeconds, type Schedule } from "../../../lib/model/schedule/schedule.ts";
import { burstsPerDay, dutyCycle, segments } from "../../../lib/model/schedule/timeline.ts";

const cycle = (onSeconds: number, offSeconds: number, startsWith: "on" | "off" = "on") =>
	({ kind: "cycle", onSeconds, offSeconds, startsWith }) as const;
const list = (schedule: Schedule, until: number) =>
	[...segments(schedule, until)].map(({ startSeconds, durationSeconds, isOn }) => [
		startSeconds,
		durationSeconds,
		isOn,
	]);

describe("a schedule", () => {
	it("plays a cycle from either end and cuts the last segment at the end of the run", () => {
		expect(list(cycle(4, 6), 15)).toEqual([
			[0, 4, true],
			[4, 6, false],
			[10, 4, true],
			[14, 1, false],
		]);
		expect(list(cycle(4, 6, "off"), 8)).toEqual([
			[0, 6, false],
			[6, 2, true],
		]);
		expect(list(cycle(4, 0), 9)).toEqual([[0, 9, true]]);
		expect(list(cycle(0, 4), 9)).toEqual([[0, 9, false]]);
	});

	it("starts another cycle afresh at each part of the day and lets the last one run over midnight in phase", () => {
		const daily: Schedule = {
			kind: "daily",
			parts: [
				{ fromSeconds: 3600, schedule: cycle(600, 3000) },
				{ fromSeconds: 80_000, schedule: cycle(1000, 6000) },
			],
		};
		const day = list(daily, 86_400);
		// Midnight falls 6,400 s after 80,000 s, in the pause of the first cycle of 7,000 s.
		expect(day[0]).toEqual([0, 600, false]);
		expect(day[1]).toEqual([600, 1000, true]);
		expect(day[3]).toEqual([3600, 600, true]);
		expect(day.at(-2)).toEqual([80_000, 1000, true]);
		expect(day.at(-1)).toEqual([81_000, 5400, false]);
		const second = [...segments(daily, 2 * 86_400)].filter(({ startSeconds }) => startSeconds >= 86_400);
		expect(second.map((s) => s.startSeconds - 86_400)).toEqual(
			[...segments(daily, 86_400)].map((s) => s.startSeconds),
		);
	});

	it("plays a list of switches once, or again and again", () => {
		const once: Schedule = { kind: "switches", switchSeconds: [5, 8], startsWith: "off" };
		expect(list(once, 20)).toEqual([
			[0, 5, false],
			[5, 3, true],
			[8, 12, false],
		]);
		expect(list({ ...once, repeatSeconds: 10 }, 20)).toEqual([
			[0, 5, false],
			[5, 3, true],
			[8, 2, false],
			[10, 5, false],
			[15, 3, true],
			[18, 2, false],
		]);
		expect(list({ kind: "switches", switchSeconds: [0, 4], startsWith: "off" }, 6)).toEqual([
			[0, 4, true],
			[4, 2, false],
		]);
	});

	it("covers any span without gap or overlap, whatever its kind", () => {
		const time = fc.double({ min: 1, max: 5000, noNaN: true });
		const anySchedule: fc.Arbitrary<Schedule> = fc.oneof(
			fc
				.tuple(time, time, fc.constantFrom("on" as const, "off" as const))
				.map(([a, b, first]) => cycle(a, b, first)),
			fc.uniqueArray(fc.integer({ min: 0, max: 20_000 }), { minLength: 1 }).map((times) => ({
				kind: "switches" as const,
				switchSeconds: times.sort((a, b) => a - b),
				repeatSeconds: 20_001,
			})),
			fc.uniqueArray(fc.integer({ min: 0, max: 86_399 }), { minLength: 1, maxLength: 5 }).chain((starts) =>
				fc.tuple(time, time).map(([a, b]) => ({
					kind: "daily" as const,
					parts: starts
						.sort((x, y) => x - y)
						.map((fromSeconds, i) => ({ fromSeconds, schedule: cycle(a * (i + 1), b) })),
				})),
			),
			fc.constantFrom({ kind: "continuous" } as const, { kind: "off" } as const),
		);
		fc.assert(
			fc.property(anySchedule, fc.double({ min: 1, max: 200_000, noNaN: true }), (schedule, until) => {
				checkSchedule(schedule);
				let at = 0;
				let worst = 0;
				for (const { startSeconds, durationSeconds } of segments(schedule, until)) {
					worst = Math.max(worst, Math.abs(startSeconds - at), durationSeconds > 0 ? 0 : 1);
					at = startSeconds + durationSeconds;
				}
				expect(worst).toBeLessThan(1e-6);
				expect(Math.abs(at - until)).toBeLessThan(1e-6);
			}),
			{ seed: 1, numRuns: 150 },
		);
	});

	it("knows its period, its bursts a day and its duty", () => {
		expect(periodSeconds(cycle(4, 236))).toBe(240);
		expect(burstsPerDay(cycle(4, 236))).toBe(360);
		expect(dutyCycle(cycle(4, 236))).toBeCloseTo(1 / 60, 15);
		expect([burstsPerDay(cycle(4, 0)), burstsPerDay({ kind: "off" })]).toEqual([0, 0]);
		expect(periodSeconds({ kind: "switches", switchSeconds: [3] })).toBeNull();
		const split: Schedule = {
			kind: "switches",
			switchSeconds: [30, 50],
			startsWith: "on",
			repeatSeconds: 60,
		};
		// On at both ends of the period: one burst runs over the seam.
		expect(burstsPerDay(split)).toBe(1440);
		expect(dutyCycle(split)).toBeCloseTo(40 / 60, 12);
	});

	it("is said in words", () => {
		expect(inWords(cycle(4, 236))).toBe("4 s on, 3 min 56 s off, 360 bursts per day");
		expect(inWords(cycle(12, 540))).toBe("12 s on, 9 min off, 157 bursts per day");
		expect(inWords({ kind: "continuous" })).toBe("on all the time");
		expect(
			inWords({
				kind: "daily",
				parts: [
					{ fromSeconds: 7 * 3600, schedule: cycle(60, 540) },
					{ fromSeconds: 22 * 3600 + 1800, schedule: { kind: "off" } },
				],
			}),
		).toBe("from 07:00 1 min on, 9 min off; from 22:30 off all the time; 93 bursts per day");
		expect(inWords({ kind: "switches", switchSeconds: [1, 2, 3] })).toBe("a list of 3 switches, played once");
		expect(clock(61)).toBe("00:01:01");
	});

	it("names every fault of a hand-written schedule at once", () => {
		const faults = (schedule: Schedule) => {
			try {
				checkSchedule(schedule);
			} catch (error) {
				return (error as InputError).message.split("\n");
			}
			return [];
		};
		expect(faults(cycle(0, 0))).toEqual([
			"schedule.onSeconds: on and off are both 0 s, so the cycle has no length; give one of them a time",
		]);
		expect(faults(cycle(-1, Number.NaN))).toHaveLength(2);
		expect(faults({ kind: "switches", switchSeconds: [4, 4, 2], repeatSeconds: 1 })).toEqual([
			"schedule.switchSeconds[1]: needs times in ascending order, got 4 s",
			"schedule.switchSeconds[2]: needs times in ascending order, got 2 s",
			"schedule.repeatSeconds: needs a time after the last switch at 2 s, got 1",
		]);
		expect(faults({ kind: "daily", parts: [] })).toEqual([
			"schedule.parts: needs at least one part of the day",
		]);
	});
});
