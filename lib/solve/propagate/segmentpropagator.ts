import type { Balance, Model } from "../../model/chamber.ts";
import { type LinearSolution, makeConstantSolution, type Transition } from "./linear.ts";
import { multiply } from "./matrix.ts";
import { makeFanTransients, type TransientStep } from "./transient.ts";

/** Part of a segment: its solution, where in the segment it lies, and when after the start of its solution it begins [s]. */
export interface SegmentPart {
	readonly solution: LinearSolution;
	readonly fromSeconds: number;
	readonly seconds: number;
	readonly offset: number;
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
	/** By fan state and length of the segment: the last one, with the fan's speed at its start. */
	const known = [false, true].map(() => new Map<number, { level: number; whole: Transition }>());
	/** From the start of each step of a transient to its end. */
	const tails = new Map<readonly TransientStep[], Transition[]>();
	const splitSegment = (runs: boolean, level: number, seconds: number) => {
		const { steps, startSeconds } = transients(runs, level);
		const found: SegmentPart[] = [];
		let from = 0;
		for (const { solution, fromSeconds, untilSeconds } of steps) {
			if (from >= seconds) break;
			const until = Math.min(untilSeconds - startSeconds, seconds);
			if (until <= from) continue;
			const offset = from === 0 ? startSeconds - fromSeconds : 0;
			found.push({ solution, fromSeconds: from, seconds: until - from, offset });
			from = until;
		}
		const lasting = { solution: runs ? on! : off!, fromSeconds: from, seconds: seconds - from, offset: 0 };
		if (from < seconds) found.push(lasting);
		return found;
	};
	const composeParts = (parts: readonly SegmentPart[]) =>
		parts
			.map(({ solution, seconds, offset }) => solution.computeTransition(seconds, offset))
			.reduce((first, second) => compose(first, second, n));
	/** A transient that runs to its end is, from its second step on, the same before any pause. */
	const computeTransition = (runs: boolean, level: number, seconds: number) => {
		const parts = splitSegment(runs, level, seconds);
		const { steps } = transients(runs, level);
		const last = parts.at(-1)!;
		if (parts.length < 4 || last.solution !== (runs ? on : off)) return composeParts(parts);
		let tail = tails.get(steps);
		if (tail === undefined) {
			tail = steps.map(({ solution, fromSeconds, untilSeconds }) =>
				solution.computeTransition(untilSeconds - fromSeconds),
			);
			for (let k = tail.length - 2; k >= 0; k--) tail[k] = compose(tail[k]!, tail[k + 1]!, n);
			tails.set(steps, tail);
		}
		const first = composeParts(parts.slice(0, 1));
		const rest = tail[steps.length - (parts.length - 2)]!;
		return compose(compose(first, rest, n), last.solution.computeTransition(last.seconds), n);
	};
	return {
		splitSegment,
		computeTransition(runs, level, seconds) {
			const kept = known[runs ? 1 : 0]!;
			const found = kept.get(seconds);
			if (found?.level === level) return found.whole;
			if (kept.size >= MAX_TRANSITIONS) kept.clear();
			const whole = computeTransition(runs, level, seconds);
			kept.set(seconds, { level, whole });
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
	const y = new Float64Array(n);
	for (let i = 0; i < n; i++) {
		let sum = input[i]!;
		for (let j = 0; j < n; j++) sum += matrix[i * n + j]! * x[j]!;
		y[i] = sum;
	}
	return y;
}
