import { fanTrace } from "./fan.ts";

/** A point of a line or a lone dot; the line breaks where the value is null. */
export interface TracePoint {
	readonly t: number;
	readonly c: number | null;
}

/** The lowest and the highest of an equal stretch of time; a band breaks where `piece` changes. */
export interface TraceBand {
	readonly t: number;
	readonly low: number;
	readonly high: number;
	readonly mean: number;
	readonly piece: number;
}

/** Samples over a window of time. */
export interface WindowSamples {
	readonly timesSeconds: Float64Array;
	readonly values: Float64Array;
	/** Whether the sample at a place is drawn; NaN never is. */
	readonly drawn: (place: number) => boolean;
	/** Ends of the window [s]. */
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** Longer steps than this between samples are gaps [s]. */
	readonly gapSeconds: number;
}

/** First place whose time is not below `seconds`. */
export function indexAtTime(timesSeconds: Float64Array, seconds: number): number {
	let [low, high] = [0, timesSeconds.length];
	while (low < high) {
		const middle = (low + high) >> 1;
		if (timesSeconds[middle]! < seconds) low = middle + 1;
		else high = middle;
	}
	return low;
}

/** The window cut into `count` equal stretches: the places that are drawn of each, and whether a gap comes before. */
function* splitWindow(
	samples: WindowSamples,
	count: number,
): Generator<{ places: number[]; broken: boolean }> {
	const { timesSeconds, values, drawn, fromSeconds, toSeconds, gapSeconds } = samples;
	const length = (toSeconds - fromSeconds) / count;
	let before = Number.NaN;
	let places: number[] = [];
	let broken = false;
	let bin = 0;
	for (let i = indexAtTime(timesSeconds, fromSeconds); i < timesSeconds.length; i++) {
		const t = timesSeconds[i]!;
		if (t > toSeconds) break;
		if (Number.isNaN(values[i]!) || !drawn(i)) continue;
		const own = Math.min(count - 1, Math.floor((t - fromSeconds) / length));
		const gap = t - before > gapSeconds;
		if (places.length > 0 && (own !== bin || gap)) {
			yield { places, broken };
			places = [];
			broken = gap;
		}
		bin = own;
		places.push(i);
		before = t;
	}
	if (places.length > 0) yield { places, broken };
}

/** How many samples of a window are drawn. */
export function countDrawn({ timesSeconds, values, drawn, fromSeconds, toSeconds }: WindowSamples): number {
	let count = 0;
	const to = timesSeconds.length;
	for (let i = indexAtTime(timesSeconds, fromSeconds); i < to && timesSeconds[i]! <= toSeconds; i++)
		if (!Number.isNaN(values[i]!) && drawn(i)) count++;
	return count;
}

/** A line of about `most` points at most that keeps every peak and trough, and breaks at gaps. */
export function traceLine(samples: WindowSamples, most: number): TracePoint[] {
	const { timesSeconds, values } = samples;
	const all = countDrawn(samples) <= most;
	const points: TracePoint[] = [];
	for (const { places, broken } of splitWindow(samples, Math.max(1, Math.floor(most / 2)))) {
		if (broken) points.push({ t: timesSeconds[places[0]!]!, c: null });
		for (const place of all ? places : extremesOf(values, places))
			points.push({ t: timesSeconds[place]!, c: values[place]! });
	}
	return points;
}

function extremesOf(values: Float64Array, places: readonly number[]): number[] {
	let [low, high] = [places[0]!, places[0]!];
	for (const place of places) {
		if (values[place]! < values[low]!) low = place;
		if (values[place]! > values[high]!) high = place;
	}
	return low === high ? [low] : [Math.min(low, high), Math.max(low, high)];
}

/** Stretches that a gap cuts to less than this share hold no whole cycle, and go to their neighbour. */
const CUT = 0.7;

/** A band of `count` stretches from the lowest to the highest sample of each, with the mean. */
export function traceBand(samples: WindowSamples, count: number): TraceBand[] {
	const { timesSeconds, values, fromSeconds, toSeconds } = samples;
	const whole = (toSeconds - fromSeconds) / count;
	const step = samples.gapSeconds / 2;
	const bands: (TraceBand & { readonly cut: boolean; readonly weight: number })[] = [];
	let piece = 0;
	for (const { places, broken } of splitWindow(samples, count)) {
		if (broken) piece++;
		const [first, last] = [places[0]!, places.at(-1)!];
		const lowHigh = extremesOf(values, places).map((place) => values[place]!);
		const own = {
			t: (timesSeconds[first]! + timesSeconds[last]!) / 2,
			low: Math.min(...lowHigh),
			high: Math.max(...lowHigh),
			mean: places.reduce((sum, place) => sum + values[place]!, 0) / places.length,
			weight: places.length,
			piece,
			cut: timesSeconds[last]! - timesSeconds[first]! + step < CUT * whole,
		};
		const before = bands.at(-1);
		if (before !== undefined && before.piece === piece && (before.cut || own.cut)) {
			const weight = before.weight + own.weight;
			bands[bands.length - 1] = {
				t: own.cut ? before.t : own.t,
				low: Math.min(before.low, own.low),
				high: Math.max(before.high, own.high),
				mean: (before.mean * before.weight + own.mean * own.weight) / weight,
				weight,
				piece,
				cut: before.cut && own.cut,
			};
		} else bands.push(own);
	}
	return bands.map(({ cut: _, weight: __, ...band }) => band);
}

/** Dots of a line whose points stand alone: one path instead of a mark each. */
export const loneDots = (points: readonly TracePoint[]): TracePoint[] =>
	points.flatMap(({ t, c }) =>
		c === null
			? []
			: [
					{ t, c },
					{ t, c: null },
				],
	);

/** Stretches of time as bars of a strip, those merged that no picture could tell apart. */
export function stripBars(
	intervals: Iterable<{ readonly startSeconds: number; readonly endSeconds: number }>,
	fromSeconds: number,
	toSeconds: number,
	most: number,
) {
	const inside = [];
	for (const { startSeconds, endSeconds } of intervals)
		if (endSeconds > fromSeconds && startSeconds < toSeconds)
			inside.push({
				startSeconds: Math.max(startSeconds, fromSeconds),
				endSeconds: Math.min(endSeconds, toSeconds),
			});
	return fanTrace(inside, toSeconds - fromSeconds, most).bursts;
}
