import { findRoot } from "../root.ts";
import { largestLoss, type SparseMatrix } from "./operator.ts";

/** What drives a flow and is still on its way to its speed: the matrix of its flows, times `away` e^(-t/τ). */
export interface Pull {
	readonly actuator: number;
	readonly matrix: SparseMatrix;
	readonly away: number;
	readonly tauSeconds: number;
}

/** An interval in which everything that is switched stays as it is. */
export interface ZoneSystem {
	readonly matrix: SparseMatrix;
	/** μ, the largest loss of a state [1/s]. */
	readonly lossPerS: number;
}

export const makeZoneSystem = (matrix: SparseMatrix): ZoneSystem => ({
	matrix,
	lossPerS: largestLoss(matrix),
});

/** The solution over a step, for every state. */
export interface ZoneStep {
	readonly seconds: number;
	at(state: number, seconds: number): number;
	slope(state: number, seconds: number): number;
	integral(state: number, seconds: number): number;
	turningPoints(state: number): number[];
}

/** A step is as long as this many losses, and as two time constants of what is on its way. */
const LOSSES_PER_STEP = 4;
const TAUS_PER_STEP = 2;
const MAX_DEGREE = 96;
const CUT_OFF = 1e-18;
/** Slopes are looked at in so many places of a step. */
const LOOKS = 8;

/** Length of the next step of an interval [s]. */
export function stepSeconds({ lossPerS }: ZoneSystem, pulls: readonly Pull[], left: number): number {
	const longest = pulls.reduce(
		(least, { tauSeconds }) => Math.min(least, TAUS_PER_STEP * tauSeconds),
		LOSSES_PER_STEP / lossPerS,
	);
	// What is left is shared out evenly, so that no sliver of a step remains.
	return left <= longest ? left : left / Math.ceil(left / longest);
}

/**
 * The solution of x' = A x + f + Σ a e^(-t/τ) (D x + d) from a state on, as a series for y = e^(μt) (x, 1):
 *
 *     y_(k+1) = ((A + μ) y_k + Σ_a a Σ_j w_j D_a y_(k-j))/(k + 1)      w_j = (-1/τ)^j/j!      (19)
 *
 * Only flows out of a zone are negative in A, so A + μ is not, the terms all have one sign and every state keeps its own digits,
 * however stiff or one-way the flows are: no eigenvalue is asked for, and none has to exist. Idea: uniformisation of Markov chains
 * (Jensen 1953, from memory).
 *
 * @returns the degree; the terms [k][state] at t = h stand in `terms`, the last entry of each that of the 1
 */
function expand(
	{ matrix, lossPerS }: ZoneSystem,
	pulls: readonly Pull[],
	state: Float64Array,
	constant: number,
	h: number,
): number {
	const n = state.length;
	const wide = n + 1;
	if (terms.length < (MAX_DEGREE + 1) * wide) {
		terms = new Float64Array((MAX_DEGREE + 1) * wide);
		sums = new Float64Array(wide);
		mixed = new Float64Array(wide);
	}
	terms.set(state);
	terms[n] = constant;
	for (let i = 0; i <= n; i++) sums[i] = Math.abs(terms[i]!);
	const { firsts, columns, values } = matrix;
	let small = 0;
	for (let k = 0; k < MAX_DEGREE; k++) {
		const at = k * wide;
		const next = at + wide;
		const share = h / (k + 1);
		for (let row = 0, e = 0; row < n; row++) {
			let sum = lossPerS * terms[at + row]!;
			for (const end = firsts[row + 1]!; e < end; e++) sum += values[e]! * terms[at + columns[e]!]!;
			terms[next + row] = sum * share;
		}
		terms[next + n] = lossPerS * terms[at + n]! * share;
		for (const { matrix: pull, away, tauSeconds } of pulls) {
			let weight = away;
			mixed.fill(0);
			for (let j = 0; j <= k; j++) {
				for (let i = 0; i <= n; i++) mixed[i]! += weight * terms[(k - j) * wide + i]!;
				weight *= -h / (tauSeconds * (j + 1));
			}
			for (let row = 0; row < n; row++)
				for (let e = pull.firsts[row]!; e < pull.firsts[row + 1]!; e++)
					terms[next + row]! += share * pull.values[e]! * mixed[pull.columns[e]!]!;
		}
		let isSmall = k + 1 > lossPerS * h;
		for (let i = 0; i <= n; i++) {
			const size = Math.abs(terms[next + i]!);
			sums[i]! += size;
			if (size > CUT_OFF * sums[i]!) isSmall = false;
		}
		// Where a pull starts out as the loss that it adds, the first term alone may vanish.
		small = isSmall ? small + 1 : 0;
		if (small > (pulls.length > 0 ? 1 : 0)) return k + 1;
	}
	return MAX_DEGREE;
}

