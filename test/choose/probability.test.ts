import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { drawModels } from "../../lib/choose/probability/draws.ts";
import { quantileValue } from "../../lib/compare/uncertaininputs.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Quantity } from "../../lib/scenario/scenario.ts";
import { makeCycle, makeCyclePeaks } from "../../lib/solve/cycles/cyclestats.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { quantile } from "../../lib/statistics/quantile.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { chanceOfScenario, complianceOf } from "./compliance.ts";

const file = (fan = "{ flow: 60 m3/h ±10 % }", more = "") =>
	parseScenario(
		`
chamber: { volume: 300 L, leak: 0.1..0.8 /h, temperature: 18 C${more} }
intake: { co2: 420..520 ppm }
substrate: { species: oyster, mass: 6 kg, rate: 80..280 mg/(kg h), reference: 18 C, q10: 2.4 }
fan: ${fan}
target: { ceiling: 1000 ppm }
disturbances: off`,
		"x.yaml",
		{ schedules: "optional" },
	);

describe("uncertain inputs", () => {
	it("are drawn so that the ends given are the 5 % and 95 % quantiles", () => {
		const quantity = (
			value: number,
			low: number,
			high: number,
			dimension: Quantity["dimension"],
		): Quantity => ({
			value,
			low,
			high,
			dimension,
			text: "",
			origin: { kind: "given", line: 1, column: 1 },
		});
		const z = 1.6448536269514722;
		const rate = quantity(150, 80, 280, "respiration");
		expect(quantileValue(rate, 0)).toBe(150);
		expect(quantileValue(rate, z) / quantileValue(rate, -z)).toBeCloseTo(3.5, 9);
		const flow = quantity(60, 54, 66, "flow");
		expect([quantileValue(flow, -z), quantileValue(flow, z)]).toEqual([
			expect.closeTo(54, 9),
			expect.closeTo(66, 9),
		]);
		expect(quantileValue(quantity(0.9, 0.8, 1, "fraction"), 6)).toBe(1);
		expect(quantileValue(flow, -50)).toBeGreaterThan(0);
	});

	it("follow the normal quantiles of statistical tables", () => {
		// Standard normal quantiles, printed to twelve places in many tables (from memory).
		for (const [p, z] of [
			[0.5, 0],
			[0.841344746068543, 1],
			[0.95, 1.644853626951],
			[0.975, 1.95996398454],
			[0.995, 2.575829303549],
			[0.999, 3.090232306168],
			[1e-6, -4.753424308823],
		] as const)
			expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(1e-8);
	});

	it("hit each equal part of each input once, and the same seed gives the same draws", () => {
		const draws = drawModels(file(), 200, 5);
		expect(draws.inputs.map(({ path }) => path).sort()).toEqual([
			"chamber.leak",
			"fan.flow",
			"intake.co2",
			"substrate[0].rate",
		]);
		for (const column of draws.deviates) {
			const edges = Array.from({ length: 199 }, (_, i) => normalQuantile((i + 1) / 200));
			const parts = column.toSorted();
			for (let i = 0; i < 199; i++) {
				expect(parts[i]!).toBeLessThanOrEqual(edges[i]!);
				expect(parts[i + 1]!).toBeGreaterThanOrEqual(edges[i]!);
			}
		}
		expect(drawModels(file(), 200, 5).deviates).toEqual(draws.deviates);
		expect(drawModels(file(), 200, 6).deviates).not.toEqual(draws.deviates);
	});

	it("have quantiles of type 7", () => {
		// Hyndman & Fan 1996, definition 7 on 1 … 4 (computed by hand): h = 1 + 3p.
		expect([0, 0.1, 0.5, 1].map((p) => quantile([1, 2, 3, 4], p))).toEqual([
			1,
			expect.closeTo(1.3, 12),
			2.5,
			4,
		]);
	});
});

