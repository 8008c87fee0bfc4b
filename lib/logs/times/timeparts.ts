import type { InputError } from "../../errors.ts";
import { DAY } from "../../time.ts";
import { refusal } from "../refusal.ts";
import { dayNumber } from "./stamp.ts";

/** Columns of numbers that make a time together: the year in one, the hour in another. */
export interface TimeParts {
	/** Column of a date that has only its time of day in parts; of a time of day that has only its date in parts. */
	readonly date: number | null;
	readonly clock: number | null;
	readonly year: number | null;
	readonly month: number | null;
	readonly day: number | null;
	readonly dayOfYear: number | null;
	/** 1405 for 14:05. */
	readonly hhmm: number | null;
	readonly hour: number | null;
	readonly minute: number | null;
	readonly second: number | null;
}
/** A column as far as it can be a part: its numbers, and how many of its cells are not blank. */
export interface PartColumn {
	readonly numbers: readonly number[];
	readonly filled: number;
}
export type NumberPart = Exclude<keyof TimeParts, "date" | "clock">;

/** What a part is called, what it can be, and how it is spoken of. */
export const PARTS: Readonly<
	Record<NumberPart, readonly [name: RegExp, low: number, high: number, words: string]>
> = {
	year: [/^(?:year|yr|yyyy|jahr|année|año|anno|jaar|år)$/, 1950, 2199, "year"],
	month: [/^(?:month|mon|mo|mm|monat|mois|mes|mese|maand)$/, 1, 12, "month"],
	dayOfYear: [
		/^(?:doy|jday|yday|julian(?: day)?|day of (?:the )?year|day ?of ?year|tag des jahres)$/,
		0,
		367,
		"day of the year",
	],
	day: [/^(?:day|dd|dom|day of (?:the )?month|tag|jour|d[ií]a|giorno|dag)$/, 0, 31, "day"],
	hhmm: [
		/^(?:hhmm|hh mm|hour ?minute|time hhmm|hhmm time|time|uhrzeit|zeit|heure|hora|ora|tid|tijd)$/,
		0,
		2400,
		"hour and minute in one",
	],
	hour: [/^(?:hours?|hr|hh|stunde|std|heure|hora|ora|uur)$/, 0, 24, "hour"],
	minute: [/^(?:min|mins|minutes?|mi|mn|minuto|minuut)$/, 0, 59, "minute"],
	second: [/^(?:s|ss|sec|secs|seconds?|sek|sekunde|seconde|segundo|secondo)$/, 0, 60.999, "second"],
};
export const PART_NAMES = ["date", "clock", ...(Object.keys(PARTS) as NumberPart[])] as const;
const UNIT = / (?:lst|local|h|hh|mm|min|s|ss|d|dd)$/;

