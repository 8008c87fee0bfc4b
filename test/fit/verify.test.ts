import { describe, expect, test } from "vitest";
import { verifySeries } from "../../lib/fit/verify.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Model } from "../../lib/model/chamber.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { type Synthetic, syntheticSeries } from "./syntheticlog.ts";

const DAY = 86_400;
const scenario = parseScenario(
	`
chamber: { volume: 200 L, leak: 0.3 /h, temperature: 18 C }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 150 mg/(kg h) }
fan: { flow: 60 m3/h }
sensor: { response: 60 s, accuracy: 40 ppm + 3 % }
timer: { ranges: [1..999 s by 1 s] }
target: { ceiling: 1100 ppm, on: peak }
schedules: { usual: { on: 10 s, off: 590 s } }
`,
	"cabinet.yaml",
);
const model = buildModel(scenario);
const { schedule } = scenario.schedules[0]!;
const logOf = (of: Model, more: Partial<Synthetic> = {}) =>
	syntheticSeries({
		model: of,
		schedule,
		durationSeconds: 2 * DAY,
		stepSeconds: 60,
		fromSeconds: 6200,
		noisePpm: 8,
		rho: 0.5,
		seed: 11,
		...more,
	});
const dated = (series: ReturnType<typeof logOf>, zone: string | null = "UTC") => ({
	...series,
	log: { ...series.log, startUtcSeconds: 1_773_100_800, layout: { ...series.log.layout, zone } },
});

describe("a schedule that does what was promised", () => {
	const found = verifySeries(scenario, logOf(model));

	test("is within on every count", () => {
		expect(found.isWithin).toBe(true);
		expect(found.checks.map(({ isWithin }) => isWithin)).toEqual([true, true, true, true, true]);
		expect(found.rmsPpm).toBeCloseTo(8, 0);
		expect(found.retune).toBeNull();
	});

	test("has a true peak above the logged one, that of the regime", () => {
		const steadyState = periodicState(model, schedule);
		if (!("peakPpm" in steadyState)) throw new Error("no regime");
		expect(found.estimatedPeakPpm).toBeGreaterThan(found.loggedPeakPpm + 20);
		expect(Math.abs(found.estimatedPeakPpm! - steadyState.peakPpm)).toBeLessThan(0.01 * steadyState.peakPpm);
		expect(found.predictedPpm).toBeCloseTo(steadyState.peakPpm, 0);
	});

	test("shows the crop breathing as assumed", () => {
		const { factor, standardError } = found.generation!;
		expect(Math.abs(factor - 1)).toBeLessThan(3 * standardError!);
	});
});

describe("a scenario that states no sensor response", () => {
	const { sensor, ...rest } = scenario;
	const bare = { ...rest, sensor: null };

	test("gets it from a log that shows one, with its error", () => {
		const { response, isWithin } = verifySeries(bare, logOf(model));
		expect(Math.abs(response!.seconds - sensor!.response.value)).toBeLessThan(3 * response!.standardError!);
		expect(isWithin).toBe(true);
	});

	test("is told that one is assumed where the log shows none", () => {
		const { response } = verifySeries(bare, logOf(model, { stepSeconds: 1200, durationSeconds: DAY }));
		expect(response).toEqual({ seconds: 45, standardError: null });
	});

	test("and one that states it has nothing to be told", () => {
		expect(verifySeries(scenario, logOf(model, { durationSeconds: DAY / 2 })).response).toBeNull();
	});
});

describe("a crop that breathes more than assumed", () => {
	const found = verifySeries(scenario, logOf({ ...model, generationM3PerS: 1.6 * model.generationM3PerS }));

	test("is outside, and by how much it breathes is told", () => {
		expect(found.isWithin).toBe(false);
		expect(found.checks.filter(({ isWithin }) => !isWithin).map(({ name }) => name)).toContain("agreement");
		expect(Math.abs(found.generation!.factor - 1.6)).toBeLessThan(3 * found.generation!.standardError!);
		expect(found.generation!.standardError!).toBeLessThan(0.05);
	});

	test("gets today's setting, which holds the ceiling for it with the chance that is asked for, and not by a hair", () => {
		const { onSeconds, offSeconds, criterionPpm, probability, reliabilityPercent } = found.retune!;
		expect(reliabilityPercent).toBe(90);
		expect(probability!).toBeGreaterThanOrEqual(0.9);
		expect(criterionPpm).toBeLessThanOrEqual(0.97 * 1100);
		const periodic = periodicState(
			{
				...model,
				generationM3PerS: found.generation!.factor * model.generationM3PerS,
				deliveredM3PerS: found.flow!.factor * model.deliveredM3PerS,
			},
			{ kind: "cycle", onSeconds, offSeconds },
		);
		if (!("peakPpm" in periodic)) throw new Error("no regime");
		expect(periodic.peakPpm).toBeCloseTo(criterionPpm, 0);
	});
});

test("a fan that delivers less than assumed is told from a crop that breathes more", () => {
	const found = verifySeries(scenario, logOf({ ...model, deliveredM3PerS: 0.7 * model.deliveredM3PerS }));
	expect(found.isWithin).toBe(false);
	expect(Math.abs(found.flow!.factor - 0.7)).toBeLessThan(3 * found.flow!.standardError!);
	expect(Math.abs(found.generation!.factor - 1)).toBeLessThan(3 * found.generation!.standardError!);
	expect(Math.max(found.flow!.standardError!, found.generation!.standardError!)).toBeLessThan(0.05);
	expect(found.retune!.criterionPpm).toBeLessThanOrEqual(1100);
});

test("a sensor that wanders off is seen as drift of log from prediction", () => {
	const series = logOf(model);
	const wandering = {
		...series,
		co2Ppm: series.co2Ppm.map((ppm, i) => ppm - 120 * (i / series.co2Ppm.length)),
	};
	const found = verifySeries(scenario, wandering);
	expect(found.checks.find(({ name }) => name === "trend")!.isWithin).toBe(false);
	expect(found.checks.find(({ name }) => name === "trend")!.value).toBeCloseTo(-90, -1);
});

test("day and night are told apart by the clock of the log's zone", () => {
	const base = dated(logOf(model));
	// Warm days: 60 ppm more between 06:00 and 18:00 in Berlin, which is 05:00 to 17:00 UTC in March.
	const co2Ppm = base.co2Ppm.map((ppm, i) => {
		const utc = (1_773_100_800 + base.timesSeconds[i]!) % DAY;
		return ppm + (utc >= 5 * 3600 && utc < 17 * 3600 ? 60 : 0);
	});
	const found = verifySeries(scenario, { ...dated(logOf(model), "Europe/Berlin"), co2Ppm });
	expect(found.dayPpm! - found.nightPpm!).toBeCloseTo(60, -1);
	const elapsed = verifySeries(scenario, logOf(model));
	expect(elapsed.dayPpm).toBeNull();
});
