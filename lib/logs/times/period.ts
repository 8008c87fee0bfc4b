import { quantile } from "../../statistics/quantile.ts";

/** Points of the grid on which a period is looked for, and factors by which the log is thinned to them. */
const MAX_POINTS = 8192;
const THINNED = [1, 4, 16, 64] as const;
/** At a true period the log differs from itself by less than this share of what it differs in between. */
const MAX_DIFFERENCE = 0.4;
/** Fewest samples a cycle. */
const MIN_STEPS = 3;

/**
 * Length of the cycle that repeats in a log [s], near `nominalSeconds` where that is known; null when nothing repeats.
 * It is the shift by which the log, clipped to its usual range, differs least from itself.
 */
export function findPeriod(
	timesSeconds: Float64Array,
	ppm: Float64Array,
	stepSeconds: number,
	nominalSeconds: number | null,
): number | null {
	if (!(stepSeconds > 0)) return null;
	const factors =
		nominalSeconds === null ? THINNED : [Math.max(1, Math.floor(nominalSeconds / (60 * stepSeconds)))];
	for (const factor of factors) {
		const step = factor * stepSeconds;
		const grid = placeOnGrid(timesSeconds, ppm, step);
		const found = findPeriodOnGrid(grid, nominalSeconds === null ? null : nominalSeconds / step);
		if (found !== null) return found * step;
	}
	return null;
}

/** Means of the samples in steps of equal length, NaN where there are none, clipped to the usual range. */
function placeOnGrid(times: Float64Array, ppm: Float64Array, step: number): Float64Array {
	const start = times[0] ?? 0;
	const length = Math.min(MAX_POINTS, Math.floor(((times.at(-1) ?? 0) - start) / step) + 1);
	const sums = new Float64Array(length);
	const counts = new Float64Array(length);
	for (let i = 0; i < times.length; i++) {
		const at = Math.round((times[i]! - start) / step);
		if (at >= length) break;
		if (Number.isNaN(ppm[i]!)) continue;
		sums[at]! += ppm[i]!;
		counts[at]!++;
	}
	const grid = sums.map((sum, k) => sum / counts[k]!);
	const sorted = grid.filter((value) => !Number.isNaN(value)).sort();
	const low = quantile(sorted, 0.02);
	const high = quantile(sorted, 0.98);
	return grid.map((value) => Math.min(high, Math.max(low, value)));
}

/** Mean square by which a series differs from itself, shifted. */
function measureDifference(grid: Float64Array, shift: number): number {
	let sum = 0;
	let count = 0;
	for (let i = shift; i < grid.length; i++) {
		const d = grid[i]! - grid[i - shift]!;
		if (Number.isNaN(d)) continue;
		sum += d * d;
		count++;
	}
	return count < grid.length / 8 ? Number.NaN : sum / count;
}

function findPeriodOnGrid(grid: Float64Array, nominal: number | null): number | null {
	const longest = Math.floor(grid.length / 3);
	const low = nominal === null ? MIN_STEPS : Math.max(MIN_STEPS, Math.floor(0.95 * nominal) - 1);
	const high = nominal === null ? longest : Math.min(longest, Math.ceil(1.05 * nominal) + 1);
	const of: number[] = [0];
	let most = 0;
	let best: number | null = null;
	for (let shift = 1; shift <= Math.min(longest, high + 1); shift++) {
		of.push(measureDifference(grid, shift));
		const before = of[shift - 1]!;
		// A minimum shows one shift later.
		if (shift - 1 >= low && shift - 1 <= high && before <= MAX_DIFFERENCE * most && before < of[shift]!) {
			if (before <= of[shift - 2]! && (best === null || before < of[best]!)) best = shift - 1;
			if (nominal === null && best !== null) break;
		}
		most = Math.max(most, of[shift]! || 0);
	}
	if (best === null) return null;
	return sharpenPeriod(grid, best, most);
}

/** The same period from ever more cycles at once; null when two cycles do not fit. */
function sharpenPeriod(grid: Float64Array, shift: number, most: number): number | null {
	let period = findVertex(grid, shift);
	for (let cycles = 2; (cycles + 1) * period < grid.length * 0.6; cycles *= 2) {
		const near = Math.round(cycles * period);
		// Never as far as another cycle; and of equal ones the nearest, for a log without noise repeats exactly.
		const reach = Math.min(Math.max(1, Math.round(cycles / 2)), Math.floor((period - 1) / 2));
		let best = near;
		let least = measureDifference(grid, near);
		for (let off = 1; off <= reach; off++)
			for (const at of [near - off, near + off]) {
				const value = measureDifference(grid, at);
				if (value < least) [best, least] = [at, value];
			}
		// A crop that grows parts far cycles, which is no harm; the next one must fit.
		if (!(least <= MAX_DIFFERENCE * most)) return cycles === 2 ? null : period;
		period = findVertex(grid, best) / cycles;
	}
	return period;
}

/** Where a parabola through three neighbours is lowest. */
function findVertex(grid: Float64Array, at: number): number {
	const [a, b, c] = [
		measureDifference(grid, at - 1),
		measureDifference(grid, at),
		measureDifference(grid, at + 1),
	];
	const bend = a - 2 * b + c;
	return bend > 0 ? at + Math.max(-0.5, Math.min(0.5, (a - c) / (2 * bend))) : at;
}
