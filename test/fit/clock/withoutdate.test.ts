import { describe, expect, test } from "vitest";
import { InputError } from "../../../lib/errors.ts";
import { verifyLog } from "../../../lib/fit/verify.ts";
import { readLog } from "../../../lib/logs/read.ts";
import { fitLog } from "../exactfit.ts";
import { cabinet, emptyCabinet, expectTruth, read, scenarioOf, TEN_MINUTES, withCrop } from "./cabinet.ts";
import { trueLog } from "./truechamber.ts";

const startHour = 14;
const log = trueLog(cabinet, { timer: TEN_MINUTES, startHour, hours: 40, noisePpm: 4, seed: 11 });
const undated = { startHour };
const faultOf = (run: () => unknown): string => {
	try {
		run();
	} catch (error) {
		if (error instanceof InputError) return error.message;
		throw error;
	}
	throw new Error("was not refused");
};

describe("a log without a date", () => {
	test.each([
		["a temperature that swings", scenarioOf(), /temperature/],
		[
			"a flush",
			scenarioOf({
				temperature: "18 C",
				crop: ", flush: { low: 0.5, high: 2, rise: 20 h, fall: 60 h }",
			}),
			/flush/,
		],
		[
			"a timetable of rates",
			scenarioOf({
				temperature: "18 C",
				rate: "rates: [{ at: 0 h, rate: 100 mg/(kg h) }, { at: 48 h, rate: 200 mg/(kg h) }]",
			}),
			/rates/,
		],
		[
			"a daily schedule",
			scenarioOf({
				temperature: "18 C",
				schedule:
					'{ daily: [{ from: "07:00", on: 10 s, off: 290 s }, { from: "21:00", on: 5 s, off: 895 s }] }',
			}),
			/schedule/,
		],
	])("is refused with %s, and the way out is named", (_, scenario, what) => {
		for (const run of [
			() => fitLog(scenario, read(log, undated)),
			() => verifyLog(scenario, read(log, undated)),
		]) {
			const message = faultOf(run);
			expect(message).toContain("--starts-at 14:00");
			expect(message).toMatch(what);
		}
	});

	test("hears of a constant temperature as the other way out of a swing", () => {
		expect(faultOf(() => fitLog(scenarioOf(), read(log, undated)))).toContain("constant temperature");
	});

	test("is refused in a rise test too, for its crop goes by the clock", () => {
		const rise = trueLog(cabinet, { timer: "off", startHour, hours: 3, startPpm: 480, noisePpm: 4 });
		expect(faultOf(() => fitLog(scenarioOf(), read(rise, undated), { test: "rise" }))).toContain(
			"--starts-at",
		);
	});

	test("does for a decay and for bursts in an empty chamber, where nothing goes by the clock", () => {
		const decay = trueLog(emptyCabinet, { timer: "off", startHour, hours: 8, startPpm: 4000, noisePpm: 4 });
		expect(fitLog(scenarioOf(), read(decay, undated), { test: "decay" }).residuals.isAdequate).toBe(true);
	});

	test("does for a scenario with a constant temperature, as ever", () => {
		const constant = withCrop({ celsius: () => 18 });
		const level = trueLog(constant, { timer: TEN_MINUTES, startHour, hours: 40, noisePpm: 4, seed: 12 });
		const fit = fitLog(scenarioOf({ temperature: "18 C" }), read(level, undated), { fix: { offset: 0 } });
		// Without a swing the log parts rate and leak less well.
		expectTruth(fit, constant, level, { rate: 0.05, leak: 1 });
	});

	test("tells the truth once its start is said", () => {
		const said = read(log, undated, startHour * 3600);
		expectTruth(fitLog(scenarioOf(), said, { fix: { offset: 0 } }), cabinet, log);
		const found = verifyLog(scenarioOf({ flow: 54, leak: "80 L/h", rate: 180, ceiling: 3000 }), said);
		expect(found.isWithin).toBe(true);
		// Day and night are known then, too.
		expect(found.dayPpm).not.toBeNull();
	});

	test("tells another story where a wrong start is said", () => {
		const wrong = fitLog(scenarioOf(), read(log, undated, 2 * 3600), { fix: { offset: 0 } });
		expect(wrong.residuals.isAdequate && Math.abs(wrong.respirationRate!.value * 3.6e9 - 180) < 5).toBe(
			false,
		);
	});

	test("needs none where it logged the temperature inside", () => {
		const fit = fitLog(scenarioOf(), read(log, { ...undated, temperature: "T inside (°C)" }), {
			fix: { offset: 0 },
		});
		expectTruth(fit, cabinet, log);
	});
});

describe("a log with the time of day but no date", () => {
	test("is taken at its word", () => {
		const clock = (seconds: number): string =>
			new Date(1000 * ((3600 * startHour + seconds) % (24 * 3600))).toISOString().slice(11, 19);
		const text = ["time,CO2 (ppm)", ...log.seconds.map((s, i) => `${clock(s)},${log.ppm[i]}`)].join("\n");
		expectTruth(fitLog(scenarioOf(), readLog(text), { fix: { offset: 0 } }), cabinet, log);
	});
});

describe("a log with dates", () => {
	test("needs no start, and refuses another than its own", () => {
		expect(faultOf(() => read(log, { startHour, date: "2026-05-11" }, 3600 * 9))).toMatch(/dates/);
	});
});
