import type { Model, Source } from "../model/chamber.ts";
import type { CycleSchedule, Schedule } from "../model/schedule/schedule.ts";
import { segments } from "../model/schedule/timeline.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { compile } from "../solve/compile.ts";
import { evaluateCriterion, exceedanceOf, penaltyOf } from "../solve/criterion.ts";
import {
	applyRow,
	averageSource,
	type BlockSequence,
	type CycleBlock,
	makeCycleBlock,
	propagateBlocks,
} from "../solve/cycles/cycleblocks.ts";
import { withMaximumSource } from "../solve/cycles/maximumsource.ts";
import type { ConcentrationStats } from "../solve/propagate/solutionsegment.ts";
import type { Summary } from "../solve/summary.ts";
import { DAY, HOUR } from "../time.ts";
import { evaluateAir } from "./comparison.ts";
import { type Curve, thin } from "./curves.ts";

/** Days after which the start no longer matters under a source that repeats daily. */
const WARM_UP_DAYS = 3;

/** What is shown of a schedule while it is dragged. */
export interface Preview {
	readonly summary: Summary;
	/** A day, or a shorter run, by the clock. */
	readonly curve: Curve;
	/** The model with the mean of the source held. */
	readonly even: Model;
}

/** Whether a schedule of a model takes so long to evaluate that a preview is worth while. */
export const isSlow = (model: Model, schedule: Schedule): schedule is CycleSchedule =>
	model.source?.isTimeVarying === true &&
	model.intakeExcess === undefined &&
	schedule.kind === "cycle" &&
	schedule.onSeconds > 0 &&
	schedule.offSeconds > 0;

/** First and last block, the last not included, of the window: as `summarize` chooses it, but the settled pattern is a late day of a run. */
function windowOf(sequence: BlockSequence, source: Source, { seconds, crop, moments }: CycleBlock) {
	const place = (time: number) => Math.min(Math.round(time / seconds), sequence.count);
	if (source.periodSeconds !== null) return { from: place(WARM_UP_DAYS * DAY), to: sequence.count };
	let [peak, at] = [Number.NEGATIVE_INFINITY, 0];
	for (let k = 0; k < sequence.count; k++) {
		const excess = applyRow(crop, moments.length - 1, sequence, k);
		if (excess > peak) [peak, at] = [excess, k];
	}
	const lastDay = Math.max(0, Math.floor((sequence.count * seconds) / DAY - 1e-9) * DAY - DAY);
	const from = Math.min(Math.floor((at * seconds) / DAY) * DAY, lastDay);
	return { from: place(from), to: Math.min(Math.ceil((from + DAY) / seconds), sequence.count) };
}

/** Straight lines through points, asked in ascending order. */
function interpolator(at: readonly number[], values: readonly number[]): (t: number) => number {
	let place = 0;
	return (t) => {
		while (at[place + 1]! < t) place++;
		const share = (t - at[place]!) / (at[place + 1]! - at[place]!);
		return values[place]! + share * (values[place + 1]! - values[place]!);
	};
}

/** Highest mean over an hour of an integral that is known at some times [ppm]; the mean of all where that is shorter. */
function maxHourlyMean(at: readonly number[], total: readonly number[]): number {
	const [begin, end] = [at[0]!, at.at(-1)!];
	if (end - begin <= HOUR) return total.at(-1)! / (end - begin);
	let best = Number.NEGATIVE_INFINITY;
	const [ahead, behind] = [interpolator(at, total), interpolator(at, total)];
	at.forEach((node, i) => {
		if (node + HOUR <= end) best = Math.max(best, ahead(node + HOUR) - total[i]!);
		if (node - HOUR >= begin) best = Math.max(best, total[i]! - behind(node - HOUR));
	});
	return best / HOUR;
}

/** Share of a straight line from a to b that lies above a level [0..1]. */
const shareAbove = (a: number, b: number, level: number): number =>
	a === b ? Number(a > level) : Math.min(1, Math.max(0, (Math.max(a, b) - level) / Math.abs(b - a)));

/** Peak, mean, trough of values whose mean is known. */
function computeSampleStats(values: Float64Array, meanPpm: number): ConcentrationStats {
	let [peakPpm, troughPpm] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
	for (let i = 0; i < values.length; i++) {
		if (values[i]! > peakPpm) peakPpm = values[i]!;
		if (values[i]! < troughPpm) troughPpm = values[i]!;
	}
	return { peakPpm, meanPpm, troughPpm, ripplePpm: peakPpm - troughPpm };
}

