import { powerOfTen } from "../../lib/power.ts";
import { DAY } from "../../lib/time.ts";

/** Smallest of 1, 2, 2.5 or 5 times a power of ten that is not below `rough`. */
const roundStep = (rough: number): number => {
	const power = powerOfTen(Math.floor(Math.log10(rough)));
	return ([1, 2, 2.5, 5, 10].find((factor) => factor * power >= rough * 0.999) ?? 10) * power;
};

export interface Axis {
	readonly from: number;
	readonly to: number;
	readonly ticks: readonly number[];
}

const ticksBetween = (from: number, to: number, step: number): number[] =>
	Array.from({ length: Math.floor((to - from) / step + 1e-9) + 1 }, (_, index) => from + index * step);

/**
 * CO2 axis [ppm] that holds all troughs, the ceiling and the floor. Where a schedule rises beyond six times the larger of
 * the ceiling and the lowest peak, the axis ends at four times that, lest the others be pressed flat.
 */
export function co2Axis(
	extremes: readonly { readonly low: number; readonly high: number }[],
	ceilingPpm: number,
	floorPpm: number | null,
): Axis {
	const low = Math.min(ceilingPpm, floorPpm ?? ceilingPpm, ...extremes.map((e) => e.low));
	const highest = Math.max(ceilingPpm, ...extremes.map((e) => e.high));
	const lowestPeak = Math.min(...extremes.map((e) => e.high), highest);
	const base = Math.max(ceilingPpm, lowestPeak);
	const high = highest > 6 * base ? 4 * base : highest;
	const step = roundStep(Math.max(high - low, 10) / 5);
	const half = step / 2;
	const from = Math.floor(low / half) * half;
	const to = Math.ceil((high + (high - low) * 0.03) / half) * half;
	return { from, to, ticks: ticksBetween(Math.ceil(from / step) * step, to, step) };
}

/** Axis over a span of plain numbers with about `count` ticks at round values, its ends as given. */
export function plainAxis(from: number, to: number, count: number): Axis {
	const step = roundStep((to - from) / count);
	return { from, to, ticks: ticksBetween(Math.ceil(from / step - 1e-9) * step, to, step) };
}

interface TimeUnit {
	readonly seconds: number;
	readonly symbol: "s" | "min" | "h" | "d";
}

const STEPS: Readonly<Record<TimeUnit["symbol"], readonly number[]>> = {
	s: [1, 2, 5, 10, 15, 20, 30, 60],
	min: [1, 2, 5, 10, 15, 20, 30, 60, 120],
	h: [1, 2, 3, 4, 6, 12, 24],
	d: [1, 2, 5, 7, 14, 28, 56, 112],
};

/** Unit in which a window of this length is told. */
export const timeUnit = (windowSeconds: number): TimeUnit =>
	windowSeconds <= 180
		? { seconds: 1, symbol: "s" }
		: windowSeconds <= 4 * 3600
			? { seconds: 60, symbol: "min" }
			: windowSeconds <= 72 * 3600
				? { seconds: 3600, symbol: "h" }
				: { seconds: DAY, symbol: "d" };

/** Time axis in the given unit with eight steps or fewer. */
export function timeAxis(fromSeconds: number, toSeconds: number, unit: TimeUnit): Axis {
	const from = fromSeconds / unit.seconds;
	const to = toSeconds / unit.seconds;
	const step = STEPS[unit.symbol].find((size) => (to - from) / size <= 8.01) ?? roundStep((to - from) / 8);
	return { from, to, ticks: ticksBetween(Math.ceil(from / step - 1e-9) * step, to, step) };
}
