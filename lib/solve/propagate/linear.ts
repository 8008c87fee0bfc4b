import type { Balance } from "../../model/chamber.ts";
import { power } from "../../power.ts";
import { findRoot } from "../root.ts";
import { exponential, type Matrix } from "./matrix.ts";
import { phi1, phi2 } from "./phi.ts";
import type { SolutionSegment } from "./solutionsegment.ts";
import { systemMatrix } from "./systemmatrix.ts";
import { makeTwoZonePhase } from "./twozones.ts";

/** The exact solution over a stretch of time in which the balance is linear. State in ppm above the supply air. */
export interface LinearSolution {
	/** The piece that starts from a state. @param from when, after its own start [s], where the fan's speed changes meanwhile */
	makeSegment(
		startSeconds: number,
		durationSeconds: number,
		state: Float64Array,
		from?: number,
	): SolutionSegment;
	/** State after a time [s]. */
	advance(state: Float64Array, seconds: number, from?: number): Float64Array;
	/** The same as a map. */
	computeTransition(seconds: number, from?: number): Transition;
}

/** state → map · state + add, with lost = 1 - map, which keeps its digits when little is lost. */
export interface Transition {
	readonly matrix: Matrix;
	readonly input: Float64Array;
	readonly oneMinusMatrix: Matrix;
}

/**
 * The solution while fan and source stay as they are.
 * @param source CO2 given off [m3/s]
 */
export function makeConstantSolution(
	intakePpm: number,
	b: Balance,
	source: number,
	on: boolean,
): LinearSolution {
	if (b.states === 1) return makeOneStateSolution(intakePpm, b, source, on);
	return b.states === 2 && b.stagnant > 0
		? makeTwoZoneSolution(intakePpm, b, source, on)
		: makeMultiStateSolution(intakePpm, b, source, on);
}

/**
 * One mixed zone:  x(t) = x0 e^(-λt) + s t φ1(λt)     (4)
 *                  ∫x   = x0 t φ1(λt) + s t² φ2(λt)   (5)
 * Every term is positive, so nothing cancels, and λ = 0 is the closed chamber without a branch.
 */
function makeOneStateSolution(intakePpm: number, b: Balance, source: number, isOn: boolean): LinearSolution {
	const rate = b.infiltrationPerS + (isOn ? b.fanPerS : 0);
	const rise = b.riseMixed * source;
	const at = (x0: number, t: number) => x0 * Math.exp(-rate * t) + rise * t * phi1(rate * t);
	return {
		makeSegment(startSeconds, durationSeconds, state) {
			const x0 = state[0]!;
			return {
				startSeconds,
				durationSeconds,
				isOn,
				isShort: false,
				ppmAt: (_, t) => intakePpm + at(x0, t),
				integralTo: (_, t) => t * (intakePpm + x0 * phi1(rate * t) + rise * t * phi2(rate * t)),
				turningPoints: () => [],
				sampleInto(_, first, step, count, out, offset) {
					// Four samples on, the excess is x · kept + gain, and four strands side by side need no exponential each.
					const kept = Math.exp(-4 * rate * step);
					const gain = rise * 4 * step * phi1(4 * rate * step) + intakePpm * (1 - kept);
					for (let from = 0; from < count; from += STRAND) {
						const until = Math.min(from + STRAND, count);
						const seed = (j: number) => intakePpm + at(x0, first + (from + j) * step);
						fillStrands(seed(0), seed(1), seed(2), seed(3), kept, gain, out, offset + from, until - from);
					}
				},
			};
		},
		advance: (state, t) => Float64Array.of(at(state[0]!, t)),
		computeTransition: (t) => ({
			matrix: Float64Array.of(Math.exp(-rate * t)),
			input: Float64Array.of(at(0, t)),
			oneMinusMatrix: Float64Array.of(-Math.expm1(-rate * t)),
		}),
	};
}

/** Samples after which the strands start from the exact solution again, so that rounding does not gather. */
const STRAND = 1024;

/** Four interleaved runs of ppm → ppm · kept + gain from four samples in a row. */
function fillStrands(
	a: number,
	b: number,
	c: number,
	d: number,
	kept: number,
	gain: number,
	out: Float64Array,
	offset: number,
	count: number,
): void {
	// Small integers they are, but the compiler cannot know, and would count in doubles.
	const end = (offset + count) | 0;
	let i = offset | 0;
	for (; i + 4 <= end; i += 4) {
		out[i] = a;
		out[i + 1] = b;
		out[i + 2] = c;
		out[i + 3] = d;
		a = a * kept + gain;
		b = b * kept + gain;
		c = c * kept + gain;
		d = d * kept + gain;
	}
	if (i < end) out[i] = a;
	if (i + 1 < end) out[i + 1] = b;
	if (i + 2 < end) out[i + 2] = c;
}

