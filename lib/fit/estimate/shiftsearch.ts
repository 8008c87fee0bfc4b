import { collectPatterns, type FoundFit } from "./residualpatterns.ts";

/** A shift of the baseline stands out from chance over all its places when it explains so many variances of the noise, and matters from so many ppm on. */
const MIN_GAIN = 36;
const MIN_SHIFT_PPM = 15;
/** Places at which it is looked for at once; between the best of them and their neighbours the search goes on. */
const PLACES = 48;
/** Readings that there must be before and after it. */
const MIN_READINGS = 8;

/** The sample from which on all readings are most plainly shifted, as a sensor does that sets its own baseline; null where none is. */
export function findShift(of: FoundFit): number | null {
	const used = [...of.samples.excluded.keys()].filter((i) => of.samples.excluded[i] === 0);
	let [low, high] = [MIN_READINGS, used.length - MIN_READINGS];
	if (high - low < 2) return null;
	for (;;) {
		const count = Math.min(PLACES, high - low + 1);
		const edges = [
			0,
			...Array.from({ length: count }, (_, k) =>
				Math.round(low + ((high - low) * k) / Math.max(count - 1, 1)),
			),
		];
		const shifts = collectPatterns(of, edges).shifts();
		const best = shifts.reduce((top, one, k) => (one.gain > shifts[top]!.gain ? k : top), 1);
		const { gain, values } = shifts[best]!;
		if (gain < MIN_GAIN / 2) return null;
		if (high - low < PLACES)
			return gain >= MIN_GAIN && Math.abs(values.at(-1)!) >= MIN_SHIFT_PPM ? used[edges[best]!]! : null;
		[low, high] = [edges[Math.max(best - 1, 1)]!, edges[Math.min(best + 1, edges.length - 1)]!];
	}
}
