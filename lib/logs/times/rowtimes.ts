import { InputError } from "../../errors.ts";
import { formatDuration } from "../../units/format.ts";
import type { RowLayout } from "../decode/layout.ts";
import type { LogNote } from "../log.ts";
import type { NoteCollector } from "../notes.ts";
import { createClockChangeDetector } from "./clockchange.ts";
import {
	contradiction,
	createInstantReader,
	createTimeReader,
	type FirstTimes,
	type WrittenTime,
} from "./writtentime.ts";

const DAY = 86_400;

/** Instant of each row in one reading of its dates, and how well that reading holds together. */
export interface DateOrderReading {
	readonly isMonthFirst: boolean;
	/** Of the row last read [s]; NaN when this reading makes no date of it. */
	seconds: number;
	/** Rows that it makes no date of. */
	impossible: number;
	/** Steps back, and steps on by more than a day. */
	breaks: number;
}

/** Reads the time of row after row, in one or both orders of day and month. */
export interface RowTimes {
	readonly readings: readonly DateOrderReading[];
	readonly read: (bytes: Uint8Array, starts: Int32Array, ends: Int32Array, line: number) => boolean;
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
	const readings = orders.map((isMonthFirst) => ({ isMonthFirst, seconds: 0, impossible: 0, breaks: 0 }));
	const instants = orders.map(() => createInstantReader(zone, first.isNewestFirst));
	const last = orders.map(() => Number.NaN);
	const isFixed = zone === "UTC";

	const read: RowTimes["read"] = (bytes, starts, ends, line) => {
		if (!readTime(bytes, starts, ends)) return false;
		let isAny = false;
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
			const step = seconds - last[k]!;
			if (step < 0 || step > DAY) reading.breaks++;
			last[k] = seconds;
			reading.seconds = seconds;
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
		const chosen =
			readings.length === 1 ? 0 : chooseOrder(readings as [DateOrderReading, DateOrderReading], notes);
		detectors[chosen]?.finish();
		noteClockChanges(instants[chosen]!.changes, zone, notes);
		return chosen;
	};
	return { readings, read, addSample, decide };
}

const order = (isMonthFirst: boolean): string => (isMonthFirst ? "the month first" : "the day first");

/** Day or month first: by a date that only one order makes, else by times that run on without a break in one order only. */
function chooseOrder(readings: readonly [DateOrderReading, DateOrderReading], notes: NoteCollector): number {
	const [dayFirst, monthFirst] = readings;
	if (dayFirst.impossible > 0 && monthFirst.impossible > 0) throw contradiction();
	if (dayFirst.impossible > 0) return 1;
	if (monthFirst.impossible > 0) return 0;
	if (dayFirst.breaks > 0 === monthFirst.breaks > 0)
		throw new InputError([
			{
				path: "date order",
				message:
					"its dates make sense with the day first and with the month first; say which is meant (--date-order dmy or --date-order mdy)",
			},
		]);
	const chosen = dayFirst.breaks === 0 ? 0 : 1;
	notes.add({
		kind: "assumption",
		count: 1,
		lines: [],
		message: `dates are read with ${order(chosen === 1)}, since with ${order(chosen === 0)} the times would jump (--date-order says it outright)`,
	});
	return chosen;
}

function noteClockChanges(
	changes: ReturnType<typeof createInstantReader>["changes"],
	zone: string,
	notes: NoteCollector,
): void {
	const { ambiguous, second, secondLines, nonexistent, nonexistentLines } = changes;
	if (second > 0)
		notes.add({
			kind: "ambiguous local time",
			count: second,
			lines: secondLines,
			message: `${second} rows stand in the second of two hours with the same local times, at a change of the clocks in ${zone}; their order in the file decides which is which`,
		});
	else if (ambiguous > 0)
		notes.add({
			kind: "ambiguous local time",
			count: ambiguous,
			lines: [],
			message: `${ambiguous} rows stand in an hour that came twice in ${zone}, but the file has it once: read as the first`,
		});
	if (nonexistent > 0)
		notes.add({
			kind: "nonexistent local time",
			count: nonexistent,
			lines: nonexistentLines,
			message: `${nonexistent} rows show a time that the clocks in ${zone} left out; the logger's clock was not changed. If it never is, say its offset (--zone +01:00)`,
		});
}

/** Words for what was met in the rows. */
export function wordNote(kind: LogNote["kind"], count: number, subject: string): string {
	const rows = `${count} ${count === 1 ? "row" : "rows"}`;
	const lines = `${count} ${count === 1 ? "line" : "lines"}`;
	switch (kind) {
		case "missing value":
			return `"${subject}" has no usable value in ${rows}`;
		case "duplicate":
			return `${rows} repeated another word for word; left out`;
		case "conflicting duplicate":
			return `${rows} had the time of another but other values; the first is kept${subject}`;
		case "out of order":
			return subject === "newest first"
				? `the newest row stands first; the order was turned round`
				: `${rows} stood out of order; sorted by time`;
		case "event line":
			return `${lines} among the rows hold no sample; passed over`;
		case "footer":
			return `${lines} after the last row hold no sample; passed over`;
		case "malformed row":
			return `${rows} could not be read (fields missing or too many, or no time); left out`;
		default:
			return `${kind}: ${count}`;
	}
}

/** The note for gaps. */
export const noteGaps = (
	gaps: readonly { readonly lengthSeconds: number }[],
	count: number,
): LogNote | null => {
	if (count === 0) return null;
	const longest = gaps.reduce((most, gap) => Math.max(most, gap.lengthSeconds), 0);
	return {
		kind: "gap",
		count,
		lines: [],
		message: `${count} ${count === 1 ? "gap" : "gaps"} in CO2, the longest of ${formatDuration(longest)}; not filled`,
	};
};
