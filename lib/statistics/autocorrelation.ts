import { power } from "../power.ts";

/** Greatest correlation between neighbours that is believed; above it the noise is a wander that no rows are left of. */
const MAX_CORRELATION = 0.995;

/**
 * Correlation between neighbouring residuals one usual step apart [-], 0 or more.
 * The estimate from n pairs is low by about (1 + 3 ρ)/n (Kendall 1954, from memory), which is put back.
 */
export function lag1Autocorrelation(
	residuals: ArrayLike<number>,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
): number {
	const at1 = autocorrelation(residuals, timesSeconds, stepSeconds, 1);
	const raw = at1.values[1] ?? 0;
	if (!Number.isFinite(raw) || at1.pairs < 8) return 0;
	const mended = raw + (1 + 3 * raw) / at1.pairs;
	return Math.min(Math.max(mended, 0), MAX_CORRELATION);
}

/** Autocorrelation at 0, 1 … `lags` usual steps, over the pairs that are so far apart; NaN residuals are left out. */
export function autocorrelation(
	residuals: ArrayLike<number>,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
	lags: number,
): { readonly values: number[]; readonly pairs: number } {
	const { grid, there } = placeOnSteps(residuals, timesSeconds, stepSeconds, lags);
	const gaps = there.includes(0);
	const values: number[] = [];
	let neighbours = 0;
	for (let lag = 0; lag <= lags; lag++) {
		const sum = sumShifted(grid, lag);
		const pairs = gaps ? sumShifted(there, lag) : Math.max(grid.length - lag, 0);
		if (lag === 1) neighbours = pairs;
		values.push(pairs > 0 ? sum / pairs : 0);
	}
	const variance = values[0]!;
	return { values: values.map((value) => (variance > 0 ? value / variance : 0)), pairs: neighbours };
}

/** Σ v_i v_(i - lag), in two sums, for one would wait for itself at every term. */
function sumShifted(v: Float64Array, lag: number): number {
	let even = 0;
	let odd = 0;
	let i = lag;
	for (; i + 1 < v.length; i += 2) {
		even += v[i]! * v[i - lag]!;
		odd += v[i + 1]! * v[i + 1 - lag]!;
	}
	return i < v.length ? even + odd + v[i]! * v[i - lag]! : even + odd;
}

/** Residuals by the usual step, 0 between, and 1 where there is one; no gap is longer than what still parts all lags. */
function placeOnSteps(
	residuals: ArrayLike<number>,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
	lags: number,
): { readonly grid: Float64Array; readonly there: Float64Array } {
	const n = residuals.length;
	const slots = new Uint32Array(n);
	for (let i = 1; i < n; i++) {
		const steps = Math.round((timesSeconds[i]! - timesSeconds[i - 1]!) / stepSeconds);
		slots[i] = slots[i - 1]! + Math.min(steps, lags + 1);
	}
	const length = n === 0 ? 0 : slots[n - 1]! + 1;
	const grid = new Float64Array(length);
	const there = new Float64Array(length);
	for (let i = 0; i < n; i++) {
		if (Number.isNaN(residuals[i]!)) continue;
		grid[slots[i]!] = residuals[i]!;
		there[slots[i]!] = 1;
	}
	return { grid, there };
}

/**
 * Turns correlated residuals into independent ones of the same variance, times a weight:
 * e_i = w (r_i - ρ^k r_(i-1))/√(1 - ρ^2k), k steps apart. Their slopes go the same way: the blocks given hold them by columns,
 * `columns` of equal height, are changed in place, and follow each other in time.
 */
export function whitener(
	rho: number,
	stepSeconds: number,
	columns: number,
	weight: number,
): (timesSeconds: ArrayLike<number>, first: number, count: number, block: Float64Array) => void {
	const last = new Float64Array(columns);
	let time = Number.NaN;
	let gap = Number.NaN;
	let share = 0;
	let scale = weight;
	let shares = new Float64Array(0);
	let scales = new Float64Array(0);
	return (timesSeconds, first, count, block) => {
		if (shares.length < count) {
			shares = new Float64Array(count);
			scales = new Float64Array(count);
		}
		for (let i = 0; i < count; i++) {
			const now = timesSeconds[first + i]!;
			if (now - time !== gap) {
				gap = now - time;
				share = rho > 0 && gap > 0 ? power(rho, gap / stepSeconds) : 0;
				scale = weight / Math.sqrt(1 - share * share);
			}
			shares[i] = share;
			scales[i] = scale;
			time = now;
		}
		const height = block.length / columns;
		for (let k = 0; k < columns; k++) {
			let before = last[k]!;
			for (let i = k * height, row = 0; row < count; i++, row++) {
				const value = block[i]!;
				block[i] = (value - shares[row]! * before) * scales[row]!;
				before = value;
			}
			last[k] = before;
		}
	};
}
