import type { CycleSchedule } from "../../model/schedule/schedule.ts";
import { predictReadings, type ReadingModel } from "./readings.ts";
import { scheduledSwitchEvents, type TimerClock } from "./switchevents.ts";

/** Timers without a crystal run within a few per cent (common practice, no source). */
export const MAX_TIMER_RATE_ERROR = 0.03;
/** Cycles that a log must hold before the drift of the timer is looked for. */
export const MIN_CYCLES_FOR_RATE_ERROR = 4;
const MAX_BINS = 240;
const MAX_CANDIDATES = 3;

/**
 * Looks for a timer whose clock nobody noted: first its true period, as the peak of the log's spectrum near the nominal one and its
 * harmonics, then its phase, as the best match of the log folded by that period with the sawtooth of the model.
 * @returns the most likely clocks, best first
 */
export function estimateTimerClock(
	model: ReadingModel,
	fan: { readonly spinUpTauSeconds?: number; readonly coastDownTauSeconds?: number },
	cycle: CycleSchedule,
	timesSeconds: ArrayLike<number>,
	ppm: ArrayLike<number>,
	stepSeconds: number,
	isRateErrorSought: boolean,
): TimerClock[] {
	const period = cycle.onSeconds + cycle.offSeconds;
	const ripple = removeTrend(timesSeconds, ppm, period);
	const timerRateError = isRateErrorSought
		? estimateTimerRateError(ripple.times, ripple.ppm, period, stepSeconds)
		: 0;
	const length = period * (1 + timerRateError);
	const bins = Math.round(Math.min(MAX_BINS, Math.max(24, (4 * length) / stepSeconds)));
	const profile = foldSamples(ripple.times, ripple.ppm, length, bins);
	const template = predictCycle(model, fan, cycle, bins, period);
	const match = Array.from({ length: bins }, (_, shift) => {
		let sum = 0;
		for (let k = 0; k < bins; k++) sum += template[k]! * profile[(k + shift) % bins]!;
		return sum;
	});
	const peaks = match
		.map((value, shift) => ({ value, shift }))
		.filter(
			({ value, shift }) => value >= match[(shift + 1) % bins]! && value >= match[(shift + bins - 1) % bins]!,
		)
		.sort((a, b) => b.value - a.value)
		.slice(0, MAX_CANDIDATES);
	return peaks.map(({ shift }) => ({ phaseSeconds: (shift / bins) * length - length, timerRateError }));
}

/** The log less its running mean over one period: the cycles alone, without a crop that changes over days. */
function removeTrend(
	times: ArrayLike<number>,
	ppm: ArrayLike<number>,
	period: number,
): { readonly times: Float64Array; readonly ppm: Float64Array } {
	const t = new Float64Array(times.length);
	const y = new Float64Array(times.length);
	let count = 0;
	for (let i = 0; i < times.length; i++) {
		if (Number.isNaN(ppm[i]!)) continue;
		t[count] = times[i]!;
		y[count++] = ppm[i]!;
	}
	return subtractRunningMean(t.subarray(0, count), y.subarray(0, count), period);
}

/** Values less their mean over so many seconds about each. */
export function subtractRunningMean(
	t: Float64Array,
	y: Float64Array,
	period: number,
): { readonly times: Float64Array; readonly ppm: Float64Array } {
	const out = new Float64Array(t.length);
	let low = 0;
	let high = 0;
	let sum = 0;
	for (let i = 0; i < t.length; i++) {
		while (high < t.length && t[high]! < t[i]! + period / 2) sum += y[high++]!;
		while (t[low]! < t[i]! - period / 2) sum -= y[low++]!;
		out[i] = y[i]! - sum / (high - low);
	}
	return { times: t, ppm: out };
}

