import type { Model } from "../model/chamber.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import { dutyCycle } from "../model/schedule/timeline.ts";
import { summarize } from "../solve/summary.ts";

export type LessonSchedule = ReturnType<typeof summarizeCycle>;

/** Length of a cycle [s]. */
export const cycleSeconds = ({ schedule }: Pick<LessonSchedule, "schedule">): number =>
	schedule.onSeconds + schedule.offSeconds;

/** A cycle of the lesson in its settled pattern. */
export function summarizeCycle(name: string, schedule: CycleSchedule, model: Model, ceilingPpm: number) {
	const summary = summarize(model, schedule, { ceilingPpm });
	return {
		name,
		schedule,
		summary,
		/** Share of the time in which the fan is on, d [0..1]. */
		dutyCycle: dutyCycle(schedule),
		/** Air changes of one burst, n [-], and the share of the excess that it replaces [0..1]. */
		airChangesPerBurst: summary.airChangesPerBurst!,
		replacedFraction: summary.replacedFraction!,
	};
}
