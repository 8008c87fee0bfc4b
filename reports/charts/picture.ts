/** One schedule in a picture: what is drawn and what the readout tells. */
export interface Series {
	readonly name: string;
	/** "4 s on, 3 min 56 s off, 360 bursts a day" */
	readonly words: string;
	/** Strictly ascending [s]. */
	readonly timesSeconds: ArrayLike<number>;
	/** [ppm] */
	readonly co2Ppm: ArrayLike<number>;
	/** When the fan is on [s], in order; null: a series without a fan of its own, such as a sensor. */
	readonly bursts: readonly { readonly startSeconds: number; readonly endSeconds: number }[] | null;
}

/** Everything a sawtooth chart shows, before it has a size. */
export interface Picture {
	readonly series: readonly Series[];
	/** [ppm] */
	readonly ceilingPpm: number;
	readonly floorPpm: number | null;
	/** Zero of the time axis [s]. */
	readonly originSeconds: number;
	/** The axis tells the time of day, or the time since the zero. */
	readonly clock: "elapsed" | "time of day";
	readonly timeTitle: string;
}

/** Cycles shorter than this on the picture [px] are drawn as a band from trough to peak. */
const NARROWEST_CYCLE = 6;
/** Bursts that start closer together than this [px] run into one pale bar. */
const NARROWEST_BURST = 3;

const valueAt = (values: ArrayLike<number>, index: number): number => values[index] ?? Number.NaN;

/** First and last time of all series [s]. */
export const windowOf = (picture: Picture): readonly [number, number] => {
	let first = Number.POSITIVE_INFINITY;
	let last = Number.NEGATIVE_INFINITY;
	for (const { timesSeconds: times } of picture.series) {
		if (times.length === 0) continue;
		first = Math.min(first, valueAt(times, 0));
		last = Math.max(last, valueAt(times, times.length - 1));
	}
	return last > first ? [first, last] : [picture.originSeconds, picture.originSeconds + 1];
};

/** CO2 of a series at a time, on the straight line between its points [ppm]; null outside of them. */
export const co2At = (series: Series, timeSeconds: number): number | null => {
	const times = series.timesSeconds;
	let low = 0;
	let high = times.length - 1;
	if (high < 0 || timeSeconds < valueAt(times, low) || timeSeconds > valueAt(times, high)) return null;
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if (valueAt(times, middle) <= timeSeconds) low = middle;
		else high = middle;
	}
	const span = valueAt(times, high) - valueAt(times, low);
	const share = span > 0 ? (timeSeconds - valueAt(times, low)) / span : 0;
	return valueAt(series.co2Ppm, low) * (1 - share) + valueAt(series.co2Ppm, high) * share;
};

/** Whether the fan of a series runs at a time; null for a series without a fan. */
export const fanOnAt = (series: Series, timeSeconds: number): boolean | null =>
	series.bursts?.some((burst) => burst.startSeconds <= timeSeconds && timeSeconds < burst.endSeconds) ?? null;

/** A point of a line: series, time [s from the zero], CO2 [ppm]. */
export interface LineRow {
	readonly key: string;
	readonly t: number;
	readonly c: number;
}
/** A slice of a band from trough to peak. */
export interface BandRow {
	readonly key: string;
	readonly t: number;
	readonly low: number;
	readonly high: number;
}
/** A burst, or bursts too close to be told apart. */
export interface FanRow {
	readonly key: string;
	readonly from: number;
	readonly to: number;
	readonly merged: boolean;
}

const typicalGap = (series: Series): number => {
	const starts = (series.bursts ?? []).map((burst) => burst.startSeconds);
	const gaps = starts.slice(1).map((start, index) => start - valueAt(starts, index));
	return gaps.sort((a, b) => a - b)[gaps.length >> 1] ?? Number.POSITIVE_INFINITY;
};

/** Whether the cycles of a series are too narrow to be drawn one by one. */
export const isBand = (picture: Picture, series: Series, widthPx: number): boolean => {
	const [first, last] = windowOf(picture);
	return typicalGap(series) < (NARROWEST_CYCLE * (last - first)) / widthPx;
};

const lineRows = (series: Series, key: string, origin: number): LineRow[] =>
	Array.from({ length: series.timesSeconds.length }, (_, index) => ({
		key,
		t: valueAt(series.timesSeconds, index) - origin,
		c: valueAt(series.co2Ppm, index),
	}));

/** Trough and peak over slices a cycle and a half long, so that each slice holds both. */
const bandRows = (series: Series, key: string, origin: number, sliceSeconds: number): BandRow[] => {
	const rows: BandRow[] = [];
	const { timesSeconds: times, co2Ppm: ppm } = series;
	for (let index = 0; index < times.length; ) {
		const start = valueAt(times, index);
		let low = valueAt(ppm, index);
		let high = low;
		let end = start;
		for (; index < times.length && valueAt(times, index) < start + sliceSeconds; index++) {
			end = valueAt(times, index);
			low = Math.min(low, valueAt(ppm, index));
			high = Math.max(high, valueAt(ppm, index));
		}
		if (rows.length === 0) rows.push({ key, t: start - origin, low, high });
		rows.push({ key, t: (index < times.length ? (start + end) / 2 : end) - origin, low, high });
	}
	return rows;
};

const fanRows = (series: Series, key: string, origin: number, secondsPerPx: number): FanRow[] => {
	const rows: FanRow[] = [];
	let previousStart = Number.NEGATIVE_INFINITY;
	for (const { startSeconds, endSeconds } of series.bursts ?? []) {
		const last = rows.at(-1);
		const close = startSeconds - previousStart < NARROWEST_BURST * secondsPerPx;
		if (last !== undefined && close)
			rows[rows.length - 1] = { key, from: last.from, to: endSeconds - origin, merged: true };
		else rows.push({ key, from: startSeconds - origin, to: endSeconds - origin, merged: false });
		previousStart = startSeconds;
	}
	return rows;
};

/** The rows a chart of this width draws; the key of a series is its place in the picture. */
export function rowsOf(picture: Picture, widthPx: number) {
	const [first, last] = windowOf(picture);
	const secondsPerPx = (last - first) / widthPx;
	const line: LineRow[] = [];
	const band: BandRow[] = [];
	const fan: FanRow[] = [];
	picture.series.forEach((series, place) => {
		const key = String(place);
		if (isBand(picture, series, widthPx)) {
			const slice = Math.max(1.5 * typicalGap(series), 3 * secondsPerPx);
			for (const row of bandRows(series, key, picture.originSeconds, slice)) band.push(row);
		} else for (const row of lineRows(series, key, picture.originSeconds)) line.push(row);
		for (const row of fanRows(series, key, picture.originSeconds, secondsPerPx)) fan.push(row);
	});
	return { line, band, fan };
}
