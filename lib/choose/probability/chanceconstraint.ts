import type { DisplayGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { CompiledModel } from "../../solve/compile.ts";
import { quantile } from "../../statistics/quantile.ts";
import type { ChanceConstrained } from "../choosetypes.ts";
import { type ChoiceContext, evaluateSetting, findCycleLimits, makeSearchProblem } from "../evaluate.ts";
import type { SearchResult } from "../search/gridsearch.ts";
import {
	type Candidate,
	findBest,
	findShortestBursts,
	isBetterCandidate,
	makeCandidate,
	type SearchGrid,
	type SearchProblem,
} from "../search/search.ts";
import type { Draws } from "./draws.ts";
import { makeDrawEvaluator } from "./probability.ts";

/** Draws for the search with a confidence where each has to be judged by itself, in two zones. */
const MAX_DRAWS_TWO_ZONES = 1000;

/** The same search with "holds in so many draws of a hundred" in place of "holds". */
export function solveChanceConstrained(
	context: ChoiceContext,
	{ draws: all, reliabilityPercent }: { readonly draws: Draws; readonly reliabilityPercent: number },
	searched: readonly SearchResult[],
	problem: SearchProblem,
	best: Candidate,
): ChanceConstrained {
	const { scenario, steady } = context;
	const { ceiling, on } = scenario.target;
	const isTwoZone = (steady.model.stagnantFraction ?? 0) > 0;
	const models = isTwoZone ? all.models.slice(0, MAX_DRAWS_TWO_ZONES) : all.models;
	const hardest = sortHardestFirst(models, steady, on, best);
	const evaluator = makeDrawEvaluator(models, steady, on, hardest);
	const maxAbove = Math.floor(models.length * (1 - reliabilityPercent / 100) + 1e-9);
	// What the mean allows says nothing here: each setting is judged in all draws, as far as the sweep goes by the factor of
	// the best setting. In two zones, where that would take too long, the sweep asks the one draw that as many are harder than
	// may fail. What it finds is then held against all draws by its own factor.
	const { mayBeUnderCeiling: _, ...plain } = problem;
	const factor = evaluator.factor(best.onSeconds, best.offSeconds);
	const reliable: SearchProblem = isTwoZone
		? makeSearchProblem(models[hardest[maxAbove]!]!, scenario, findCycleLimits(scenario))
		: { ...plain, isUnderCeiling: (a, b) => evaluator.isReliable(a, b, ceiling.value, maxAbove, factor) };
	const longer = (grid: SearchGrid, { onIndex, offIndex, offSeconds }: Candidate): Candidate | null => {
		for (let k = onIndex; k < grid.onSeconds.length; k++) {
			const a = grid.onSeconds[k]!;
			if (
				problem.isWithinLimits(a, offSeconds) &&
				evaluator.isReliable(a, offSeconds, ceiling.value, maxAbove)
			)
				return problem.isAboveFloor(a, offSeconds)
					? makeCandidate(grid, problem, { onIndex: k, offIndex })
					: null;
		}
		return null;
	};
	let chosen: { found: Candidate; displayGrid: DisplayGrid } | null = null;
	for (const { grid, displayGrid } of searched) {
		const swept = findBest(grid, reliable, findShortestBursts(grid, reliable, { onlyBest: true }));
		const found = swept === null ? null : longer(grid, swept);
		if (found !== null && (chosen === null || isBetterCandidate(found, chosen.found, problem)))
			chosen = { found, displayGrid };
	}
	const at = chosen?.found ?? null;
	const values =
		at === null
			? evaluateMostReliable(searched, problem, evaluator, ceiling.value)
			: evaluator.values(at.onSeconds, at.offSeconds);
	const sorted = values.toSorted();
	return {
		reliabilityPercent,
		evaluated: chosen === null ? null : evaluateSetting(context, chosen.displayGrid, chosen.found),
		probability: computeShareUnder(values, ceiling.value),
		p05Ppm: quantile(sorted, 0.05),
		medianPpm: quantile(sorted, 0.5),
		p95Ppm: quantile(sorted, 0.95),
		bestProbability: computeShareUnder(evaluator.values(best.onSeconds, best.offSeconds), ceiling.value),
	};
}

/** Figures of the setting that holds most surely: the shortest pause that the limits allow, and the longest burst beside it. */
function evaluateMostReliable(
	searched: readonly SearchResult[],
	problem: SearchProblem,
	evaluator: ReturnType<typeof makeDrawEvaluator>,
	ceiling: number,
): Float64Array {
	const all = searched.flatMap(({ grid }) => {
		for (const offSeconds of grid.offSeconds) {
			const onSeconds = grid.onSeconds.findLast((on) => problem.isWithinLimits(on, offSeconds));
			if (onSeconds !== undefined) return [evaluator.values(onSeconds, offSeconds)];
		}
		return [];
	});
	return all.reduce((a, b) => (computeShareUnder(b, ceiling) > computeShareUnder(a, ceiling) ? b : a));
}

const computeShareUnder = (ppm: Float64Array, ceiling: number): number =>
	ppm.filter((x) => x <= ceiling).length / ppm.length;

/** Order of the draws by their figure at one setting, highest first: where one fails, those in front of it fail as a rule. */
function sortHardestFirst(
	models: readonly CompiledModel[],
	steady: CompiledModel,
	on: Scenario["target"]["on"],
	at: Candidate,
): number[] {
	const values = makeDrawEvaluator(models, steady, on).values(at.onSeconds, at.offSeconds);
	return Array.from(values.keys()).sort((a, b) => values[b]! - values[a]!);
}
