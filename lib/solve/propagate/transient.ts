import { SolverError } from "../../errors.ts";
import type { Balance, Model } from "../../model/chamber.ts";
import { power } from "../../power.ts";
import type { LinearSolution, Transition } from "./linear.ts";
import { identity, type Matrix, solve } from "./matrix.ts";
import { findTurningPointsByQuarters } from "./solutionsegment.ts";
import { systemMatrix } from "./systemmatrix.ts";

/** A Taylor step of a fan's transient: its solution holds between these times after the fan was as far away as it can be [s]. */
export interface TransientStep {
	readonly solution: LinearSolution;
	readonly fromSeconds: number;
	readonly untilSeconds: number;
}

/** Steps of one transient: some 150 MB. */
const MAX_STEPS = 50_000;
/** Degree of the polynomials. */
const DEGREE = 24;
/** A step is as long as its last two terms stay below this share of the whole. */
const CUT_OFF = 1e-17;
/** What is left of the fan's change of speed when it counts as over: less than a double can hold beside the whole. */
const OVER = 1e-17;

/**
 * Transients of a fan that spins up or coasts down in a linear model, one for each.
 *
 * With w = e^(-t/τ) the balance is x' = (A + w D) x + f, w' = -w/τ, whose Taylor coefficients follow one from another:
 *
 *     x_(k+1) = (A x_k + Σ w_j D x_(k-j) + f_k)/(k + 1)      w_(k+1) = -w_k/(τ (k + 1))      (12)
 *
 * Each step holds the polynomials of the change x - x0 for every x0 (they are linear in it) to machine precision. A fan that starts
 * nearer to its speed starts later in the same transient, so that one transient serves every cycle.
 *
 * @returns the steps from the one in which a fan at that level starts, and its time in the transient [s]
 */
