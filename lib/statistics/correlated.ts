/** Greatest correlation between neighbours that is believed; above it the noise is a wander that no rows are left of. */
const MOST = 0.995;

/**
 * Correlation between neighbouring residuals one usual step apart [-], 0 or more.
 * The estimate from n pairs is low by about (1 + 3 ρ)/n (Kendall 1954, from memory), which is put back.
 */
export function neighbourCorrelation(
	residuals: ArrayLike<number>,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
): number {
	const at1 = autocorrelation(residuals, timesSeconds, stepSeconds, 1);
	const raw = at1.values[1] ?? 0;
	if (!Number.isFinite(raw) || at1.pairs < 8) return 0;
	const mended = raw + (1 + 3 * raw) / at1.pairs;
	return Math.min(Math.max(mended, 0), MOST);
}

/** Autocorrelation at 0, 1 … `lags` usual steps, over the pairs that are so far apart; NaN residuals are left out. */
export function autocorrelation(
	residuals: ArrayLike<number>,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
	lags: number,
): { readonly values: number[]; readonly pairs: number } {
	const grid = onSteps(residuals, timesSeconds, stepSeconds, lags);
	const values: number[] = [];
	let neighbours = 0;
	for (let lag = 0; lag <= lags; lag++) {
		let sum = 0;
		let pairs = 0;
		for (let i = lag; i < grid.length; i++) {
			const product = grid[i]! * grid[i - lag]!;
			// NaN where one of the two is missing.
			if (!Number.isNaN(product)) {
				sum += product;
				pairs++;
			}
		}
		if (lag === 1) neighbours = pairs;
		values.push(pairs > 0 ? sum / pairs : 0);
	}
	const variance = values[0]!;
	return { values: values.map((value) => (variance > 0 ? value / variance : 0)), pairs: neighbours };
}

/** Residuals by the usual step, NaN between; no gap is longer than what still parts all lags. */
function onSteps(
	residuals: ArrayLike<number>,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
	lags: number,
): Float64Array {
	const n = residuals.length;
	const slots = new Uint32Array(n);
	for (let i = 1; i < n; i++) {
		const steps = Math.round((timesSeconds[i]! - timesSeconds[i - 1]!) / stepSeconds);
		slots[i] = slots[i - 1]! + Math.min(steps, lags + 1);
	}
	const grid = new Float64Array(n === 0 ? 0 : slots[n - 1]! + 1).fill(Number.NaN);
	for (let i = 0; i < n; i++) if (!Number.isNaN(residuals[i]!)) grid[slots[i]!] = residuals[i]!;
	return grid;
}

/**
 * Turns correlated residuals, given one after the other, into independent ones of the same variance, times a weight:
 * e_i = w (r_i - ρ^k r_(i-1))/√(1 - ρ^2k), k steps apart. Slopes, which are changed in place, go the same way.
 */
export function whitener(
	rho: number,
	stepSeconds: number,
	width: number,
	weight: number,
): (timeSeconds: number, residual: number, slopes: Float64Array) => number {
	const slopesBefore = new Float64Array(width);
	let before = 0;
	let time = Number.NaN;
	let gap = Number.NaN;
	let share = 0;
	let scale = weight;
	return (timeSeconds, residual, slopes) => {
		if (timeSeconds - time !== gap) {
			gap = timeSeconds - time;
			share = rho > 0 && gap > 0 ? rho ** (gap / stepSeconds) : 0;
			scale = weight / Math.sqrt(1 - share * share);
		}
		for (let k = 0; k < width; k++) {
			const slope = slopes[k]!;
			slopes[k] = (slope - share * slopesBefore[k]!) * scale;
			slopesBefore[k] = slope;
		}
		const white = (residual - share * before) * scale;
		before = residual;
		time = timeSeconds;
		return white;
	};
}
