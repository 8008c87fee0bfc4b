import { DAY } from "../time.ts";
import { mainChannel } from "./columns/channels.ts";
import type { RowLayout } from "./decode/layout.ts";
import { logLayout } from "./decode/loglayout.ts";
import type { SampleTaker } from "./decode/rows.ts";
import type { Channel, Log, LogLayout } from "./log.ts";
import type { NoteCollector } from "./notes.ts";
import type { Co2Figures } from "./plausible.ts";
import { refusal } from "./refusal.ts";
import { noteGaps, type RowTimes } from "./times/rowtimes.ts";
import { tellsInstants } from "./times/timecolumns.ts";
import type { FirstTimes } from "./times/writtentime.ts";

/** Steps longer than so many usual ones are gaps. */
export const GAP_STEPS = 1.5;

/** What takes the samples of a file and makes something of them. */
export interface Sink<T> {
	readonly take: SampleTaker;
	/** The log, and what its CO2 looks like. */
	readonly end: (rawRows: number) => { readonly log: T; readonly co2: Co2Figures };
}

/** Lengths of blocks: short logs take little room, long ones few blocks. */
const FIRST_BLOCK = 256;
const MAX_BLOCK = 65_536;

/** A column of numbers that grows in blocks, and is put together once. */
function growing<A extends Float64Array | Uint32Array>(
	make: (length: number) => A,
): { readonly add: (value: number) => void; readonly whole: () => A } {
	const full: A[] = [];
	let block = make(FIRST_BLOCK);
	let used = 0;
	let before = 0;
	return {
		add(value) {
			if (used === block.length) {
				full.push(block);
				before += used;
				block = make(Math.min(MAX_BLOCK, before));
				used = 0;
			}
			block[used++] = value;
		},
		whole() {
			const all = make(before + used);
			all.set(block.subarray(0, used), before);
			for (let each = full.pop(); each !== undefined; each = full.pop()) {
				before -= each.length;
				all.set(each, before);
			}
			return all;
		},
	};
}
const float64 = (length: number): Float64Array => new Float64Array(length);

/** Keeps all samples and makes a log of them. */
export function keepSamples(
	layout: RowLayout,
	first: FirstTimes,
	times: RowTimes,
	notes: NoteCollector,
	fileName: string,
): Sink<Log> {
	const instants = times.readings.map(() => growing(float64));
	const lines = growing((length) => new Uint32Array(length));
	const columns = layout.channels.map(() => growing(float64));

	const take: SampleTaker = (line, values) => {
		for (let k = 0; k < instants.length; k++) instants[k]!.add(times.readings[k]!.seconds);
		lines.add(line);
		for (let k = 0; k < columns.length; k++) columns[k]!.add(values[k]!);
	};

	const end: Sink<Log>["end"] = (rawRows) => {
		const chosen = times.decide(notes);
		const seconds = instants[chosen]!.whole();
		const lineNumbers = lines.whole();
		const kept = columns.map((column) => column.whole());
		const { order, disorder, shared } = sortSamples(
			{ seconds, lines: lineNumbers, values: kept },
			first,
			layout,
			notes,
		);
		const pick = (from: Float64Array): Float64Array =>
			order === null ? from : Float64Array.from(order, (i) => from[i]!);
		const sortedLines = order === null ? lineNumbers : Uint32Array.from(order, (i) => lineNumbers[i]!);
		const sorted = pick(seconds);
		checkRuns(layout, sorted.length, disorder, shared);
		const channels = layout.channels.map(({ name, column, kind, place, unit }, k): Channel => {
			const values = pick(kept[k]!);
			kept[k] = values;
			return { name, column, kind, place, unit, values };
		});
		const written = logLayout(layout, first, times.readings[chosen]!.isMonthFirst);
		const samples = { seconds: sorted, lines: sortedLines, channels, rawRows };
		const { name, values } = mainChannel(channels);
		const usable = values.filter((value) => !Number.isNaN(value)).sort();
		const at = (share: number): number => usable[Math.floor(share * (usable.length - 1))] ?? Number.NaN;
		const co2 = {
			name,
			count: usable.length,
			min: at(0),
			low: at(0.1),
			median: at(0.5),
			high: at(0.9),
			max: at(1),
		};
		return { log: assembleLog(layout, written, fileName, samples, notes), co2 };
	};
	return { take, end };
}

/** Samples in the order of the file. */
interface RowSamples {
	readonly seconds: Float64Array;
	readonly lines: Uint32Array;
	/** By channel. */
	readonly values: readonly Float64Array[];
}

/**
 * The samples in order of time, each instant once, as indices, null when they are so already; how many stood out of order, and how many
 * contradict another.
 */
