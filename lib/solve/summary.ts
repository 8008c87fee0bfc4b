import { type Fault, show } from "../errors.ts";
import type { Model } from "../model/chamber.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { burstsPerDay, makeTimeline, shiftTimeline, type Timeline } from "../model/schedule/timeline.ts";
import { DAY, HOUR } from "../time.ts";
import type { CompiledModel } from "./compile.ts";
import { continuousState, meanDeliveredM3PerS } from "./continuous.ts";
import {
	type Criterion,
	type CriterionTarget,
	type Exceedance,
	evaluateCriterion,
	exceedanceOf,
	type IntermittencyPenalty,
	penaltyOf,
	type TargetLimit,
} from "./criterion.ts";
import { findPeriodicStart, type NoPeriodicState, type PeriodicStart } from "./periodic.ts";
import type { ModelState } from "./propagate/odex.ts";
import { findSolverFaults, initialState, propagate, type SolverOptions } from "./propagate/propagate.ts";
import {
	accumulate,
	type ConcentrationStats,
	computeStats,
	makeStatsAccumulator,
	type SolutionSegment,
	trimBefore,
} from "./propagate/solutionsegment.ts";
import { checkOptionsObject, findNumberFault, prepareRun, type Run } from "./run.ts";
import { maxHourlyMean } from "./worsthour.ts";
import { findWorstPhase, type RunWindow } from "./worstphase.ts";

/** What a schedule does to the CO2 in the zone of the crop, and what it costs. */
export interface Summary extends ConcentrationStats, Exceedance, IntermittencyPenalty {
	/** The values describe the settled pattern or, when there is none, the day of a run on which its peak occurs, or the worst timing of cycle and day. */
	readonly basis: "periodic" | "run";
	/** That period, or that day (or shorter run): its start and its length [s]. */
	readonly windowFromSeconds: number;
	readonly windowSeconds: number;
	/** Zone of the crop: the one with most of the source. */
	readonly zone: "mixed" | "stagnant";
	/** Highest mean over any 60 min [ppm]. */
	readonly maxHourlyMeanPpm: number;
	readonly criterion: Criterion;
	/** First time above the ceiling from a fresh start [s]; null: never. */
	readonly firstExceedanceSeconds: number | null;
	/** From a fresh start to the first switch after which the difference to the regime stays under 1 % of the peak's excess [s]; null: no regime. */
	readonly settlingSeconds: number | null;
	readonly burstsPerDay: number;
	/** Delivered (mixing-corrected) air of one burst over the free volume [-]; null when there is no burst. */
	readonly airChangesPerBurst: number | null;
	/** Fraction of the air that one burst replaces, 1 - exp(-n) [0..1]; null when there is no burst. */
	readonly replacedFraction: number | null;
	/** Air changes per hour by the fan, averaged over time [1/h]. */
	readonly airChangesPerHour: number;
	/** Air through the fan per day [m3/day], leakage not counted. */
	readonly freshAirM3PerDay: number;
	/** Leakage per day [m3/day]. */
	readonly infiltrationM3PerDay: number;
	/** As the sensor shows it, through its lag; null when the model has no sensor. */
	readonly sensor: ConcentrationStats | null;
	/** Why no pattern settles, and whether the window is the day of the highest peak; null where one settles. */
	readonly noPeriodicState: {
		readonly cause: NoPeriodicState["cause"];
		readonly isPeakDay: boolean;
		/** By which the schedule in the window runs ahead of the file's, where its timing against the day is the worst one [s]. */
		readonly shiftSeconds: number | null;
	} | null;
}

export interface SummaryOptions extends SolverOptions {
	/** [ppm] */
	readonly ceilingPpm: number;
	/** Lower end of a wanted band [ppm]. */
	readonly floorPpm?: number;
	/** Figure that is held against the ceiling. Default: peak. */
	readonly statistic?: "peak" | "mean" | "worst hour";
	/** Figure that is held against the floor. Default: mean. */
	readonly floorStatistic?: "mean" | "trough" | "peak";
	/** Other ceilings and floors, all to be kept. */
	readonly further?: readonly TargetLimit[];
}

/** No search for the first time above, or for settling, goes further. */
const MAX_SEARCH_SECONDS = 60 * DAY;

/**
 * The figures of merit of one schedule in one chamber: of the periodic steady state, or of a run when there is none.
 *
 * @param given the mass balance
 * @param schedule when the fan is on
 * @param options ceiling and floor [ppm], the criterion, method and tolerance of the solver
 * @returns CO2 [ppm], times [s], air [m3/day], air changes [1/h]
 * @throws InputError for a model, schedule or target that makes no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project.
 * @example summarize({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "cycle", onSeconds: 12, offSeconds: 540 }, { ceilingPpm: 1000 }).burstsPerDay.toFixed(1) // => "156.5"
 */
