import type { DisplayGrid } from "../../model/schedule/timer.ts";
import { listLimits } from "../../solve/criterion.ts";
import { quantile } from "../../statistics/quantile.ts";
import type { ChanceConstrained, EvaluatedSetting } from "../choosetypes.ts";
import { type ChoiceContext, evaluateSetting } from "../evaluate.ts";
import type { SearchResult } from "../search/gridsearch.ts";
import {
	allowedBursts,
	type Candidate,
	cycleAt,
	findLeastAir,
	isBetterCandidate,
	type SearchGrid,
	type SearchProblem,
} from "../search/search.ts";
import { type DrawEvaluator, makeDrawEvaluator } from "./drawevaluator.ts";
import type { Draws } from "./draws.ts";
import { isMonotoneTarget } from "./reliablefront.ts";

/** The draws of a choice, and the chance that is asked for. */
export interface Chance {
	readonly draws: Draws;
	readonly evaluator: DrawEvaluator;
	readonly reliabilityPercent: number;
}

/** The draws in the order in which they miss the target: where one does, those in front of it do as a rule. */
export function makeChance(
	context: ChoiceContext,
	draws: Draws,
	reliabilityPercent: number,
	at: { readonly onSeconds: number; readonly offSeconds: number },
): Chance {
	const values = makeDrawEvaluator(draws, context).values(context.target.statistic, at);
	const order = Array.from(values.keys()).sort((a, b) => values[b]! - values[a]!);
	return { draws, evaluator: makeDrawEvaluator(draws, context, order), reliabilityPercent };
}

/** Share of the draws in which a cycle meets the target. */
export const chanceOf = (
	{ draws, evaluator }: Pick<Chance, "draws" | "evaluator">,
	cycle: { readonly onSeconds: number; readonly offSeconds: number },
): number => 1 - evaluator.countMisses(cycle, "target") / draws.all.length;

/** The same question with "meets the target in so many draws of a hundred" in place of "meets the target". */
export function makeReliableProblem(
	problem: SearchProblem,
	{ target }: Pick<ChoiceContext, "target">,
	{ draws, evaluator, reliabilityPercent }: Chance,
): SearchProblem {
	const most = Math.floor(draws.all.length * (1 - reliabilityPercent / 100) + 1e-9);
	const isMonotone = isMonotoneTarget({ target });
	const hasFloor = listLimits(target).some(({ side }) => side === "floor");
	return {
		...problem,
		mayStayUnderCeilings: (cycle) => evaluator.countMisses(cycle, "ceilings", most) <= most,
		mayStayAboveFloors: (cycle) => !hasFloor || evaluator.countMisses(cycle, "floors", most) <= most,
		meetsTarget: (cycle) => isMonotone || evaluator.countMisses(cycle, "target", most) <= most,
	};
}

/** A setting that has the chance asked for, and where it stands. */
export interface ReliableSetting {
	readonly found: Candidate;
	readonly grid: SearchGrid;
	readonly displayGrid: DisplayGrid;
	readonly evaluated: EvaluatedSetting;
}

/** The setting that meets the target with the chance asked for and the least air. */
export function solveChanceConstrained(
	context: ChoiceContext,
	chance: Chance,
	searched: readonly SearchResult[],
	problem: SearchProblem,
	best: Candidate,
): { reached: ReliableSetting | null; chanceConstrained: Omit<ChanceConstrained, "price"> } {
	const { evaluator, reliabilityPercent } = chance;
	const reliable = makeReliableProblem(problem, context, chance);
	let chosen: { found: Candidate; result: SearchResult } | null = null;
	for (const result of searched) {
		const { grid } = result;
		const found = findLeastAir(grid, reliable);
		if (found !== null && (chosen === null || isBetterCandidate(found, chosen.found, problem)))
			chosen = { found, result };
	}
	const cycle = chosen?.found ?? findMostReliable(searched, chance, problem, best);
	const probability = chanceOf(chance, cycle);
	const sorted = evaluator.values(context.target.statistic, cycle).sort();
	const reached = chosen && {
		found: chosen.found,
		grid: chosen.result.grid,
		displayGrid: chosen.result.displayGrid,
		evaluated: evaluateSetting(context, chosen.result.displayGrid, chosen.found, probability),
	};
	return {
		reached,
		chanceConstrained: {
			reliabilityPercent,
			evaluated: reached?.evaluated ?? null,
			probability,
			p05Ppm: quantile(sorted, 0.05),
			medianPpm: quantile(sorted, 0.5),
			p95Ppm: quantile(sorted, 0.95),
			bestProbability: chanceOf(chance, best),
		},
	};
}

/** Where none is as sure: the surest of the best setting and, in each grid, the shortest pause beside the longest burst. */
function findMostReliable(
	searched: readonly SearchResult[],
	chance: Chance,
	{ limits }: SearchProblem,
	best: Candidate,
) {
	const cycles = searched.flatMap(({ grid }) => {
		for (const [j, offSeconds] of grid.offSeconds.entries()) {
			const { from, to } = allowedBursts(grid, limits, offSeconds);
			if (from < to) return [cycleAt(grid, to - 1, j)];
		}
		return [];
	});
	return [best, ...cycles].reduce((a, b) => (chanceOf(chance, b) > chanceOf(chance, a) ? b : a));
}
