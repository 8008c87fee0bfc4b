import { judgeSchedule } from "../../compare/compare.ts";
import type { Model } from "../../model/chamber.ts";
import type { Daily } from "../../model/schedule/schedule.ts";
import type { DialGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import type { JudgedSetting, QuietHours, Robust } from "../choosetypes.ts";
import { type CycleLimits, judgedSetting, problemOf } from "../evaluate.ts";
import { type Searched, search } from "./gridsearch.ts";
import { better, type Found, type SearchProblem } from "./search.ts";

/**
 * A gentler cycle for the quiet hours, and both together over the day.
 * @param sure finds the one for the confidence that was asked for; null when none was
 */
export function quietOf(
	scenario: Scenario,
	model: Model,
	steady: Model,
	limits: CycleLimits,
	searched: readonly Searched[],
	day: JudgedSetting,
	sure: ((searched: readonly Searched[], problem: SearchProblem, best: Found) => Robust) | null,
): QuietHours | null {
	const { quiet } = scenario.limits;
	if (quiet === null) return null;
	const { fromSeconds, toSeconds } = quiet;
	const problem = problemOf(steady, scenario, {
		...limits,
		shortestCycle: Math.max(limits.shortestCycle, quiet.cycle.value),
	});
	let chosen: { found: Found; dials: DialGrid } | null = null;
	const gentle = searched.map(({ dials }) => search(dials, problem));
	for (const { best, dials } of gentle) {
		if (best !== null && (chosen === null || better(best, chosen.found, problem)))
			chosen = { found: best, dials };
	}
	const night =
		chosen === null
			? null
			: sure === null
				? judgedSetting(scenario, model, chosen.dials, chosen.found.onSeconds, chosen.found.offSeconds)
				: sure(gentle, problem, chosen.found).judged;
	if (night === null) return { fromSeconds, toSeconds, judged: null, schedule: null, summary: null };
	const parts = [
		{ fromSeconds: toSeconds, schedule: day.schedule },
		{ fromSeconds, schedule: night.schedule },
	].sort((a, b) => a.fromSeconds - b.fromSeconds);
	const schedule: Daily = { kind: "daily", parts };
	return {
		fromSeconds,
		toSeconds,
		judged: night,
		schedule,
		summary: judgeSchedule(scenario, model, schedule),
	};
}
