import { evaluateSchedule } from "../../compare/compare.ts";
import type { DailySchedule } from "../../model/schedule/schedule.ts";
import type { EvaluatedSetting, QuietHours } from "../choosetypes.ts";
import { type ChoiceContext, evaluateSetting, makeSearchProblem } from "../evaluate.ts";
import { type Chance, solveChanceConstrained } from "../probability/chanceconstraint.ts";
import { findBestOfAll, type SearchResult, search } from "./gridsearch.ts";

/**
 * A gentler cycle for the quiet hours, and both together over the day.
 * @param chance null: the central values decide
 */
export function findQuietHours(
	context: ChoiceContext,
	searched: readonly SearchResult[],
	day: EvaluatedSetting,
	chance: Chance | null,
): QuietHours | null {
	const { scenario, model, limits } = context;
	const { quiet } = scenario.limits;
	if (quiet === null) return null;
	const { fromSeconds, toSeconds } = quiet;
	const problem = makeSearchProblem({
		...context,
		limits: { ...limits, minCycleSeconds: Math.max(limits.minCycleSeconds, quiet.cycle.value) },
	});
	const gentle = searched.map(({ displayGrid }) => search(displayGrid, () => problem));
	const chosen = findBestOfAll(gentle, problem);
	const night =
		chosen === null
			? null
			: chance === null
				? evaluateSetting(context, chosen.displayGrid, chosen.best)
				: (solveChanceConstrained(context, chance, gentle, problem, chosen.best).reached?.evaluated ?? null);
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
