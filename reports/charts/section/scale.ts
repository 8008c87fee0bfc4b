/** Where a concentration stands in a section drawing: the one scale of hand-made parts and Vega-Lite pictures. */
export interface PpmScale {
	/** Height of a concentration [px]; what rises beyond the attic stands at its top. */
	readonly y: (ppm: number) => number;
	/** Its ends [ppm], as a Vega-Lite domain wants them; `floorPpm` is the ground of the room. */
	readonly floorPpm: number;
	readonly topPpm: number;
	readonly ceilingPpm: number;
	/** Its ends [px]. */
	readonly top: number;
	readonly bottom: number;
}

/** The attic above the ceiling is at most so many times as high as the room. */
const MAX_ATTIC = 2;
/** Room that is kept clear above the ceiling, as a share of the room. */
const MIN_ATTIC = 0.12;

/**
 * The scale of a room: its floor is the intake air, or the lowest value where that lies below it.
 * @param levels all peaks and troughs that are drawn [ppm]
 * @param ends heights of the highest value and of the floor [px]
 */
export function ppmScale(
	{
		ceilingPpm,
		intakePpm,
		levels,
	}: { readonly ceilingPpm: number; readonly intakePpm: number; readonly levels: readonly number[] },
	{ top, bottom }: { readonly top: number; readonly bottom: number },
): PpmScale {
	const floorPpm = Math.min(intakePpm, ceilingPpm, ...levels);
	const room = Math.max(ceilingPpm - floorPpm, 1);
	const highest = Math.max(ceilingPpm + MIN_ATTIC * room, ...levels, intakePpm);
	const topPpm = Math.min(highest, ceilingPpm + MAX_ATTIC * room);
	const perPpm = (bottom - top) / (topPpm - floorPpm);
	return {
		y: (ppm) => bottom - (Math.min(ppm, topPpm) - floorPpm) * perPpm,
		floorPpm,
		topPpm,
		ceilingPpm,
		top,
		bottom,
	};
}

/** The time axis of a drawing: from the left edge to the right [px], from one time to another [s]. */
export interface TimeScale {
	readonly left: number;
	readonly right: number;
	readonly fromSeconds: number;
	readonly toSeconds: number;
	readonly x: (seconds: number) => number;
}

export const timeScale = (
	left: number,
	right: number,
	fromSeconds: number,
	toSeconds: number,
): TimeScale => ({
	left,
	right,
	fromSeconds,
	toSeconds,
	x: (seconds) => left + ((seconds - fromSeconds) / (toSeconds - fromSeconds)) * (right - left),
});

/** The lowest and the highest of some values. */
export const extremes = (values: ArrayLike<number>): readonly [low: number, high: number] => {
	let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (let i = 0; i < values.length; i++) {
		low = Math.min(low, values[i]!);
		high = Math.max(high, values[i]!);
	}
	return [low, high];
};
