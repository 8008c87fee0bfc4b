import { describe, expect, test } from "vitest";
import { buildModel } from "../../../lib/model/build.ts";
import { simulate } from "../../../lib/solve/simulate.ts";
import { cabinet, scenarioOf, TEN_MINUTES, TRUE_RATE, withCrop } from "./cabinet.ts";
import { trueLog } from "./truechamber.ts";
import { berlinInstant, writtenLog } from "./writtenlog.ts";

/** Two independent solvers of one chamber: if they part, one of them is wrong, and these tests say nothing. */
describe("the chamber that the logs of these tests come from", () => {
	test("does in a day from midnight on what the library predicts for it, to half a ppm", () => {
		const chamber = { ...cabinet, leakM3PerH: 0.08, lagSeconds: 60 };
		const model = buildModel(scenarioOf({ flow: 54, leak: "80 L/h", rate: TRUE_RATE }));
		const log = trueLog(chamber, { timer: TEN_MINUTES, startHour: 0, hours: 24, startPpm: 420 });
		const run = simulate(model, scenarioOf().schedules[0]!.schedule, {
			durationSeconds: 24 * 3600,
			sampleIntervalSeconds: 60,
			startPpm: 420,
		});
		const most = Math.max(...log.ppm.map((ppm, i) => Math.abs(ppm - run.sensorPpm![i]!)));
		// Its readings are rounded to 1 ppm.
		expect(most).toBeLessThan(0.51);
	});

	test("gives off, by its own count, what its rate, warmth and gas volume say", () => {
		const level = withCrop({ celsius: () => 18 });
		const log = trueLog(level, { timer: TEN_MINUTES, startHour: 3, hours: 6 });
		// 5 kg at 180 mg/(kg h) are 0.9 g/h; 1 g of CO2 takes 0.5428 L at 18 °C and 101,325 Pa.
		expect(log.meanSourceM3PerS() * 3600 * 1000).toBeCloseTo(0.9 * 0.54284, 3);
	});

	test("is written down by the clocks of Berlin, forward and back", () => {
		const log = { ...trueLog(cabinet, { timer: "off", startHour: 0, hours: 2, startPpm: 420 }) };
		const stamps = (date: string, startHour: number): string[] =>
			writtenLog({ ...log, seconds: [0, 3600, 7200] }, { date, startHour })
				.split("\n")
				.slice(1, 4)
				.map((line) => line.slice(11, 16));
		expect(stamps("2026-03-29", 1)).toEqual(["01:00", "03:00", "04:00"]);
		expect(stamps("2026-10-25", 1)).toEqual(["01:00", "02:00", "02:00"]);
		expect(stamps("2026-05-11", 23)).toEqual(["23:00", "00:00", "01:00"]);
		expect(berlinInstant("2026-05-11", 14)).toBe(Date.UTC(2026, 4, 11, 12) / 1000);
		expect(berlinInstant("2026-10-25", 2.5)).toBe(Date.UTC(2026, 9, 25, 0, 30) / 1000);
		expect(berlinInstant("2026-12-01", 0)).toBe(Date.UTC(2026, 10, 30, 23) / 1000);
	});
});
