import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import { type Curve, sampleCurve } from "../../lib/compare/curves.ts";
import { isTimeVarying, type Model } from "../../lib/model/chamber.ts";
import { periodSeconds, type Schedule } from "../../lib/model/schedule/schedule.ts";
import { compile } from "../../lib/solve/compile.ts";
import { findPeriodicSteadyState } from "../../lib/solve/periodic.ts";
import { initialState } from "../../lib/solve/propagate/propagate.ts";
import { timelineOf } from "../../lib/solve/summary.ts";
import { DAY } from "../../lib/time.ts";

/** What of one schedule is drawn: its curve over one period, which repeats, or over the whole window. */
export interface ScheduleTrace {
	readonly curve: Curve;
	/** Length of the curve, after which it repeats [s]. */
	readonly repeatsSeconds: number;
}
export interface Traces {
	/** In the order of the comparison. */
	readonly traces: readonly ScheduleTrace[];
	readonly windowSeconds: number;
	/** The window is a day that goes by the clock. */
	readonly isTimeOfDay: boolean;
}

/** Most points of a curve. */
export const TRACE_POINTS = 1200;
/** Windows that read well on an axis [s]. */
const WINDOWS = [600, 1200, 1800, 3600, 7200, 10_800, 14_400, 21_600, 28_800, 43_200, DAY];

/**
 * The pattern of every schedule of a comparison over a window that shows two cycles of each or more.
 * @param known curves over that window that are there already, by schedule
 */
export function tracesOf(
	{ model, schedules }: Comparison,
	known: ReadonlyMap<Schedule, { readonly curve: Curve }> = new Map(),
): Traces {
	const isTimeOfDay = isTimeVarying(model);
	const longest = Math.max(...schedules.map(({ schedule }) => periodSeconds(schedule) ?? DAY));
	const windowSeconds = isTimeOfDay ? DAY : (WINDOWS.find((w) => w >= 2 * longest) ?? 2 * longest);
	const traces = schedules.map((one) => {
		const own = known.get(one.schedule);
		return own === undefined
			? traceOf(model, one, windowSeconds)
			: { curve: own.curve, repeatsSeconds: windowSeconds };
	});
	return { traces, windowSeconds, isTimeOfDay };
}

function traceOf(
	model: Model,
	{ name, schedule, summary }: ComparedSchedule,
	windowSeconds: number,
): ScheduleTrace {
	const compiled = compile(model);
	const steadyState = findPeriodicSteadyState(compiled, schedule);
	const own =
		steadyState.exists && compiled.isLinear ? Math.min(periodOf(schedule), windowSeconds) : windowSeconds;
	const fromSeconds = summary.basis === "run" ? summary.windowFromSeconds : 0;
	const start = steadyState.exists ? steadyState.start : initialState(compiled);
	return {
		curve: sampleCurve(name, compiled, timelineOf(summary, schedule), {
			fromSeconds,
			toSeconds: fromSeconds + own,
			start,
			points: TRACE_POINTS,
		}),
		repeatsSeconds: own,
	};
}

const periodOf = (schedule: Schedule): number => periodSeconds(schedule) ?? DAY;
