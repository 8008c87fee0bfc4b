import { evaluateSchedule } from "../../compare/compare.ts";
import type { DailySchedule } from "../../model/schedule/schedule.ts";
import type { DisplayGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { CompiledModel } from "../../solve/compile.ts";
import type { ChanceConstrained, EvaluatedSetting, QuietHours } from "../choosetypes.ts";
import { type CycleLimits, evaluateSetting, makeSearchProblem } from "../evaluate.ts";
import { type SearchResult, search } from "./gridsearch.ts";
import { type Candidate, isBetterCandidate, type SearchProblem } from "./search.ts";

/**
 * A gentler cycle for the quiet hours, and both together over the day.
 * @param solveReliably finds the one for the confidence that was asked for; null when none was
 */
export function findQuietHours(
	scenario: Scenario,
	model: CompiledModel,
	steady: CompiledModel,
	limits: CycleLimits,
	searched: readonly SearchResult[],
	day: EvaluatedSetting,
	solveReliably:
		| ((searched: readonly SearchResult[], problem: SearchProblem, best: Candidate) => ChanceConstrained)
		| null,
): QuietHours | null {
	const { quiet } = scenario.limits;
	if (quiet === null) return null;
	const { fromSeconds, toSeconds } = quiet;
	const problem = makeSearchProblem(steady, scenario, {
		...limits,
		minCycleSeconds: Math.max(limits.minCycleSeconds, quiet.cycle.value),
	});
	let chosen: { found: Candidate; displayGrid: DisplayGrid } | null = null;
	const gentle = searched.map(({ displayGrid }) => search(displayGrid, problem));
	for (const { best, displayGrid } of gentle) {
		if (best !== null && (chosen === null || isBetterCandidate(best, chosen.found, problem)))
			chosen = { found: best, displayGrid };
	}
	const night =
		chosen === null
			? null
			: solveReliably === null
				? evaluateSetting(
						scenario,
						model,
						chosen.displayGrid,
						chosen.found.onSeconds,
						chosen.found.offSeconds,
					)
				: solveReliably(gentle, problem, chosen.found).evaluated;
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
