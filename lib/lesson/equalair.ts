import type { Model } from "../model/chamber.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import { makeCycle } from "../solve/cycles/cyclestats.ts";
import { type PeriodicSteadyState, periodicState } from "../solve/periodic.ts";
import { findRoot } from "../solve/root.ts";
import { HOUR } from "../time.ts";
import { cycleSeconds, type LessonSchedule } from "./lessonschedule.ts";
import { pickStats, settledCurve } from "./settledcurve.ts";

/** The longest cycle is cut into so many. */
const PARTS = [1, 4, 20];

/** The same air in ever shorter cycles, beside continuous flow. */
export function equalAirPanel(model: Model, longest: LessonSchedule) {
	const { schedule: whole, name, summary } = longest;
	const windowSeconds = cycleSeconds(longest);
	const flow = meanDeliveredM3PerS(model, whole);
	const cycles = PARTS.flatMap((parts) => {
		const schedule = parts === 1 ? whole : cycleOfEqualAir(model, flow, windowSeconds / parts);
		if (schedule === null) return [];
		const stats = pickStats(periodicState(model, schedule) as PeriodicSteadyState);
		return [{ parts, schedule, stats, curve: settledCurve(name, model, schedule, windowSeconds) }];
	});
	return {
		airM3PerHour: HOUR * flow,
		continuousPpm: summary.continuousPpm!,
		windowSeconds,
		cycles,
		/** Cycles so short that a fan which coasts moves more air in them, however short its bursts. */
		leftOut: PARTS.length - cycles.length,
	};
}

/** Bursts shorter than this share of their cycle are none [-]. */
const MIN_ON_SHARE = 1e-6;

/** A cycle of given length with a given mean flow of the fan [m3/s], whatever its spin-up takes; null where coasting moves more. */
function cycleOfEqualAir(model: Model, flow: number, cycleSeconds: number): CycleSchedule | null {
	const excess = (on: number) => meanDeliveredM3PerS(model, makeCycle(on, cycleSeconds - on)) - flow;
	const shortest = MIN_ON_SHARE * cycleSeconds;
	if (excess(shortest) > 0) return null;
	const onSeconds = findRoot(excess, shortest, cycleSeconds);
	return makeCycle(onSeconds, cycleSeconds - onSeconds);
}
