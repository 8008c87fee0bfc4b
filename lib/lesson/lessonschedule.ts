import type { Model } from "../model/chamber.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import { dutyCycle } from "../model/schedule/timeline.ts";
import { type Summary, summarize } from "../solve/summary.ts";

/** A cycle of the lesson with its results. */
export interface LessonSchedule {
	readonly name: string;
	readonly schedule: CycleSchedule;
	readonly inWords: string;
	readonly summary: Summary;
	/** Share of the time in which the fan is on, d [0..1]. */
	readonly dutyCycle: number;
	/** Air changes of one burst, n [-]. */
	readonly airChangesPerBurst: number;
	/** Share of the excess that one burst replaces [0..1]. */
	readonly replacedFraction: number;
}

/** Length of a cycle [s]. */
export const cycleSeconds = ({ schedule }: LessonSchedule): number =>
	schedule.onSeconds + schedule.offSeconds;

/** A cycle in its settled pattern. */
export function summarizeCycle(
	name: string,
	schedule: CycleSchedule,
	model: Model,
	ceilingPpm: number,
): LessonSchedule {
	const summary = summarize(model, schedule, { ceilingPpm });
	return {
		name,
		schedule,
		inWords: inWords(schedule),
		summary,
		dutyCycle: dutyCycle(schedule),
		airChangesPerBurst: summary.airChangesPerBurst!,
		replacedFraction: summary.replacedFraction!,
	};
}
