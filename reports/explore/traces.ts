import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import { type Curve, sampleCurve } from "../../lib/compare/curves.ts";
import { isTimeVarying, type Model } from "../../lib/model/chamber.ts";
import { periodSeconds, type Schedule } from "../../lib/model/schedule/schedule.ts";
import { compile } from "../../lib/solve/compile.ts";
import { findPeriodicSteadyState } from "../../lib/solve/periodic.ts";
import { initialState } from "../../lib/solve/propagate/propagate.ts";
import { timelineOf } from "../../lib/solve/summary.ts";
import { DAY } from "../../lib/time.ts";
import { extremes } from "../charts/section/scale.ts";

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

/** Most points of a curve over the whole window. */
const MAX_POINTS = 2400;

/** The curve of a trace over the whole window, its cycle again and again, with every peak and trough. */
export function unrolled({ curve, repeatsSeconds }: ScheduleTrace, windowSeconds: number): Curve {
	const count = Math.ceil(windowSeconds / repeatsSeconds - 1e-9);
	if (count <= 1) return curve;
	const { timesSeconds, co2Ppm, sensorPpm, bursts } = curve;
	const { length } = timesSeconds;
	const stride = Math.max(1, Math.ceil((length * count) / MAX_POINTS));
	const [low, high] = extremes(co2Ppm);
	const kept = Array.from({ length }, (_, i) => i).filter(
		(i) => i % stride === 0 || i === length - 1 || co2Ppm[i] === low || co2Ppm[i] === high,
	);
	const starts = Array.from({ length: count }, (_, k) => k * repeatsSeconds);
	const each = (values: Float64Array): Float64Array =>
		Float64Array.from(starts.flatMap(() => kept.map((i) => values[i]!)));
	return {
		name: curve.name,
		timesSeconds: Float64Array.from(starts.flatMap((start) => kept.map((i) => start + timesSeconds[i]!))),
		co2Ppm: each(co2Ppm),
		sensorPpm: sensorPpm && each(sensorPpm),
		bursts: starts.flatMap((start) =>
			bursts.flatMap(({ startSeconds, endSeconds }) =>
				start + startSeconds >= windowSeconds
					? []
					: [
							{
								startSeconds: start + startSeconds,
								endSeconds: Math.min(windowSeconds, start + endSeconds),
							},
						],
			),
		),
	};
}
