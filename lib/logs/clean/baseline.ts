import { quantile } from "../../statistics/quantile.ts";

/** Least step that counts [ppm], and in spreads of what other cycles differ by. */
export const STEP_PPM = 30;
const STEP_SIGMAS = 6;
/** Cycles before and after that must be steady. */
const MIN_STEADY_CYCLES = 3;
const MAX_SAMPLES_JUDGED = 100_000;
const POINTS_AT_A_GLANCE = 15;

/**
 * Indices at which all readings shift by one amount at once, for good, away from a burst: what a sensor does that sets its own
 * baseline. Peaks and troughs shift alike, which no change of crop or fan brings about from one sample to the next.
 */
export function findBaselineSteps(
	times: Float64Array,
	ppm: Float64Array,
	period: number,
	step: number,
	resolutionPpm: number,
): readonly number[] {
	const n = times.length;
	/** Difference to the sample one period before. */
	const d = new Float64Array(n).fill(Number.NaN);
	for (let i = 0, j = 0; i < n; i++) {
		const target = times[i]! - period;
		while (j + 1 < n && Math.abs(times[j + 1]! - target) <= Math.abs(times[j]! - target)) j++;
		if (Math.abs(times[j]! - target) > 0.75 * step) continue;
		d[i] = ppm[i]! - ppm[j]!;
	}
	const stride = Math.max(1, Math.floor(n / MAX_SAMPLES_JUDGED));
	const known = d.filter((value, i) => i % stride === 0 && !Number.isNaN(value));
	if (known.length < 2 * MIN_STEADY_CYCLES) return [];
	const middle = quantile(known.sort(), 0.5);
	const spread = quantile(known.map((value) => Math.abs(value - middle)).sort(), 0.5) / 0.6745;
	const least = Math.max(STEP_PPM, STEP_SIGMAS * spread, 4 * resolutionPpm);
	const found: number[] = [];
	for (let i = 1; i < n; i++) {
		// All of it at once, from one sample to the next.
		const jump = d[i]! - d[i - 1]!;
		if (!(Math.abs(jump) > 0.7 * least) || times[i]! - times[i - 1]! > 1.5 * step) continue;
		if (Math.abs(estimateAtAGlance(times, d, i, period)) < 0.5 * least) continue;
		const level = (from: number, to: number) =>
			summarizeWindow(times, d, times[i]! + from * period, times[i]! + to * period);
		const during = level(0, 0.95);
		const size = during.median;
		if (!(Math.abs(size) >= least) || Math.sign(size) !== Math.sign(jump)) continue;
		if (!(Math.abs(jump - size) <= 0.4 * Math.abs(size) + 2 * spread)) continue;
		if (!(during.spread <= 0.25 * Math.abs(size) + 2 * spread)) continue;
		const quiet = [level(-1, -0.05), level(-2, -1.05), level(1.05, 2), level(2.05, 3)];
		if (!quiet.every(({ median }) => Math.abs(median - middle) <= 0.2 * Math.abs(size))) continue;
		if (isBurst(times, ppm, times[i]! - period, size)) continue;
		found.push(i);
		while (i + 1 < n && times[i + 1]! < times[found.at(-1)!]! + MIN_STEADY_CYCLES * period) i++;
	}
	return found;
}

/** Median of the differences in a stretch of time, and the median distance from it. */
function summarizeWindow(
	times: Float64Array,
	d: Float64Array,
	from: number,
	to: number,
): { readonly median: number; readonly spread: number } {
	const values: number[] = [];
	for (let i = firstAtOrAfter(times, from); i < times.length && times[i]! < to; i++)
		if (!Number.isNaN(d[i]!)) values.push(d[i]!);
	values.sort((a, b) => a - b);
	const median = quantile(values, 0.5);
	const off = values.map((value) => Math.abs(value - median)).sort((a, b) => a - b);
	return { median, spread: quantile(off, 0.5) };
}

/** Index of the first time that is not before `at`. */
export function firstAtOrAfter(times: Float64Array, at: number): number {
	let low = 0;
	let high = times.length;
	while (low < high) {
		const middle = (low + high) >> 1;
		if (times[middle]! < at) low = middle + 1;
		else high = middle;
	}
	return low;
}

/** A rough median of the differences in the cycle from `i` on. */
function estimateAtAGlance(times: Float64Array, d: Float64Array, i: number, period: number): number {
	const values: number[] = [];
	for (let k = 0; k < POINTS_AT_A_GLANCE; k++) {
		const value = d[firstAtOrAfter(times, times[i]! + (0.95 * period * k) / POINTS_AT_A_GLANCE)];
		if (value !== undefined && !Number.isNaN(value)) values.push(value);
	}
	return quantile(
		values.sort((a, b) => a - b),
		0.5,
	);
}

/** In the cycle before, the readings moved by as much around this phase: a burst, whose length may have been changed. */
function isBurst(times: Float64Array, ppm: Float64Array, seconds: number, size: number): boolean {
	const at = firstAtOrAfter(times, seconds);
	for (let j = Math.max(1, at - 3); j <= Math.min(ppm.length - 1, at + 2); j++)
		if (Math.abs(ppm[j]! - ppm[j - 1]!) > 0.5 * Math.abs(size)) return true;
	return false;
}
