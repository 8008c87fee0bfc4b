import { findUncertainInputs, quantileValue } from "../../compare/uncertaininputs.ts";
import { buildModel, freeVolumeM3 } from "../../model/build.ts";
import { balance, type Model } from "../../model/chamber.ts";
import { deliveredFlow, withDeliveredFlow } from "../../model/fan/deliveredflow.ts";
import { buildHumidity } from "../../model/humidity.ts";
import { listInputs } from "../../model/inputs.ts";
import type { DisturbanceKey, Quantity, Scenario } from "../../scenario/scenario.ts";
import { isFlushDue } from "../../scenario/sections/disturbances.ts";
import type { CompiledModel } from "../../solve/compile.ts";
import { targetOf } from "../../solve/criterion.ts";
import { withMaximumSource, withMinimumSource } from "../../solve/cycles/maximumsource.ts";
import { choleskyFactor } from "../../statistics/cholesky.ts";
import { normalQuantile } from "../../statistics/normal.ts";
import { seededUniform } from "../../statistics/random.ts";
import { computeRanks } from "../../statistics/ranks.ts";
import { highestFeltPpm } from "../evaluate.ts";
import { makeFlowRatio } from "./flowratio.ts";

/** Moments at which the source of a draw is looked at for its extremes. */
const LOOKS_PER_DRAW = 96;
/** A block that does not fit into the chamber is not in it: this share of a small chamber is left as air. */
const MIN_FREE_SHARE = 0.01;

/** An uncertain input, or what may happen in service. */
export interface DrawnInput {
	/** `fan.flow`, `disturbances.filter` */
	readonly path: string;
	readonly quantity: Quantity;
	readonly disturbance: DisturbanceKey | null;
}

/** A linear model with what the closed forms need of it: ten thousand are too many to compile. */
export type DrawnModel = Pick<CompiledModel, "model" | "balance" | "sourceM3PerS">;

/** One chamber as it may be. */
export interface Draw {
	/** Its model with its highest source and intake held, and with its lowest; one where both stay. */
	readonly highest: DrawnModel;
	readonly lowest: DrawnModel;
	/** Its water, in % RH; where the target asks for humidity. */
	readonly damp?: DrawnModel;
	/** What the timer makes of a second [-]. */
	readonly timerFactor: number;
}

/** Joint draws of the uncertain inputs. */
export interface Draws {
	/** In which the inputs stand: a calculated flow is written down in it. */
	readonly scenario: Scenario;
	readonly inputs: readonly DrawnInput[];
	/** Standard normal deviates, one row an input. */
	readonly deviates: readonly Float64Array[];
	readonly all: readonly Draw[];
}

/** All that is drawn: inputs that move the model, then disturbances. */
export const listDrawnInputs = (scenario: Scenario): DrawnInput[] => [
	...findUncertainInputs(scenario).map(({ path, quantity }) => ({ path, quantity, disturbance: null })),
	...scenario.disturbances.map(({ key, quantity }) => ({
		path: `disturbances.${key}`,
		quantity,
		disturbance: key,
	})),
];

/**
 * Latin hypercube: each input's range is cut into as many equal parts as there are draws, each part is hit once, and the
 * parts of different inputs are paired at random.
 * @param seed a whole number; the same one gives the same draws
 */
export function drawModels(given: Scenario, count: number, seed: number): Draws {
	const scenario = withDeliveredFlow(given);
	const highestPpm = highestFeltPpm(targetOf(scenario.target));
	const inputs = listDrawnInputs(scenario);
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
	const draw = makeDraw(scenario, inputs, highestPpm);
	return {
		scenario,
		inputs,
		deviates,
		all: Array.from({ length: count }, (_, k) => draw((i) => deviates[i]![k]!)),
	};
}

const asDrawn = (model: Model): DrawnModel => ({
	model,
	balance: balance(model),
	sourceM3PerS: model.generationM3PerS,
});

