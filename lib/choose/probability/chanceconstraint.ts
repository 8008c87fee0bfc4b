import type { Model } from "../../model/chamber.ts";
import type { DialGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { Robust } from "../choosetypes.ts";
import { cycleLimits, judgedSetting, problemOf } from "../evaluate.ts";
import type { Searched } from "../search/gridsearch.ts";
import {
	bestSetting,
	better,
	type Found,
	type SearchGrid,
	type SearchProblem,
	shortestBursts,
} from "../search/search.ts";
import type { Draws } from "./draws.ts";
import { drawJudge, quantile } from "./probability.ts";

/** Draws for the search with a confidence where each has to be judged by itself, in two zones. */
const FEW_DRAWS = 1000;

/** The same search with "holds in so many draws of a hundred" in place of "holds". */
export function robustOf(
	scenario: Scenario,
	model: Model,
	steady: Model,
	all: Draws,
	confidence: number,
	searched: readonly Searched[],
	problem: SearchProblem,
	best: Found,
): Robust {
	const { ceiling, on } = scenario.target;
	const few = (steady.stagnantFraction ?? 0) > 0;
	const models = few ? all.models.slice(0, FEW_DRAWS) : all.models;
	const hardest = hardestFirst(models, steady, on, best);
	const judge = drawJudge(models, steady, on, hardest);
	const mostAbove = Math.floor(models.length * (1 - confidence / 100) + 1e-9);
	// What the mean allows says nothing here: each setting is judged in all draws, as far as the sweep goes by the factor of
	// the best setting. In two zones, where that would take too long, the sweep asks the one draw that as many are harder than
	// may fail. What it finds is then held against all draws by its own factor.
	const { mayHold: _, ...plain } = problem;
	const factor = judge.factor(best.onSeconds, best.offSeconds);
	const sure: SearchProblem = few
		? problemOf(models[hardest[mostAbove]!]!, scenario, cycleLimits(scenario))
		: { ...plain, holds: (a, b) => judge.holds(a, b, ceiling.value, mostAbove, factor) };
	const longer = ({ onSeconds }: SearchGrid, found: Found): Found | null => {
		const { offSeconds } = found;
		for (let k = onSeconds.indexOf(found.onSeconds); k < onSeconds.length; k++) {
			const a = onSeconds[k]!;
			if (problem.allowed(a, offSeconds) && judge.holds(a, offSeconds, ceiling.value, mostAbove))
				return problem.accepts(a, offSeconds)
					? { onSeconds: a, offSeconds, airM3PerDay: problem.airPerDay(a, offSeconds) }
					: null;
		}
		return null;
	};
	let chosen: { found: Found; dials: DialGrid } | null = null;
	for (const { grid, dials } of searched) {
		const swept = bestSetting(grid, sure, shortestBursts(grid, sure, { onlyBest: true }));
		const found = swept === null ? null : longer(grid, swept);
		if (found !== null && (chosen === null || better(found, chosen.found, problem)))
			chosen = { found, dials };
	}
	const at = chosen?.found ?? null;
	const values =
		at === null ? surest(searched, problem, judge, ceiling.value) : judge.values(at.onSeconds, at.offSeconds);
	const sorted = values.toSorted();
	return {
		confidence,
		judged:
			chosen === null
				? null
				: judgedSetting(scenario, model, chosen.dials, chosen.found.onSeconds, chosen.found.offSeconds),
		probability: shareWithin(values, ceiling.value),
		p05Ppm: quantile(sorted, 0.05),
		p50Ppm: quantile(sorted, 0.5),
		p95Ppm: quantile(sorted, 0.95),
		bestProbability: shareWithin(judge.values(best.onSeconds, best.offSeconds), ceiling.value),
	};
}

/** Figures of the setting that holds most surely: the shortest pause that the limits allow, and the longest burst beside it. */
function surest(
	searched: readonly Searched[],
	problem: SearchProblem,
	judge: ReturnType<typeof drawJudge>,
	ceiling: number,
): Float64Array {
	const all = searched.flatMap(({ grid }) => {
		for (const offSeconds of grid.offSeconds) {
			const onSeconds = grid.onSeconds.findLast((on) => problem.allowed(on, offSeconds));
			if (onSeconds !== undefined) return [judge.values(onSeconds, offSeconds)];
		}
		return [];
	});
	return all.reduce((a, b) => (shareWithin(b, ceiling) > shareWithin(a, ceiling) ? b : a));
}

const shareWithin = (ppm: Float64Array, ceiling: number): number =>
	ppm.filter((x) => x <= ceiling).length / ppm.length;

/** Order of the draws by their figure at one setting, highest first: where one fails, those in front of it fail as a rule. */
function hardestFirst(
	models: readonly Model[],
	steady: Model,
	on: Scenario["target"]["on"],
	at: Found,
): number[] {
	const values = drawJudge(models, steady, on).values(at.onSeconds, at.offSeconds);
	return Array.from(values.keys()).sort((a, b) => values[b]! - values[a]!);
}
