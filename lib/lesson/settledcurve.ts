import { sampleCurve } from "../compare/curves.ts";
import type { Model } from "../model/chamber.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import { findPeriodicSteadyState } from "../solve/periodic.ts";
import type { ConcentrationStats } from "../solve/propagate/solutionsegment.ts";

const POINTS = 500;

/** A settled pattern over a window from the start of a burst; a cycle of a chamber that is aired always has one. */
export function settledCurve(name: string, model: Model, schedule: CycleSchedule, windowSeconds: number) {
	const steadyState = findPeriodicSteadyState(model, schedule);
	return sampleCurve(name, model, schedule, {
		fromSeconds: 0,
		toSeconds: windowSeconds,
		points: POINTS,
		...(steadyState.exists ? { start: steadyState.start } : {}),
	});
}

/** Its figures without what else comes with them. */
export const pickStats = ({
	peakPpm,
	meanPpm,
	troughPpm,
	ripplePpm,
}: ConcentrationStats): ConcentrationStats => ({ peakPpm, meanPpm, troughPpm, ripplePpm });
