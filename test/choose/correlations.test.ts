import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { drawModels } from "../../lib/choose/probability/draws.ts";
import { withValues } from "../../lib/compare/uncertaininputs.ts";
import { InputError } from "../../lib/errors.ts";
import { buildModel } from "../../lib/model/build.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { updateScenario } from "../../lib/scenario/edit/update.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { makeCycle, makeCyclePeaks } from "../../lib/solve/cycles/cyclestats.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";
import { choleskyFactor } from "../../lib/statistics/cholesky.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { fitSeries } from "../fit/exactfit.ts";
import { syntheticSeries } from "../fit/syntheticlog.ts";
import { complianceOf } from "./compliance.ts";

const file = (correlations: string, spread = "±10 %") => `
chamber: { volume: 200 L, leak: 0.4 /h ${spread}, temperature: 18 C }
intake: { co2: 420 ppm }
substrate: { species: oyster, mass: 5 kg, rate: 180 mg/(kg h) ${spread} }
fan: { flow: 60 m3/h ${spread} }
sensor: { response: 60 s }
target: { ceiling: 1200 ppm }
disturbances: off
${correlations}
schedules: { usual: { on: 10 s, off: 590 s } }
`;
const read = (correlations: string) => parseScenario(file(correlations));
const faultsOf = (correlations: string): readonly string[] => {
	try {
		read(correlations);
	} catch (error) {
		if (error instanceof InputError) return error.faults.map(({ message }) => message);
		throw error;
	}
	return [];
};
const paths = ["chamber.leak", "substrate[0].rate", "fan.flow"];
const correlation = (a: Float64Array, b: Float64Array): number => {
	const mean = (v: Float64Array) => v.reduce((sum, x) => sum + x, 0) / v.length;
	const [ma, mb] = [mean(a), mean(b)];
	let [ab, aa, bb] = [0, 0, 0];
	for (let k = 0; k < a.length; k++) {
		ab += (a[k]! - ma) * (b[k]! - mb);
		aa += (a[k]! - ma) ** 2;
		bb += (b[k]! - mb) ** 2;
	}
	return ab / Math.sqrt(aa * bb);
};

describe("correlations in a scenario file", () => {
	test("are read from a lower triangle or a whole matrix, and a substrate without a list is the first", () => {
		const expected = {
			between: ["substrate[0].rate", "fan.flow"],
			matrix: [
				[1, 0.5],
				[0.5, 1],
			],
		};
		for (const matrix of ["[[1], [0.5, 1]]", "[[1, 0.5], [0.5, 1]]"])
			for (const rate of ["substrate.rate", '"substrate[0].rate"'])
				expect(
					read(`correlations: [{ between: [${rate}, fan.flow], matrix: ${matrix} }]`).correlations,
				).toEqual([expected]);
		expect(read("").correlations).toEqual([]);
	});

	test.each([
		["[{ between: [fan.flow, fan.flaw], matrix: [[1], [0, 1]] }]", /"fan.flaw" is no value of this file/],
		["[{ between: [fan.flow, fan.flow], matrix: [[1], [0, 1]] }]", /names fan.flow twice/],
		["[{ between: [fan.flow, chamber.leak], matrix: [[1], [0.2, 1], [0, 0, 1]] }]", /3 rows for 2 paths/],
		["[{ between: [fan.flow, chamber.leak], matrix: [[1, 0.2], [0.3, 1]] }]", /neither a lower triangle/],
		["[{ between: [fan.flow, chamber.leak], matrix: [[2], [0.3, 1]] }]", /1 on its diagonal/],
		["[{ between: [fan.flow, chamber.leak], matrix: [[1], [1.3, 1]] }]", /from -1 to 1/],
		["[{ between: [fan.flow], matrix: [[1]] }]", /two paths or more/],
		[
			"[{ between: [fan.flow, chamber.leak, substrate.rate], matrix: [[1], [0.9, 1], [0.9, -0.9, 1]] }]",
			/contradicts itself/,
		],
		[
			"[{ between: [fan.flow, chamber.leak], matrix: [[1], [0, 1]] }, { between: [fan.flow, substrate.rate], matrix: [[1], [0, 1]] }]",
			/is in two entries/,
		],
		["{ between: [fan.flow, chamber.leak] }", /needs a list/],
	])("refuse %s", (text, message) => {
		expect(faultsOf(`correlations: ${text}`).join("\n")).toMatch(message);
	});
});

