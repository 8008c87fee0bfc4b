import { periodicFanSpeedFraction } from "../model/fan/deliveredair.ts";
import { shiftTimeline, type Timeline } from "../model/schedule/timeline.ts";
import { DAY, HOUR } from "../time.ts";
import { compile } from "./compile.ts";
import type { CriterionTarget } from "./criterion.ts";
import { withMaximumSource } from "./cycles/maximumsource.ts";
import { periodicState } from "./periodic.ts";
import { identity, type Matrix, multiply } from "./propagate/matrix.ts";
import type { ModelState } from "./propagate/odex.ts";
import { propagate, type SolverOptions, uniformState } from "./propagate/propagate.ts";
import {
	accumulate,
	makeStatsAccumulator,
	type SolutionSegment,
	trimBefore,
} from "./propagate/solutionsegment.ts";
import type { Run } from "./run.ts";
import { maxHourlyMean } from "./worsthour.ts";

/** A window of a run, and what is run. */
export interface RunWindow {
	readonly timeline: Timeline;
	readonly start: ModelState;
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** By which the schedule runs ahead of the one in the file [s]; null where it is that one. */
	readonly shiftSeconds: number | null;
}

/** Timings this far apart are told from each other by a parabola; over a shorter cycle all timings are as good as one [s]. */
const STEP_SECONDS = 3600;
const SHORT_CYCLE_SECONDS = 600;
/** A start is forgotten when this share of it is left, and after so many days it no longer matters that it is too high. */
const FORGOTTEN = 1e-4;
const MAX_WARM_UP_DAYS = 96;

/** By squares. */
function powerOf(m: Matrix, exponent: number, n: number): Matrix {
	if (exponent === 0) return identity(n);
	const half = powerOf(m, Math.floor(exponent / 2), n);
	const square = multiply(half, half, n);
	return exponent % 2 === 0 ? square : multiply(square, m, n);
}

/** What a shift of the schedule comes to. */
interface Timing {
	readonly shiftSeconds: number;
	readonly value: number;
	readonly peakSeconds: number;
}
const UNSHIFTED: Timing = { shiftSeconds: 0, value: 0, peakSeconds: 0 };

/**
 * The window in which a repeating schedule and a source that repeats daily do their worst, where the two periods T and P never meet.
 *
 * Once the start is forgotten, the CO2 at time t depends on the phases (t mod P, t mod T) alone, and is continuous in them. As the
 * run goes on, every pair of phases comes as near as one likes, so the supremum of the run is the maximum over all pairs. These are
 * the times of a window of max(T, P), for every shift of the schedule in [0, min(T, P)): shifts are tried an hour apart, which is short
 * against what a day changes, and a parabola is laid through the best and its neighbours, twice. A cycle of minutes needs one: by its
 * length h the maximum is off by at most f'' h²/8, 0.005 % of the excess for a swing of 2 K. Each run begins as high as the highest
 * source held for ever would bring it; more CO2 never means less later, so what is not forgotten errs upwards.
 */
export function findWorstPhase(
	{ compiled, timeline }: Run,
	statistic: CriterionTarget["statistic"],
	options: SolverOptions,
): RunWindow {
	const { intakePpm, source } = compiled.model;
	const { crop } = compiled.balance;
	const bound = compile(withMaximumSource(compiled.model));
	const held = periodicState(bound, timeline);
	const highest = held.exists
		? Math.max(held.peakPpm, held.mixed.peakPpm, held.stagnant?.peakPpm ?? 0)
		: intakePpm;
	const start = uniformState(compiled, highest);
	const own = timeline.periodSeconds!;
	const warmUp = DAY * findWarmUpDays();
	const day = source?.isTimeVarying ? source.periodSeconds! : DAY;
	const seconds = DAY * Math.ceil(Math.max(own, day) / DAY);
	const shorter = Math.min(own, day);
	const shifts = own <= SHORT_CYCLE_SECONDS ? 1 : Math.max(3, Math.ceil(shorter / STEP_SECONDS));

	// The balance forgets alike whatever the source, and faster where the CO2 slows it: a difference of states has a map of its own,
	// whose power serves all whole periods.
	function findWarmUpDays(): number {
		const n = bound.balance.states;
		const fanSpeedFraction = periodicFanSpeedFraction(bound.model, timeline, own);
		const after = (difference: Float64Array, seconds: number): Float64Array => {
			const [a, b] = [difference, new Float64Array(n)].map(
				(state) => propagate(bound, timeline, seconds, { state, fanSpeedFraction }).state,
			);
			return Float64Array.from(a!, (x, i) => x - b![i]!);
		};
		const columns = Array.from({ length: n }, (_, j) => after(new Float64Array(n).with(j, 1), own));
		const period = Float64Array.from({ length: n * n }, (_, e) => columns[e % n]![Math.floor(e / n)]!);
		for (let days = 3; days < MAX_WARM_UP_DAYS; days *= 2) {
			const periods = Math.floor((days * DAY) / own);
			const map = powerOf(period, periods, n);
			const left = Float64Array.from({ length: n }, (_, i) =>
				map.subarray(i * n, (i + 1) * n).reduce((sum, x) => sum + x, 0),
			);
			const rest = after(left, days * DAY - periods * own);
			const span = highest - intakePpm;
			if (rest.every((x) => Math.abs(x) * span <= FORGOTTEN * span)) return days;
		}
		return MAX_WARM_UP_DAYS;
	}

	const evaluate = (shiftSeconds: number): Timing => {
		const seen = makeStatsAccumulator();
		const hour = maxHourlyMean(crop);
		const onSolution = (whole: SolutionSegment) => {
			const solution = trimBefore(whole, warmUp);
			if (solution === null) return;
			accumulate(seen, solution, crop, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
			if (statistic === "worst hour") hour.add(solution);
		};
		const until = warmUp + seconds + (statistic === "worst hour" ? HOUR : 0);
		const shown = { onSolution, fromSeconds: warmUp };
		propagate(compiled, shiftTimeline(timeline, shiftSeconds), until, start, options, shown);
		const value =
			statistic === "peak"
				? seen.peakPpm
				: statistic === "mean"
					? seen.integral / seen.durationSeconds
					: hour.meanPpm(false);
		return { shiftSeconds, value, peakSeconds: seen.peakSeconds };
	};
	const better = (a: Timing, b: Timing) => (b.value > a.value ? b : a);
	let best =
		shifts === 1
			? UNSHIFTED
			: Array.from({ length: shifts }, (_, i) => evaluate((i * shorter) / shifts)).reduce(better);
	for (const step of shifts === 1 ? [] : [shorter / shifts, shorter / shifts / 8]) {
		const [left, right] = [evaluate(best.shiftSeconds - step), evaluate(best.shiftSeconds + step)];
		const curvature = left.value - 2 * best.value + right.value;
		const vertex = curvature < 0 ? (left.value - right.value) / (2 * curvature) : 0;
		best = [left, right, evaluate(best.shiftSeconds + vertex * step)].reduce(better, best);
	}
	// A picture of the first day is to show the peak.
	const fromSeconds =
		statistic === "mean" || shifts === 1 ? warmUp : DAY * Math.floor(best.peakSeconds / DAY);
	return {
		timeline: shiftTimeline(timeline, best.shiftSeconds),
		start,
		fromSeconds,
		toSeconds: fromSeconds + seconds,
		shiftSeconds: best.shiftSeconds,
	};
}
