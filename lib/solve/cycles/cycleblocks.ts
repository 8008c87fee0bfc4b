import type { Model, Source } from "../../model/chamber.ts";
import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import type { CycleSchedule } from "../../model/schedule/schedule.ts";
import { makeTimeline, playTimeline } from "../../model/schedule/timeline.ts";
import { sinceMidnight } from "../../time.ts";
import { type CompiledModel, compile } from "../compile.ts";
import { initialState, propagate } from "../propagate/propagate.ts";
import type { SolutionSegment } from "../propagate/solutionsegment.ts";

/** Whole cycles are taken together up to this length [s]: in so short a time a source that goes by the hour hardly bends. */
const MAX_BLOCK_SECONDS = 300;
/** Moments of a burst or a pause that are looked at, crowded after the switch. */
const LOOKS = 12;
/** A parabola through the ends and the middle of a stretch, as the shares of its three values at 0 … 1 of the stretch. */
const PARABOLA: readonly ((u: number) => number)[] = [
	(u) => (1 - u) * (1 - 2 * u),
	(u) => 4 * u * (1 - u),
	(u) => u * (2 * u - 1),
];
/** Of the responses to the source, relative: a picture shows no more. */
const TOLERANCE = 1e-4;

/**
 * A stretch of whole cycles as linear maps of its inputs: the state at its start [ppm above supply], and the source at its start,
 * middle and end [m3/s]. Row by row over the inputs.
 */
export interface CycleBlock {
	readonly seconds: number;
	/** Number of cycles in it. */
	readonly cycles: number;
	readonly inputs: number;
	/** State at its end [ppm above supply]. */
	readonly end: Float64Array;
	/** Moments of its first cycle that are looked at [s], from 0 to the length of the cycle. */
	readonly moments: readonly number[];
	/** Crop's zone and sensor at those moments [ppm above supply], and the integral of the first up to them [ppm s]. */
	readonly crop: Float64Array;
	readonly sensor: Float64Array;
	readonly integral: Float64Array;
}

export function makeCycleBlock(given: Model | CompiledModel, cycle: CycleSchedule): CycleBlock {
	const { model, balance: b } = compile(given);
	const timeline = makeTimeline(cycle);
	const n = b.states;
	const inputs = n + PARABOLA.length;
	const cycleSeconds = cycle.onSeconds + cycle.offSeconds;
	const cycles = Math.max(1, Math.floor(MAX_BLOCK_SECONDS / cycleSeconds));
	const seconds = cycles * cycleSeconds;
	const moments = [...playTimeline(timeline, cycleSeconds)].flatMap(
		({ startSeconds, durationSeconds }, place) =>
			Array.from({ length: LOOKS + (place === 0 ? 1 : 0) }, (_, j) => {
				const k = place === 0 ? j : j + 1;
				return startSeconds + durationSeconds * (k / LOOKS) ** 2;
			}),
	);
	const table = (rows: number) => new Float64Array(rows * inputs);
	const block = {
		seconds,
		cycles,
		inputs,
		end: table(n),
		moments,
		crop: table(moments.length),
		sensor: table(moments.length),
		integral: table(moments.length),
	};
	const fanSpeedFraction = periodicFanSpeedFraction(model, timeline, cycleSeconds);
	const { source: _, ...rest } = model;
	const bare: Model = { ...rest, intakePpm: 0, generationM3PerS: 0 };
	const idle = compile(bare);
	const respond = (column: number, to: CompiledModel, state: Float64Array): void => {
		let next = 0;
		let gathered = 0;
		const onSolution = (solution: SolutionSegment) => {
			const { startSeconds, durationSeconds } = solution;
			for (; next < moments.length && moments[next]! <= startSeconds + durationSeconds + 1e-9; next++) {
				const t = Math.min(Math.max(moments[next]! - startSeconds, 0), durationSeconds);
				const at = next * inputs + column;
				block.crop[at] = solution.ppmAt(b.crop, t);
				if (b.sensor > 0) block.sensor[at] = solution.ppmAt(b.sensor, t);
				block.integral[at] = gathered + solution.integralTo(b.crop, t);
			}
			gathered += solution.integralTo(b.crop, durationSeconds);
		};
		const last = propagate(
			to,
			timeline,
			seconds,
			{ state, fanSpeedFraction },
			{ relativeTolerance: TOLERANCE },
			{ onSolution },
		);
		for (let i = 0; i < n; i++) block.end[i * inputs + column] = last.state[i]!;
	};
	for (let j = 0; j < n; j++) respond(j, idle, new Float64Array(n).with(j, 1));
	// A source that raises the chamber by 1 ppm/s keeps the numbers of a sensible size.
	const unit = model.volumeM3 / 1e6;
	PARABOLA.forEach((shape, k) => {
		const source: Source = {
			m3PerS: (t) => unit * shape(t / seconds),
			isTimeVarying: true,
			isPpmDependent: false,
			breakpointsSeconds: [],
			periodSeconds: null,
			horizonSeconds: seconds,
		};
		respond(n + k, compile({ ...bare, source }), new Float64Array(n));
	});
	for (const rows of [block.end, block.crop, block.sensor, block.integral])
		for (let place = 0; place < rows.length; place++) if (place % inputs >= n) rows[place]! /= unit;
	return block;
}

/** A row of a map times the inputs of stretch k of a run. */
export function applyRow(
	rows: Float64Array,
	row: number,
	{ width, inputs }: BlockSequence,
	k: number,
): number {
	let sum = 0;
	for (let j = 0; j < width; j++) sum += rows[row * width + j]! * inputs[k * width + j]!;
	return sum;
}

/** One stretch after the other: its inputs. */
export interface BlockSequence {
	readonly count: number;
	readonly width: number;
	readonly inputs: Float64Array;
}

/** The run up to a time [s]; a crop that feels the CO2 feels the mean of the stretch before. */
export function propagateBlocks(
	given: Model | CompiledModel,
	source: Source,
	block: CycleBlock,
	untilSeconds: number,
): BlockSequence {
	const compiled = compile(given);
	const { model } = compiled;
	const { seconds, inputs: width, end, moments, integral } = block;
	const n = width - PARABOLA.length;
	const last = moments.length - 1;
	const count = Math.ceil(untilSeconds / seconds);
	const inputs = new Float64Array(count * width);
	inputs.set(initialState(compiled).state);
	const sequence = { count, width, inputs };
	let ppm = model.startPpm ?? model.intakePpm;
	for (let k = 0; k < count; k++) {
		const at = k * width;
		for (let j = 0; j < PARABOLA.length; j++)
			inputs[at + n + j] = source.m3PerS(sinceMidnight((k + j / 2) * seconds), ppm);
		ppm = model.intakePpm + applyRow(integral, last, sequence, k) / moments[last]!;
		if (k + 1 < count) for (let i = 0; i < n; i++) inputs[at + width + i] = applyRow(end, i, sequence, k);
	}
	return sequence;
}

/** Mean of the source over some stretches [m3/s]. */
export function averageSource({ width, inputs }: BlockSequence, from: number, to: number): number {
	let sum = 0;
	for (let k = from; k < to; k++) sum += inputs[(k + 1) * width - 2]!;
	return sum / (to - from);
}
