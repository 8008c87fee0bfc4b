import { DAY } from "../../time.ts";
import { kindOf, saysRecord, saysTime, secondsPerUnit } from "../columns/columnwords.ts";
import { POINT, writtenNumber } from "../decode/numbers.ts";
import { type DateLook, type Stamp, stampReader } from "./stamp.ts";
import { findTimeParts, PART_NAMES, type TimeParts } from "./timeparts.ts";
import { findUnnamedParts } from "./unnamedparts.ts";

/** Which columns tell the time, and how. */
export type TimeColumns =
	| {
			readonly kind: "stamp";
			/** Column of the date, and that of the time of day where it stands apart. */
			readonly column: number;
			readonly clockColumn: number | null;
			readonly look: DateLook;
			readonly isZoned: boolean;
			/** Dates without a time of day, as of daily or monthly means: midnight. */
			readonly isDateOnly: boolean;
			/** Dates such as 10-03-26, which may begin with the year as well. */
			readonly isShortDashed: boolean;
			readonly words: string;
	  }
	| ({ readonly kind: "parts"; readonly look: DateLook | null; readonly words: string } & TimeParts)
	| {
			readonly kind: "clock" | "elapsed clock";
			readonly column: number;
			readonly words: string;
	  }
	| {
			readonly kind: "number";
			readonly column: number;
			/** Serial days and epochs tell an instant, elapsed times do not. */
			readonly means: "epoch" | "serial" | "elapsed" | "record";
			readonly secondsPerUnit: number;
			/** The header does not tell the unit of an elapsed time. */
			readonly isAssumed: boolean;
			readonly words: string;
	  };

/** The times are instants, not only so long after the first sample. */
export const tellsInstants = (time: TimeColumns): boolean =>
	time.kind === "stamp" ||
	(time.kind === "parts" && (time.year !== null || time.date !== null)) ||
	(time.kind === "number" && (time.means === "epoch" || time.means === "serial"));

/** The columns that tell the time. */
export function timeColumnsOf(time: TimeColumns): ReadonlySet<number> {
	const all =
		time.kind === "stamp"
			? [time.column, time.clockColumn]
			: time.kind === "parts"
				? PART_NAMES.map((part) => time[part])
				: [time.column];
	return new Set(all.filter((column) => column !== null && column >= 0) as number[]);
}

const encoder = new TextEncoder();
/** Share of a column's filled cells that must show the time; the others are rows that went wrong. */
const ENOUGH = 0.6;
const enough = (part: number, whole: number): boolean => whole > 0 && part >= ENOUGH * whole;

interface ColumnLook {
	readonly stamps: readonly Stamp[];
	readonly filled: number;
	readonly cells: readonly string[];
	readonly both: number;
	readonly dates: number;
	readonly clocks: number;
	readonly numbers: readonly number[];
}

function lookAt(cells: readonly string[]): ColumnLook {
	const { stamp, read } = stampReader();
	const stamps: Stamp[] = [];
	const asDecimals: number[] = [];
	const asGroups: number[] = [];
	let filled = 0;
	let both = 0;
	let dates = 0;
	let clocks = 0;
	for (const cell of cells) {
		if (cell.trim() === "") continue;
		filled++;
		// Serial days have a comma in some countries, seconds have thousands in others.
		const number = writtenNumber(cell.replace(",", "."), POINT);
		if (!Number.isNaN(number)) asDecimals.push(number);
		asGroups.push(Number(cell.replace(/[.,](?=\d{3}\b)/g, "")));
		const bytes = encoder.encode(cell);
		if (!read(bytes, 0, bytes.length)) continue;
		stamps.push({ ...stamp });
		const hasTime = !Number.isNaN(stamp.seconds);
		const isDate = stamp.look !== null && !(Number.isNaN(stamp.day) && Number.isNaN(stamp.dayMonthFirst));
		if (isDate && hasTime) both++;
		else if (isDate) dates++;
		else if (hasTime) clocks++;
	}
	const numbers = countFalls(asGroups) < countFalls(asDecimals) ? asGroups : asDecimals;
	return { cells, stamps, filled, both, dates, clocks, numbers };
}

