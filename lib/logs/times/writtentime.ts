import type { InputError } from "../../errors.ts";
import { DAY } from "../../time.ts";
import type { RowLayout } from "../decode/layout.ts";
import { plainNumber, writtenNumber } from "../decode/numbers.ts";
import type { ReadOptions } from "../log.ts";
import { refusal } from "../refusal.ts";
import { stampReader } from "./stamp.ts";
import { dayCounter, secondsOfParts, type TimeParts } from "./timeparts.ts";
import { localClock, offsetName } from "./zone.ts";

/** Days from 1899-12-30, where spreadsheets begin to count, to 1970-01-01. */
const SERIAL_OF_1970 = 25_569;

/** The time in a row, as it stands there; the next row overwrites it. */
export interface WrittenTime {
	/** Since 1970-01-01, or since any instant where the file has no dates; the day before the month where that matters [s]; NaN: no such date. */
	seconds: number;
	/** The same with the month before the day. */
	monthFirst: number;
	/** Local to the log's zone, so that its offset is still to be taken off. */
	isLocal: boolean;
	/** Offset that stands in the row [s east of UTC], or NaN. */
	offset: number;
}

export type TimeReader = (bytes: Uint8Array, starts: Int32Array, ends: Int32Array) => boolean;

/** Reads the time of a row into `time`; false when there is none. Some layouts need the rows in their order. */
export function createTimeReader(
	layout: Pick<RowLayout, "time" | "timeStyle">,
	time: WrittenTime,
): TimeReader {
	const { time: columns } = layout;
	const { decimal } = layout.timeStyle;
	const sign = decimal.charCodeAt(0);
	const decoder = new TextDecoder();
	const number = (bytes: Uint8Array, from: number, to: number): number => {
		const plain = plainNumber(bytes, from, to, sign);
		return Number.isNaN(plain)
			? writtenNumber(decoder.decode(bytes.subarray(from, to)), layout.timeStyle)
			: plain;
	};
	const set = (seconds: number, isLocal: boolean): boolean => {
		time.seconds = time.monthFirst = seconds;
		time.isLocal = isLocal;
		time.offset = Number.NaN;
		return !Number.isNaN(seconds);
	};

	if (columns.kind === "number") {
		const { column, means, secondsPerUnit: unit } = columns;
		if (column < 0) {
			let row = -1;
			return () => set(++row * unit, false);
		}
		// Dividing by 1000 is exact where multiplying by 0.001 is not.
		const perSecond = unit < 1 && means !== "record" ? Math.round(1 / unit) : 0;
		return (bytes, starts, ends) => {
			const value = number(bytes, starts[column]!, ends[column]!);
			if (means === "serial")
				return set(
					value > 1 && value < 110_000 ? Math.round((value - SERIAL_OF_1970) * DAY) : Number.NaN,
					true,
				);
			const seconds = perSecond > 0 ? value / perSecond : value * unit;
			return set(Math.abs(seconds) < 1e10 ? seconds : Number.NaN, false);
		};
	}

	const { stamp, read } = stampReader();
	let midnight = 0;
	let last = Number.NaN;
	/** Without dates, the clock that falls back by half a day or more has passed midnight. */
	const setClock = (seconds: number): boolean => {
		if (last - seconds > DAY / 2) midnight += DAY;
		last = seconds;
		return set(midnight + seconds, false);
	};
	if (columns.kind === "parts") {
		const dayOf = dayCounter(columns);
		const { date, clock } = columns;
		const other = stampReader();
		return (bytes, starts, ends) => {
			const value = (part: keyof TimeParts): number =>
				number(bytes, starts[columns[part]!]!, ends[columns[part]!]!);
			if (clock !== null && !other.read(bytes, starts[clock]!, ends[clock]!)) return false;
			const seconds = clock !== null ? other.stamp.seconds : secondsOfParts(columns, value);
			if (date !== null) {
				if (!read(bytes, starts[date]!, ends[date]!) || Number.isNaN(seconds)) return false;
				set(stamp.day * DAY + seconds, true);
				time.monthFirst = stamp.dayMonthFirst * DAY + seconds;
				return true;
			}
			if (columns.day === null && columns.dayOfYear === null) return setClock(seconds);
			return set(dayOf(value) * DAY + seconds, columns.year !== null);
		};
	}
	if (columns.kind !== "stamp") {
		const { column, kind } = columns;
		return (bytes, starts, ends) => {
			if (!read(bytes, starts[column]!, ends[column]!) || stamp.look !== null) return false;
			return kind === "clock" ? setClock(stamp.seconds) : set(stamp.seconds, false);
		};
	}

	const { column, clockColumn, isZoned, isDateOnly } = columns;
	const clock = clockColumn === null ? { stamp, read } : stampReader();
	return (bytes, starts, ends) => {
		if (!read(bytes, starts[column]!, ends[column]!) || stamp.look === null) return false;
		if (clockColumn !== null && !clock.read(bytes, starts[clockColumn]!, ends[clockColumn]!)) return false;
		const { offset } = clock.stamp;
		const seconds = isDateOnly ? 0 : clock.stamp.seconds;
		time.isLocal = Number.isNaN(offset);
		if (Number.isNaN(seconds) || (time.isLocal && isZoned)) return false;
		const sinceMidnight = time.isLocal ? seconds : seconds - offset;
		time.offset = offset;
		time.seconds = stamp.day * DAY + sinceMidnight;
		time.monthFirst = stamp.dayMonthFirst * DAY + sinceMidnight;
		return !(Number.isNaN(time.seconds) && Number.isNaN(time.monthFirst));
	};
}

