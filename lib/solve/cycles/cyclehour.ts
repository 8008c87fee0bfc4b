import type { Cycle } from "../../model/schedule/schedule.ts";
import { HOUR } from "../../time.ts";
import { phi1, phi2 } from "../propagate/phi.ts";
import type { CycleStats } from "./closedform.ts";

/** Rise of the closed chamber [ppm/s], and air changes with the fan on and off [1/s]. */
export interface CycleRates {
	readonly risePpmPerS: number;
	readonly onPerS: number;
	readonly offPerS: number;
}

/**
 * Highest mean over any hour of a sawtooth that repeats, in one zone with an instant fan [ppm].
 *
 * Whole cycles in the hour have their mean. The rest of the hour is the stretch about a peak at whose two ends the CO2 is the same:
 * it begins u before the end of a pause and ends the rest later in the burst, and the difference of its ends falls as u grows.
 */
export function maxHourlyMeanOfCycle(
	intakePpm: number,
	{ risePpmPerS: s, onPerS, offPerS }: CycleRates,
	{ onSeconds: a, offSeconds: b }: Cycle,
	{ peakPpm, meanPpm, troughPpm }: CycleStats,
): number {
	const rest = HOUR % (a + b);
	// To rounding, the hour is whole cycles.
	if (!(peakPpm > meanPpm) || rest < 1e-9 * HOUR || a + b - rest < 1e-9 * HOUR) return meanPpm;
	const [peak, trough] = [peakPpm - intakePpm, troughPpm - intakePpm];
	const at = (x: number, rate: number, t: number) => x * Math.exp(-rate * t) + s * t * phi1(rate * t);
	const upTo = (x: number, rate: number, t: number) => t * (x * phi1(rate * t) + s * t * phi2(rate * t));
	const difference = (u: number) => at(trough, offPerS, b - u) - at(peak, onPerS, rest - u);
	let low = Math.max(0, rest - a);
	let high = Math.min(b, rest);
	for (let k = 0; k < 60 && high - low > 1e-9 * rest; k++) {
		const middle = (low + high) / 2;
		if (difference(middle) > 0) low = middle;
		else high = middle;
	}
	const u = (low + high) / 2;
	const about = upTo(trough, offPerS, b) - upTo(trough, offPerS, b - u) + upTo(peak, onPerS, rest - u);
	return ((HOUR - rest) * meanPpm + rest * intakePpm + about) / HOUR;
}
