import { SolverError } from "../../errors.ts";
import type { Balance, Model } from "../../model/chamber.ts";
import { power } from "../../power.ts";
import type { LinearSolution } from "./linear.ts";
import { identity, type Matrix } from "./matrix.ts";
import { findTurningPointsByQuarters } from "./solutionsegment.ts";
import { systemMatrix } from "./systemmatrix.ts";

/** A Taylor step of a fan's transient: its solution holds from the step before until `untilSeconds` after the switch [s]. */
export interface TransientStep {
	readonly solution: LinearSolution;
	readonly untilSeconds: number;
}

const MAX_KEPT = 512;
/** Steps of one transient, and of all that are kept: some 150 MB. */
const MAX_STEPS = 50_000;
/** Degree of the polynomials. */
const DEGREE = 24;
/** A step is as long as its last two terms stay below this share of the whole. */
const CUT_OFF = 1e-17;
/** What is left of the fan's change of speed when it counts as over: less than a double can hold beside the whole. */
const OVER = 1e-17;

/**
 * Transients of a fan that spins up or coasts down in a linear model, kept by fan state and by how far its speed is away.
 *
 * With w = e^(-t/τ) the balance is x' = (A + w D) x + f, w' = -w/τ, whose Taylor coefficients follow one from another:
 *
 *     x_(k+1) = (A x_k + Σ w_j D x_(k-j) + f_k)/(k + 1)      w_(k+1) = -w_k/(τ (k + 1))      (12)
 *
 * Each step holds the polynomials of the change x - x0 for every x0 (they are linear in it) to machine precision, so a
 * burst is worked out once and then serves every cycle, and integral and slope are those of a polynomial.
 */
export function makeFanTransients(
	model: Model,
	b: Balance,
	source: number,
): (on: boolean, level: number) => readonly TransientStep[] {
	const known = [new Map<number, TransientStep[]>(), new Map<number, TransientStep[]>()] as const;
	let keptSteps = 0;
	return (on, level) => {
		const tau = (on ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
		const away = on ? 1 - level : level;
		if (tau === 0 || away <= OVER || b.fanPerS === 0) return [];
		const kept = known[on ? 1 : 0];
		let steps = kept.get(away);
		if (steps === undefined) {
			steps = computeTransientSteps(model.intakePpm, b, source, on, tau, away);
			keptSteps += steps.length;
			if (kept.size >= MAX_KEPT || keptSteps > MAX_STEPS) {
				for (const map of known) map.clear();
				keptSteps = steps.length;
			}
			kept.set(away, steps);
		}
		return steps;
	};
}

function computeTransientSteps(
	intakePpm: number,
	b: Balance,
	source: number,
	on: boolean,
	tau: number,
	away: number,
): TransientStep[] {
	const n = b.states;
	const { a, forcing } = systemMatrix(b, source, on);
	const end = tau * Math.log(away / OVER);
	const steps: TransientStep[] = [];
	for (let from = 0; from < end; ) {
		// Spinning up, the flow lags the full one by away · w; coasting down, it exceeds none at all by that.
		const pull = (on ? 1 : -1) * b.fanPerS * away * Math.exp(-from / tau);
		const z = computeTaylorCoefficients(n, a, forcing, pull, tau);
		const seconds = Math.min(findValidSeconds(n, z), end - from);
		if (steps.length >= MAX_STEPS)
			throw new SolverError(
				`the solver gave up after ${MAX_STEPS} steps of a fan with a time constant of ${tau} s: something else in this chamber changes within ${seconds.toPrecision(2)} s; a sensor so fast is given a response of 0 s`,
				from,
				[],
			);
		from += seconds;
		steps.push({ solution: makePolynomialSolution(intakePpm, n, z, on, seconds), untilSeconds: from });
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

/** A solution whose change of state is a polynomial in time for every state at its start. */
function makePolynomialSolution(
	intakePpm: number,
	n: number,
	z: Float64Array,
	isOn: boolean,
	reachSeconds: number,
): LinearSolution {
	const wide = n + 1;
	/** Change [state][column] after a time. */
	const change = (t: number) => {
		const sum = new Float64Array(n * wide);
		for (let k = DEGREE; k >= 1; k--)
			for (let e = 0; e < n * wide; e++) sum[e] = (sum[e]! + z[k * n * wide + e]!) * t;
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
	return {
		advance: (x, t) => apply(after(t), x),
		computeTransition(t) {
			const c = after(t);
			const oneMinusMatrix = new Float64Array(n * n);
			const matrix = identity(n);
			for (let i = 0; i < n; i++)
				for (let j = 0; j < n; j++) {
					oneMinusMatrix[i * n + j] = -c[i * wide + j]!;
					matrix[i * n + j]! += c[i * wide + j]!;
				}
			return { matrix, input: Float64Array.from({ length: n }, (_, i) => c[i * wide + n]!), oneMinusMatrix };
		},
		makeSegment(startSeconds, durationSeconds, x) {
			const polynomials = Array.from({ length: n }, (_, i) => {
				const p = new Float64Array(DEGREE + 1);
				p[0] = x[i]!;
				for (let k = 1; k <= DEGREE; k++) {
					const row = (k * n + i) * wide;
					p[k] = z[row + n]!;
					for (let j = 0; j < n; j++) p[k]! += z[row + j]! * x[j]!;
				}
				return p;
			});
			const value = (p: Float64Array, t: number) => {
				let sum = 0;
				for (let k = DEGREE; k >= 0; k--) sum = sum * t + p[k]!;
				return sum;
			};
			const slope = (p: Float64Array, t: number) => {
				let sum = 0;
				for (let k = DEGREE; k >= 1; k--) sum = sum * t + k * p[k]!;
				return sum;
			};
			const ppmAt = (i: number, t: number) => intakePpm + value(polynomials[i]!, t);
			return {
				startSeconds,
				durationSeconds,
				isOn,
				isShort: true,
				ppmAt,
				integralTo(i, t) {
					let sum = 0;
					for (let k = DEGREE; k >= 0; k--) sum = sum * t + polynomials[i]![k]! / (k + 1);
					return (intakePpm + sum) * t;
				},
				turningPoints: (i) => findTurningPointsByQuarters((t) => slope(polynomials[i]!, t), durationSeconds),
				sampleInto(i, first, step, count, out, offset) {
					for (let j = 0; j < count; j++) out[offset + j] = ppmAt(i, first + j * step);
				},
			};
		},
	};
}
