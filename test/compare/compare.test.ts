import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { comparisonCurves, sampleCurve, thin } from "../../lib/compare/curves.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";
import { cabinet, shortBursts, zoned } from "../solve/models.ts";

const fixture = (name: string) =>
	parseScenario(
		readFileSync(new URL(`../../fixtures/scenarios/${name}.yaml`, import.meta.url), "utf8"),
		`${name}.yaml`,
	);
const names = ["small-tub", "two-shelf-cabinet", "walk-in-tent", "compost-room"];

const scenario = (schedules: string, target = "{ ceiling: 1000 ppm }") =>
	parseScenario(`
chamber: { volume: 200 L, leak: 0 m3/h, temperature: 20 C }
intake: { co2: 420 ppm }
substrate: { mass: 10 kg, rate: 91.5 mg/(kg h), reference: 20 C }
fan: { flow: 60 m3/h }
target: ${target}
schedules: ${schedules}`);

describe("comparing schedules", () => {
	it("takes among those that hold the ceiling the one with the least fresh air", () => {
		const comparison = compareSchedules(
			scenario(
				"{ lavish: { on: 20 s, off: 200 s }, thrifty: { on: 4 s, off: 220 s }, rare: { on: 60 s, off: 59 min } }",
			),
		);
		expect(comparison.schedules.map(({ summary }) => summary.criterion.isMet)).toEqual([true, true, false]);
		expect(comparison).toMatchObject({ best: "thrifty", closest: null });
	});

	it("takes the lower peak at equal air, and names the other", () => {
		const comparison = compareSchedules(
			scenario("{ slow: { on: 20 s, off: 100 s }, quick: { on: 10 s, off: 50 s } }", "{ ceiling: 5000 ppm }"),
		);
		expect(comparison).toMatchObject({ best: "quick", ties: ["slow"] });
	});

	it("says how much more CO2 each schedule could take, and which hold at the high end of respiration", () => {
		const file = (rate: string) =>
			parseScenario(`
chamber: { volume: 200 L, leak: 0 m3/h, temperature: 20 C }
intake: { co2: 420 ppm }
substrate: { mass: 10 kg, rate: ${rate}, reference: 20 C }
fan: { flow: 60 m3/h }
target: { ceiling: 1500 ppm }
schedules: { quick: { on: 4 s, off: 116 s }, slow: { on: 20 s, off: 580 s } }`);
		const comparison = compareSchedules(file("91.5 mg/(kg h) ±60 %"));
		const { factor, compliant } = comparison.highRespiration!;
		expect(factor).toBeCloseTo(1.6, 9);
		const high = compareSchedules(file("146.4 mg/(kg h)"));
		expect(high.schedules.filter(({ summary }) => summary.criterion.isMet).map(({ name }) => name)).toEqual(
			compliant,
		);
		// The excess grows in proportion to what is given off.
		const peaks = [comparison, high].map((c) => c.schedules[0]!.summary);
		expect((peaks[1]!.peakPpm - 420) / (peaks[0]!.peakPpm - 420)).toBeCloseTo(1.6, 9);
		expect(peaks[0]!.criterion.headroomFactor).toBeCloseTo(1080 / (peaks[0]!.peakPpm - 420), 12);
	});

	it("knows the longest pause that any fan could make up for", () => {
		// Closed chamber: 580 ppm of room at 2.5 ppm in 3.6 s (0.5 L of CO2 an hour in 0.2 m3).
		const { maxOffSeconds, model } = compareSchedules(scenario("{ a: { on: 10 s, off: 10 min } }"));
		expect(maxOffSeconds).toBeCloseTo((580e-6 * 0.2) / model.generationM3PerS, 6);
	});

	it("names the one that misses least when none holds", () => {
		const comparison = compareSchedules(
			scenario("{ hourly: { on: 60 s, off: 59 min }, rare: { on: 60 s, off: 3 h } }"),
		);
		expect(comparison).toMatchObject({ best: null, closest: "hourly" });
	});

	it("wants the mean inside a band that has a floor", () => {
		const comparison = compareSchedules(
			scenario(
				"{ airy: continuous, banded: { on: 3 s, off: 600 s } }",
				"{ ceiling: 4000 ppm, floor: 1300 ppm, on: peak }",
			),
		);
		expect(comparison.schedules.map(({ summary }) => summary.criterion.isMet)).toEqual([false, true]);
		expect(comparison.best).toBe("banded");
	});

	it("says which inputs are uncertain, assumed or doubtful, each by its path", () => {
		const { warnings } = compareSchedules(fixture("two-shelf-cabinet"));
		const text = expect.stringMatching(/^155 mg/);
		const inputs = expect.arrayContaining([{ path: "substrate[0].rate", text }]);
		expect(warnings).toContainEqual({ code: "central values", inputs });
		expect(warnings).toContainEqual({ code: "published respiration", path: "substrate[0].rate", text });
		expect(warnings).toContainEqual({ code: "substrate volume unknown", path: "substrate[0].volume" });
	});

	for (const name of names)
		it(`has in the shipped scenario ${name} a schedule that holds and one that does not`, () => {
			const comparison = compareSchedules(fixture(name));
			const verdicts = comparison.schedules.map(({ summary }) => summary.criterion.isMet);
			expect(verdicts).toContain(true);
			expect(verdicts).toContain(false);
		});

	it("runs the starter file as it is", () => {
		expect(compareSchedules(parseScenario(starterScenario())).best).not.toBeNull();
	});
});