/** The window as a curve, of every block its first cycle, and the statistics that depend on the source. */
function sampleWindow(
	model: Model,
	block: CycleBlock,
	sequence: BlockSequence,
	{ from, to }: { readonly from: number; readonly to: number },
	{ ceilingPpm, floorPpm }: Summary["criterion"],
) {
	const intakePpm = model.intakePpm;
	const { seconds, cycles, moments, crop, sensor, integral } = block;
	const windowSeconds = (to - from) * seconds;
	const count = (to - from) * moments.length;
	const timesSeconds = new Float64Array(count);
	const co2Ppm = new Float64Array(count);
	const sensorPpm = compile(model).balance.sensor > 0 ? new Float64Array(count) : null;
	const [nodes, integrals] = [[0], [0]];
	let [total, sensed, above, below] = [0, 0, 0, 0];
	for (let k = from; k < to; k++) {
		const origin = (k - from) * seconds;
		for (let i = 0; i < moments.length; i++) {
			const moment = moments[i]!;
			const place = (k - from) * moments.length + i;
			timesSeconds[place] = origin + moment;
			co2Ppm[place] = intakePpm + applyRow(crop, i, sequence, k);
			if (sensorPpm !== null) sensorPpm[place] = intakePpm + applyRow(sensor, i, sequence, k);
			if (i === 0) continue;
			const [a, b] = [co2Ppm[place - 1]!, co2Ppm[place]!];
			const span = cycles * (moment - moments[i - 1]!);
			above += span * shareAbove(a, b, ceilingPpm);
			if (floorPpm !== null) below += span * (1 - shareAbove(a, b, floorPpm));
			if (sensorPpm !== null) sensed += (span * (sensorPpm[place - 1]! + sensorPpm[place]!)) / 2;
			if (cycles > 1) continue;
			nodes.push(origin + moment);
			integrals.push(total + intakePpm * moment + applyRow(integral, i, sequence, k));
		}
		total += intakePpm * seconds + cycles * applyRow(integral, moments.length - 1, sequence, k);
		if (cycles === 1) continue;
		nodes.push(origin + seconds);
		integrals.push(total);
	}
	return {
		timesSeconds,
		co2Ppm,
		sensorPpm,
		own: computeSampleStats(co2Ppm, total / windowSeconds),
		sensor: sensorPpm === null ? null : computeSampleStats(sensorPpm, sensed / windowSeconds),
		maxHourlyMeanPpm: maxHourlyMean(nodes, integrals),
		aboveSeconds: above,
		belowSeconds: floorPpm === null ? null : below,
	};
}

/** Bursts of a window that begins `shift` after a midnight [s]. */
const listBursts = (cycle: CycleSchedule, shift: number, windowSeconds: number): Curve["bursts"] =>
	[...segments(cycle, windowSeconds)].flatMap(({ startSeconds, durationSeconds, isOn }) => {
		const start = startSeconds + shift;
		return isOn && start + durationSeconds > 0
			? [{ startSeconds: Math.max(start, 0), endSeconds: start + durationSeconds }]
			: [];
	});

/**
 * What a cycle does under a source that changes over hours, to about a ppm, in a few milliseconds: the balance is linear in the CO2
 * and, over some minutes, the source a parabola, so that a block of cycles is one small map, calculated once.
 *
 * @param points most points of the curve
 */
export function previewSchedule(
	scenario: Scenario,
	model: Model,
	cycle: CycleSchedule,
	points: number,
): Preview {
	const source = model.source!;
	const intakePpm = model.intakePpm;
	const block = makeCycleBlock(model, cycle);
	const until =
		source.periodSeconds === null
			? Math.ceil(Math.max(source.horizonSeconds, HOUR) / HOUR) * HOUR
			: (WARM_UP_DAYS + 1) * DAY;
	const sequence = propagateBlocks(model, source, block, until);
	const { from, to } = windowOf(sequence, source, block);
	const windowFromSeconds = from * block.seconds;
	const windowSeconds = (to - from) * block.seconds;

	// Blocks seldom begin with the day.
	const shift = windowFromSeconds - DAY * Math.round(windowFromSeconds / DAY);
	// What does not depend on the source is that of the highest one.
	const steady = withMaximumSource(model);
	const held = evaluateAir(scenario, steady, cycle);
	const seen = sampleWindow(model, block, sequence, { from, to }, held.criterion);
	const { timesSeconds, co2Ppm, sensorPpm, own, sensor, maxHourlyMeanPpm, aboveSeconds, belowSeconds } = seen;
	const kept = thin(timesSeconds, sensorPpm === null ? [co2Ppm] : [co2Ppm, sensorPpm], points);
	const continuousPpm =
		held.continuousPpm === null || steady.generationM3PerS === 0
			? held.continuousPpm
			: intakePpm +
				((held.continuousPpm - intakePpm) * averageSource(sequence, from, to)) / steady.generationM3PerS;
	return {
		even: { ...steady, generationM3PerS: averageSource(sequence, 0, sequence.count) },
		summary: {
			...held,
			...own,
			windowFromSeconds,
			windowSeconds,
			maxHourlyMeanPpm,
			criterion: evaluateCriterion({ ...own, maxHourlyMeanPpm }, held.criterion, model),
			...exceedanceOf(aboveSeconds, belowSeconds, windowSeconds),
			...penaltyOf(own, continuousPpm),
			sensor,
		},
		curve: {
			name: "",
			timesSeconds: Float64Array.from(kept, (i) => timesSeconds[i]! + shift),
			co2Ppm: Float64Array.from(kept, (i) => co2Ppm[i]!),
			sensorPpm: sensorPpm && Float64Array.from(kept, (i) => sensorPpm[i]!),
			bursts: listBursts(cycle, shift, windowSeconds),
		},
	};
}
