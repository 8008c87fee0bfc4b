import { evaluateSchedule } from "../../compare/compare.ts";
import type { DailySchedule } from "../../model/schedule/schedule.ts";
import type { ChanceConstrained, EvaluatedSetting, QuietHours } from "../choosetypes.ts";
import { type ChoiceContext, evaluateSetting, makeSearchProblem } from "../evaluate.ts";
import { findBestOfAll, type SearchResult, search } from "./gridsearch.ts";
import type { Candidate, SearchProblem } from "./search.ts";

/** Finds the setting for the reliability that was asked for. */
export type SolveReliably = (
	searched: readonly SearchResult[],
	problem: SearchProblem,
	best: Candidate,
) => ChanceConstrained;

/**
 * A gentler cycle for the quiet hours, and both together over the day.
 * @param solveReliably null when no reliability was asked for
 */
export function findQuietHours(
	context: ChoiceContext,
	searched: readonly SearchResult[],
	day: EvaluatedSetting,
	solveReliably: SolveReliably | null,
): QuietHours | null {
	const { scenario, model, steady, limits } = context;
	const { quiet } = scenario.limits;
	if (quiet === null) return null;
	const { fromSeconds, toSeconds } = quiet;
	const problem = makeSearchProblem(steady, scenario, {
		...limits,
		minCycleSeconds: Math.max(limits.minCycleSeconds, quiet.cycle.value),
	});
	const gentle = searched.map(({ displayGrid }) => search(displayGrid, problem));
	const chosen = findBestOfAll(gentle, problem);
	const night =
		chosen === null
			? null
			: solveReliably === null
				? evaluateSetting(context, chosen.displayGrid, chosen.best)
				: solveReliably(gentle, problem, chosen.best).evaluated;
	if (night === null) return { fromSeconds, toSeconds, evaluated: null, schedule: null, summary: null };
	const parts = [
		{ fromSeconds: toSeconds, schedule: day.schedule },
		{ fromSeconds, schedule: night.schedule },
	].sort((a, b) => a.fromSeconds - b.fromSeconds);
	const schedule: DailySchedule = { kind: "daily", parts };
	return {
		fromSeconds,
		toSeconds,
		evaluated: night,
		schedule,
		summary: evaluateSchedule(scenario, model, schedule),
	};
}
