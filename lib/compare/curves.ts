import { buildModel } from "../model/build.ts";
import { isTimeVarying, type Model } from "../model/chamber.ts";
import { periodSeconds, type Schedule } from "../model/schedule/schedule.ts";
import { segments, type Timeline } from "../model/schedule/timeline.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import { findPeriodicSteadyState } from "../solve/periodic.ts";
import type { ModelState } from "../solve/propagate/odex.ts";
import { initialState, propagate, type SolverOptions } from "../solve/propagate/propagate.ts";
import { type SolutionSegment, trimBefore } from "../solve/propagate/solutionsegment.ts";
import { timelineOf } from "../solve/summary.ts";
import { DAY } from "../time.ts";
import type { ComparedSchedule, Comparison } from "./comparison.ts";
import { withRespirationAt } from "./uncertaininputs.ts";

/** One schedule's CO2 over a window, thinned without losing a peak or a trough. */
export interface Curve {
	readonly name: string;
	/** From the start of the window [s]; ascending. */
	readonly timesSeconds: Float64Array;
	/** CO2 in the zone of the crop [ppm]. */
	readonly co2Ppm: Float64Array;
	/** What the sensor shows [ppm]; null when the model has no sensor. */
	readonly sensorPpm: Float64Array | null;
	/** When the fan is on, from the start of the window [s], in order, clipped to the window. */
	readonly bursts: readonly { readonly startSeconds: number; readonly endSeconds: number }[];
}

export interface CurveWindow {
	/** [s] from the start of the run or regime */
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** Start of the walk at time 0. Default: a fresh start. */
	readonly start?: ModelState;
	/** Most points a series. Default 2000. */
	readonly points?: number;
}

const DEFAULT_POINTS = 2000;
/** Points shown of a piece that is long against the time constants, crowded after the switch. */
const POINTS_PER_LONG_PIECE = 16;

/**
 * The CO2 of one schedule over a window, thinned to what a picture shows.
 *
 * @param name of the curve
 * @param model the mass balance
 * @param schedule when the fan is on
 * @param window its start and end [s], and the state at time 0
 * @param options method and tolerance of the solver
 * @returns times [s] and CO2 [ppm]
 * @throws InputError for a model or schedule that makes no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project.
 * @example sampleCurve("off", { volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "off" }, { fromSeconds: 0, toSeconds: 600 }).co2Ppm.at(-1)?.toFixed(1) // => "629.3"
 */
export function sampleCurve(
	name: string,
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	window: CurveWindow,
	options: SolverOptions = {},
): Curve {
	const { fromSeconds, toSeconds, points = DEFAULT_POINTS } = window;
	const compiled = compile(model);
	const { crop, sensor } = compiled.balance;
	const times: number[] = [];
	const co2: number[] = [];
	const shown: number[] = [];
	const onSolution = (whole: SolutionSegment) => {
		const solution = trimBefore(whole, fromSeconds);
		if (solution === null) return;
		const each = solution.isShort ? 2 : POINTS_PER_LONG_PIECE;
		// The end of a piece is the start of the next, but for the last one.
		const last = solution.startSeconds + solution.durationSeconds >= toSeconds ? each : each - 1;
		for (let j = 0; j <= last; j++) {
			const t = solution.durationSeconds * (j / each) ** 2;
			times.push(solution.startSeconds + t - fromSeconds);
			co2.push(solution.ppmAt(crop, t));
			if (sensor > 0) shown.push(solution.ppmAt(sensor, t));
		}
	};
	propagate(compiled, schedule, toSeconds, window.start ?? initialState(compiled), options, { onSolution });
	const kept = thin(times, sensor > 0 ? [co2, shown] : [co2], points);
	const pick = (values: number[]) => Float64Array.from(kept, (i) => values[i]!);
	return {
		name,
		timesSeconds: pick(times),
		co2Ppm: pick(co2),
		sensorPpm: sensor > 0 ? pick(shown) : null,
		bursts: burstsIn(schedule, fromSeconds, toSeconds),
	};
}

/**
 * Places of at most `most` points that keep the first, the last and, of every equal stretch of time, the highest and the
 * lowest of each series.
 */
export function thin(
	times: ArrayLike<number>,
	series: readonly ArrayLike<number>[],
	maxPoints: number,
): number[] {
	const count = times.length;
	if (count <= maxPoints) return Array.from({ length: count }, (_, place) => place);
	const buckets = Math.max(1, Math.floor((maxPoints - 2) / (2 * series.length)));
	const [begin, end] = [times[0]!, times[count - 1]!];
	const kept = new Set([0]);
	let i = 0;
	for (let bucket = 1; bucket <= buckets; bucket++) {
		const until = begin + ((end - begin) * bucket) / buckets;
		const from = i;
		while (i < count && (times[i]! <= until || bucket === buckets)) i++;
		if (i === from) continue;
		for (const values of series) {
			let [low, high] = [from, from];
			for (let j = from; j < i; j++) {
				if (values[j]! < values[low]!) low = j;
				if (values[j]! > values[high]!) high = j;
			}
			kept.add(low).add(high);
		}
	}
	kept.add(count - 1);
	return [...kept].sort((a, b) => a - b);
}

