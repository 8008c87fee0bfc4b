import type { FanTrace } from "./fan.ts";

/** One schedule in a picture: what is drawn and what the readout tells. */
export interface Series {
	readonly name: string;
	/** "4 s on, 3 min 56 s off, 360 bursts a day" */
	readonly words: string;
	/** Ascending, from the start of the window [s]. */
	readonly timesSeconds: ArrayLike<number>;
	/** [ppm] */
	readonly co2Ppm: ArrayLike<number>;
	/** When the fan runs under this schedule. */
	readonly fan: FanTrace;
	/** Another view of the series before it, such as a sensor's: it has no row of its own in the fan strip. */
	readonly isOverlay: boolean;
}

/** Everything a sawtooth chart shows, before it has a size. */
export interface ChartData {
	readonly series: readonly Series[];
	/** [s] */
	readonly windowSeconds: number;
	/** [ppm] */
	readonly ceilingPpm: number;
	readonly floorPpm: number | null;
	/** Zone that the CO2 is of, where the chamber has two: `stagnant zone`; else null. */
	readonly zone: string | null;
	/** The window starts at midnight and its axis tells the time of day; else it tells the time since the start. */
	readonly isTimeOfDay: boolean;
	readonly timeTitle: string;
}

/** Cycles shorter than this on the picture [px] are drawn as a band from trough to peak. */
const MIN_CYCLE_PX = 6;
/** Bursts that start closer together than this [px] run into one pale bar. */
const MIN_BURST_PX = 3;
/** With fewer points a cycle than this a curve only holds its extremes. */
const MIN_POINTS_PER_CYCLE = 4;

/** The lowest and the highest of the values from one place up to another. */
export function extremes(values: ArrayLike<number>, from = 0, to = values.length) {
	let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	for (let i = from; i < to; i++) {
		low = Math.min(low, values[i]!);
		high = Math.max(high, values[i]!);
	}
	return { low, high };
}

const elementAt = (values: ArrayLike<number>, index: number): number => values[index] ?? Number.NaN;

/** Place of the last time that is not after `timeSeconds`; -1 when all are. */
const placeBefore = (times: ArrayLike<number>, timeSeconds: number): number => {
	let low = -1;
	let high = times.length;
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if (elementAt(times, middle) <= timeSeconds) low = middle;
		else high = middle;
	}
	return low;
};

/**
 * CO2 of a series at a time [ppm]: on the straight line between its points, or from trough to peak around that time
 * where the curve has too few points a cycle to say more; null outside of the curve.
 */
export function co2At(
	{ timesSeconds: times, co2Ppm, fan }: Series,
	timeSeconds: number,
): { readonly low: number; readonly high: number } | null {
	const last = times.length - 1;
	const place = placeBefore(times, timeSeconds);
	if (place < 0 || timeSeconds > elementAt(times, last)) return null;
	const cycle = fan.cycleSeconds ?? Number.POSITIVE_INFINITY;
	const spacing = (elementAt(times, last) - elementAt(times, 0)) / Math.max(1, last);
	if (cycle < MIN_POINTS_PER_CYCLE * spacing) {
		const reach = Math.max(cycle, 2 * spacing);
		return extremes(
			co2Ppm,
			Math.max(0, placeBefore(times, timeSeconds - reach)),
			placeBefore(times, timeSeconds + reach) + 1,
		);
	}
	if (place === last) return { low: elementAt(co2Ppm, last), high: elementAt(co2Ppm, last) };
	const span = elementAt(times, place + 1) - elementAt(times, place);
	const share = span > 0 ? (timeSeconds - elementAt(times, place)) / span : 0;
	const ppm = elementAt(co2Ppm, place) * (1 - share) + elementAt(co2Ppm, place + 1) * share;
	return { low: ppm, high: ppm };
}

/** What the fan of a series does at a time; null for a shadow. */
export function fanAt({ fan, isOverlay }: Series, timeSeconds: number): "on" | "off" | "cycling" | null {
	if (isOverlay) return null;
	const burst = fan.bursts.find((b) => b.startSeconds <= timeSeconds && timeSeconds < b.endSeconds);
	return burst === undefined ? "off" : burst.isMerged ? "cycling" : "on";
}

/** A point of a line: series, piece of it, time [s], CO2 [ppm]. */
export interface LineRow {
	readonly key: string;
	readonly piece: number;
	readonly t: number;
	readonly c: number;
}
/** A slice of a band from trough to peak. */
export interface BandRow {
	readonly key: string;
	readonly piece: number;
	readonly t: number;
	readonly low: number;
	readonly high: number;
}
/** A burst, drawn a pixel long at least, or bursts too close to be told apart. */
export interface FanRow {
	readonly key: string;
	readonly from: number;
	readonly to: number;
	readonly merged: boolean;
}

