import { powerOfTen } from "../../power.ts";
import { DAY } from "../../time.ts";

/** Days in the months of a year that is no leap year. */
const MONTH_DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
/** Years that a logger may know. */
const FIRST_YEAR = 1950;
const LAST_YEAR = 2199;

/** Days from 1970-01-01 to a date of the Gregorian calendar; NaN when there is no such date. */
export function dayNumber(year: number, month: number, day: number): number {
	if (!(year >= FIRST_YEAR && year <= LAST_YEAR && month >= 1 && month <= 12 && day >= 1)) return Number.NaN;
	const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
	if (day > MONTH_DAYS[month - 1]! + (month === 2 && isLeap ? 1 : 0)) return Number.NaN;
	return Date.UTC(year, month - 1, day) / (1000 * DAY);
}

/** In which order a date is written; `either`: day and month cannot be told apart by the look. */
export type DateLook = "year first" | "month by name" | "dots" | "either";

/** A date, a time of day, or both, as one cell shows them; `read` overwrites it. */
export interface Stamp {
	/** Days since 1970-01-01, the day before the month where both orders are thinkable; NaN: no such date. */
	day: number;
	/** The same with the month before the day. */
	dayMonthFirst: number;
	look: DateLook | null;
	/** Two digits, dashes between them, and as good a date with the year first: the look does not tell. */
	isShortDashed: boolean;
	/** Since midnight [s]; NaN when the cell has no time. */
	seconds: number;
	is12Hour: boolean;
	/** East of UTC [s]; NaN when the cell has none. */
	offset: number;
	/** `T` between date and time, a `Z`. */
	hasT: boolean;
	isZulu: boolean;
}

const YEAR = "(?<year>\\d{4}|\\d\\d)";
const DATES: readonly (readonly [DateLook, string])[] = [
	[
		"year first",
		"(?<y>\\d{4})(?:(?<sign>[-./])(?<b>\\d{1,2})\\k<sign>(?<c>\\d{1,2})|(?<mm>\\d\\d)(?<dd>\\d\\d))",
	],
	["dots", `(?<b>\\d{1,2})\\.(?<c>\\d{1,2})\\.${YEAR}`],
	["either", `(?<b>\\d{1,2})(?<sign>[-/])(?<c>\\d{1,2})\\k<sign>${YEAR}`],
	["month by name", `(?<b>\\d{1,2})[ -](?<name>[a-z]{3})[a-z]*\\.?[ -]${YEAR},?`],
	["month by name", "(?<name>[a-z]{3})[a-z]*\\.? (?<b>\\d{1,2}),? (?<year>\\d{4}),?"],
];
const CLOCK = (sign: string, hours: string): string =>
	`(?<h>\\d{1,${hours}})(?<colon>${sign})(?<mi>\\d\\d)(?:\\k<colon>(?<s>\\d\\d)(?:[.,](?<f>\\d{1,15}))?)?(?: *(?<half>[ap])\\.?m\\.?)?`;
const ZONE = "(?: *(?<utc>z|utc|gmt)?(?<east>[-+])(?<oh>\\d{1,2}):?(?<om>\\d\\d)?| *(?<zulu>z|utc|gmt))?";
const FORMS: readonly (readonly [DateLook | null, RegExp])[] = [
	...DATES.map(
		([look, date]) =>
			[
				look,
				new RegExp(`^${date}(?!\\d)(?:(?:,? +|,? *(?<t>t))${CLOCK("[:.]", "2")}${ZONE})?$`, "di"),
			] as const,
	),
	[null, new RegExp(`^${CLOCK(":", "4")}${ZONE}$`, "di")],
];
const FIELDS = ["y", "mm", "dd", "b", "c", "year", "h", "mi", "s", "f", "oh", "om"] as const;
type Field = (typeof FIELDS)[number];

/** How the cells of a column are written: where each number stands, and the bytes in between. */
interface Shape {
	/** A byte a place; 0 where a digit stands. */
	readonly bytes: Uint8Array;
	readonly look: DateLook | null;
	readonly fields: Readonly<Record<Field, readonly [from: number, to: number] | null>>;
	/** 1 to 12, 0 where it is a number, NaN where the name is none. */
	readonly namedMonth: number;
	/** Hours that `AM` or `PM` add; null: a clock of 24 h. */
	readonly halfHours: 0 | 12 | null;
	/** 1, -1, or 0 where no offset in numbers stands. */
	readonly east: number;
	readonly isDashed: boolean;
	readonly hasT: boolean;
	readonly isZulu: boolean;
}

const isDigit = (byte: number): boolean => byte >= 48 && byte <= 57;
const MAX_LENGTH = 48;