// Hundreds of thousands of steps are taken one after the other; what each needs for a moment stands here.
let terms = new Float64Array(0);
let sums = new Float64Array(0);
let mixed = new Float64Array(0);

/** State after a step, in place of the one before; `constant` 0 leaves out all that is added, for a column of the transition. */
export function advanceStep(
	system: ZoneSystem,
	pulls: readonly Pull[],
	state: Float64Array,
	h: number,
	constant = 1,
	change?: Float64Array,
): void {
	const degree = expand(system, pulls, state, constant, h);
	const wide = state.length + 1;
	const kept = Math.exp(-system.lossPerS * h);
	const lost = -Math.expm1(-system.lossPerS * h);
	for (let i = 0; i < state.length; i++) {
		let sum = 0;
		for (let k = degree; k > 0; k--) sum += terms[k * wide + i]!;
		if (change !== undefined) change[i]! += kept * sum - lost * state[i]!;
		state[i] = kept * (sum + state[i]!);
	}
}

export function makeZoneStep(
	system: ZoneSystem,
	pulls: readonly Pull[],
	state: Float64Array,
	h: number,
): ZoneStep {
	const degree = expand(system, pulls, state, 1, h);
	const wide = state.length + 1;
	const own = terms.slice(0, (degree + 1) * wide);
	const mu = system.lossPerS;
	const at = (i: number, t: number) => {
		const u = t / h;
		let sum = 0;
		for (let k = degree; k >= 0; k--) sum = sum * u + own[k * wide + i]!;
		return sum * Math.exp(-mu * t);
	};
	const slope = (i: number, t: number) => {
		const u = t / h;
		let rise = 0;
		for (let k = degree; k > 0; k--) rise = rise * u + k * own[k * wide + i]!;
		let sum = 0;
		for (let k = degree; k >= 0; k--) sum = sum * u + own[k * wide + i]!;
		return (rise / h - mu * sum) * Math.exp(-mu * t);
	};
	return {
		seconds: h,
		at,
		slope,
		integral(i, t) {
			// m_k = ∫ e^(-μs) (s/h)^k ds, from the highest power down, by which nothing cancels: m_(k-1) = h (μ m_k + e^(-μt) u^k)/k.
			const u = t / h;
			const kept = Math.exp(-mu * t);
			const powers = new Float64Array(degree + 2);
			powers[0] = 1;
			for (let k = 1; k <= degree + 1; k++) powers[k] = powers[k - 1]! * u;
			let whole = 1 / (degree + 1);
			for (let j = 1, term = whole; term > CUT_OFF * whole; j++) {
				term *= (mu * t) / (degree + 1 + j);
				whole += term;
			}
			let moment = h * powers[degree + 1]! * kept * whole;
			let sum = own[degree * wide + i]! * moment;
			for (let k = degree; k > 0; k--) {
				moment = (h * (mu * moment + kept * powers[k]!)) / k;
				sum += own[(k - 1) * wide + i]! * moment;
			}
			return sum;
		},
		turningPoints(i) {
			const found: number[] = [];
			let before = slope(i, 0);
			for (let look = 1; look <= LOOKS; look++) {
				const now = slope(i, (look * h) / LOOKS);
				if (before * now < 0)
					found.push(findRoot((t) => slope(i, t), ((look - 1) * h) / LOOKS, (look * h) / LOOKS));
				if (now !== 0) before = now;
			}
			return found.filter((t) => t > 0 && t < h);
		},
	};
}