/** Where nothing is said of it, a disturbance does not happen. */
const UNDISTURBED: Readonly<Record<DisturbanceKey, number>> = {
	filter: Number.NaN,
	"warm-day": 0,
	intake: 0,
	flush: 1,
	voltage: 1,
	fan: 1,
	timer: 1,
};

/**
 * Makes the chamber of one draw after another.
 * @returns a function of the deviates by the place of the input; null leaves an input central, and a disturbance out
 */
export function makeDraw(
	scenario: Scenario,
	inputs: readonly DrawnInput[],
	highestPpm: number,
): (deviateOf: (input: number) => number | null) => Draw {
	// One copy of the scenario takes on the values of draw after draw, for ten thousand copies take their time.
	const { copy, copied } = copyScenario(scenario);
	const looks = findLooks(buildModel(scenario), highestPpm);
	const ratio = makeFlowRatio(scenario);
	const filterCentral = scenario.fan.filter?.pressureDropRatio.value ?? 1;
	const flow = deliveredFlow(scenario);
	const flushed = scenario.substrate.filter(isFlushDue);
	const touched = [
		scenario.chamber.temperature.mean,
		scenario.intake.co2,
		flow,
		scenario.chamber.volume,
		...flushed.map(({ stageFactor }) => stageFactor),
	];
	const change = (quantity: Quantity, by: (value: number) => number) => {
		const target = copied.get(quantity)!;
		target.value = by(target.value);
	};
	return (deviateOf) => {
		for (const quantity of touched) copied.get(quantity)!.value = quantity.value;
		const happens: Record<DisturbanceKey, number> = { ...UNDISTURBED, filter: filterCentral };
		for (const [i, { quantity, disturbance }] of inputs.entries()) {
			const z = deviateOf(i);
			if (disturbance === null)
				copied.get(quantity)!.value = z === null ? quantity.value : quantileValue(quantity, z);
			else if (z !== null) happens[disturbance] = quantileValue(quantity, z);
		}
		change(scenario.chamber.temperature.mean, (celsius) => celsius + happens["warm-day"]);
		change(scenario.intake.co2, (ppm) => Math.max(0, ppm + happens.intake));
		change(flow, (m3PerS) => m3PerS * happens.fan * ratio(happens.filter, happens.voltage));
		for (const { stageFactor } of flushed) change(stageFactor, (factor) => factor * happens.flush);
		const least = MIN_FREE_SHARE * scenario.chamber.volume.value;
		change(scenario.chamber.volume, (m3) => m3 + Math.max(0, least - freeVolumeM3(copy)));
		const model = buildModel(copy);
		const highest = asDrawn(withMaximumSource(model, looks));
		const stays = model.source === undefined && model.intakeExcess === undefined;
		return {
			highest,
			lowest: stays ? highest : asDrawn(withMinimumSource(model, highestPpm, looks)),
			...(scenario.target.humidity !== null && { damp: asDrawn(buildHumidity(copy, model)!.model) }),
			timerFactor: happens.timer,
		};
	};
}

/** How often a source must be looked at: one that swings with the day has its extremes at two moments, whatever the draw. */
function findLooks({ source }: Model, highestPpm: number): number | readonly number[] {
	if (source === undefined || !source.isTimeVarying || source.periodSeconds === null) return LOOKS_PER_DRAW;
	const times = Array.from({ length: 1441 }, (_, i) => (i * source.horizonSeconds) / 1440);
	const rate = (time: number) => source.m3PerS(time as Parameters<typeof source.m3PerS>[0], highestPpm);
	return [
		times.reduce((a, b) => (rate(b) > rate(a) ? b : a)),
		times.reduce((a, b) => (rate(b) < rate(a) ? b : a)),
	];
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
	quantities.add(scenario.intake.co2);
	const clone = (node: unknown): unknown => {
		if (typeof node !== "object" || node === null) return node;
		if (Array.isArray(node)) return node.map(clone);
		const fresh = Object.fromEntries(Object.entries(node).map(([key, child]) => [key, clone(child)]));
		if (quantities.has(node)) copied.set(node as Quantity, fresh as { value: number });
		return fresh;
	};
	return { copy: clone(scenario) as Scenario, copied };
}
