import { DAY, HOUR } from "../../time.ts";
import type { RowLayout } from "../decode/layout.ts";
import type { LogNote } from "../log.ts";
import type { NoteCollector } from "../notes.ts";
import { refusal } from "../refusal.ts";
import { createClockChangeDetector } from "./clockchange.ts";
import {
	contradiction,
	createInstantReader,
	createTimeReader,
	type FirstTimes,
	MAX_APART,
	type WrittenTime,
} from "./writtentime.ts";

/** A row further from the one before than the times of one log, and than so many steps, has that of a clock that was not set. */
const MAX_STEPS_OFF = 20;

/** A step of so many usual ones is one on which times run on, and so is a pause of two hours [s]: no logger rests for a month and a day's end at once. */
const MAX_STEPS_OVER = 3;
const MAX_PAUSE = 2 * HOUR;

/** Instant of each row in one reading of its dates, and how well that reading holds together. */
export interface DateOrderReading {
	readonly isMonthFirst: boolean;
	/** Of the row last read [s]; NaN when this reading makes no date of it. */
	seconds: number;
	/** Rows that it makes no date of. */
	impossible: number;
	/** Times at which it runs on at the usual step while the other order jumps by more than a day. */
	crossings: number;
}

/** Reads the time of row after row, in one or both orders of day and month. */
export interface RowTimes {
	readonly readings: readonly DateOrderReading[];
	readonly read: (bytes: Uint8Array, starts: Int32Array, ends: Int32Array, line: number) => boolean;
	/** The row last read lies years from the others, in each reading. */
	readonly isStray: () => boolean;
	/** Takes the values of the row last read when it is a sample. */
	readonly addSample: (line: number, values: Float64Array) => void;
	/** After the last row: index of the reading that holds. Throws InputError when that, or whether its clock changed, cannot be told. */
	readonly decide: (notes: NoteCollector) => number;
}

export function readRowTimes(layout: RowLayout, first: FirstTimes): RowTimes {
	const time: WrittenTime = { seconds: 0, monthFirst: 0, isLocal: false, offset: Number.NaN };
	const readTime = createTimeReader(layout, time);
	const zone = layout.zone ?? "UTC";
	const orders = first.isTwofold ? [false, true] : [first.isMonthFirst];
	const readings = orders.map((isMonthFirst) => ({ isMonthFirst, seconds: 0, impossible: 0, crossings: 0 }));
	const instants = orders.map(() => createInstantReader(zone, first.isNewestFirst, first.stepSeconds));
	const last = orders.map(() => Number.NaN);
	const isFixed = zone === "UTC";
	/** The last instants that were not stray. */
	const sound = orders.map((isMonthFirst) => (isMonthFirst ? first.usual.monthFirst : first.usual.seconds));
	const reach = Math.max(MAX_APART, MAX_STEPS_OFF * first.stepSeconds);
	let isStray = false;
	/** Day and month are the same number in all rows. */
	let areSame = true;

	const place = placeInMinute(first);
	const read: RowTimes["read"] = (bytes, starts, ends, line) => {
		if (!readTime(bytes, starts, ends)) return false;
		const within = place(time.seconds, line);
		time.seconds += within;
		time.monthFirst += within;
		let isAny = false;
		isStray = true;
		let far = -1;
		for (let k = 0; k < readings.length; k++) {
			const reading = readings[k]!;
			const written = reading.isMonthFirst ? time.monthFirst : time.seconds;
			if (Number.isNaN(written)) {
				reading.seconds = written;
				reading.impossible++;
				continue;
			}
			isAny = true;
			const seconds = time.isLocal && !isFixed ? instants[k]!.toUtc(written, line) : written;
			reading.seconds = seconds;
			if (Math.abs(seconds - sound[k]!) > reach) {
				far = k;
				continue;
			}
			isStray = false;
			sound[k] = seconds;
		}
		if (readings.length > 1) {
			// Years off in one order only: that order is wrong.
			if (!isStray && far >= 0) readings[1 - far]!.crossings++;
			if (areSame) areSame = readings[0]!.seconds === readings[1]!.seconds;
			const steps = readings.map(({ seconds }, k) => Math.abs(seconds - last[k]!));
			for (const k of [0, 1])
				if (steps[k]! <= Math.max(MAX_STEPS_OVER * first.stepSeconds, MAX_PAUSE) && steps[1 - k]! > DAY)
					readings[k]!.crossings++;
			if (!isStray)
				readings.forEach(({ seconds }, k) => {
					last[k] = seconds;
				});
		}
		return isAny;
	};

	const detectors =
		layout.zone !== null && layout.zoneFrom === null
			? orders.map(() => createClockChangeDetector(first.stepSeconds, first.isNewestFirst))
			: [];
	const addSample: RowTimes["addSample"] = (line, values) => {
		for (let k = 0; k < detectors.length; k++) detectors[k]!.add(readings[k]!.seconds, line, values);
	};

	const decide: RowTimes["decide"] = (notes) => {
		if (first.perMinute !== null) {
			const { rows } = first.perMinute;
			notes.add({ kind: "assumption", assumed: "evenly within the minute", rows, count: 1, lines: [] });
		}
		const chosen =
			readings.length === 1 || areSame
				? 0
				: chooseOrder(readings as [DateOrderReading, DateOrderReading], notes);
		detectors[chosen]?.finish();
		noteClockChanges(instants[chosen]!.changes, zone, notes);
		return chosen;
	};
	return { readings, read, isStray: () => isStray, addSample, decide };
}

