import { balance, type Model, sourceM3PerS } from "../../model/chamber.ts";
import { fanSpeedFraction } from "../../model/fan/fanspeed.ts";
import { type Schedule, segments } from "../../model/schedule/schedule.ts";
import { type LinearSolution, makeConstantSolution, type Transition } from "./linear.ts";
import { type Matrix, multiply, solve } from "./matrix.ts";
import type { ModelState } from "./odex.ts";
import type { Observer } from "./solutionsegment.ts";
import { makeFanTransients, type TransientStep } from "./transient.ts";

/** Part of a segment: its solution, and where in the segment it lies [s]. */
interface SegmentPart {
	readonly solution: LinearSolution;
	readonly fromSeconds: number;
	readonly seconds: number;
}

/** What the segments of one model have in common. */
interface SegmentPropagator {
	/** A segment as pieces: the fan's transient in Taylor steps, then the state that lasts. */
	splitSegment(on: boolean, level: number, seconds: number): SegmentPart[];
	/** A segment as an affine map. */
	computeTransition(on: boolean, level: number, seconds: number): Transition;
}

/** Bursts and lulls come back by the hundred, in one walk and in the next; models do not change. */
const segmentPropagators = new WeakMap<Model, SegmentPropagator>();
const MAX_TRANSITIONS = 4096;

function getSegmentPropagator(model: Model): SegmentPropagator {
	let propagator = segmentPropagators.get(model);
	if (propagator === undefined) {
		propagator = makeSegmentPropagator(model);
		segmentPropagators.set(model, propagator);
	}
	return propagator;
}

function makeSegmentPropagator(model: Model): SegmentPropagator {
	const b = balance(model);
	const n = b.states;
	const source = sourceM3PerS(model, 0, model.intakePpm);
	const [off, on] = [false, true].map((runs) => makeConstantSolution(model.intakePpm, b, source, runs));
	const transients = makeFanTransients(model, b, source);
	const known = new Map<string, Transition>();
	const wholes = new WeakMap<readonly TransientStep[], Transition>();
	const lasting = (runs: boolean) => (runs ? on! : off!);
	const splitSegment = (runs: boolean, level: number, seconds: number) => {
		const found: SegmentPart[] = [];
		let from = 0;
		for (const { solution, untilSeconds } of transients(runs, level)) {
			if (from >= seconds) return found;
			const until = Math.min(untilSeconds, seconds);
			found.push({ solution, fromSeconds: from, seconds: until - from });
			from = until;
		}
		if (from < seconds) found.push({ solution: lasting(runs), fromSeconds: from, seconds: seconds - from });
		return found;
	};
	const composeParts = (list: readonly SegmentPart[]) =>
		list
			.map((part) => part.solution.computeTransition(part.seconds))
			.reduce((first, second) => compose(first, second, n));
	/** A transient that runs to its end is the same before any pause, so it is composed once. */
	const computeTransition = (runs: boolean, level: number, seconds: number) => {
		const steps = transients(runs, level);
		const end = steps.at(-1)?.untilSeconds ?? 0;
		if (end === 0 || end >= seconds) return composeParts(splitSegment(runs, level, seconds));
		let whole = wholes.get(steps);
		if (whole === undefined) {
			whole = composeParts(splitSegment(runs, level, end));
			wholes.set(steps, whole);
		}
		return compose(whole, lasting(runs).computeTransition(seconds - end), n);
	};
	return {
		splitSegment,
		computeTransition(runs, level, seconds) {
			const key = `${runs} ${level} ${seconds}`;
			let whole = known.get(key);
			if (whole === undefined) {
				if (known.size >= MAX_TRANSITIONS) known.clear();
				whole = computeTransition(runs, level, seconds);
				known.set(key, whole);
			}
			return whole;
		},
	};
}

/**
 * A whole segment as an affine map. What a segment keeps of the state is gathered as what it loses, for
 * 1 - M2 M1 = (1 - M2) + M2 (1 - M1) keeps its digits when a short segment loses next to nothing.
 */
