import { describe, expect, test } from "vitest";
import { fitLog } from "../exactfit.ts";
import {
	cabinet,
	expectTruth,
	expectWithin,
	rateOf,
	read,
	STARTS,
	scenarioOf,
	TEN_MINUTES,
	TRUE_RATE,
	withCrop,
} from "./cabinet.ts";
import { swinging, type TrueChamber, type TrueRun, trueLog } from "./truechamber.ts";

const DAY_HOURS = 24;
const logOf = (chamber: TrueChamber, startHour: number, more: Partial<TrueRun> = {}) =>
	trueLog(chamber, {
		timer: TEN_MINUTES,
		startHour,
		hours: 40,
		noisePpm: 4,
		seed: 10 + Math.round(startHour),
		...more,
	});

describe("a log of a chamber whose temperature swings over the day", () => {
	const scenario = scenarioOf();

	test.each(STARTS)("that starts $when tells rate, flow and leak", ({ date, startHour }) => {
		const log = logOf(cabinet, startHour);
		const fit = fitLog(scenario, read(log, { date, startHour }), { fix: { offset: 0 } });
		expectTruth(fit, cabinet, log);
	});

	test.each(STARTS)(
		"that starts $when tells the rate at once where the rest is known",
		({ date, startHour }) => {
			const log = logOf(cabinet, startHour, { hours: 7 });
			const fix = { flow: "54 m3/h", leak: "80 L/h", response: "70 s", offset: 0 };
			const fit = fitLog(scenario, read(log, { date, startHour }), { fix });
			expectTruth(fit, cabinet, log, { rate: 0.01 });
		},
	);

	test("says what is given off as its mean over the log, not as it was at some moment", () => {
		const log = logOf(cabinet, 11, { hours: 8 });
		const fix = { flow: "54 m3/h", leak: "80 L/h", response: "70 s", offset: 0 };
		const fit = fitLog(scenario, read(log, { date: "2026-05-11", startHour: 11 }), { fix });
		const given = fit.parameters.find(({ name }) => name === "generation")!;
		expectWithin(given, log.meanSourceM3PerS(), 0.01);
		// The warm hours of a day lie well above its mean, and its midnight well below.
		const day = logOf(cabinet, 0, { hours: DAY_HOURS });
		expect(given.value / day.meanSourceM3PerS()).toBeGreaterThan(1.15);
		// The start is what the scenario has for these very hours.
		expect(given.initial / given.value).toBeCloseTo(150 / rateOf(fit).value, 6);
	});

	test("by a daily timer that runs on through a change of the clocks", () => {
		const parts = [
			{ fromHour: 7, on: 10, off: 290 },
			{ fromHour: 21, on: 20, off: 1780 },
		];
		const daily = scenarioOf({
			schedule:
				'{ daily: [{ from: "07:00", on: 10 s, off: 290 s }, { from: "21:00", on: 20 s, off: 1780 s }] }',
		});
		for (const { date, startHour } of STARTS) {
			const log = logOf(cabinet, startHour, { timer: parts });
			const fit = fitLog(daily, read(log, { date, startHour }), { fix: { offset: 0 } });
			expectTruth(fit, cabinet, log);
		}
	});
});

describe("a log of a crop in a flush", () => {
	const [low, high, rise, fall, width] = [0.5, 1.9, 30, 70, 12];
	const step = (hours: number): number => 1 / (1 + Math.exp((-4 * hours) / width));
	const chamber = withCrop({
		celsius: swinging(18, 2, 15),
		stage: (seconds) => {
			const hours = seconds / 3600;
			return low + (high - low) * (step(hours - rise) - step(hours - fall));
		},
	});
	const scenario = scenarioOf({
		temperature: '{ mean: 18 C, swing: 2 K, warmest: "15:00" }',
		crop: `, flush: { low: ${low}, high: ${high}, rise: ${rise} h, fall: ${fall} h, width: ${width} h }`,
	});

	test.each(STARTS)("that starts $when tells the rate before its stage, and what was given off", (start) => {
		const log = logOf(chamber, start.startHour, { hours: 48 });
		const fit = fitLog(scenario, read(log, start), { fix: { offset: 0 } });
		expectTruth(fit, chamber, log);
	});
});

describe("a log that needs the whole solver", () => {
	test.each(STARTS)(
		"of a crop that CO2 holds back, which starts $when, tells rate, flow and leak",
		(start) => {
			const chamber = withCrop({ halfPpm: 6000 });
			const scenario = scenarioOf({ crop: ", inhibition: 6000 ppm" });
			const log = logOf(chamber, start.startHour, { hours: 30 });
			const phaseSeconds = 0 - ((3600 * start.startHour) % 600);
			const fit = fitLog(scenario, read(log, start), { phaseSeconds, fix: { offset: 0, response: 70 } });
			expectTruth(fit, chamber, log);
		},
	);

	test.each(STARTS)(
		"of a chamber with a stagnant corner, which starts $when, tells rate and flow",
		(start) => {
			const chamber: TrueChamber = {
				...cabinet,
				stagnant: { share: 0.3, cropShare: 0.6, exchangeM3PerH: 6 },
			};
			const scenario = scenarioOf({ chamber: ", stagnant: { share: 30 %, source: 60 %, exchange: 6 m3/h }" });
			const log = logOf(chamber, start.startHour, { hours: 30 });
			const phaseSeconds = 0 - ((3600 * start.startHour) % 600);
			const fit = fitLog(scenario, read(log, start), {
				phaseSeconds,
				fix: { offset: 0, response: 70, leak: "80 L/h" },
			});
			expectTruth(fit, chamber, log);
		},
	);
});

test("over logs that start at any time of day the errors are as large as stated, and no start pulls the rate one way", () => {
	const scenario = scenarioOf();
	const off: number[] = [];
	for (let k = 0; k < 48; k++) {
		const startHour = k / 2;
		const log = logOf(cabinet, startHour, { hours: 20, seed: 100 + k, stepSeconds: 120 });
		const fit = fitLog(scenario, read(log, { date: "2026-05-11", startHour }), {
			phaseSeconds: 0 - ((3600 * startHour) % 600),
			fix: { offset: 0, response: 70 },
		});
		const { value, standardError } = rateOf(fit);
		off.push((value - TRUE_RATE) / standardError);
	}
	const mean = off.reduce((sum, z) => sum + z, 0) / off.length;
	const spread = Math.sqrt(off.reduce((sum, z) => sum + z * z, 0) / off.length);
	// The mean of 48 is off by 1/√48 = 0.14 by chance, and their spread by 0.1.
	expect(Math.abs(mean)).toBeLessThan(0.5);
	expect(spread).toBeGreaterThan(0.7);
	expect(spread).toBeLessThan(1.3);
});