/** Stretches [s] in which cycles are too narrow to be drawn one by one at this width, with their typical cycle. */
export function narrowSpans({ windowSeconds }: ChartData, { fan }: Series, widthPx: number) {
	const narrow = (MIN_CYCLE_PX * windowSeconds) / widthPx;
	const spans: { from: number; to: number; cycles: number }[] = [];
	const add = (from: number, to: number): void => {
		const last = spans.at(-1);
		if (last !== undefined && from <= last.to) {
			last.to = to;
			last.cycles += 1;
		} else spans.push({ from, to, cycles: 1 });
	};
	fan.bursts.forEach((burst, place, bursts) => {
		const next = bursts[place + 1]?.startSeconds ?? windowSeconds;
		if (burst.isMerged || next - burst.startSeconds < narrow)
			add(burst.startSeconds, Math.min(next, windowSeconds));
	});
	return spans
		.filter(({ from, to }) => to - from > 3 * narrow)
		.map(({ from, to, cycles }) => ({
			from,
			to,
			cycleSeconds: Math.min(fan.cycleSeconds ?? narrow, (to - from) / cycles),
		}));
}

/** Trough and peak over slices of the points from one place up to another. */
const bandRows = (
	series: Series,
	key: string,
	piece: number,
	from: number,
	to: number,
	slice: number,
): BandRow[] => {
	const { timesSeconds: times, co2Ppm: ppm } = series;
	const rows: BandRow[] = [];
	const end = elementAt(times, to - 1);
	for (let index = from; index < to; ) {
		const start = elementAt(times, index);
		// What is left over at the end belongs to the last slice, lest that hold no whole cycle.
		const until = end - start < 2 * slice ? Number.POSITIVE_INFINITY : start + slice;
		const first = index;
		while (index < to && elementAt(times, index) < until) index++;
		const { low, high } = extremes(ppm, first, index);
		const middle = index < to ? (start + elementAt(times, index)) / 2 : (start + end) / 2;
		// The band opens from the true CO2 at its start.
		if (rows.length === 0)
			rows.push({ key, piece, t: start, low: elementAt(ppm, from), high: elementAt(ppm, from) });
		rows.push({ key, piece, t: middle, low, high });
		if (index >= to) rows.push({ key, piece, t: end, low, high });
	}
	return rows;
};

const fanRows = ({ fan, isOverlay }: Series, key: string, secondsPerPx: number): FanRow[] => {
	const rows: FanRow[] = [];
	if (isOverlay) return rows;
	let previousStart = Number.NEGATIVE_INFINITY;
	for (const { startSeconds, endSeconds, isMerged = false } of fan.bursts) {
		const last = rows.at(-1);
		if (last !== undefined && startSeconds - previousStart < MIN_BURST_PX * secondsPerPx)
			rows[rows.length - 1] = { key, from: last.from, to: endSeconds, merged: true };
		else
			rows.push({
				key,
				from: startSeconds,
				to: Math.max(endSeconds, startSeconds + secondsPerPx),
				merged: isMerged,
			});
		previousStart = startSeconds;
	}
	return rows;
};

/** The rows a chart of this width draws; the key of a series is its place in the picture. */
export function chartRows(picture: ChartData, widthPx: number) {
	const secondsPerPx = picture.windowSeconds / widthPx;
	const line: LineRow[] = [];
	const band: BandRow[] = [];
	const fan: FanRow[] = [];
	picture.series.forEach((series, place) => {
		const key = String(place);
		const { timesSeconds: times, co2Ppm } = series;
		let piece = 0;
		let next = 0;
		const drawLine = (to: number): void => {
			for (let i = next; i < to; i++)
				line.push({ key, piece, t: elementAt(times, i), c: elementAt(co2Ppm, i) });
			next = to;
			piece++;
		};
		for (const { from, to, cycleSeconds } of narrowSpans(picture, series, widthPx)) {
			if (from > 0) drawLine(Math.max(next, placeBefore(times, from) + 1));
			const end = placeBefore(times, to) + 1;
			// A cycle and a half, so that each slice holds a peak and a trough.
			const slice = Math.max(1.5 * cycleSeconds, 4 * secondsPerPx);
			for (const row of bandRows(series, key, piece, next, end, slice)) band.push(row);
			next = end;
			piece++;
		}
		drawLine(times.length);
		for (const row of fanRows(series, key, secondsPerPx)) fan.push(row);
	});
	return { line, band, fan };
}