function burstsIn(
	schedule: Schedule | Timeline,
	from: number,
	to: number,
): { startSeconds: number; endSeconds: number }[] {
	const bursts: { startSeconds: number; endSeconds: number }[] = [];
	for (const { startSeconds, durationSeconds, isOn } of segments(schedule, to)) {
		const endSeconds = startSeconds + durationSeconds - from;
		if (!isOn || endSeconds <= 0) continue;
		const last = bursts.at(-1);
		const start = Math.max(startSeconds - from, 0);
		if (last !== undefined && start - last.endSeconds < 1e-6) last.endSeconds = endSeconds;
		else bursts.push({ startSeconds: start, endSeconds });
	}
	return bursts;
}

/** The curves of the two charts of a comparison. */
export interface ComparisonCurves {
	/** A window of the settled pattern (or of the run) that shows the cycles of every schedule. */
	readonly pattern: readonly Curve[];
	/** Length of that window [s], and the day of the run on which it starts, from 1; null in the settled pattern. */
	readonly patternWindow: { readonly seconds: number; readonly runDay: number | null };
	/** The same window of the best schedule, or the closest, with respiration at the ends of its range; null when no range is known. */
	readonly range: { readonly low: Curve; readonly high: Curve } | null;
	/** The first day from the start. */
	readonly firstDay: readonly Curve[];
}

/** Windows that read well on an axis [s]. */
const WINDOWS = [600, 1200, 1800, 3600, 2 * 3600, 3 * 3600, 4 * 3600, 6 * 3600, 8 * 3600, 12 * 3600, DAY];

/**
 * Curves for the pictures of a comparison.
 *
 * @param comparison as `compareSchedules` gives it
 * @param points most points of a series [-]
 * @param options method and tolerance of the solver
 * @returns curves of a window that shows the pattern, and of the first day: times [s], CO2 [ppm]
 * @throws SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project.
 * @example comparisonCurves(compareSchedules(parseScenario(starterScenario()))).pattern.length // => 3
 */
export function comparisonCurves(
	comparison: Comparison,
	points = DEFAULT_POINTS,
	options: SolverOptions = {},
): ComparisonCurves {
	const { model, schedules } = comparison;
	const compiled = compile(model);
	const daily = schedules.some(({ schedule }) => schedule.kind === "daily") || isTimeVarying(model);
	const longest = Math.max(
		...schedules.map(({ schedule }) => periodSeconds(schedule) ?? lastSwitch(schedule) / 2),
	);
	const length = daily ? DAY : (WINDOWS.find((w) => w >= 2 * longest) ?? DAY);
	// Without a regime the run is shown on the day of its highest peak, the same day for all.
	const from = Math.max(
		...schedules.map(({ summary }) => (summary.basis === "run" ? summary.windowFromSeconds : 0)),
	);
	const day = Math.floor(from / DAY) + 1;
	const patternOf = ({ name, schedule, summary }: ComparedSchedule, of: Model | CompiledModel): Curve => {
		const found = findPeriodicSteadyState(of, schedule, options);
		const start = found.exists ? found.start : initialState(of);
		return sampleCurve(
			name,
			of,
			timelineOf(summary, schedule, from),
			{ fromSeconds: from, toSeconds: from + length, start, points },
			options,
		);
	};
	const pattern = schedules.map((schedule) => patternOf(schedule, compiled));
	const named = schedules.find(({ name }) => name === (comparison.best ?? comparison.closest));
	const rangeEnd = (end: "low" | "high"): Curve | null => {
		const moved = withRespirationAt(comparison.scenario, end);
		return moved === null || named === undefined ? null : patternOf(named, buildModel(moved));
	};
	const [low, high] = [rangeEnd("low"), rangeEnd("high")];
	const firstDay = schedules.map(({ name, schedule }) =>
		sampleCurve(name, compiled, schedule, { fromSeconds: 0, toSeconds: DAY, points }, options),
	);
	const repeats = schedules.every(({ summary }) => summary.basis === "periodic");
	return {
		pattern,
		patternWindow: { seconds: length, runDay: repeats ? null : day },
		range: low === null || high === null ? null : { low, high },
		firstDay,
	};
}

function lastSwitch(schedule: Schedule): number {
	return schedule.kind === "switches" ? (schedule.switchSeconds.at(-1) ?? 0) : 0;
}
