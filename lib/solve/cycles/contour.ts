import { power } from "../../power.ts";

/** Settings whose figure is worked out, evenly apart in the logarithm [s], and their excess over the supply air. */
export interface ContourGrid {
	readonly onSeconds: Float64Array;
	readonly offSeconds: Float64Array;
	/** Of on-time i and off-time j at i · (number of off-times) + j [ppm]; per unit of the source (see `unitModel`). */
	readonly excess: Float64Array;
}

/**
 * Longest off-time at which the excess stays at or below a level, by on-time [s]; straight lines in the logarithms between the
 * settings of the grid. 0 where even the shortest is too long, infinite where even the longest is not.
 */
export function traceContour({ onSeconds, offSeconds, excess }: ContourGrid, limitPpm: number): Float64Array {
	const columns = offSeconds.length;
	return Float64Array.from(onSeconds, (_, i) => {
		const row = i * columns;
		let above = 0;
		while (above < columns && excess[row + above]! <= limitPpm) above++;
		if (above === 0) return 0;
		if (above === columns) return Number.POSITIVE_INFINITY;
		const [below, over] = [excess[row + above - 1]!, excess[row + above]!];
		const share =
			below > 0 && Number.isFinite(over) ? Math.log(limitPpm / below) / Math.log(over / below) : 1;
		return offSeconds[above - 1]! * power(offSeconds[above]! / offSeconds[above - 1]!, share);
	});
}