describe("the triangle of a correlation matrix", () => {
	test("gives the matrix back when multiplied by itself, for any that numbers can have", () => {
		fc.assert(
			fc.property(
				fc.integer({ min: 1, max: 6 }).chain((n) =>
					fc.array(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: n, maxLength: n }), {
						minLength: n,
						maxLength: n,
					}),
				),
				(vectors) => {
					// Angles between any vectors are correlations.
					fc.pre(vectors.every((v) => Math.hypot(...v) > 0.1));
					const unit = vectors.map((v) => v.map((x) => x / Math.hypot(...v)));
					const matrix = unit.map((a, i) =>
						unit.map((b, j) => (i === j ? 1 : a.reduce((sum, x, k) => sum + x * b[k]!, 0))),
					);
					const l = choleskyFactor(matrix)!;
					expect(l).not.toBeNull();
					for (const [i, row] of l.entries())
						for (let j = 0; j <= i; j++) {
							const product = l[j]!.reduce((sum, x, k) => sum + x * row[k]!, 0);
							expect(Math.abs(product - matrix[i]![j]!)).toBeLessThan(0.02);
						}
				},
			),
			{ seed: 1, numRuns: 300 },
		);
	});

	test("is null where no numbers can be so: 1 with a second, which is 1 with a third that has nothing of the first", () => {
		expect(
			choleskyFactor([
				[1, 1, 0],
				[1, 1, 1],
				[0, 1, 1],
			]),
		).toBeNull();
	});
});

describe("draws of inputs that go together", () => {
	const matrix = "[[1], [0.98, 1], [-0.4, -0.3, 1]]";
	const scenario = read(
		`correlations: [{ between: [chamber.leak, substrate.rate, fan.flow], matrix: ${matrix} }]`,
	);

	test("have the correlations that the file states, and each still hits every part of its range once", () => {
		const count = 4000;
		const { inputs, deviates } = drawModels(scenario, count, 1);
		const of = (path: string) => deviates[inputs.findIndex((row) => row.path === path)]!;
		const [leak, rate, flow] = paths.map(of) as [Float64Array, Float64Array, Float64Array];
		expect(correlation(leak, rate)).toBeCloseTo(0.98, 2);
		// Three standard errors of a correlation of 4000 pairs, (1 - r²)/√n.
		expect(Math.abs(correlation(leak, flow) + 0.4)).toBeLessThan((3 * (1 - 0.4 ** 2)) / Math.sqrt(count));
		expect(Math.abs(correlation(rate, flow) + 0.3)).toBeLessThan((3 * (1 - 0.3 ** 2)) / Math.sqrt(count));
		for (const column of [leak, rate, flow])
			for (const [k, z] of column.toSorted().entries()) {
				expect(z).toBeGreaterThanOrEqual(normalQuantile(Math.max(k / count, 1e-12)));
				expect(z).toBeLessThanOrEqual(normalQuantile(Math.min((k + 1) / count, 1 - 1e-12)));
			}
	});

	test("an input without a spread leaves the others as they are", () => {
		const sharp = parseScenario(
			file("correlations: [{ between: [fan.flow, chamber.leak], matrix: [[1], [0.9, 1]] }]").replace(
				"60 m3/h ±10 %",
				"60 m3/h",
			),
		);
		expect(drawModels(sharp, 50, 1).inputs.map(({ path }) => path)).toEqual([
			"chamber.leak",
			"substrate[0].rate",
		]);
	});
});

