import { type LogColumn, mainChannel } from "./columns/channels.ts";
import type { RowLayout } from "./decode/layout.ts";
import { logLayout } from "./decode/loglayout.ts";
import type { Channel, ChannelKind, Log, LogLayout, LogNote, NoteSubject } from "./log.ts";
import { createNoteCollector, type NoteCollector } from "./notes.ts";
import { refusal } from "./refusal.ts";
import { checkRuns, findTimeOfDay, GAP_STEPS, type Sink } from "./samples.ts";
import { noteGaps, type RowTimes } from "./times/rowtimes.ts";
import { tellsInstants } from "./times/timecolumns.ts";
import type { FirstTimes } from "./times/writtentime.ts";

/** Figures of one channel, in its unit. */
export interface ChannelSummary extends Pick<Channel, "name" | "column" | "kind" | "place"> {
	/** Unit in the file; null where it has none. */
	readonly unit: LogColumn["unit"];
	/** Usable values. */
	readonly count: number;
	/** null when there is no usable value. */
	readonly min: number | null;
	/** Lower of two middle values; of a log whose samples were not kept, to `medianStep`. */
	readonly median: number | null;
	readonly max: number | null;
	/** How finely the median is known; 0: exactly. */
	readonly medianStep: number;
}

/** What a log says, without its samples. */
export interface LogSummary {
	readonly fileName: string;
	readonly layout: LogLayout;
	readonly startUtcSeconds: number | null;
	/** Time of day of the first sample where no date tells it [s after midnight]; null: not known. */
	readonly startsAtSeconds: number | null;
	/** From the first sample to the last [s]. */
	readonly durationSeconds: number;
	readonly sampleIntervalSeconds: number;
	readonly rawRows: number;
	readonly rows: number;
	readonly channels: readonly ChannelSummary[];
	/** The first thousand, in order of time. */
	readonly gaps: readonly { readonly fromSeconds: number; readonly lengthSeconds: number }[];
	readonly gapCount: number;
	readonly notes: readonly LogNote[];
}

const MAX_GAPS = 1000;

/**
 * What a log holds, without its samples.
 *
 * @param log as `readLog` gives it
 * @returns rows, span and interval [s], and least, mean and greatest value of each channel [ppm], [°C], [0..1]
 * @throws never
 *
 * Source: this project.
 * @example summarizeLog(readLog("minutes,CO2 (ppm)\n0,500\n1,510\n2,520")).rows // => 3
 */
export function summarizeLog(log: Log): LogSummary {
	const {
		fileName,
		layout,
		startUtcSeconds,
		startsAtSeconds = null,
		sampleIntervalSeconds,
		rawRows,
		rows,
		gaps,
		notes,
	} = log;
	return {
		fileName,
		layout,
		startUtcSeconds,
		startsAtSeconds,
		durationSeconds: log.timesSeconds.at(-1) ?? 0,
		sampleIntervalSeconds,
		rawRows,
		rows,
		channels: log.channels.map(({ name, column, kind, place, unit = null, values }) => {
			const usable = values.filter((value) => !Number.isNaN(value)).sort();
			return {
				name,
				column,
				kind,
				place,
				unit,
				count: usable.length,
				min: usable[0] ?? null,
				median: usable[Math.floor((usable.length - 1) / 2)] ?? null,
				max: usable.at(-1) ?? null,
				medianStep: 0,
			};
		}),
		gaps: gaps.slice(0, MAX_GAPS),
		gapCount: gaps.length,
		notes,
	};
}

/** Classes in which values are counted for a median: lowest, width, number. */
const CLASSES: Readonly<Record<ChannelKind, readonly [low: number, step: number, count: number]>> = {
	co2: [0, 1, 65_536],
	temperature: [-60, 0.01, 21_000],
	humidity: [0, 0.0005, 2200],
	fan: [0, 1, 2],
};

function tally(kind: ChannelKind) {
	const [low, step, size] = CLASSES[kind];
	const counts = new Float64Array(size);
	let count = 0;
	let min = Number.POSITIVE_INFINITY;
	let max = Number.NEGATIVE_INFINITY;
	/** Middle of the class in which so many of the values, from the lowest, end. */
	const at = (share: number): number => {
		let k = 0;
		for (let below = counts[0]!; below < share * count && k < size - 1; ) below += counts[++k]!;
		return Math.min(max, Math.max(min, Number((low + k * step).toFixed(4))));
	};
	return {
		at,
		add(value: number): void {
			count++;
			if (value < min) min = value;
			if (value > max) max = value;
			counts[Math.min(size - 1, Math.max(0, Math.round((value - low) / step)))]!++;
		},
		summary(): Pick<ChannelSummary, "count" | "min" | "median" | "max" | "medianStep"> {
			if (count === 0) return { count, min: null, median: null, max: null, medianStep: 0 };
			return {
				count,
				min,
				median: at(0.5),
				max,
				medianStep: kind === "fan" ? 0 : step,
			};
		},
	};
}

/** Most different steps that are counted; beyond them a log has no usual one. */
const MAX_STEPS = 100_000;

/** What a sample that is not kept can only be left out for. */
const MALFORMED: NoteSubject = { kind: "malformed row" };
const REPEATED: NoteSubject = { kind: "duplicate", isVerbatim: false };
const LATE: NoteSubject = { kind: "out of order", outcome: "left out" };