/** What the first rows tell of the times of a log. */
export interface FirstTimes {
	readonly isNewestFirst: boolean;
	/** Day and month can be read both ways, and the first rows do not tell. */
	readonly isTwofold: boolean;
	readonly isMonthFirst: boolean;
	/** Median step [s]; 0 when there is none. */
	readonly stepSeconds: number;
	/** A time that the first rows are near to, in each order [s]. */
	readonly usual: { readonly seconds: number; readonly monthFirst: number };
	/** Share of the rows that have the time of the row before. */
	readonly sameShare: number;
	/** Times are written to the minute, and each minute holds so many rows; the first of the file so many of them. */
	readonly perMinute: { readonly rows: number; readonly first: number } | null;
	/** Zone that the first row itself names. */
	readonly zone: string | null;
}

/** Judges the times of the first rows, in order. Throws InputError when dates contradict each other. */
export function judgeFirstTimes(
	layout: RowLayout,
	times: readonly Readonly<WrittenTime>[],
	options: ReadOptions,
): FirstTimes {
	const { time } = layout;
	const look = "look" in time ? time.look : null;
	const hasOrders = look === "either" || look === "dots";
	const dayFirst = times.filter((one) => Number.isNaN(one.monthFirst)).length;
	const monthFirst = times.filter((one) => Number.isNaN(one.seconds)).length;
	const asked = options.dateOrder;
	let isMonthFirst = hasOrders && asked === "mdy";
	let isTwofold = false;
	if (hasOrders && asked === undefined) {
		if (
			dayFirst > 0 &&
			monthFirst > 0 &&
			Math.min(dayFirst, monthFirst) * 10 > Math.max(dayFirst, monthFirst)
		)
			throw contradiction();
		isMonthFirst = monthFirst > dayFirst;
		isTwofold = monthFirst === dayFirst && look === "either";
	}
	const steps: number[] = [];
	let back = 0;
	let same = 0;
	for (let i = 1; i < times.length; i++) {
		const key = isMonthFirst ? "monthFirst" : "seconds";
		const step = times[i]![key] - times[i - 1]![key];
		if (step < 0) back++;
		if (step === 0) same++;
		if (step !== 0 && !Number.isNaN(step)) steps.push(Math.abs(step));
	}
	steps.sort((a, b) => a - b);
	const perMinute = back === 0 && same > 0 ? findRowsPerMinute(times) : null;
	const isCounted = time.kind === "number" && time.column < 0;
	const { offset } = times[0] ?? { offset: Number.NaN };
	return {
		isNewestFirst: !isCounted && steps.length > 2 && back > 0.8 * steps.length,
		isTwofold,
		isMonthFirst,
		stepSeconds: perMinute === null ? (steps[Math.floor(steps.length / 2)] ?? 0) : 60 / perMinute.rows,
		usual: { seconds: usualOf(times, "seconds"), monthFirst: usualOf(times, "monthFirst") },
		sameShare: perMinute === null ? same / Math.max(1, times.length) : 0,
		perMinute,
		zone: Number.isNaN(offset) ? null : offsetName(offset),
	};
}

