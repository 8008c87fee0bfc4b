import { quantile } from "../../statistics/quantile.ts";
import { findResolution } from "../clean/flatruns.ts";
import type { Stretch } from "./slice.ts";

/** A turn counts when CO2 goes back by all of these: ppm, times the noise, steps of the display, share of the log's range. */
const TURN_PPM = 20;
const TURN_SIGMAS = 8;
const TURN_STEPS = 4;
const TURN_SHARE = 0.1;
/** What lies so close to a turn is level with it: times the noise, steps of the display. */
const LEVEL_SIGMAS = 3;
const LEVEL_STEPS = 1.5;
/** A knee bends away from the straight line by so much of the height, and by twice what is level. */
const KNEE_SHARE = 0.04;
/** Above this share of the height the air is nearly at its level, and outdoor air may move it [-]. */
const MAX_KNEE_HEIGHT = 0.8;
const MIN_SAMPLES = 8;

/**
 * Stretches in which CO2 only rises, or only falls, but for its noise: a closed chamber between two openings, a decay
 * between two doses. Turning points are those from which CO2 goes back by more than noise. A closed chamber is steepest when it has just been
 * closed, and an empty room when the last person has left, so what is level before is cut off.
 *
 * @param ppm NaN where nothing counts
 * @param direction 1 for rises, -1 for falls
 */
export function findRuns(
	timesSeconds: ArrayLike<number>,
	ppm: ArrayLike<number>,
	direction: 1 | -1,
): readonly Stretch[] {
	const counts = (_: number, i: number): boolean => !Number.isNaN(ppm[i]!);
	const at = Float64Array.from(timesSeconds).filter(counts);
	const y = Float64Array.from(ppm, (value) => direction * value).filter((value) => !Number.isNaN(value));
	if (y.length < MIN_SAMPLES) return [];
	const smooth = smoothed(y);
	const bends = y.slice(2).map((value, i) => Math.abs(value - 2 * y[i + 1]! + y[i]!));
	const sigma = quantile(bends.sort(), 0.5) / 0.6745 / Math.sqrt(6);
	const display = findResolution(y);
	const sorted = smooth.slice().sort();
	const range = quantile(sorted, 0.95) - quantile(sorted, 0.05);
	const turn = Math.max(TURN_PPM, TURN_SIGMAS * sigma, TURN_STEPS * display, TURN_SHARE * range);
	const level = Math.max(LEVEL_SIGMAS * sigma, LEVEL_STEPS * display);

	const turns = findTurns(smooth, turn);
	return turns.flatMap(({ low, high, nextLow }): Stretch[] => {
		let first = low;
		for (let i = low; i < high; i++) if (smooth[i]! <= smooth[low]! + level) first = i;
		first = findKnee(at, smooth, first, high, level);
		let last = high;
		for (let i = high; i < nextLow; i++) if (smooth[i]! >= smooth[high]! - level) last = i;
		// The chamber was opened before the last of them was taken, unless the log ends here.
		if (last + 1 < y.length) last--;
		return last - first + 1 < MIN_SAMPLES ? [] : [{ fromSeconds: at[first]!, toSeconds: at[last]! }];
	});
}

/** Each rise by more than `turn`, from its lowest sample to its highest, and the lowest that comes after. */
function findTurns(
	y: Float64Array,
	turn: number,
): readonly { readonly low: number; readonly high: number; readonly nextLow: number }[] {
	const rises: { low: number; high: number; nextLow: number }[] = [];
	let [low, high, isRising] = [0, 0, false];
	for (let i = 0; i < y.length; i++) {
		if (isRising) {
			if (y[i]! > y[high]!) high = i;
			if (y[high]! - y[i]! <= turn) continue;
			rises.push({ low, high, nextLow: i });
			[low, isRising] = [i, false];
		} else {
			if (y[i]! < y[low]!) low = i;
			const before = rises.at(-1);
			if (before !== undefined) before.nextLow = low;
			if (y[i]! - y[low]! > turn) [high, isRising] = [i, true];
		}
	}
	if (isRising) rises.push({ low, high, nextLow: y.length });
	return rises;
}

/**
 * The last place where a level stretch ends and the curve sets off; `first` where there is none. A chamber on its way to a level bends one way only, below the
 * straight lines that span it from above; where it leaves them by more than noise, something else went before.
 */
function findKnee(at: Float64Array, y: Float64Array, first: number, high: number, level: number): number {
	const height = y[high]! - y[first]!;
	const slope = (i: number, j: number): number => (y[j]! - y[i]!) / (at[j]! - at[i]!);
	/** Corners of the lowest curve above all samples that bends one way only. */
	const corners: number[] = [];
	for (let i = first; i <= high; i++) {
		while (corners.length > 1 && slope(corners.at(-2)!, corners.at(-1)!) <= slope(corners.at(-1)!, i))
			corners.pop();
		corners.push(i);
	}
	let knee = first;
	for (const [k, to] of corners.entries()) {
		const from = corners[k - 1] ?? first;
		let [lowest, bend] = [first, Math.max(2 * level, KNEE_SHARE * height)];
		for (let i = from + 1; i < to; i++) {
			const below = y[from]! + slope(from, to) * (at[i]! - at[from]!) - y[i]!;
			if (below > bend) [lowest, bend] = [i, below];
		}
		if (lowest > first && y[lowest]! - y[first]! < MAX_KNEE_HEIGHT * height) knee = lowest;
	}
	return knee;
}

/** Each sample as the median of itself and two on either side. */
function smoothed(y: Float64Array): Float64Array {
	const five = new Float64Array(5);
	return y.map((value, i) => {
		if (i < 2 || i + 2 >= y.length) return value;
		for (let k = 0; k < 5; k++) {
			let place = k;
			for (; place > 0 && five[place - 1]! > y[i + k - 2]!; place--) five[place] = five[place - 1]!;
			five[place] = y[i + k - 2]!;
		}
		return five[2]!;
	});
}