/** Drift whose frequency and its double hold most of the log's power; coarse over all drifts, then a parabola at the peak. */
function estimateTimerRateError(
	times: Float64Array,
	ppm: Float64Array,
	period: number,
	stepSeconds: number,
): number {
	const span = times.at(-1)! - times[0]!;
	// A relative change of period/span in frequency turns the last cycle by one; the double frequency twice as far.
	const step = period / span / 8;
	const count = Math.ceil(MAX_TIMER_RATE_ERROR / step);
	const binned = binSamples(times, ppm, period / 8, stepSeconds);
	const n = binned.times.length;
	const omega = (2 * Math.PI) / period;
	const cos = new Float64Array(n);
	const sin = new Float64Array(n);
	const turnCos = new Float64Array(n);
	const turnSin = new Float64Array(n);
	for (let i = 0; i < n; i++) {
		const angle = omega * (1 - count * step) * binned.times[i]!;
		cos[i] = Math.cos(angle);
		sin[i] = Math.sin(angle);
		turnCos[i] = Math.cos(omega * step * binned.times[i]!);
		turnSin[i] = Math.sin(omega * step * binned.times[i]!);
	}
	const power = Array.from({ length: 2 * count + 1 }, () => {
		let c1 = 0;
		let s1 = 0;
		let c2 = 0;
		let s2 = 0;
		for (let i = 0; i < n; i++) {
			const [y, c, s] = [binned.ppm[i]!, cos[i]!, sin[i]!];
			c1 += y * c;
			s1 += y * s;
			c2 += y * (c * c - s * s);
			s2 += y * 2 * c * s;
			cos[i] = c * turnCos[i]! - s * turnSin[i]!;
			sin[i] = s * turnCos[i]! + c * turnSin[i]!;
		}
		return c1 * c1 + s1 * s1 + c2 * c2 + s2 * s2;
	});
	let best = 0;
	for (let k = 1; k < power.length; k++) if (power[k]! > power[best]!) best = k;
	const [before, peak, after] = [power[best - 1], power[best]!, power[best + 1]];
	const bend = before === undefined || after === undefined ? 0 : before - 2 * peak + after;
	const shift = bend < 0 ? (0.5 * (before! - after!)) / bend : 0;
	return 1 / (1 + (best - count + shift) * step) - 1;
}

/** Means over bins of a width, at the mean times; a log at 1 s need not be seen at 1 s to find a period of minutes. */
function binSamples(
	times: Float64Array,
	ppm: Float64Array,
	width: number,
	stepSeconds: number,
): { readonly times: Float64Array; readonly ppm: Float64Array } {
	if (stepSeconds >= width / 2) return { times, ppm };
	const t: number[] = [];
	const y: number[] = [];
	for (let i = 0; i < times.length; ) {
		const end = times[i]! + width;
		let sumT = 0;
		let sumY = 0;
		const from = i;
		for (; i < times.length && times[i]! < end; i++) {
			sumT += times[i]!;
			sumY += ppm[i]!;
		}
		t.push(sumT / (i - from));
		y.push(sumY / (i - from));
	}
	return { times: Float64Array.from(t), ppm: Float64Array.from(y) };
}

/** Mean over each bin of the folded period, less the mean of all; empty bins take their neighbours' mean. */
function foldSamples(times: Float64Array, ppm: Float64Array, period: number, bins: number): Float64Array {
	const sum = new Float64Array(bins);
	const count = new Float64Array(bins);
	for (let i = 0; i < times.length; i++) {
		const turn = times[i]! / period;
		const bin = Math.floor((turn - Math.floor(turn)) * bins) % bins;
		sum[bin]! += ppm[i]!;
		count[bin]! += 1;
	}
	const known = Array.from({ length: bins }, (_, k) => k).filter((k) => count[k]! > 0);
	const profile = Float64Array.from({ length: bins }, (_, k) => {
		if (count[k]! > 0) return sum[k]! / count[k]!;
		const after = known.find((j) => j > k) ?? known[0]!;
		const before = known.findLast((j) => j < k) ?? known.at(-1)!;
		const mean = (j: number) => sum[j]! / count[j]!;
		const gap = (((after - before) % bins) + bins) % bins || bins;
		const way = (((k - before) % bins) + bins) % bins;
		return mean(before) + ((mean(after) - mean(before)) * way) / gap;
	});
	return subtractMean(profile);
}

/** One cycle of the reading in the periodic regime, at the middles of the bins, less its mean. */
function predictCycle(
	model: ReadingModel,
	fan: { readonly spinUpTauSeconds?: number; readonly coastDownTauSeconds?: number },
	cycle: CycleSchedule,
	bins: number,
	period: number,
): Float64Array {
	// The leak may settle over hours; the shape of the cycle is there after a few of them.
	const cycles = 8 + Math.ceil((5 * model.responseSeconds) / period);
	const times = Float64Array.from({ length: bins }, (_, k) => cycles * period + ((k + 0.5) / bins) * period);
	const out = new Float64Array(bins);
	const events = scheduledSwitchEvents(
		cycle,
		{ phaseSeconds: 0, timerRateError: 0 },
		(cycles + 1) * period,
		fan,
	);
	predictReadings(model, events, times, ({ first, count, readingPpm }) => {
		out.set(readingPpm.subarray(0, count), first);
	});
	return subtractMean(out);
}

function subtractMean(values: Float64Array): Float64Array {
	const mean = values.reduce((sum, x) => sum + x, 0) / values.length;
	return values.map((x) => x - mean);
}
