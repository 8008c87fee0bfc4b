import { quantile } from "../../statistics/quantile.ts";
import { DAY } from "../../time.ts";

/** Cycles before and after with which a sample is compared; so many of them must have samples. */
export const CYCLES = 3;
const MIN_CYCLES = 2;
/** A sample is off when it lies so far outside all values that the cycles around it have there. */
export const OFF_PPM = 30;
export const OFF_SHARE = 0.02;
export const OFF_SIGMAS = 6;
/** A display that shows steps of 50 ppm is off by one of them any time. */
const MIN_RESOLUTIONS = 4;
/** Longer than so many samples is no outlier but something that happened. */
export const OUTLIER_SAMPLES = 2;
/** What happens more often belongs to the pattern: share of cycles, share of samples, days at one time of day. */
const MAX_EVENTS_PER_CYCLE = 1 / 20;
const MAX_EVENT_SHARE = 0.1;
const SAME_TIME_SECONDS = 900;
/** An event is over when so many samples are as in other cycles. */
const BACK_TO_USUAL = 5;

/** A stretch of samples, ends included. */
export interface Interval {
	readonly from: number;
	readonly to: number;
}

/** How far each sample lies outside what the cycles before and after have near its phase [ppm]; 0 inside, and where too few cycles are there. */
function measureOutside(times: Float64Array, ppm: Float64Array, period: number, reach: number): Float64Array {
	const n = times.length;
	const lowest = findExtremes(times, ppm, reach, -1);
	const highest = findExtremes(times, ppm, reach, 1);
	const out = new Float64Array(n);
	const lags: number[] = [];
	for (let k = -CYCLES; k <= CYCLES; k++) if (k !== 0) lags.push(k * period);
	/** For each lag the sample nearest to it, which moves on with the samples. */
	const near = new Int32Array(lags.length);
	for (let i = 0; i < n; i++) {
		let low = Number.POSITIVE_INFINITY;
		let high = Number.NEGATIVE_INFINITY;
		let before = 0;
		let after = 0;
		for (let k = 0; k < lags.length; k++) {
			const target = times[i]! + lags[k]!;
			let j = near[k]!;
			while (j + 1 < n && Math.abs(times[j + 1]! - target) <= Math.abs(times[j]! - target)) j++;
			near[k] = j;
			if (Math.abs(times[j]! - target) > reach || !Number.isFinite(lowest[j]!)) continue;
			low = Math.min(low, lowest[j]!);
			high = Math.max(high, highest[j]!);
			if (lags[k]! < 0) before++;
			else after++;
		}
		if (before < MIN_CYCLES || after < MIN_CYCLES) continue;
		const value = ppm[i]!;
		if (value < low) out[i] = value - low;
		else if (value > high) out[i] = value - high;
	}
	return out;
}

/** Highest (sign 1) or lowest (sign -1) value within a reach of each sample in time; infinite where there is none. */
function findExtremes(times: Float64Array, ppm: Float64Array, reach: number, sign: 1 | -1): Float64Array {
	const n = times.length;
	const found = new Float64Array(n);
	/** Samples that can still be the extreme of a window to come, the extreme first. */
	const queue = new Int32Array(n);
	let head = 0;
	let tail = 0;
	let next = 0;
	for (let i = 0; i < n; i++) {
		for (; next < n && times[next]! <= times[i]! + reach; next++) {
			const value = sign * ppm[next]!;
			if (Number.isNaN(value)) continue;
			while (tail > head && sign * ppm[queue[tail - 1]!]! <= value) tail--;
			queue[tail++] = next;
		}
		while (tail > head && times[queue[head]!]! < times[i]! - reach) head++;
		found[i] = tail > head ? ppm[queue[head]!]! : -sign * Number.POSITIVE_INFINITY;
	}
	return found;
}

/** Spread of the difference to the cycle before, from its median [ppm]. */
function estimateCycleSpread(times: Float64Array, ppm: Float64Array, period: number): number {
	const stride = Math.max(1, Math.floor(times.length / 20_000));
	const differences: number[] = [];
	let j = 0;
	for (let i = 0; i < times.length; i += stride) {
		while (j < times.length && times[j]! < times[i]! - period) j++;
		const d = ppm[i]! - ppm[j]!;
		if (times[i]! - times[0]! >= period && !Number.isNaN(d)) differences.push(Math.abs(d));
	}
	differences.sort((a, b) => a - b);
	return (quantile(differences, 0.5) || 0) / 0.6745 / Math.SQRT2;
}

/**
 * Stretches that fall out of the pattern: neither the cycles before nor those after have such values there. A regime that sets
 * in, a schedule that changes and the first and last cycles are thereby left alone.
 */