describe("the curves of a comparison", () => {
	it("show peak and trough of each schedule, in at most 2,000 points a series", () => {
		for (const name of names) {
			const comparison = compareSchedules(fixture(name));
			const { pattern, firstDay } = comparisonCurves(comparison);
			for (const [i, { summary }] of comparison.schedules.entries()) {
				for (const { timesSeconds, co2Ppm } of [pattern[i]!, firstDay[i]!]) {
					expect(timesSeconds.length).toBeLessThanOrEqual(2000);
					expect(timesSeconds.every((t, k) => k === 0 || t >= timesSeconds[k - 1]!)).toBe(true);
					expect(co2Ppm.every(Number.isFinite)).toBe(true);
				}
				if (summary.basis === "run" && comparison.model.source?.periodSeconds === null) continue;
				const shown = pattern[i]!.co2Ppm;
				expect(Math.abs(Math.max(...shown) - summary.peakPpm)).toBeLessThan(0.002 * summary.peakPpm);
				expect(Math.abs(Math.min(...shown) - summary.troughPpm)).toBeLessThan(0.002 * summary.peakPpm);
			}
			expect(firstDay[0]!.timesSeconds.at(-1)).toBeCloseTo(86_400, 6);
		}
	});

	it("list the bursts of the window", () => {
		const { bursts } = sampleCurve("a", cabinet, shortBursts, { fromSeconds: 545, toSeconds: 1200 });
		expect(bursts).toEqual([
			{ startSeconds: 7, endSeconds: 19 },
			{ startSeconds: 559, endSeconds: 571 },
		]);
	});

	it("carry what the sensor shows beside the truth", () => {
		const shown = sampleCurve("a", zoned, shortBursts, { fromSeconds: 0, toSeconds: 86_400, points: 500 });
		expect(shown.sensorPpm).toHaveLength(shown.timesSeconds.length);
		expect(shown.timesSeconds.length).toBeLessThanOrEqual(500);
	});

	it("are thinned without losing the highest and lowest point of any stretch, the first or the last", () => {
		const times = Array.from({ length: 50_000 }, (_, i) => i);
		const values = times.map((t) => Math.sin(t / 700) + (t === 31_337 ? 9 : 0) - (t === 12_345 ? 9 : 0));
		const other = times.map((t) => (t === 40_001 ? 5 : 0));
		const kept = thin(times, [values, other], 300);
		expect(kept.length).toBeLessThanOrEqual(300);
		for (const place of [0, 12_345, 31_337, 40_001, 49_999]) expect(kept).toContain(place);
		expect(thin([1, 2, 3], [[1, 2, 3]], 300)).toEqual([0, 1, 2]);
	});
});
