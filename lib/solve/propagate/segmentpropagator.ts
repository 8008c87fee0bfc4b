import type { Balance, Model } from "../../model/chamber.ts";
import { type LinearSolution, makeConstantSolution, type Transition } from "./linear.ts";
import { multiply } from "./matrix.ts";
import { makeFanTransients, type TransientStep } from "./transient.ts";

/** Part of a segment: its solution, and where in the segment it lies [s]. */
export interface SegmentPart {
	readonly solution: LinearSolution;
	readonly fromSeconds: number;
	readonly seconds: number;
}

/** What the segments of one model have in common. */
export interface SegmentPropagator {
	/** A segment as pieces: the fan's transient in Taylor steps, then the state that lasts. */
	splitSegment(on: boolean, level: number, seconds: number): SegmentPart[];
	/** A segment as an affine map. */
	computeTransition(on: boolean, level: number, seconds: number): Transition;
}

const MAX_TRANSITIONS = 4096;

/** Bursts and pauses come back by the hundred, in one run and in the next, so what was worked out is kept. */
export function makeSegmentPropagator(model: Model, b: Balance, source: number): SegmentPropagator {
	const n = b.states;
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
export function compose(first: Transition, second: Transition, n: number): Transition {
	const later = multiply(second.matrix, first.oneMinusMatrix, n);
	const moved = applyTransition(second, first.input);
	return {
		matrix: multiply(second.matrix, first.matrix, n),
		input: moved,
		oneMinusMatrix: second.oneMinusMatrix.map((x, i) => x + later[i]!),
	};
}

export function applyTransition({ matrix, input }: Transition, x: Float64Array): Float64Array {
	const n = input.length;
	const y = Float64Array.from(input);
	for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) y[i]! += matrix[i * n + j]! * x[j]!;
	return y;
}