export function makeFanTransients(model: Model, b: Balance, source: number) {
	const known: [TransientStep[] | null, TransientStep[] | null] = [null, null];
	return (isOn: boolean, level: number): { steps: readonly TransientStep[]; startSeconds: number } => {
		const tau = (isOn ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
		const away = isOn ? 1 - level : level;
		if (tau === 0 || away <= OVER || b.fanPerS === 0) return { steps: [], startSeconds: 0 };
		known[isOn ? 1 : 0] ??= computeTransientSteps(model.intakePpm, b, source, isOn, tau);
		return { steps: known[isOn ? 1 : 0]!, startSeconds: -tau * Math.log(away) };
	};
}

function computeTransientSteps(
	intakePpm: number,
	b: Balance,
	source: number,
	isOn: boolean,
	tau: number,
): TransientStep[] {
	const n = b.states;
	const { a, forcing } = systemMatrix(b, source, isOn);
	const end = -tau * Math.log(OVER);
	const steps: TransientStep[] = [];
	for (let from = 0; from < end; ) {
		// Spinning up, the flow lags the full one by w; coasting down, it exceeds none at all by that.
		const pull = (isOn ? 1 : -1) * b.fanPerS * Math.exp(-from / tau);
		const z = computeTaylorCoefficients(n, a, forcing, pull, tau);
		const seconds = Math.min(findValidSeconds(n, z), end - from);
		if (steps.length >= MAX_STEPS)
			throw new SolverError(
				`the solver gave up after ${MAX_STEPS} steps of a fan with a time constant of ${tau} s: something else in this chamber changes within ${seconds.toPrecision(2)} s; a sensor so fast is given a response of 0 s`,
				from,
				[],
			);
		const solution = makePolynomialSolution(intakePpm, n, z, isOn, seconds);
		steps.push({ solution, fromSeconds: from, untilSeconds: from + seconds });
		from += seconds;
	}
	return steps;
}

/** Time up to which the polynomials hold [s]. */
function findValidSeconds(n: number, z: Float64Array): number {
	const wide = n + 1;
	const largest = (k: number, forced: boolean) => {
		let size = 0;
		for (let i = 0; i < n; i++)
			for (let j = forced ? n : 0; j < (forced ? wide : n); j++)
				size = Math.max(size, Math.abs(z[(k * n + i) * wide + j]!));
		return size;
	};
	let seconds = Number.POSITIVE_INFINITY;
	for (const k of [DEGREE - 1, DEGREE]) {
		// The response to the state stands beside 1, that to the source beside its own first term.
		seconds = Math.min(seconds, power(CUT_OFF / largest(k, false), 1 / k));
		const first = largest(1, true);
		if (first > 0) seconds = Math.min(seconds, power((CUT_OFF * first) / largest(k, true), 1 / (k - 1)));
	}
	return seconds;
}

/** Taylor coefficients [k][state][column] of the change of state: a column for each unit of x0, the last for the source. */
function computeTaylorCoefficients(
	n: number,
	a: Matrix,
	forcing: Float64Array,
	pull: number,
	tau: number,
): Float64Array {
	const wide = n + 1;
	const at = (k: number, i: number, j: number) => (k * n + i) * wide + j;
	const z = new Float64Array((DEGREE + 1) * n * wide);
	const w = Float64Array.from({ length: DEGREE + 1 });
	w[0] = 1;
	for (let k = 0; k < DEGREE; k++) w[k + 1] = -w[k]! / (tau * (k + 1));
	for (let k = 0; k < DEGREE; k++)
		for (let j = 0; j < wide; j++) {
			for (let i = 0; i < n; i++) {
				let sum = k > 0 ? 0 : j < n ? a[i * n + j]! : forcing[i]!;
				for (let m = 0; m < n; m++) sum += a[i * n + m]! * z[at(k, m, j)]!;
				if (i === 0) {
					// D has one entry: the fan airs the mixed zone, and x is x0 + z.
					let fan = j === 0 ? w[k]! : 0;
					for (let m = 0; m <= k; m++) fan += w[m]! * z[at(k - m, 0, j)]!;
					sum += pull * fan;
				}
				z[at(k + 1, i, j)] = sum / (k + 1);
			}
		}
	return z;
}

/** A solution whose change of state is a polynomial in time for every state at its start; what starts later is traced back to there. */
function makePolynomialSolution(
	intakePpm: number,
	n: number,
	z: Float64Array,
	isOn: boolean,
	reachSeconds: number,
): LinearSolution {
	const wide = n + 1;
	const size = n * wide;
	/** Change [state][column] after a time. */
	const change = (t: number) => {
		const sum = new Float64Array(size);
		for (let k = DEGREE; k >= 1; k--)
			for (let e = 0; e < size; e++) sum[e] = (sum[e]! + z[k * size + e]!) * t;
		return sum;
	};
	const whole = change(reachSeconds);
	const after = (t: number) => (t === reachSeconds ? whole : change(t));
	const apply = (c: Float64Array, x: Float64Array) => {
		const y = Float64Array.from(x);
		for (let i = 0; i < n; i++) {
			y[i]! += c[i * wide + n]!;
			for (let j = 0; j < n; j++) y[i]! += c[i * wide + j]! * x[j]!;
		}
		return y;
	};
	const split = (c: Float64Array): Transition => {
		const [oneMinusMatrix, input, matrix] = [new Float64Array(n * n), new Float64Array(n), identity(n)];
		for (let i = 0; i < n; i++) {
			input[i] = c[i * wide + n]!;
			for (let j = 0; j < n; j++) {
				oneMinusMatrix[i * n + j] = -c[i * wide + j]!;
				matrix[i * n + j]! += c[i * wide + j]!;
			}
		}
		return { matrix, input, oneMinusMatrix };
	};
	/** State at the start of the step from which a state at a time in it comes. */
	const traceBack = (x: Float64Array, t: number): Float64Array => {
		if (t === 0) return x;
		const { matrix, input } = split(after(t));
		for (let i = 0; i < n; i++) input[i] = x[i]! - input[i]!;
		return solve(matrix, input, n)!;
	};
	return {
		advance: (x, t, from = 0) => apply(after(from + t), traceBack(x, from)),
		computeTransition(t, from = 0) {
			if (from === 0) return split(after(t));
			// x → P1 P0⁻¹ (x - p0) + p1, which takes (P0 - P1) P0⁻¹ from x.
			const [c0, c1] = [after(from), after(from + t)];
			const { matrix } = split(c0);
			const moved = new Float64Array(size);
			for (let i = 0; i < n; i++) {
				const rows = Float64Array.from({ length: n }, (_, j) => c1[i * wide + j]! - c0[i * wide + j]!);
				const row = solve(transpose(matrix, n), rows, n)!;
				moved[i * wide + n] = c1[i * wide + n]! - c0[i * wide + n]!;
				for (let j = 0; j < n; j++) {
					moved[i * wide + j] = row[j]!;
					moved[i * wide + n]! -= row[j]! * c0[j * wide + n]!;
				}
			}
			return split(moved);
		},
		makeSegment(startSeconds, durationSeconds, state, from = 0) {
			const x = traceBack(state, from);
			const known: Float64Array[] = [];
			const polynomial = (i: number) => {
				let p = known[i];
				if (p === undefined) {
					known[i] = p = new Float64Array(DEGREE + 1);
					p[0] = x[i]!;
					for (let k = 1; k <= DEGREE; k++) {
						const row = (k * n + i) * wide;
						let sum = z[row + n]!;
						for (let j = 0; j < n; j++) sum += z[row + j]! * x[j]!;
						p[k] = sum;
					}
				}
				return p;
			};
			const integral = (p: Float64Array, t: number) => {
				let sum = 0;
				for (let k = DEGREE; k >= 0; k--) sum = (sum + p[k]! / (k + 1)) * t;
				return sum;
			};
			const ppmAt = (i: number, t: number) => {
				const p = polynomial(i);
				let sum = 0;
				for (let k = DEGREE; k >= 0; k--) sum = sum * (from + t) + p[k]!;
				return intakePpm + sum;
			};
			return {
				startSeconds,
				durationSeconds,
				isOn,
				isShort: true,
				ppmAt,
				integralTo: (i, t) =>
					intakePpm * t + integral(polynomial(i), from + t) - integral(polynomial(i), from),
				turningPoints(i) {
					const p = polynomial(i);
					const slope = (t: number) => {
						let sum = 0;
						for (let k = DEGREE; k >= 1; k--) sum = sum * (from + t) + k * p[k]!;
						return sum;
					};
					return findTurningPointsByQuarters(slope, durationSeconds);
				},
				sampleInto(i, first, step, count, out, offset) {
					for (let j = 0; j < count; j++) out[offset + j] = ppmAt(i, first + j * step);
				},
			};
		},
	};
}

const transpose = (m: Matrix, n: number): Matrix => m.map((_, e) => m[(e % n) * n + Math.floor(e / n)]!);