/** Seconds of a row in its minute, where each minute holds as many rows, evenly spread. Throws InputError where one does not. */
function placeInMinute({ perMinute }: FirstTimes): (seconds: number, line: number) => number {
	if (perMinute === null) return () => 0;
	const { rows, first } = perMinute;
	let minute = Number.NaN;
	let place = rows - first - 1;
	return (seconds, line) => {
		const isNext = seconds !== minute && !Number.isNaN(minute);
		if ((isNext && (place !== rows - 1 || seconds !== minute + 60)) || (!isNext && place === rows - 1))
			throw refusal(
				"time column",
				`times are written to the minute, with ${rows} rows in each, but not from here on, so that rows have no time of their own; have the logger write seconds, or split the file here`,
				line,
			);
		place = isNext ? 0 : place + 1;
		minute = seconds;
		return (60 / rows) * place;
	};
}

/** Day or month first: by a date that only one order makes, else by a midnight over which times run on in one order only. */
function chooseOrder(readings: readonly [DateOrderReading, DateOrderReading], notes: NoteCollector): number {
	const [dayFirst, monthFirst] = readings;
	if (dayFirst.impossible > 0 && monthFirst.impossible > 0) throw contradiction();
	if (dayFirst.impossible > 0) return 1;
	if (monthFirst.impossible > 0) return 0;
	if (dayFirst.crossings > 0 === monthFirst.crossings > 0)
		throw refusal(
			"date order",
			"the dates fit both day-first and month-first order; choose --date-order dmy or --date-order mdy",
		);
	const chosen = dayFirst.crossings > 0 ? 0 : 1;
	notes.add({ kind: "assumption", assumed: "date order", isMonthFirst: chosen === 1, count: 1, lines: [] });
	return chosen;
}

function noteClockChanges(
	changes: ReturnType<typeof createInstantReader>["changes"],
	zone: string,
	notes: NoteCollector,
): void {
	const { ambiguous, second, secondLines, openLine, nonexistent, nonexistentLines } = changes;
	if (openLine !== null)
		throw refusal(
			"zone",
			`its time lies in an hour that came twice in ${zone}, and the rows around do not tell which of the two; say the offset of its clock (such as --zone +01:00), or leave the hour out`,
			openLine,
		);
	if (second > 0)
		notes.add({
			kind: "ambiguous local time",
			zone,
			isInFileTwice: true,
			count: second,
			lines: secondLines,
		});
	else if (ambiguous > 0)
		notes.add({ kind: "ambiguous local time", zone, isInFileTwice: false, count: ambiguous, lines: [] });
	if (nonexistent > 0)
		notes.add({ kind: "nonexistent local time", zone, count: nonexistent, lines: nonexistentLines });
}

/** The note for gaps. */
export const noteGaps = (
	gaps: readonly { readonly lengthSeconds: number }[],
	count: number,
): LogNote | null => {
	if (count === 0) return null;
	const longest = gaps.reduce((most, gap) => Math.max(most, gap.lengthSeconds), 0);
	return { kind: "gap", longestSeconds: longest, count, lines: [] };
};