/** Finds parts among columns by their names and values; null when they make no time. */
export function findTimeParts(
	looks: readonly PartColumn[],
	words: readonly string[],
	dateColumn: number,
	clockColumn: number,
	/** Of a file without names, parts found by their values. */
	unnamed: Partial<Record<NumberPart, number>>,
): (TimeParts & { readonly words: string }) | null {
	const find = (part: NumberPart): number | null => {
		const [name, low, high] = PARTS[part];
		const k = looks.findIndex(({ numbers, filled }, k) => {
			const isWhole = part === "dayOfYear" || part === "second" || numbers.every((x) => x % 1 === 0);
			const isHhmm = part !== "hhmm" || numbers.every((x) => x % 100 < 60);
			const said = words[k]!.replace(/ (?:utc|gmt)\b.*$/, "");
			return (
				(name.test(said) || name.test(said.replace(UNIT, ""))) &&
				filled > 0 &&
				numbers.length >= 0.9 * filled &&
				isWhole &&
				isHhmm &&
				numbers.every((x) => x >= low && x <= high)
			);
		});
		return k < 0 ? null : k;
	};
	const found = Object.fromEntries(
		(Object.keys(PARTS) as NumberPart[]).map((part) => [part, unnamed[part] ?? find(part)]),
	) as Record<NumberPart, number | null>;
	const hasDate = found.day !== null || found.dayOfYear !== null || dateColumn >= 0;
	const hour = found.hour;
	const hhmm = hour !== null || clockColumn >= 0 || !hasDate ? null : found.hhmm;
	const isFraction = found.dayOfYear !== null && looks[found.dayOfYear]!.numbers.some((x) => x % 1 !== 0);
	const hasTime = hour !== null || hhmm !== null || (clockColumn >= 0 && dateColumn < 0) || isFraction;
	const isWholeDate =
		found.year !== null && (found.dayOfYear !== null || (found.month !== null && found.day !== null));
	if (!(hasDate && hasTime) && !(hour !== null && found.minute !== null) && !isWholeDate) return null;
	// Days that are counted from 0 are no days of a month.
	const isCount = found.month === null && found.day !== null && looks[found.day]!.numbers.includes(0);
	if (isCount && found.year !== null) return null;
	const parts: TimeParts = {
		...found,
		date: dateColumn >= 0 ? dateColumn : null,
		clock: clockColumn >= 0 ? clockColumn : null,
		day: found.dayOfYear === null && dateColumn < 0 ? found.day : null,
		month: found.dayOfYear === null && dateColumn < 0 ? found.month : null,
		hhmm,
		minute: hour === null ? null : found.minute,
		second: hour === null && hhmm === null ? null : found.second,
	};
	const names = (Object.keys(PARTS) as NumberPart[])
		.filter((part) => parts[part] !== null)
		.map((part) => PARTS[part][3]);
	const all = [
		...(parts.date === null ? [] : ["date"]),
		...names,
		...(parts.clock === null ? [] : ["time of day"]),
	];
	return { ...parts, words: `${all.slice(0, -1).join(", ")} and ${all.at(-1)}, a column each` };
}

/** Days of dates whose year no column tells, on and on over New Year. */
const YEAR = 365;
/** A leap year, and its last day of February, counted from 1970-01-01. */
const LEAP = 2000;
const LEAP_DAY = dayNumber(LEAP, 2, 29);

/** Puts the parts of a row together: its day, counted from 1970-01-01 where the year is known. NaN when there is no such day. */
export function dayCounter(parts: TimeParts): (value: (part: NumberPart) => number) => number {
	let last = Number.NaN;
	let turned = 0;
	let isLeap = false;
	const open = (what: string): InputError => refusal("time column", `${what}; add a column that tells it`);
	return (value) => {
		if (parts.year !== null)
			return parts.dayOfYear !== null
				? dayNumber(value("year"), 1, 1) + Math.floor(value("dayOfYear")) - 1
				: dayNumber(value("year"), value("month"), value("day"));
		if (parts.day === null && parts.dayOfYear === null) return Number.NaN;
		let day = parts.dayOfYear !== null ? Math.floor(value("dayOfYear")) : value("day");
		if (parts.month !== null) {
			day = dayNumber(LEAP, value("month"), value("day"));
			if (day === LEAP_DAY && last > LEAP_DAY && last < LEAP_DAY + YEAR / 2)
				throw open("its dates have no year, and 29 February comes after March");
			isLeap ||= day === LEAP_DAY;
			if (day > LEAP_DAY && !isLeap) day--;
		} else if (parts.dayOfYear === null && day < last)
			throw open("its days begin anew, and no column tells the month");
		if (day - last < -YEAR / 2) {
			turned += YEAR + (isLeap ? 1 : 0);
			isLeap = false;
		} else if (day - last > YEAR / 2) turned -= YEAR;
		if (!Number.isNaN(day)) last = day;
		return day + turned;
	};
}

/** Time of day of a row in parts [s]. */
export function secondsOfParts(parts: TimeParts, value: (part: NumberPart) => number): number {
	const second = parts.second === null ? 0 : value("second");
	if (parts.hhmm !== null) {
		const hhmm = value("hhmm");
		return hhmm % 100 < 60 ? Math.floor(hhmm / 100) * 3600 + (hhmm % 100) * 60 + second : Number.NaN;
	}
	if (parts.hour !== null)
		return value("hour") * 3600 + (parts.minute === null ? 0 : value("minute") * 60) + second;
	// The fraction of a day of the year, to the second as far as its digits go.
	return parts.dayOfYear === null ? 0 : Math.round((value("dayOfYear") % 1) * DAY);
}
