import type { Model } from "../model/chamber.ts";
import type { Daily } from "../model/schedule.ts";
import type { DialGrid } from "../model/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { JudgedSetting, QuietHours } from "./choice.ts";
import { judgeSchedule } from "./compare.ts";
import { type Searched, search } from "./gridsearch.ts";
import { type CycleLimits, judgedSetting, problemOf } from "./judge.ts";
import { better, type Found } from "./search.ts";

/** A gentler cycle for the quiet hours, and both together over the day. */
export function quietOf(
	scenario: Scenario,
	model: Model,
	steady: Model,
	limits: CycleLimits,
	searched: readonly Searched[],
	day: JudgedSetting,
): QuietHours | null {
	const { quiet } = scenario.limits;
	if (quiet === null) return null;
	const { fromSeconds, toSeconds } = quiet;
	const problem = problemOf(steady, scenario, {
		...limits,
		shortestCycle: Math.max(limits.shortestCycle, quiet.cycle.value),
	});
	let chosen: { found: Found; dials: DialGrid } | null = null;
	for (const { dials } of searched) {
		const { best } = search(dials, problem);
		if (best !== null && (chosen === null || better(best, chosen.found, problem)))
			chosen = { found: best, dials };
	}
	if (chosen === null) return { fromSeconds, toSeconds, judged: null, schedule: null, summary: null };
	const night = judgedSetting(scenario, model, chosen.dials, chosen.found.onSeconds, chosen.found.offSeconds);
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