describe("a fit that is written back", () => {
	const truth = parseScenario(file("", ""));
	const model = { ...buildModel(truth), responseSeconds: 60 };
	const { schedule } = truth.schedules[0]!;
	const series = syntheticSeries({
		model,
		schedule,
		durationSeconds: 2 * 86_400,
		stepSeconds: 60,
		noisePpm: 12,
		rho: 0.5,
		seed: 3,
	});
	const fit = fitSeries(truth, series, { phaseSeconds: 0 });
	const stamp = { log: "week.csv", on: "2026-03-10" };
	const text = updateScenario(truth.text, fit.changes, stamp, "x.yaml", fit.changeCorrelations);
	const updated = parseScenario(text);

	test("carries its correlations, to five digits", () => {
		const [group] = updated.correlations;
		expect(group).toMatchObject({ fitted: "week.csv", on: "2026-03-10" });
		expect(group!.between.toSorted()).toEqual(paths.toSorted());
		const parameterOf = {
			"chamber.leak": "leak",
			"substrate[0].rate": "generation",
			"fan.flow": "flow",
		} as const;
		const place = (path: string) => fit.free.indexOf(parameterOf[path as keyof typeof parameterOf]);
		for (const [i, a] of group!.between.entries())
			for (const [j, b] of group!.between.entries())
				expect(group!.matrix[i]![j]).toBeCloseTo(i === j ? 1 : fit.correlation[place(a)]![place(b)]!, 5);
	});

	test("spreads the peak as the law of propagation of errors says, with the covariance of the fit", () => {
		// JCGM 100:2008 (GUM), 5.2.2, equation 13: u² = Σ Σ c_i c_j u_i u_j r_ij, with slopes by central differences.
		const at = { on: 10, off: 590 };
		const rows = listInputs(updated).filter(({ path }) => paths.includes(path));
		const peak = (moved: ReadonlyMap<(typeof rows)[number]["quantity"], number>) =>
			makeCyclePeaks(withMaximumSource(buildModel(withValues(updated, moved))))(makeCycle(at.on, at.off));
		const slopes = rows.map(({ quantity }) => {
			const h = 1e-3 * quantity.value;
			const up = peak(new Map([[quantity, quantity.value + h]]));
			return (up - peak(new Map([[quantity, quantity.value - h]]))) / (2 * h);
		});
		const errors = rows.map(({ quantity }) => (quantity.high! - quantity.low!) / (2 * 1.6448536269514722));
		const [group] = updated.correlations;
		const r = (a: string, b: string) => group!.matrix[group!.between.indexOf(a)]![group!.between.indexOf(b)]!;
		let variance = 0;
		for (const [i, a] of rows.entries())
			for (const [j, b] of rows.entries())
				variance += slopes[i]! * slopes[j]! * errors[i]! * errors[j]! * r(a.path, b.path);
		const compliance = complianceOf(updated, 4000, makeCycle(at.on, at.off));
		const spread = (compliance.p95Ppm - compliance.p05Ppm) / (2 * 1.6448536269514722);
		expect(spread / Math.sqrt(variance)).toBeGreaterThan(0.95);
		expect(spread / Math.sqrt(variance)).toBeLessThan(1.05);
		// Drawn one by one the errors would be far too wide.
		const apart = { ...updated, correlations: [] };
		const wide = complianceOf(apart, 4000, makeCycle(at.on, at.off));
		expect(wide.p95Ppm - wide.p05Ppm).toBeGreaterThan(1.5 * (compliance.p95Ppm - compliance.p05Ppm));
	});

	test("lets the choice with a confidence come out with less air than errors drawn one by one", () => {
		const air = (scenario: typeof updated) => {
			const choice = chooseSetting(scenario, { draws: 2000, reliabilityPercent: 95 });
			if (!choice.isFeasible) throw new Error("the sample must have a setting");
			expect(choice.recommended).toBe(choice.chanceConstrained!.evaluated);
			return choice.recommended.summary.freshAirM3PerDay;
		};
		expect(air(updated)).toBeLessThan(air({ ...updated, correlations: [] }));
	});

	test("holds the rate for the temperature it was measured at, so that the spread of Q10 does not blur it again", () => {
		const cold = parseScenario(file("", "").replace("temperature: 18 C", "temperature: 12 C"));
		const there = fitSeries(cold, series, { phaseSeconds: 0 });
		const after = parseScenario(
			updateScenario(cold.text, there.changes, stamp, "x.yaml", there.changeCorrelations),
		);
		expect(after.substrate[0]!.reference.value).toBe(12);
		const told = there.parameters.find(({ name }) => name === "generation")!.value;
		expect(buildModel(after).generationM3PerS / told).toBeCloseTo(1, 2);
		const moving = drawModels(after, 20, 1).inputs.map(({ path }) => path);
		expect(moving).not.toContain("substrate[0].q10");
		expect(moving.toSorted()).toEqual(paths.toSorted());
	});

	test("a value fitted anew leaves its old company, and the rest of it stays", () => {
		const leak = { path: "chamber.leak", text: "0.31 /h ±4 %" };
		const after = parseScenario(updateScenario(text, [leak], { log: "decay.csv", on: "2026-03-12" }));
		expect(after.correlations).toHaveLength(1);
		const [group] = after.correlations;
		expect(group!.between).not.toContain("chamber.leak");
		expect(group).toMatchObject({ fitted: "week.csv" });
		const twice = updateScenario(text, fit.changes, stamp, "x.yaml", fit.changeCorrelations);
		expect(twice).toBe(text);
		const flow = { path: "fan.flow", text: "58 m3/h ±2 %" };
		const none = parseScenario(updateScenario(text, [leak, flow], stamp));
		expect(none.correlations).toEqual([]);
	});

	test("stands in JSON as in YAML, and nothing else is touched", () => {
		const json = JSON.stringify(
			{
				chamber: { volume: "200 L" },
				substrate: { mass: "5 kg" },
				fan: { flow: "60 m3/h" },
				schedules: { a: { on: "9 s", off: "300 s" } },
			},
			null,
			2,
		);
		const after = updateScenario(json, fit.changes, stamp, "x.json", fit.changeCorrelations);
		expect(JSON.parse(after).correlations[0].between).toEqual(fit.changeCorrelations!.between);
		expect(parseScenario(after).correlations[0]!.matrix).toEqual(updated.correlations[0]!.matrix);
		expect(text.replace(/^correlations:.*\n/m, "").length).toBe(
			updateScenario(truth.text, fit.changes, stamp).length,
		);
	});
});