function learnShape(cell: Uint8Array): Shape | null {
	if (cell.length > MAX_LENGTH) return null;
	const text = String.fromCharCode(...cell);
	for (const [look, form] of FORMS) {
		const match = form.exec(text);
		if (match === null) continue;
		const said = match.groups!;
		const places = match.indices!.groups!;
		const fields = Object.fromEntries(
			FIELDS.map((field) => [field, places[field] ?? null]),
		) as Shape["fields"];
		const month = said.name === undefined ? 0 : MONTHS.indexOf(said.name.toLowerCase()) + 1;
		return {
			bytes: cell.map((byte) => (isDigit(byte) ? 0 : byte)),
			look,
			fields,
			namedMonth: said.name !== undefined && month === 0 ? Number.NaN : month,
			halfHours: said.half === undefined ? null : said.half.toLowerCase() === "p" ? 12 : 0,
			east: said.east === undefined ? 0 : said.east === "-" ? -1 : 1,
			isDashed: said.sign === "-",
			hasT: said.t !== undefined,
			isZulu: said.zulu !== undefined,
		};
	}
	return null;
}

/** Reads cells such as `2026-03-10T08:00:00+01:00`, `10.03.2026 08:00`, `3/10/26 8:00:00 PM`, `10-Mar-2026` or `08:00:00`. */
export function stampReader(): {
	readonly stamp: Stamp;
	/** False when the cell is neither date nor time. */
	readonly read: (bytes: Uint8Array, from: number, to: number) => boolean;
} {
	const stamp: Stamp = {
		day: Number.NaN,
		dayMonthFirst: Number.NaN,
		look: null,
		isShortDashed: false,
		seconds: Number.NaN,
		is12Hour: false,
		offset: Number.NaN,
		hasT: false,
		isZulu: false,
	};
	// The cells of a column look alike, so the places of one serve the next.
	let shape: Shape | null = null;
	let date = Number.NaN;

	const fits = (bytes: Uint8Array, from: number, length: number): boolean => {
		const { bytes: known } = shape!;
		if (known.length !== length) return false;
		for (let i = 0; i < length; i++) {
			const byte = bytes[from + i]!;
			if (known[i] !== (byte >= 48 && byte <= 57 ? 0 : byte)) return false;
		}
		return true;
	};
	const number = (bytes: Uint8Array, from: number, place: readonly [number, number] | null): number => {
		if (place === null) return 0;
		let value = 0;
		for (let at = from + place[0]; at < from + place[1]; at++) value = value * 10 + bytes[at]! - 48;
		return value;
	};

	const readDate = (bytes: Uint8Array, from: number, { look, fields, namedMonth, isDashed }: Shape): void => {
		const written = number(bytes, from, fields.year ?? fields.y);
		const year = fields.year !== null && fields.year[1] - fields.year[0] === 2 ? 2000 + written : written;
		const first = number(bytes, from, fields.b ?? fields.mm);
		const second = namedMonth === 0 ? number(bytes, from, fields.c ?? fields.dd) : namedMonth;
		const key = (year * 100 + first) * 100 + second;
		if (key === date && stamp.look === look) return;
		date = key;
		stamp.look = look;
		stamp.day = look === "year first" ? dayNumber(year, first, second) : dayNumber(year, second, first);
		stamp.dayMonthFirst = look === "either" ? dayNumber(year, first, second) : stamp.day;
		stamp.isShortDashed =
			look === "either" &&
			isDashed &&
			year !== written &&
			!Number.isNaN(dayNumber(2000 + first, second, written));
	};

	const read = (bytes: Uint8Array, start: number, end: number): boolean => {
		let from = start;
		let to = end;
		while (from < to && bytes[from] === 32) from++;
		while (to > from && bytes[to - 1] === 32) to--;
		stamp.seconds = stamp.offset = Number.NaN;
		if (from === to) return false;
		if (shape === null || !fits(bytes, from, to - from)) {
			const learnt = learnShape(bytes.subarray(from, to));
			if (learnt === null) return false;
			shape = learnt;
			date = Number.NaN;
			stamp.is12Hour = shape.halfHours !== null;
			stamp.hasT = shape.hasT;
			stamp.isZulu = shape.isZulu;
		}
		const { look, fields, halfHours, east, isZulu } = shape;
		if (look !== null) readDate(bytes, from, shape);
		else {
			stamp.look = null;
			stamp.day = stamp.dayMonthFirst = Number.NaN;
		}
		if (fields.h === null) return true;
		let hours = number(bytes, from, fields.h);
		const minutes = number(bytes, from, fields.mi);
		let seconds = number(bytes, from, fields.s);
		if (minutes > 59 || seconds > 60) return false;
		if (fields.f !== null) seconds += number(bytes, from, fields.f) / powerOfTen(fields.f[1] - fields.f[0]);
		if (halfHours !== null) {
			if (hours < 1 || hours > 12) return false;
			hours = (hours % 12) + halfHours;
		}
		if (look !== null && (hours > 24 || (hours === 24 && minutes + seconds > 0))) return false;
		if (east !== 0) {
			const [oh, om] = [number(bytes, from, fields.oh), number(bytes, from, fields.om)];
			if (oh > 14 || om > 59) return false;
			stamp.offset = east * (oh * 3600 + om * 60);
		} else if (isZulu) stamp.offset = 0;
		stamp.seconds = hours * 3600 + minutes * 60 + seconds;
		return true;
	};

	return { stamp, read };
}