export function summarize(
	given: Model | CompiledModel,
	schedule: Schedule | Timeline,
	options: SummaryOptions,
): Summary {
	checkOptionsObject(options, "summarize");
	const { ceilingPpm, floorPpm, statistic = "peak", floorStatistic, further } = options;
	const run = prepareRun(given, schedule, findSummaryFaults(options));
	const { compiled, timeline } = run;
	const { model, balance: b } = compiled;
	const found = findPeriodicStart(run, options);
	const window = found.exists ? periodOf(run, found) : findWindow(run, found, statistic, options);
	const { fromSeconds, toSeconds } = window;
	const crop = makeStatsAccumulator();
	const sensor = makeStatsAccumulator();
	const hour = maxHourlyMean(b.crop);
	// The worst timing may have its worst hour around the midnight at which the window begins.
	const hourFromSeconds = fromSeconds - (window.shiftSeconds === null ? 0 : HOUR);
	const onSolution = (whole: SolutionSegment) => {
		const hourly = trimBefore(whole, hourFromSeconds);
		if (hourly !== null) hour.add(hourly);
		const solution = trimBefore(whole, fromSeconds);
		if (solution === null) return;
		accumulate(crop, solution, b.crop, ceilingPpm, floorPpm ?? Number.NEGATIVE_INFINITY);
		if (b.sensor > 0)
			accumulate(sensor, solution, b.sensor, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
	};
	const shown = { onSolution, fromSeconds: Math.min(fromSeconds, hourFromSeconds) };
	propagate(compiled, window.timeline, toSeconds, window.start, options, shown);
	const own = computeStats(crop);
	const maxHourlyMeanPpm = hour.meanPpm(found.exists);
	const target: CriterionTarget = {
		statistic,
		ceilingPpm,
		floorPpm: floorPpm ?? null,
		...(floorStatistic === undefined ? {} : { floorStatistic }),
		...(further === undefined ? {} : { further }),
	};
	const deliveredM3PerS = meanDeliveredM3PerS(compiled, timeline, toSeconds);
	const bursts = burstsPerDay(timeline, toSeconds);
	const perBurst =
		bursts > 0 ? ((model.mixingEfficiency ?? 1) * deliveredM3PerS * DAY) / bursts / model.volumeM3 : null;
	const continuousPpm = continuousState(compiled, timeline, { fromSeconds, toSeconds });
	return {
		...own,
		basis: found.exists ? "periodic" : "run",
		windowFromSeconds: fromSeconds,
		windowSeconds: toSeconds - fromSeconds,
		zone: b.crop === 0 ? "mixed" : "stagnant",
		maxHourlyMeanPpm,
		criterion: evaluateCriterion({ ...own, maxHourlyMeanPpm }, target, model),
		...exceedanceOf(
			crop.aboveSeconds,
			floorPpm === undefined ? null : crop.belowSeconds,
			crop.durationSeconds,
		),
		firstExceedanceSeconds: findFirstExceedance(
			run,
			options,
			own.peakPpm,
			found.exists || window.shiftSeconds !== null ? MAX_SEARCH_SECONDS : toSeconds,
		),
		settlingSeconds: found.exists ? findSettlingSeconds(run, found, own.peakPpm, options) : null,
		burstsPerDay: bursts,
		airChangesPerBurst: perBurst,
		replacedFraction: perBurst === null ? null : -Math.expm1(-perBurst),
		airChangesPerHour: ((model.mixingEfficiency ?? 1) * deliveredM3PerS * 3600) / model.volumeM3,
		freshAirM3PerDay: deliveredM3PerS * DAY,
		infiltrationM3PerDay: model.infiltrationM3PerS * DAY,
		...penaltyOf(own, continuousPpm),
		sensor: b.sensor > 0 ? computeStats(sensor) : null,
		noPeriodicState: found.exists
			? null
			: { cause: found.cause, isPeakDay: isPeakDay(found, window), shiftSeconds: window.shiftSeconds },
	};
}

/** One period of a regime. */
const periodOf = ({ timeline }: Run, { start, periodSeconds }: PeriodicStart): RunWindow => ({
	timeline,
	start,
	fromSeconds: 0,
	toSeconds: periodSeconds,
	shiftSeconds: null,
});

/** Of a run without a regime the day on which the peak is reached; the first day when nothing carries CO2 away. */
function findWindow(
	run: Run,
	{ cause }: NoPeriodicState,
	statistic: Criterion["statistic"],
	options: SolverOptions,
): RunWindow {
	if (cause === "incommensurate periods") return findWorstPhase(run, statistic, options);
	const { compiled, timeline } = run;
	const { model, balance } = compiled;
	const start = initialState(compiled);
	const window = (fromSeconds: number, toSeconds: number): RunWindow => ({
		timeline,
		start,
		fromSeconds,
		toSeconds,
		shiftSeconds: null,
	});
	if (cause === "no air") return window(0, DAY);
	const lastSwitch = timeline.segments.at(-1)!.startSeconds;
	const horizon = model.source?.isTimeVarying ? model.source.horizonSeconds : 0;
	const end = Math.ceil(Math.max(lastSwitch + 1, horizon, 3600) / 3600) * 3600;
	if (end <= DAY) return window(0, end);
	const whole = makeStatsAccumulator();
	const onSolution = (solution: SolutionSegment) =>
		accumulate(whole, solution, balance.crop, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
	propagate(compiled, timeline, end, start, options, { onSolution });
	const from = Math.min(Math.floor(whole.peakSeconds / DAY) * DAY, end - DAY);
	return window(from, from + DAY);
}

/** Whether a window of a run is the day of its peak. */
const isPeakDay = (
	{ cause }: NoPeriodicState,
	{ fromSeconds, toSeconds, shiftSeconds }: RunWindow,
): boolean => toSeconds - fromSeconds >= DAY && cause !== "no air" && shiftSeconds === null;

/** The schedule as it runs in the window of a summary, for a run that shows that window from another moment on [s]. */
export function timelineOf(
	summary: Summary,
	schedule: Schedule,
	fromSeconds = summary.windowFromSeconds,
): Timeline {
	const shift = summary.noPeriodicState?.shiftSeconds ?? null;
	const timeline = makeTimeline(schedule);
	return shift === null ? timeline : shiftTimeline(timeline, shift + summary.windowFromSeconds - fromSeconds);
}

const STATISTICS: readonly unknown[] = ["peak", "mean", "worst hour"];

function findSummaryFaults(options: SummaryOptions): Fault[] {
	const { ceilingPpm, floorPpm, statistic } = options;
	const isNoNaN = (x: number) => !Number.isNaN(x);
	return [
		...findNumberFault("ceilingPpm", ceilingPpm, "a level in ppm", isNoNaN),
		...(floorPpm === undefined ? [] : findNumberFault("floorPpm", floorPpm, "a level in ppm", isNoNaN)),
		...(statistic === undefined || STATISTICS.includes(statistic)
			? []
			: [{ message: `statistic needs "peak", "mean" or "worst hour", got ${show(statistic)}` }]),
		...findSolverFaults(options),
	];
}

/** First time above the ceiling from a fresh start [s]. */
function findFirstExceedance(
	{ compiled, timeline }: Run,
	options: SummaryOptions,
	peak: number,
	untilSeconds: number,
): number | null {
	const start = initialState(compiled);
	const { crop } = compiled.balance;
	const from = compiled.model.intakePpm + start.state[crop]!;
	// From below, a run stays below the regime, for more CO2 now never means less later; a run without a regime has the peak seen.
	if (from <= options.ceilingPpm && peak <= options.ceilingPpm) return null;
	const seen = makeStatsAccumulator();
	const onSolution = (solution: SolutionSegment) => {
		accumulate(seen, solution, crop, options.ceilingPpm, Number.NEGATIVE_INFINITY);
		return seen.firstExceedanceSeconds === null ? undefined : "stop";
	};
	propagate(compiled, timeline, untilSeconds, start, options, { onSolution });
	return seen.firstExceedanceSeconds;
}

/** Time from a fresh start to the first switch after which the difference to the regime is under 1 % of the peak's excess [s]. */
function findSettlingSeconds(
	run: Run,
	steadyState: PeriodicStart,
	peakPpm: number,
	options: SolverOptions,
): number | null {
	const { compiled, timeline } = run;
	const { crop } = compiled.balance;
	const small = 0.01 * Math.max(peakPpm - compiled.model.intakePpm, 1e-9);
	const away = (x: Float64Array) => Math.abs(x[crop]! - steadyState.start.state[crop]!);
	let before = initialState(compiled);
	if (away(before.state) <= small) return 0;
	for (let elapsed = 0; elapsed < MAX_SEARCH_SECONDS; elapsed += steadyState.periodSeconds) {
		const next = propagate(compiled, timeline, steadyState.periodSeconds, before, options);
		if (away(next.state) <= small) {
			// Within that period, the switch at which the two came together.
			const fresh = atSwitches(run, steadyState.periodSeconds, before, options);
			const settled = atSwitches(run, steadyState.periodSeconds, steadyState.start, options);
			const last = fresh.findLastIndex(
				({ state }, i) => Math.abs(state[crop]! - settled[i]!.state[crop]!) > small,
			);
			return elapsed + (fresh[last + 1]?.seconds ?? steadyState.periodSeconds);
		}
		before = next;
	}
	return null;
}

/** State at the start of each segment. */
function atSwitches(
	{ compiled, timeline }: Run,
	untilSeconds: number,
	start: ModelState,
	options: SolverOptions,
): { seconds: number; state: Float64Array }[] {
	const found: { seconds: number; state: Float64Array }[] = [];
	const onSegment = (seconds: number, state: ArrayLike<number>) =>
		found.push({ seconds, state: Float64Array.from(state) });
	propagate(compiled, timeline, untilSeconds, start, options, { onSegment });
	return found;
}