/** Two zones, in spectral form. */
function makeTwoZoneSolution(intakePpm: number, b: Balance, source: number, isOn: boolean): LinearSolution {
	const phase = makeTwoZonePhase(b, source, isOn);
	const known = remember((t) => phase.partsAt(t));
	return {
		advance: (x, t) => Float64Array.from([0, 1], (i) => phase.state(known(t), i, x[0]!, x[1]!)),
		computeTransition(t) {
			const parts = known(t);
			const [kept, lost, d0] = [parts[0]!, parts[1]!, parts[4]!];
			const { b00, a01, a10, b11 } = phase;
			return {
				matrix: Float64Array.of(kept + b00 * d0, a01 * d0, a10 * d0, kept + b11 * d0),
				input: Float64Array.of(phase.state(parts, 0, 0, 0), phase.state(parts, 1, 0, 0)),
				oneMinusMatrix: Float64Array.of(lost - b00 * d0, -a01 * d0, -a10 * d0, lost - b11 * d0),
			};
		},
		makeSegment(startSeconds, durationSeconds, start) {
			const [x, y] = [start[0]!, start[1]!];
			const ppmAt = (i: number, t: number) =>
				intakePpm + (t === 0 ? (i === 0 ? x : y) : phase.state(known(t), i, x, y));
			return {
				startSeconds,
				durationSeconds,
				isOn,
				isShort: false,
				ppmAt,
				integralTo: (i, t) => intakePpm * t + phase.integral(known(t), i, x, y),
				turningPoints(i) {
					const turn = phase.turningPoint(i, x, y);
					return turn > 0 && turn < durationSeconds ? [turn] : [];
				},
				sampleInto(i, first, step, count, out, offset) {
					for (let j = 0; j < count; j++) out[offset + j] = ppmAt(i, first + j * step);
				},
			};
		},
	};
}

/** Three states, or a zone and its sensor: matrix exponential of the balance, with the constant source as one more state. */
function makeMultiStateSolution(
	intakePpm: number,
	b: Balance,
	source: number,
	isOn: boolean,
): LinearSolution {
	const n = b.states;
	const { a, forcing } = systemMatrix(b, source, isOn);
	const size = n + 1;
	const extended = new Float64Array(size * size);
	for (let i = 0; i < n; i++) {
		for (let j = 0; j < n; j++) extended[i * size + j] = a[i * n + j]!;
		extended[i * size + n] = forcing[i]!;
	}
	// The integral of the state is n more states that grow at the rate of the state.
	const wide = 2 * n + 1;
	const integrals = new Float64Array(wide * wide);
	for (let i = 0; i < n; i++) {
		for (let j = 0; j < size; j++) integrals[i * wide + j] = extended[i * size + j]!;
		integrals[(size + i) * wide + i] = 1;
	}
	const propagator = remember((t) => exponential(extended, size, t));
	const integrator = remember((t) => exponential(integrals, wide, t));
	const row = (m: Matrix, width: number, i: number, x: Float64Array) => {
		let sum = m[i * width + n]!;
		for (let j = 0; j < n; j++) sum += m[i * width + j]! * x[j]!;
		return sum;
	};
	const advance = (x: Float64Array, t: number) => {
		const m = propagator(t);
		return Float64Array.from({ length: n }, (_, i) => row(m, size, i, x));
	};
	const slope = (x: Float64Array, i: number) => row(extended, size, i, x);
	return {
		advance,
		computeTransition(t) {
			const m = propagator(t);
			const whole = integrator(t);
			const matrix = new Float64Array(n * n);
			// 1 - e^(At) = -A ∫e^(As) ds, in which what a short time loses does not drown in the 1.
			const oneMinusMatrix = new Float64Array(n * n);
			for (let i = 0; i < n; i++)
				for (let j = 0; j < n; j++) {
					matrix[i * n + j] = m[i * size + j]!;
					for (let k = 0; k < n; k++)
						oneMinusMatrix[i * n + j]! -= a[i * n + k]! * whole[(size + k) * wide + j]!;
				}
			return { matrix, input: Float64Array.from({ length: n }, (_, i) => m[i * size + n]!), oneMinusMatrix };
		},
		makeSegment(startSeconds, durationSeconds, start) {
			const x0 = Float64Array.from(start);
			return {
				startSeconds,
				durationSeconds,
				isOn,
				isShort: false,
				ppmAt: (i, t) => intakePpm + (t === 0 ? x0[i]! : row(propagator(t), size, i, x0)),
				integralTo: (i, t) => {
					const m = integrator(t);
					return intakePpm * t + row(m.subarray((size + i) * wide), wide, 0, x0);
				},
				turningPoints: (i) => findTurningPoints((t) => slope(advance(x0, t), i), durationSeconds),
				sampleInto(i, first, step, count, out, offset) {
					let x = advance(x0, first);
					for (let j = 0; j < count; j++) {
						out[offset + j] = intakePpm + x[i]!;
						x = advance(x, step);
					}
				},
			};
		},
	};
}

/** Keeps the last results by argument: bursts and lulls of a cycle come back with the same lengths. */
function remember<T>(compute: (t: number) => T): (t: number) => T {
	const known = new Map<number, T>();
	return (t) => {
		let value = known.get(t);
		if (value === undefined) {
			if (known.size >= 512) known.clear();
			value = compute(t);
			known.set(t, value);
		}
		return value;
	};
}

/** A sum of at most three real exponentials has at most two turning points; they crowd towards the switch. */
const PROBES = [0, ...Array.from({ length: 24 }, (_, i) => power(2, -23 + i)), 0.75, 0.375].sort(
	(x, y) => x - y,
);

export function findTurningPoints(slope: (t: number) => number, duration: number): number[] {
	const found: number[] = [];
	let before = slope(0);
	for (let i = 1; i < PROBES.length; i++) {
		const at = slope(PROBES[i]! * duration);
		if (before * at < 0) found.push(findRoot(slope, PROBES[i - 1]! * duration, PROBES[i]! * duration));
		if (at !== 0) before = at;
	}
	return found.filter((t) => t > 0 && t < duration);
}
