import type { Cycle } from "../../model/schedule/schedule.ts";
import type { DisplayGrid } from "../../model/schedule/timer.ts";
import { listLimits } from "../../solve/criterion.ts";
import { quantile } from "../../statistics/quantile.ts";
import type { ChanceConstrained, EvaluatedSetting } from "../choosetypes.ts";
import { drawnHumidity } from "../damp.ts";
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
import type { DrawEvaluator } from "./drawevaluator.ts";
import type { Draws } from "./draws.ts";
import { haveFewMisses, makePauseFinder } from "./pausefinder.ts";

/** Where only ceilings on peak and mean are asked, a shorter pause beside the same burst meets them with at least the same chance. */
export const isMonotoneTarget = ({ target, damp }: Pick<ChoiceContext, "target" | "damp">): boolean =>
	damp?.isSolved !== true &&
	listLimits(target, drawnHumidity(damp)).every(
		({ side, statistic }) => side === "ceiling" && statistic !== "worst hour",
	);

/** The draws of a choice, and the chance that is asked for. */
export interface Chance {
	readonly draws: Draws;
	readonly evaluator: DrawEvaluator;
	readonly reliabilityPercent: number;
}

/** How many of some draws may miss the target. */
export const mostMisses = (
	draws: number,
	{ reliabilityPercent }: Pick<Chance, "reliabilityPercent">,
): number => Math.floor(draws * (1 - reliabilityPercent / 100) + 1e-9);

/** Share of the draws in which a cycle meets the target. */
export const chanceOf = (
	{ draws, evaluator }: Pick<Chance, "draws" | "evaluator">,
	cycle: { readonly onSeconds: number; readonly offSeconds: number },
): number => 1 - evaluator.countMisses(cycle, "target") / draws.all.length;

/** Which of some cycles have the chance asked for. */
export const areReliable = (chance: Chance, cycles: readonly Cycle[]): boolean[] =>
	haveFewMisses(chance.evaluator.counter("target"), cycles, mostMisses(chance.draws.all.length, chance));

/** The same question to the cycles of a grid with "meets the target in so many draws of a hundred" in place of "meets the target". */
export function makeReliableProblem(
	problem: SearchProblem,
	context: Pick<ChoiceContext, "target" | "damp">,
	chance: Chance,
	grid: SearchGrid,
): SearchProblem {
	const { draws, evaluator } = chance;
	const most = mostMisses(draws.all.length, chance);
	const isMonotone = isMonotoneTarget(context);
	const hasFloor = listLimits(context.target, drawnHumidity(context.damp)).some(
		({ side }) => side === "floor",
	);
	const [bursts, pauses] = [grid.onSeconds, grid.offSeconds].map(
		(list) => new Map(list.map((seconds, place) => [seconds, place])),
	);
	const tooLong = makePauseFinder(grid, evaluator.counter("ceilings"), (misses) => misses > most);
	const longEnough = makePauseFinder(grid, evaluator.counter("floors"), (misses) => misses <= most);
	const isFrom = (first: (burst: number) => number, { onSeconds, offSeconds }: Cycle) =>
		pauses!.get(offSeconds)! >= first(bursts!.get(onSeconds)!);
	return {
		...problem,
		mayStayUnderCeilings: (cycle) => !isFrom(tooLong, cycle),
		mayStayAboveFloors: (cycle) => !hasFloor || isFrom(longEnough, cycle),
		meetsTarget: (cycle) =>
			isMonotone || (evaluator.countMisses(cycle, "target") <= most && problem.keepsSolvedHumidity(cycle)),
	};
}

/** A setting that has the chance asked for, and where it stands. */
export interface ReliableSetting {
	readonly found: Candidate;
	readonly grid: SearchGrid;
	readonly displayGrid: DisplayGrid;
	/** The problem by which it was found. */
	readonly reliable: SearchProblem;
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
	let chosen: { found: Candidate; result: SearchResult; reliable: SearchProblem } | null = null;
	for (const result of searched) {
		const reliable = makeReliableProblem(problem, context, chance, result.grid);
		const found = findLeastAir(result.grid, reliable);
		if (found !== null && (chosen === null || isBetterCandidate(found, chosen.found, problem)))
			chosen = { found, result, reliable };
	}
	const cycle = chosen?.found ?? findMostReliable(searched, chance, problem, best);
	const probability = chanceOf(chance, cycle);
	const sorted = evaluator.values(context.target.statistic, cycle).sort();
	const reached = chosen && {
		found: chosen.found,
		grid: chosen.result.grid,
		displayGrid: chosen.result.displayGrid,
		reliable: chosen.reliable,
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