/** Counts samples as they come, in one order of day and month. */
function pace(usualSeconds: number, isNewestFirst: boolean) {
	const steps = new Map<number, number>();
	const gaps: { fromSeconds: number; lengthSeconds: number }[] = [];
	let gapCount = 0;
	let first = Number.NaN;
	let last = Number.NaN;
	let lastUsable = Number.NaN;
	return {
		/** Why the sample does not count, or null. */
		add(seconds: number, isUsable: boolean): NoteSubject | null {
			if (Number.isNaN(seconds)) return MALFORMED;
			const ahead = isNewestFirst ? last - seconds : seconds - last;
			if (ahead === 0) return REPEATED;
			if (ahead < 0) return LATE;
			if (Number.isNaN(last)) first = seconds;
			last = seconds;
			if (!isUsable) return null;
			const step = Math.abs(seconds - lastUsable);
			if (!Number.isNaN(step)) {
				const rounded = Math.round(step * 1000) / 1000;
				if (steps.has(rounded) || steps.size < MAX_STEPS) steps.set(rounded, (steps.get(rounded) ?? 0) + 1);
				if (step > GAP_STEPS * usualSeconds) {
					gapCount++;
					if (gaps.length < MAX_GAPS)
						gaps.push({ fromSeconds: isNewestFirst ? seconds : lastUsable, lengthSeconds: step });
				}
			}
			lastUsable = seconds;
			return null;
		},
		result() {
			const start = isNewestFirst ? last : first;
			const inOrder = isNewestFirst ? gaps.reverse() : gaps;
			return {
				start,
				durationSeconds: Math.abs(last - first),
				sampleIntervalSeconds: medianOf(steps),
				gaps: inOrder.map((gap) => ({ ...gap, fromSeconds: gap.fromSeconds - start })),
				gapCount,
			};
		},
	};
}

function medianOf(steps: ReadonlyMap<number, number>): number {
	const sorted = [...steps].sort(([a], [b]) => a - b);
	const total = sorted.reduce((sum, [, count]) => sum + count, 0);
	let below = 0;
	for (const [step, count] of sorted) {
		below += count;
		if (2 * below >= total) return step;
	}
	return 0;
}

/**
 * Keeps no samples, only figures: for files that do not fit in memory. Without the samples, rows out of order or at an instant
 * that the row before had are counted and left out, and gaps are told by the step of the first rows.
 */
export function countSamples(
	layout: RowLayout,
	first: FirstTimes,
	times: RowTimes,
	notes: NoteCollector,
	fileName: string,
): Sink<LogSummary> {
	const tallies = layout.channels.map(({ kind }) => tally(kind));
	const paces = times.readings.map(() => pace(first.stepSeconds, first.isNewestFirst));
	const chamber = mainChannel(layout.channels);
	const main = layout.channels.indexOf(chamber);
	const missing = layout.channels.map(({ name }) => notes.counter({ kind: "missing value", column: name }));
	// Of either reading of the dates; one of them is chosen at the end.
	const dropped = times.readings.map(createNoteCollector);
	let rows = 0;

	const take: Sink<LogSummary>["take"] = (line, values) => {
		let isLeftOut = false;
		for (let k = 0; k < paces.length; k++) {
			const why = paces[k]!.add(times.readings[k]!.seconds, !Number.isNaN(values[main]!));
			if (why === null) continue;
			isLeftOut = true;
			dropped[k]!.counter(why).add(line);
		}
		// In a file whose dates can be read both ways, what either way leaves out is left out.
		if (isLeftOut) return;
		if (!Number.isNaN(values[main]!)) rows++;
		for (let k = 0; k < tallies.length; k++) {
			const value = values[k]!;
			if (Number.isNaN(value)) missing[k]!.add(line);
			else tallies[k]!.add(value);
		}
	};

	const end: Sink<LogSummary>["end"] = (rawRows) => {
		const chosen = times.decide(notes);
		if (rows === 0) throw refusal("data", "has rows, but none with a usable CO2 value");
		checkRuns(
			layout,
			rows,
			dropped[chosen]!.counter(LATE).count(),
			dropped[chosen]!.counter(REPEATED).count(),
		);
		for (const note of dropped[chosen]!.notes()) notes.add(note);
		if (first.isNewestFirst)
			notes.add({ kind: "out of order", outcome: "newest first, reversed", count: rawRows, lines: [] });
		const { start, ...pace } = paces[chosen]!.result();
		const gap = noteGaps(pace.gaps, pace.gapCount);
		const log: LogSummary = {
			fileName,
			layout: logLayout(layout, first, times.readings[chosen]!.isMonthFirst),
			startUtcSeconds: tellsInstants(layout.time) ? start : null,
			startsAtSeconds: findTimeOfDay(layout, start),
			...pace,
			rawRows,
			rows,
			channels: layout.channels.map(({ name, column, kind, place, unit }, k) => ({
				name,
				column,
				kind,
				place,
				unit,
				...tallies[k]!.summary(),
			})),
			notes: [...layout.notes, ...notes.notes(), ...(gap === null ? [] : [gap])],
		};
		const { at, summary } = tallies[main]!;
		const { count, min, max } = summary();
		const figures = {
			name: chamber.name,
			count,
			min: min!,
			low: at(0.1),
			median: at(0.5),
			high: at(0.9),
			max: max!,
		};
		return { log, co2: figures };
	};
	return { take, end };
}