/** How many rows a minute holds where times are written to the minute and all minutes but the outer ones hold as many; null elsewhere. */
function findRowsPerMinute(times: readonly Readonly<WrittenTime>[]): FirstTimes["perMinute"] {
	const minutes: { readonly seconds: number; rows: number }[] = [];
	for (const { seconds } of times)
		if (minutes.at(-1)?.seconds === seconds) minutes.at(-1)!.rows++;
		else minutes.push({ seconds, rows: 1 });
	const inner = minutes.slice(1, -1);
	const rows = inner[0]?.rows ?? 0;
	const isEven =
		inner.length > 2 &&
		60 % rows === 0 &&
		inner.every((minute) => minute.rows === rows) &&
		minutes.every(
			({ seconds }, i) => seconds % 60 === 0 && (i === 0 || seconds - minutes[i - 1]!.seconds === 60),
		);
	return isEven && rows > 1 && minutes[0]!.rows <= rows ? { rows, first: minutes[0]!.rows } : null;
}

/** Times further apart are not of one log [s]. */
export const MAX_APART = 400 * DAY;

/** Where the longest series of first rows begins that are not years apart. */
function usualOf(times: readonly Readonly<WrittenTime>[], key: "seconds" | "monthFirst"): number {
	const known = times.map((one) => one[key]).filter((one) => !Number.isNaN(one));
	let [best, most, start] = [0, 0, 0];
	known.forEach((one, i) => {
		if (i > 0 && Math.abs(one - known[i - 1]!) > MAX_APART) start = i;
		if (i - start >= most) [best, most] = [start, i - start];
	});
	return known[best] ?? Number.NaN;
}

export const contradiction = (): InputError =>
	refusal(
		"date order",
		"some dates only make sense with the day first, others only with the month first; say which is meant (--date-order dmy or --date-order mdy)",
	);

/** A clock change that the rows met. */
export interface ClockChanges {
	/** Rows in the hour that came twice, and those of its second time, with their lines. */
	ambiguous: number;
	readonly secondLines: number[];
	second: number;
	/** A row of which nothing tells in which of the two hours it lies; null: none. */
	openLine: number | null;
	nonexistent: number;
	readonly nonexistentLines: number[];
}

/** Turns local times in the order of the file into instants: in an hour that came twice, a step back of half of it, or of what a usual step leaves of it, begins the second. */
export function createInstantReader(
	zone: string,
	isNewestFirst: boolean,
	stepSeconds: number,
): { readonly changes: ClockChanges; readonly toUtc: (localSeconds: number, line: number) => number } {
	const clock = localClock(zone);
	const changes: ClockChanges = {
		ambiguous: 0,
		secondLines: [],
		second: 0,
		openLine: null,
		nonexistent: 0,
		nonexistentLines: [],
	};
	let last = Number.NaN;
	let before = Number.NaN;
	let openedAt: number | null = null;
	let isSecond = isNewestFirst;
	return {
		changes,
		toUtc(local, line) {
			const { utcSeconds, laterSeconds, isNonexistent } = clock(local);
			const previous = before;
			before = local;
			if (isNonexistent) {
				changes.nonexistent++;
				if (changes.nonexistentLines.length < 5) changes.nonexistentLines.push(line);
			}
			if (utcSeconds === laterSeconds) {
				// Only beyond the hour does it matter to the distance of the rows which of the two it was.
				if (openedAt !== null) changes.openLine ??= openedAt;
				openedAt = null;
				return utcSeconds;
			}
			changes.ambiguous++;
			if (!(Math.abs(local - last) < DAY)) {
				isSecond = isNewestFirst;
				// Rows that run steadily into the hour are its first time (its second, where the newest come first); others may be either.
				const isSteady = Math.abs(local - previous) <= 1.5 * stepSeconds;
				openedAt = isSteady ? null : line;
				if (openedAt !== null && !Number.isNaN(previous)) changes.openLine ??= line;
			} else {
				const back = isNewestFirst ? local - last : last - local;
				const amount = laterSeconds - utcSeconds;
				if (back >= Math.max(1, Math.min(amount / 2, amount - 1.25 * stepSeconds))) {
					isSecond = !isNewestFirst;
					if (changes.openLine === openedAt) changes.openLine = null;
					openedAt = null;
				} else if (back === 0 && Math.abs(stepSeconds - amount) < amount / 4) changes.openLine ??= line;
			}
			last = local;
			if (isSecond) {
				changes.second++;
				if (changes.secondLines.length < 5) changes.secondLines.push(line);
			}
			return isSecond ? laterSeconds : utcSeconds;
		},
	};
}