describe("the odds of a setting", () => {
	it("are within three standard errors of a million independent draws", () => {
		const s = file();
		const compliance = complianceOf(s, 10_000, makeCycle(6, 200));
		// Plain Monte Carlo with the closed form written out once more; nothing of the code under test but the two quantile rules.
		const random = seededUniform(99);
		const pick = (low: number, high: number) => ({ low, high, centre: Math.sqrt(low * high) });
		const log = ({ low, high, centre }: { low: number; high: number; centre: number }) =>
			centre * Math.exp((normalQuantile(random()) * Math.log(high / low)) / (2 * 1.6448536269514722));
		const count = 1_000_000;
		let compliantCount = 0;
		const kg = (8.31446261815324 * 291.15) / (0.0440095 * 101_325);
		for (let k = 0; k < count; k++) {
			const volume = 0.3;
			const leak = (log(pick(0.1, 0.8)) * volume) / 3600;
			const supply = log(pick(420, 520));
			const give = (6 * log(pick(80, 280)) * 1e-6 * kg) / 3600;
			const flow = (60 + (normalQuantile(random()) * 12) / (2 * 1.6448536269514722)) / 3600;
			const rise = (1e6 * give) / volume;
			const [on, off] = [(leak + flow) / volume, leak / volume];
			const steadyOn = rise / on;
			const steadyOff = rise / off;
			const m = -Math.expm1(-on * 6);
			const q = -Math.expm1(-off * 200);
			const peak = supply + steadyOn + ((steadyOff - steadyOn) * q) / (m + q - m * q);
			if (peak <= 1000) compliantCount++;
		}
		const reference = compliantCount / count;
		const error = Math.hypot(compliance.standardError, Math.sqrt((reference * (1 - reference)) / count));
		expect(Math.abs(compliance.probability - reference)).toBeLessThan(3 * error);
		expect(compliance.p05Ppm).toBeLessThan(compliance.medianPpm);
		expect(compliance.medianPpm).toBeLessThan(compliance.p95Ppm);
	});

	it("name first the input that matters most, with the test that narrows it", () => {
		const s = file();
		const { inputs, band } = complianceOf(s, 2000, makeCycle(6, 200));
		expect(inputs[0]).toMatchObject({ path: "substrate[0].rate", fieldTest: "rise test" });
		expect(inputs[0]!.peakAtHighPpm).toBeGreaterThan(inputs[0]!.peakAtLowPpm);
		expect(inputs.reduce((sum, { varianceShare }) => sum + varianceShare, 0)).toBeCloseTo(1, 9);
		for (let i = 0; i < band.timesSeconds.length; i++) {
			expect(band.p05Ppm[i]!).toBeLessThan(band.medianPpm[i]!);
			expect(band.medianPpm[i]!).toBeLessThan(band.p95Ppm[i]!);
		}
	});

	it("come from a fast judgement that stays near the exact one with a slow fan and in two zones", () => {
		for (const s of [
			file("{ flow: 60 m3/h ±10 %, spin-up: 1 s, coast-down: 2 s }"),
			file(undefined, ", stagnant: { share: 30 %, source: 60 %, exchange: 15..30 m3/h }"),
		]) {
			const { draws, evaluator } = chanceOfScenario(s, 60);
			const fast = evaluator.values("peak", makeCycle(8, 200));
			for (const [k, { highest: model }] of draws.all.entries()) {
				const exact = makeCyclePeaks(model.model)(makeCycle(8, 200));
				expect(Math.abs(fast[k]! - exact) / (exact - model.model.intakePpm)).toBeLessThan(0.02);
			}
		}
	});
});

describe("a setting with a stated confidence", () => {
	it("holds in so many of the draws, and one step less does not", () => {
		const s = file();
		const choice = chooseSetting(s, { reliabilityPercent: 90, draws: 4000 });
		if (!choice.isFeasible) throw new Error(choice.bindingConstraint.code);
		const { evaluated, probability } = choice.chanceConstrained!;
		expect(probability).toBeGreaterThanOrEqual(0.9);
		expect(choice.chanceConstrained!.bestProbability).toBeLessThan(0.9);
		expect(choice.recommended).toBe(evaluated);
		expect(choice.complianceProbability!.probability).toBe(probability);
		const { onSeconds, offSeconds } = evaluated!.schedule;
		const { evaluator } = chanceOfScenario(s, 4000);
		const misses = (on: number, off: number) => evaluator.countMisses(makeCycle(on, off), "target");
		expect(misses(onSeconds, offSeconds)).toBeLessThanOrEqual(400);
		expect(misses(onSeconds - 1, offSeconds)).toBeGreaterThan(400);
		expect(misses(onSeconds, offSeconds + 1)).toBeGreaterThan(400);
		expect(evaluated!.summary.freshAirM3PerDay).toBeGreaterThan(choice.best.summary.freshAirM3PerDay);
	});

	it("gives the same answer to the last bit with the same seed", () => {
		const run = () => JSON.stringify(chooseSetting(file(), { reliabilityPercent: 80, draws: 500, seed: 3 }));
		expect(run()).toBe(run());
	});

	it("says so when no setting is so sure", () => {
		const s = parseScenario(
			`
chamber: { volume: 300 L, leak: 0.2 /h, temperature: 18 C }
intake: { co2: 450 ppm }
substrate: { species: oyster, mass: 6 kg, rate: 20..1000 mg/(kg h), reference: 18 C }
fan: { flow: 2 m3/h }
target: { ceiling: 1000 ppm }
disturbances: off`,
			"x.yaml",
			{ schedules: "optional" },
		);
		const choice = chooseSetting(s, { reliabilityPercent: 99, draws: 1000 });
		if (!choice.isFeasible) throw new Error(choice.bindingConstraint.code);
		expect(choice.chanceConstrained).toMatchObject({ evaluated: null });
		expect(choice.chanceConstrained!.probability).toBeLessThan(0.99);
	});
});