export function findOffPattern(
	times: Float64Array,
	ppm: Float64Array,
	period: number,
	step: number,
	resolutionPpm: number,
): readonly Interval[] {
	const out = measureOutside(times, ppm, period, 1.5 * step + 0.01 * period);
	const sigma = estimateCycleSpread(times, ppm, period);
	const least = Math.max(OFF_PPM, OFF_SIGMAS * sigma, MIN_RESOLUTIONS * resolutionPpm);
	const events: Interval[] = [];
	for (let i = 0; i < out.length; i++) {
		const limit = Math.max(least, OFF_SHARE * ppm[i]!);
		if (!(Math.abs(out[i]!) > limit)) continue;
		let from = i;
		let to = i;
		while (from > 0 && out[from - 1] !== 0) from--;
		for (let j = i + 1, quiet = 0; j < out.length && quiet < BACK_TO_USUAL; j++) {
			if (out[j] === 0) quiet++;
			else {
				quiet = 0;
				to = j;
			}
		}
		const previous = events.at(-1);
		if (previous !== undefined && from <= previous.to + 1)
			events[events.length - 1] = { from: previous.from, to };
		else events.push({ from, to });
		i = to;
	}
	const cycles = (times.at(-1)! - times[0]!) / period;
	const samples = events.reduce((sum, { from, to }) => sum + to - from + 1, 0);
	if (events.length > Math.max(2, MAX_EVENTS_PER_CYCLE * cycles) || samples > MAX_EVENT_SHARE * times.length)
		return [];
	return events.filter((event) => !isDaily(event, events, times));
}

/** Something happens at this time of day on most days. */
function isDaily(event: Interval, events: readonly Interval[], times: Float64Array): boolean {
	const days = (times.at(-1)! - times[0]!) / DAY;
	const at = times[event.from]!;
	const others = events.filter(({ from }) => {
		const apart = Math.abs(times[from]! - at) % DAY;
		return Math.min(apart, DAY - apart) < SAME_TIME_SECONDS;
	});
	return others.length >= 3 && others.length > days / 2;
}

export const SPIKE_PPM = 50;
export const SPIKE_SIGMAS = 8;
const SPIKE_TIMES_USUAL = 3;
const SPIKE_STEPS = 5;

/**
 * Spikes of one or two samples: up and down again, or down and up, by far more than the log does elsewhere. A burst of the fan
 * falls sharply but does not rise so.
 */
export function findSpikes(
	times: Float64Array,
	ppm: Float64Array,
	step: number,
	resolutionPpm: number,
): readonly Interval[] {
	const near = (i: number, j: number): boolean => Math.abs(times[j]! - times[i]!) <= 2.5 * step;
	const height = (i: number, width: number): number => {
		const j = i + width;
		if (i < 1 || j >= ppm.length || !near(i - 1, i) || !near(j - 1, j)) return 0;
		const before = ppm[i - 1]!;
		const after = ppm[j]!;
		let least = Number.POSITIVE_INFINITY;
		let sign = 0;
		for (let k = i; k < j; k++) {
			const up = ppm[k]! - before;
			const down = ppm[k]! - after;
			if (!(up * down > 0) || (sign !== 0 && Math.sign(up) !== sign)) return 0;
			sign = Math.sign(up);
			least = Math.min(least, Math.abs(up), Math.abs(down));
		}
		return least;
	};
	const stride = Math.max(1, Math.floor(ppm.length / 50_000));
	const heights: number[] = [];
	const bends: number[] = [];
	const moves: number[] = [];
	for (let i = 1; i + 1 < ppm.length; i += stride) {
		heights.push(height(i, 1));
		const bend = Math.abs(ppm[i - 1]! - 2 * ppm[i]! + ppm[i + 1]!);
		if (!Number.isNaN(bend)) bends.push(bend);
		const move = Math.abs(ppm[i]! - ppm[i - 1]!);
		if (!Number.isNaN(move)) moves.push(move);
	}
	heights.sort((a, b) => a - b);
	bends.sort((a, b) => a - b);
	moves.sort((a, b) => a - b);
	const sigma = (quantile(bends, 0.5) || 0) / 0.6745 / Math.sqrt(6);
	// Where a cycle has few samples, its peaks are spikes as well, and more than one in a hundred.
	const usual = quantile(heights, 0.98) || 0;
	const limit = Math.max(
		SPIKE_PPM,
		SPIKE_SIGMAS * sigma,
		SPIKE_TIMES_USUAL * usual,
		// The last sample before a burst stands above its neighbours by what CO2 rises in a step.
		SPIKE_STEPS * (quantile(moves, 0.9) || 0),
		MIN_RESOLUTIONS * resolutionPpm,
	);
	const found: Interval[] = [];
	for (let i = 1; i + 1 < ppm.length; i++) {
		const width = height(i, 1) > limit ? 1 : height(i, 2) > limit ? 2 : 0;
		if (width === 0) continue;
		found.push({ from: i, to: i + width - 1 });
		i += width;
	}
	return found.length > 0.02 * ppm.length ? [] : found;
}
