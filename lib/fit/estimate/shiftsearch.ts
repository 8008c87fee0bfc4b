import { listUsed } from "./estimate.ts";
import { collectPatterns, type FoundFit, type ResidualPatterns } from "./residualpatterns.ts";

/** A shift of the baseline stands out from chance over all its places when it explains so many variances of the noise, and matters from so many ppm on. */
const MIN_GAIN = 36;
const MIN_SHIFT_PPM = 15;
/** Places at which it is looked for at once; between the best place and its neighbours the search goes on. */
const PLACES = 48;
/** Readings that there must be before and after it. */
const MIN_READINGS = 8;

/**
 * The sample from which on all readings are most plainly shifted, as a sensor does that sets its own baseline; null where none is.
 * @param coarse the log in its usual parts, whose edges are looked at first
 */
export function findShift(of: FoundFit, coarse: ResidualPatterns): number | null {
	const used = listUsed(of.samples);
	const [first, last] = [MIN_READINGS, used.length - MIN_READINGS];
	if (last - first < 2) return null;
	let [patterns, isFine] = [coarse, false];
	for (;;) {
		const { edges } = patterns;
		const shifts = patterns.shifts();
		const best = shifts.reduce((top, one, k) => (one.gain > shifts[top]!.gain ? k : top), 1);
		const { gain, values } = shifts[best]!;
		if (gain < MIN_GAIN / 2) return null;
		if (isFine)
			return gain >= MIN_GAIN && Math.abs(values.at(-1)!) >= MIN_SHIFT_PPM ? used[edges[best]!]! : null;
		const low = Math.max(best > 1 ? edges[best - 1]! : 0, first);
		const high = Math.min(edges[best + 1] ?? last, last);
		const count = Math.min(PLACES, high - low + 1);
		const places = Array.from({ length: count }, (_, k) =>
			Math.round(low + ((high - low) * k) / (count - 1)),
		);
		isFine = high - low < PLACES;
		patterns = collectPatterns(of, [0, ...places]);
	}
}
