import { describe, expect, test } from "vitest";
import { verifyLog } from "../../../lib/fit/verify.ts";
import { cabinet, read, STARTS, scenarioOf, TEN_MINUTES, TRUE_RATE, withCrop } from "./cabinet.ts";
import { type TrueChamber, trueLog } from "./truechamber.ts";

/** The cabinet as it truly is. */
const known = { flow: 54, leak: "80 L/h", rate: TRUE_RATE } as const;
const logOf = (chamber: TrueChamber, startHour: number, hours = 40) =>
	trueLog({ ...chamber, lagSeconds: 60 }, { timer: TEN_MINUTES, startHour, hours, noisePpm: 8, seed: 9 });

describe.each(STARTS)("a log that starts $when", (start) => {
	test("of a chamber that swings as its scenario says is within, and its crop and peak are told", () => {
		const log = logOf(cabinet, start.startHour);
		const found = verifyLog(scenarioOf({ ...known, ceiling: 3000 }), read(log, start));
		expect(found.checks.filter(({ isWithin }) => !isWithin)).toEqual([]);
		expect(found.rmsPpm).toBeLessThan(10);
		const { factor, standardError } = found.generation!;
		expect(Math.abs(factor - 1)).toBeLessThan(4 * standardError!);
		expect(standardError!).toBeLessThan(0.03);
		expect(Math.abs(found.estimatedPeakPpm! / log.peakPpm - 1)).toBeLessThan(0.02);
	});

	test("of a crop that gives off a quarter more than assumed is outside, and the quarter is told", () => {
		const log = logOf(withCrop({ rateMgPerKgH: 1.25 * TRUE_RATE }), start.startHour);
		const found = verifyLog(scenarioOf({ ...known, ceiling: 3000 }), read(log, start));
		expect(found.isWithin).toBe(false);
		const { factor, standardError } = found.generation!;
		expect(Math.abs(factor - 1.25)).toBeLessThan(4 * standardError!);
		expect(standardError!).toBeLessThan(0.03);
	});
});