/** Steps against the way that most of them go; of what are no numbers, all. */
export function countFalls(numbers: readonly number[]): number {
	const [up, down] = [1, -1].map(
		(way) => numbers.filter((x, i) => i > 0 && way * (x - numbers[i - 1]!) > 0).length,
	);
	return numbers.some(Number.isNaN) ? Number.POSITIVE_INFINITY : Math.min(up!, down!);
}

/** Finds the time among columns of cells, with their header words; null when there is none. `byRecords`: rows are to be counted. */
export function findTime(
	columns: readonly (readonly string[])[],
	words: readonly string[],
	byRecords: boolean,
): TimeColumns | null {
	const looks = columns.map(lookAt);
	const clockColumn = looks.findIndex((look) => enough(look.clocks, look.filled));
	const whole = looks.flatMap((look, k) => (enough(look.both, look.filled) ? [k] : []));
	const zoned = whole.find((k) => enough(count(looks[k]!, isZoned), looks[k]!.both));
	const inUtc = whole.find((k) => /\b(?:utc|gmt)\b/.test(words[k] ?? ""));
	const stampColumn = zoned ?? inUtc ?? whole[0];
	// A spreadsheet writes midnight behind each date whose time stands in a column of its own.
	const isMidnights =
		stampColumn !== undefined &&
		clockColumn >= 0 &&
		looks[stampColumn]!.stamps.every((one) => one.seconds === 0);
	if (stampColumn !== undefined && !isMidnights) return stampTime(looks, stampColumn, null);
	const dateColumn = isMidnights ? stampColumn : looks.findIndex((look) => enough(look.dates, look.filled));
	if (dateColumn >= 0 && clockColumn >= 0) return stampTime(looks, dateColumn, clockColumn);
	const unnamed =
		words.every((word) => word === "") && dateColumn < 0 && clockColumn < 0 ? findUnnamedParts(looks) : {};
	const parts = findTimeParts(looks, words, dateColumn, clockColumn, unnamed);
	if (parts !== null) {
		const look = dateColumn < 0 ? null : looks[dateColumn]!.stamps.find((one) => one.look !== null)!.look;
		return { kind: "parts", look, ...parts };
	}
	if (clockColumn >= 0) {
		const isElapsed =
			/elapsed|dauer|laufzeit|verstrich|uptime|dur[ée]e|duration/.test(words[clockColumn] ?? "") ||
			looks[clockColumn]!.stamps.some((one) => one.seconds >= DAY);
		return isElapsed
			? { kind: "elapsed clock", column: clockColumn, words: "elapsed h:mm:ss" }
			: { kind: "clock", column: clockColumn, words: "time of day without a date" };
	}
	if (dateColumn >= 0 && areDaysApart(looks[dateColumn]!.stamps)) return stampTime(looks, dateColumn, null);
	return numericTime(looks, words, byRecords);
}

/** Most rows have a date of their own; else something finer must tell the time. */
const areDaysApart = (stamps: readonly Stamp[]): boolean =>
	2 * new Set(stamps.map(({ day, dayMonthFirst }) => `${day} ${dayMonthFirst}`)).size > stamps.length;

const isZoned = (stamp: Stamp): boolean => !Number.isNaN(stamp.offset);
const count = (look: ColumnLook, holds: (stamp: Stamp) => boolean): number =>
	look.stamps.filter(holds).length;

