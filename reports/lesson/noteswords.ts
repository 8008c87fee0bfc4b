import type { InfeasiblePanel } from "../../lib/lesson/ceilingpanels.ts";
import type { LessonNote } from "../../lib/lesson/lesson.ts";

/** What a lesson assumed or left out. */
export function noteWords(note: LessonNote): string {
	switch (note.code) {
		case "invented":
			return "Chamber, source, fan and schedules are invented for this lesson. The chamber has no leakage and its fan is at full speed at once, so the formulas of the lesson are exact in it.";
		case "highest source":
			return "The CO₂ output of this scenario changes; the lesson uses its highest value.";
		case "cycle made up":
			return "The scenario has no plain cycle of bursts, so the lesson makes one up: one air change per burst.";
		case "schedules left out":
			return `Only plain cycles are shown; ${note.count} other ${note.count === 1 ? "schedule is" : "schedules are"} left out.`;
		case "other statistic":
			return `The target of the scenario is on the ${note.statistic}; the lesson names the statistic of each value.`;
	}
}

const INFEASIBLE: Readonly<Record<InfeasiblePanel["reason"], (maxFanFactor: number) => string>> = {
	"stagnant zone": () =>
		"The crop stands in a stagnant zone that no flow airs well enough to meet the ceiling.",
	"leakage suffices": () =>
		"Leakage alone meets the ceiling here, so no fan is needed and no off-time is too long.",
	"fan too weak": () => "Even without a pause this fan is too weak to meet the ceiling.",
	"fan hardly strong enough": () => "This fan is hardly strong enough to meet the ceiling.",
	"every fan too weak": (times) =>
		`Even without a pause neither this fan nor one ${times} times as strong meets the ceiling.`,
};

/** Why a panel makes no sense in a chamber. */
export const infeasibleWords = ({ reason, maxFanFactor }: InfeasiblePanel): string =>
	INFEASIBLE[reason](maxFanFactor);