function sortSamples(
	{ seconds, lines, values }: RowSamples,
	first: FirstTimes,
	layout: RowLayout,
	notes: NoteCollector,
): { readonly order: Uint32Array | null; readonly disorder: number; readonly shared: number } {
	let isAscending = true;
	for (let i = 0; i < seconds.length && isAscending; i++)
		isAscending = i === 0 ? !Number.isNaN(seconds[0]!) : seconds[i]! > seconds[i - 1]!;
	if (isAscending) return { order: null, disorder: 0, shared: 0 };
	const malformed = notes.counter({ kind: "malformed row" });
	const order: number[] = [];
	for (let i = 0; i < seconds.length; i++)
		if (Number.isNaN(seconds[i]!)) malformed.add(lines[i]!);
		else order.push(i);
	if (first.isNewestFirst) {
		order.reverse();
		const reversed = notes.counter({ kind: "out of order", outcome: "newest first, reversed" });
		for (const i of order) reversed.add(lines[i]!);
	}
	const sorted = notes.counter({ kind: "out of order", outcome: "sorted" });
	let latest = Number.NEGATIVE_INFINITY;
	for (const i of order) {
		if (seconds[i]! < latest) sorted.add(lines[i]!);
		else latest = seconds[i]!;
	}
	const place = new Uint32Array(seconds.length);
	order.forEach((i, at) => {
		place[i] = at;
	});
	order.sort((a, b) => seconds[a]! - seconds[b]! || place[a]! - place[b]!);
	const isZoneKnown = layout.time.kind !== "stamp" || layout.time.isZoned || layout.zoneFrom !== null;
	const duplicates = notes.counter({ kind: "duplicate", isVerbatim: true });
	const conflicts = notes.counter({ kind: "conflicting duplicate", isZoneKnown });
	const once: number[] = [];
	for (const i of order) {
		const before = once.at(-1);
		if (before === undefined || seconds[i] !== seconds[before]) {
			once.push(i);
			continue;
		}
		const isSame = values.every((column) => Object.is(column[i], column[before]));
		(isSame ? duplicates : conflicts).add(lines[i]!);
	}
	return { order: Uint32Array.from(once), disorder: sorted.count(), shared: conflicts.count() };
}

/** A log of elapsed times that begin anew is several logs; one whose rows share times has none. Throws InputError. */
export function checkRuns({ time }: RowLayout, rows: number, disorder: number, shared: number): void {
	const most = Math.max(2, 0.02 * rows);
	if (tellsInstants(time)) return;
	if (shared > most && disorder === 0)
		throw refusal(
			"time column",
			`${shared} of ${rows + shared} rows have the time of the row before and other values: its times (${time.words}) are too coarse for its steps; have the logger write seconds`,
		);
	if (disorder + shared > most)
		throw refusal("time column", "its elapsed times begin anew: several logs stand in one file; split it");
}

/** Puts a log together from samples in order. */
function assembleLog(
	layout: RowLayout,
	written: LogLayout,
	fileName: string,
	samples: Pick<Log, "lines" | "channels" | "rawRows"> & { readonly seconds: Float64Array },
	notes: NoteCollector,
): Log {
	const { seconds, lines, channels, rawRows } = samples;
	for (const { name, values } of channels) {
		const missing = notes.counter({ kind: "missing value", column: name });
		for (let i = 0; i < values.length; i++) if (Number.isNaN(values[i]!)) missing.add(lines[i]!);
	}
	const main = mainChannel(channels).values;
	const start = seconds[0] ?? 0;
	// In place: a month of seconds is large.
	const timesSeconds = seconds;
	for (let i = 0; i < seconds.length; i++) seconds[i]! -= start;
	const { sampleIntervalSeconds, gaps, count } = measureSteps(timesSeconds, main);
	if (count === 0) throw refusal("data", "has rows, but none with a usable CO2 value");
	const gap = noteGaps(gaps, gaps.length);
	return {
		fileName,
		layout: written,
		startUtcSeconds: tellsInstants(layout.time) ? start : null,
		startsAtSeconds: findTimeOfDay(layout, start),
		timesSeconds,
		lines,
		channels,
		sampleIntervalSeconds,
		rawRows,
		rows: count,
		gaps,
		notes: [...layout.notes, ...notes.notes(), ...(gap === null ? [] : [gap])],
	};
}

/** Usual step and gaps between usable values, and how many these are. */
function measureSteps(times: Float64Array, values: Float64Array) {
	const steps = new Float64Array(times.length);
	const eachStep = (take: (from: number, step: number) => void): number => {
		let count = 0;
		let last = 0;
		for (let i = 0; i < times.length; i++) {
			if (Number.isNaN(values[i]!)) continue;
			if (count++ > 0) take(last, times[i]! - last);
			last = times[i]!;
		}
		return count;
	};
	let used = 0;
	const count = eachStep((_, step) => {
		steps[used++] = step;
	});
	const sampleIntervalSeconds = steps.subarray(0, used).sort()[Math.floor((used - 1) / 2)] ?? 0;
	const gaps: { fromSeconds: number; lengthSeconds: number }[] = [];
	eachStep((fromSeconds, lengthSeconds) => {
		if (lengthSeconds > GAP_STEPS * sampleIntervalSeconds) gaps.push({ fromSeconds, lengthSeconds });
	});
	return { sampleIntervalSeconds, gaps, count };
}

/** Time of day of the first sample [s after midnight] where no date tells it. */
export function findTimeOfDay({ time, startsAtSeconds }: RowLayout, firstSeconds: number): number | null {
	if (startsAtSeconds !== null) return startsAtSeconds;
	// Times that begin at 0:00:00 may as well count from the first sample.
	const isClock = time.kind === "clock" || (time.kind === "parts" && !tellsInstants(time));
	return isClock && firstSeconds > 0 ? firstSeconds % DAY : null;
}