function stampTime(looks: readonly ColumnLook[], column: number, clockColumn: number | null): TimeColumns {
	const dates = looks[column]!.stamps;
	const clocks = clockColumn === null ? dates : looks[clockColumn]!.stamps;
	const look = dates.find((one) => one.look !== null)!.look!;
	const clock = clocks[0]!;
	const isDateOnly = clocks.every((one) => Number.isNaN(one.seconds));
	const zoned = enough(clocks.filter(isZoned).length, clocks.length);
	const date = {
		"year first": clock.hasT || zoned ? "ISO 8601" : "year-month-day",
		"month by name": "date with the month by name",
		dots: "day.month.year",
		either: "day and month with the year last",
	}[look];
	const twelve = clocks.some((one) => one.is12Hour) ? ", 12-hour clock" : "";
	const zone = zoned ? (clocks.every((one) => one.isZulu) ? " in UTC" : " with offset") : "";
	return {
		kind: "stamp",
		column,
		clockColumn,
		look,
		isZoned: zoned,
		isDateOnly,
		isShortDashed: dates.every((one) => one.isShortDashed),
		words: `${date}${clockColumn === null ? "" : " in two columns"}${isDateOnly ? ", no time of day" : ""}${twelve}${zone}`,
	};
}

/** Seconds of a unit in which numbers are instants of 1998 to 2103, with its name; null when there is none. */
function epochUnit(numbers: readonly number[]): readonly [unit: number, name: string] | null {
	const middle = numbers[Math.floor(numbers.length / 2)]!;
	const units = [
		[1, "Unix seconds"],
		[0.001, "Unix milliseconds"],
		[1e-6, "Unix microseconds"],
	] as const;
	return units.find(([unit]) => middle * unit > 9e8 && middle * unit < 4.2e9) ?? null;
}

/** Nine of ten steps go up. */
const isRising = (numbers: readonly number[]): boolean =>
	numbers.length > 2 &&
	numbers.filter((x, i) => i > 0 && x > numbers[i - 1]!).length >= 0.9 * (numbers.length - 1);

function numericTime(
	looks: readonly ColumnLook[],
	words: readonly string[],
	byRecords: boolean,
): TimeColumns | null {
	const numeric = looks.flatMap((look, k) =>
		enough(look.numbers.length, look.filled) && kindOf(words[k] ?? "") === null ? [k] : [],
	);
	const named = numeric.filter((k) => saysTime(words[k] ?? ""));
	const isClimbing = (k: number): boolean =>
		10 * countFalls(looks[k]!.numbers) < Math.max(2, looks[k]!.numbers.length);
	// Nothing else that a logger writes rises from row to row by such numbers.
	const epochs = numeric.filter((k) => epochUnit(looks[k]!.numbers) !== null && isRising(looks[k]!.numbers));
	const column =
		named.find(isClimbing) ??
		named[0] ??
		(epochs.length === 1 ? epochs[0] : undefined) ??
		numeric.find((k) => k === 0 && isClimbing(k)) ??
		null;
	if (column === null) return null;
	const said = words[column] ?? "";
	const { numbers } = looks[column]!;
	const middle = numbers[Math.floor(numbers.length / 2)]!;
	const of = (
		means: "epoch" | "serial" | "elapsed" | "record",
		unit: number,
		name: string,
		isAssumed = false,
	): TimeColumns => ({ kind: "number", column, means, secondsPerUnit: unit, isAssumed, words: name });
	const epoch = epochUnit(numbers);
	if (epoch !== null) return of("epoch", ...epoch);
	const unit = secondsPerUnit(said);
	if (unit === null && middle > 25_000 && middle < 75_000 && numbers.some((x) => x % 1 !== 0))
		return of("serial", DAY, "spreadsheet serial days");
	if (unit !== null) {
		const names: Readonly<Record<number, string>> = {
			0.001: "milliseconds",
			1: "seconds",
			60: "minutes",
			3600: "hours",
		};
		return of("elapsed", unit, `elapsed ${names[unit] ?? "days"}`);
	}
	if (byRecords || saysRecord(said) || !saysTime(said)) return of("record", 1, "record numbers");
	return of("elapsed", 1, "elapsed seconds", true);
}
