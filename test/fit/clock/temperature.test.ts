import { describe, expect, test } from "vitest";
import { verifyLog } from "../../../lib/fit/verify.ts";
import { fitLog } from "../exactfit.ts";
import {
	cabinet,
	expectTruth,
	expectWithin,
	rateOf,
	read,
	scenarioOf,
	TEN_MINUTES,
	TRUE_RATE,
	withCrop,
} from "./cabinet.ts";
import { trueLog } from "./truechamber.ts";

/** A room that is warmer than its scenario says, follows the weather and is aired by somebody in the afternoon. */
const weather = (seconds: number): number => {
	const hours = seconds / 3600;
	const aired = hours % 24 > 16 && hours % 24 < 19 ? -2.5 : 0;
	return 22 + 2 * Math.sin((2 * Math.PI * hours) / 31) + 1.5 * Math.cos((2 * Math.PI * hours) / 24) + aired;
};
const room = withCrop({ celsius: weather });
const dated = { date: "2026-05-11", startHour: 9 } as const;
const log = trueLog(room, {
	timer: TEN_MINUTES,
	startHour: dated.startHour,
	hours: 48,
	noisePpm: 4,
	noiseK: 0.05,
	seed: 21,
});
const scenario = scenarioOf({ temperature: "18 C" });
const fix = { offset: 0 };

describe("a log with the temperature inside", () => {
	test.each(["Temperature (°C)", "chamber temp [°C]", "T inside (°C)"])(
		"in a column %s tells the rate at the reference temperature, whatever the scenario says of it",
		(temperature) => {
			const fit = fitLog(scenario, read(log, { ...dated, temperature }), { fix });
			expectTruth(fit, room, log);
			expect(fit.temperature).toMatchObject({
				from: "log",
				column: temperature,
				scenario: { meanCelsius: 18, lowestCelsius: 18, highestCelsius: 18 },
			});
			const mean = log.celsius.reduce((sum, celsius) => sum + celsius, 0) / log.celsius.length;
			expect(Math.abs(fit.temperature.logged!.meanCelsius - mean)).toBeLessThan(0.02);
			expect(Math.abs(fit.temperature.logged!.lowestCelsius - Math.min(...log.celsius))).toBeLessThan(0.5);
			expect(Math.abs(fit.temperature.logged!.highestCelsius - Math.max(...log.celsius))).toBeLessThan(0.5);
		},
	);

	test("in degrees Fahrenheit does so too", () => {
		const fahrenheit = { ...log, celsius: log.celsius.map((c) => Math.round(10 * (1.8 * c + 32)) / 10) };
		const fit = fitLog(scenario, read(fahrenheit, { ...dated, temperature: "Temp (°F)" }), { fix });
		expectTruth(fit, room, log);
	});

	test("can be told to go by the scenario, and says so; its rate then takes the warmth for appetite", () => {
		const fit = fitLog(scenario, read(log, { ...dated, temperature: "Temperature (°C)" }), {
			fix,
			temperature: "scenario",
		});
		expect(fit.temperature).toMatchObject({ from: "scenario" });
		expect(fit.temperature.logged!.meanCelsius).toBeGreaterThan(20);
		// 3 to 4 K at a Q10 of 2.4 are 30 to 42 per cent.
		expect(rateOf(fit).value / TRUE_RATE).toBeGreaterThan(1.25);
	});

	test("writes back the rate for the temperature that it was logged at", () => {
		const fit = fitLog(scenario, read(log, { ...dated, temperature: "Temperature (°C)" }), { fix });
		const reference = Number.parseFloat(
			fit.changes.find(({ path }) => path === "substrate[0].reference")!.text,
		);
		const rate = Number.parseFloat(fit.changes.find(({ path }) => path === "substrate[0].rate")!.text);
		expect(Math.abs(reference - fit.temperature.logged!.meanCelsius)).toBeLessThan(0.01);
		expect(rate / (rateOf(fit).value * 2.4 ** ((reference - 18) / 10))).toBeCloseTo(1, 2);
	});

	test("goes on where the thermometer was silent for hours", () => {
		const silent = log.celsius.map((celsius, i) => (i > 900 && i < 1100 ? Number.NaN : celsius));
		const text = read({ ...log, celsius: silent }, { ...dated, temperature: "Temperature (°C)" });
		expectTruth(fitLog(scenario, text, { fix }), room, log);
	});

	test("is verified by it: a crop as assumed is as assumed, and what the temperature was is said", () => {
		const known = scenarioOf({
			temperature: "18 C",
			rate: TRUE_RATE,
			flow: 54,
			leak: "80 L/h",
			ceiling: 3000,
		});
		const series = read(log, { ...dated, temperature: "Temperature (°C)" });
		const found = verifyLog(known, series);
		expect(found.isWithin).toBe(true);
		expect(found.temperature.from).toBe("log");
		expectWithin(
			{ value: found.generation!.factor, standardError: found.generation!.standardError },
			1,
			0.02,
		);
		const blind = verifyLog(known, series, { temperature: "scenario" });
		expect(blind.temperature.from).toBe("scenario");
		expect(blind.isWithin).toBe(false);
	});
});

describe("a temperature that was not taken in the air of the chamber", () => {
	test.each([
		"outdoor temperature (°C)",
		"Intake temp (°C)",
		"substrate temperature (°C)",
		"compost temp (°C)",
		"CPU temp (°C)",
	])("in a column %s is left aside", (temperature) => {
		const fit = fitLog(scenarioOf(), read(log, { ...dated, temperature }), { fix });
		expect(fit.temperature).toMatchObject({ from: "scenario", column: null, logged: null });
	});

	test("is left aside when the thermometer was silent most of the time", () => {
		const silent = log.celsius.map((celsius, i) => (i % 100 < 80 || i > 300 ? Number.NaN : celsius));
		const series = read({ ...log, celsius: silent }, { ...dated, temperature: "Temperature (°C)" });
		const fit = fitLog(scenario, series, { fix });
		expect(fit.temperature.from).toBe("scenario");
		expect(fit.temperature.unused).toEqual({ reason: "mostly empty", columns: ["Temperature (°C)"] });
	});
});

test("a log without a temperature says what the scenario has for it", () => {
	const swing = trueLog(cabinet, { timer: TEN_MINUTES, startHour: 9, hours: 24, noisePpm: 4, seed: 22 });
	const { temperature } = fitLog(scenarioOf(), read(swing, dated), { fix });
	expect(temperature).toMatchObject({ from: "scenario", column: null, logged: null });
	expect(temperature.scenario.meanCelsius).toBeCloseTo(19, 1);
	expect(temperature.scenario.lowestCelsius).toBeCloseTo(15, 2);
	expect(temperature.scenario.highestCelsius).toBeCloseTo(23, 2);
});
