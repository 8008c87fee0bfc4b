import { findUncertainInputs, quantileValue } from "../../compare/uncertaininputs.ts";
import { buildModel } from "../../model/build.ts";
import type { Model } from "../../model/chamber.ts";
import { withDeliveredFlow } from "../../model/fan/deliveredflow.ts";
import { listInputs } from "../../model/inputs.ts";
import type { InputRow, Quantity, Scenario } from "../../scenario/scenario.ts";
import { type CompiledModel, compile } from "../../solve/compile.ts";
import { withMaximumSource } from "../../solve/cycles/maximumsource.ts";
import { choleskyFactor } from "../../statistics/cholesky.ts";
import { normalQuantile } from "../../statistics/normal.ts";
import { seededUniform } from "../../statistics/random.ts";
import { computeRanks } from "../../statistics/ranks.ts";

/** Moments at which the source of a draw is looked at for its highest rate. */
const LOOKS_PER_DRAW = 96;

/** Joint draws of the uncertain inputs. */
export interface Draws {
	/** In which the inputs stand: a calculated flow is written down in it. */
	readonly scenario: Scenario;
	readonly inputs: readonly InputRow[];
	/** Standard normal deviates, one row an input. */
	readonly deviates: readonly Float64Array[];
	/** The model of each draw, with its highest source held. */
	readonly models: readonly CompiledModel[];
}

/**
 * Latin hypercube: each input's range is cut into as many equal parts as there are draws, each part is hit once, and the
 * parts of different inputs are paired at random.
 * @param seed a whole number; the same one gives the same draws
 */
export function drawModels(given: Scenario, count: number, seed: number): Draws {
	const scenario = withDeliveredFlow(given);
	const inputs = findUncertainInputs(scenario);
	const random = seededUniform(seed);
	const latinHypercube = inputs.map(() => {
		const column = Float64Array.from({ length: count }, (_, k) => normalQuantile((k + random()) / count));
		for (let k = count - 1; k > 0; k--) {
			const other = Math.floor(random() * (k + 1));
			const held = column[k]!;
			column[k] = column[other]!;
			column[other] = held;
		}
		return column;
	});
	const deviates = imposeRankCorrelation(
		latinHypercube,
		inputs.map(({ path }) => path),
		scenario.correlations,
	);
	// One copy of the scenario takes on the values of draw after draw, for ten thousand copies take their time.
	const { copy, copied } = copyScenario(scenario);
	const drawn = inputs.map(({ quantity }) => copied.get(quantity)!);
	const models = Array.from({ length: count }, (_, k) => {
		for (const [i, { quantity }] of inputs.entries())
			drawn[i]!.value = quantileValue(quantity, deviates[i]![k]!);
		return compile(withMaximumSource(withMinimumFreeVolume(buildModel(copy), scenario), LOOKS_PER_DRAW));
	});
	return { scenario, inputs, deviates, models };
}

/**
 * The same deviates in an order in which those of correlated inputs go together: each column keeps its values, so that every
 * part of its range is still hit once, and takes the ranks of correlated normals (Iman and Conover 1982, from memory).
 */
function imposeRankCorrelation(
	deviates: readonly Float64Array[],
	paths: readonly string[],
	correlations: Scenario["correlations"],
): readonly Float64Array[] {
	const reordered = [...deviates];
	for (const { between, matrix } of correlations) {
		const members = between.flatMap((path, place) => {
			const input = paths.indexOf(path);
			return input < 0 ? [] : [{ input, place }];
		});
		const factor = choleskyFactor(members.map((a) => members.map((b) => matrix[a.place]![b.place]!)));
		if (factor === null) throw new Error("correlations that contradict each other got past the reader");
		for (const [i, { input }] of members.entries()) {
			const mixed = deviates[input]!.map((_, k) =>
				factor[i]!.reduce((sum, share, j) => sum + share * deviates[members[j]!.input]![k]!, 0),
			);
			const sorted = deviates[input]!.toSorted();
			reordered[input] = computeRanks(mixed).map((rank) => sorted[rank]!);
		}
	}
	return reordered;
}

/** Correlation of two inputs [-]. */
export function findCorrelation(correlations: Scenario["correlations"], a: string, b: string): number {
	if (a === b) return 1;
	const group = correlations.find(({ between }) => between.includes(a) && between.includes(b));
	return group === undefined ? 0 : group.matrix[group.between.indexOf(a)]![group.between.indexOf(b)]!;
}

/** A scenario whose quantities may be written, and where each of them has gone. */
function copyScenario(scenario: Scenario): { copy: Scenario; copied: Map<Quantity, { value: number }> } {
	const copied = new Map<Quantity, { value: number }>();
	const quantities = new Set<unknown>(listInputs(scenario).map(({ quantity }) => quantity));
	const clone = (node: unknown): unknown => {
		if (typeof node !== "object" || node === null) return node;
		if (Array.isArray(node)) return node.map(clone);
		const fresh = Object.fromEntries(Object.entries(node).map(([key, child]) => [key, clone(child)]));
		if (quantities.has(node)) copied.set(node as Quantity, fresh as { value: number });
		return fresh;
	};
	return { copy: clone(scenario) as Scenario, copied };
}

/** Where a small chamber and a large substrate are drawn together, a hundredth of the chamber is left as air. */
function withMinimumFreeVolume(model: Model, scenario: Scenario): Model {
	const least = 0.01 * scenario.chamber.volume.value;
	return model.volumeM3 >= least ? model : { ...model, volumeM3: least };
}