function compose(first: Transition, second: Transition, n: number): Transition {
	const later = multiply(second.matrix, first.oneMinusMatrix, n);
	const moved = apply(second, first.input);
	return {
		matrix: multiply(second.matrix, first.matrix, n),
		input: moved,
		oneMinusMatrix: second.oneMinusMatrix.map((x, i) => x + later[i]!),
	};
}

function apply({ matrix, input }: Transition, x: Float64Array): Float64Array {
	const n = input.length;
	const y = Float64Array.from(input);
	for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) y[i]! += matrix[i * n + j]! * x[j]!;
	return y;
}

/**
 * Walks a linear model through a schedule from time 0 and shows each segment as one exact piece, or as a few where the fan
 * takes time to change speed.
 * @returns the instant at the end
 */
export function propagateExact(
	model: Model,
	schedule: Schedule,
	untilSeconds: number,
	start: ModelState,
	{ onSolution, onSegment }: Observer,
): ModelState {
	let state: Float64Array = Float64Array.from(start.state);
	let level = start.fanSpeedFraction;
	const propagator = getSegmentPropagator(model);
	if (onSolution === undefined) {
		for (const { startSeconds, durationSeconds, isOn } of segments(schedule, untilSeconds)) {
			onSegment?.(startSeconds, state);
			state = apply(propagator.computeTransition(isOn, level, durationSeconds), state);
			level = fanSpeedFraction(model, isOn, level, durationSeconds);
		}
		return { state, fanSpeedFraction: level };
	}
	for (const { startSeconds, durationSeconds, isOn } of segments(schedule, untilSeconds)) {
		onSegment?.(startSeconds, state);
		for (const { solution, fromSeconds, seconds } of propagator.splitSegment(isOn, level, durationSeconds)) {
			if (onSolution(solution.makeSegment(startSeconds + fromSeconds, seconds, state)) === "stop")
				return { state, fanSpeedFraction: fanSpeedFraction(model, isOn, level, fromSeconds) };
			state = solution.advance(state, seconds);
		}
		level = fanSpeedFraction(model, isOn, level, durationSeconds);
	}
	return { state, fanSpeedFraction: level };
}

/**
 * State that repeats after a period of a linear model [ppm above supply], if fan or leak move air at all.
 * The map of a period is affine, x → M x + c, so the state is the solution of (1 - M) x = c.
 */
export function solvePeriodMapExact(
	model: Model,
	schedule: Schedule,
	periodSeconds: number,
	startLevel: number,
): Float64Array | null {
	const propagator = getSegmentPropagator(model);
	const n = balance(model).states;
	let oneMinusMatrix: Matrix = new Float64Array(n * n);
	let input: Float64Array = new Float64Array(n);
	let level = startLevel;
	for (const { durationSeconds, isOn } of segments(schedule, periodSeconds)) {
		const segment = propagator.computeTransition(isOn, level, durationSeconds);
		const later = multiply(segment.matrix, oneMinusMatrix, n);
		oneMinusMatrix = segment.oneMinusMatrix.map((x, i) => x + later[i]!);
		input = apply(segment, input);
		level = fanSpeedFraction(model, isOn, level, durationSeconds);
	}
	return solve(oneMinusMatrix, input, n);
}

/**
 * CO2 of the crop's zone at the two switches of a cycle with an instant fan [ppm above supply]: worked out by itself and not
 * kept, for models that are judged once.
 */
export function computeSwitchStates(
	model: Model,
	onSeconds: number,
	offSeconds: number,
): { afterPause: number; afterBurst: number } {
	const b = balance(model);
	const source = sourceM3PerS(model, 0, model.intakePpm);
	const burst = makeConstantSolution(model.intakePpm, b, source, true).computeTransition(onSeconds);
	const pause = makeConstantSolution(model.intakePpm, b, source, false).computeTransition(offSeconds);
	const cycle = compose(burst, pause, b.states);
	const state = solve(cycle.oneMinusMatrix, cycle.input, b.states);
	if (state === null) return { afterPause: Number.POSITIVE_INFINITY, afterBurst: Number.POSITIVE_INFINITY };
	return { afterPause: state[b.crop]!, afterBurst: apply(burst, state)[b.crop]! };
}
