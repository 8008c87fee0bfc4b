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
	if (year < FIRST_YEAR || year > LAST_YEAR || month < 1 || month > 12 || day < 1) return Number.NaN;
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
	/** Since midnight [s]; NaN when the cell has no time. */
	seconds: number;
	hasSeconds: boolean;
	is12Hour: boolean;
	/** East of UTC [s]; NaN when the cell has none. */
	offset: number;
	/** `T` between date and time, a `Z`. */
	hasT: boolean;
	isZulu: boolean;
}

/** Longest date that is remembered from one row to the next [byte]. */
const REMEMBERED = 12;
const isDigit = (byte: number | undefined): boolean => byte !== undefined && byte >= 48 && byte <= 57;

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
		seconds: Number.NaN,
		hasSeconds: false,
		is12Hour: false,
		offset: Number.NaN,
		hasT: false,
		isZulu: false,
	};
	const remembered = new Uint8Array(REMEMBERED);
	let rememberedLength = 0;

	/** Reads digits at `at`; sets `value` and gives the place after them. */
	let value = 0;
	const digits = (bytes: Uint8Array, at: number, to: number, most: number): number => {
		value = 0;
		const until = Math.min(to, at + most);
		let i = at;
		for (; i < until; i++) {
			const digit = bytes[i]! - 48;
			if (digit < 0 || digit > 9) break;
			value = value * 10 + digit;
		}
		return i;
	};

	/** Reads a date at `from` into the stamp; gives the place after it, or -1. */
	const date = (bytes: Uint8Array, from: number, to: number): number => {
		if (rememberedLength > 0 && from + rememberedLength <= to && !isDigit(bytes[from + rememberedLength])) {
			let i = 0;
			while (i < rememberedLength && bytes[from + i] === remembered[i]) i++;
			if (i === rememberedLength) return from + i;
		}
		rememberedLength = 0;
		let at = digits(bytes, from, to, 8);
		const first = value;
		const firstLength = at - from;
		if (firstLength === 8) {
			stamp.look = "year first";
			stamp.day = dayNumber(Math.floor(first / 10_000), Math.floor(first / 100) % 100, first % 100);
		} else {
			const sign = bytes[at];
			if ((sign !== 45 && sign !== 46 && sign !== 47) || at >= to) return -1;
			const secondFrom = ++at;
			at = digits(bytes, at, to, 2);
			const second = value;
			if (at === secondFrom || bytes[at] !== sign || at >= to) return -1;
			const thirdFrom = ++at;
			at = digits(bytes, at, to, 4);
			const thirdLength = at - thirdFrom;
			if (firstLength === 4 && thirdLength > 0 && thirdLength <= 2) {
				stamp.look = "year first";
				stamp.day = dayNumber(first, second, value);
			} else if (firstLength <= 2 && firstLength > 0 && (thirdLength === 4 || thirdLength === 2)) {
				const year = thirdLength === 2 ? 2000 + value : value;
				stamp.look = sign === 46 ? "dots" : "either";
				stamp.day = dayNumber(year, second, first);
				stamp.dayMonthFirst = dayNumber(year, first, second);
			} else return -1;
		}
		if (stamp.look !== "either") stamp.dayMonthFirst = stamp.day;
		if (at - from <= REMEMBERED) {
			rememberedLength = at - from;
			remembered.set(bytes.subarray(from, at));
		}
		return at;
	};

	/** Reads a time of day at `at`; gives the place after it, or -1. */
	const time = (bytes: Uint8Array, from: number, to: number, most: number, dots: boolean): number => {
		let at = digits(bytes, from, to, most);
		let hours = value;
		if (at === from) return -1;
		const sign = bytes[at];
		if (sign !== 58 && !(dots && sign === 46)) return -1;
		const minuteFrom = ++at;
		at = digits(bytes, at, to, 2);
		if (at - minuteFrom !== 2 || value > 59) return -1;
		const minutes = value;
		let seconds = 0;
		stamp.hasSeconds = at < to && bytes[at] === sign;
		if (stamp.hasSeconds) {
			const secondFrom = ++at;
			at = digits(bytes, at, to, 2);
			if (at - secondFrom !== 2 || value > 60) return -1;
			seconds = value;
			if ((bytes[at] === 46 || bytes[at] === 44) && at < to) {
				const fractionFrom = at + 1;
				at = digits(bytes, fractionFrom, to, 9);
				seconds += value / powerOfTen(at - fractionFrom);
				while (at < to && isDigit(bytes[at])) at++;
			}
		}
		let next = at;
		while (next < to && bytes[next] === 32) next++;
		const half = bytes[next]! | 32;
		stamp.is12Hour = false;
		if (next < to && (half === 97 || half === 112)) {
			let i = next + 1;
			if (bytes[i] === 46) i++;
			if (i >= to || (bytes[i]! | 32) !== 109 || hours < 1 || hours > 12) return -1;
			i++;
			if (i < to && bytes[i] === 46) i++;
			stamp.is12Hour = true;
			hours = (hours % 12) + (half === 112 ? 12 : 0);
			at = i;
		}
		if (most === 2 && (hours > 24 || (hours === 24 && minutes + seconds > 0))) return -1;
		stamp.seconds = hours * 3600 + minutes * 60 + seconds;
		return at;
	};

	/** Reads `Z`, `UTC`, `+01:00` or nothing at `from`; false when something else stands there. */
	const zone = (bytes: Uint8Array, from: number, to: number): boolean => {
		let at = from;
		while (at < to && bytes[at] === 32) at++;
		if (at === to) return true;
		const letter = bytes[at]! | 32;
		if (letter === 122 && at + 1 === to) {
			stamp.isZulu = true;
			stamp.offset = 0;
			return true;
		}
		if (letter === 117 || letter === 103) {
			// UTC or GMT, alone or before an offset.
			const second = bytes[at + 1]! | 32;
			const third = bytes[at + 2]! | 32;
			const isName = letter === 117 ? second === 116 && third === 99 : second === 109 && third === 116;
			if (!isName || at + 3 > to) return false;
			at += 3;
			stamp.offset = 0;
			if (at === to) {
				stamp.isZulu = true;
				return true;
			}
		}
		const sign = bytes[at];
		if (sign !== 43 && sign !== 45) return false;
		const hourFrom = ++at;
		at = digits(bytes, at, to, 2);
		const hours = value;
		if (at === hourFrom || hours > 14) return false;
		if (bytes[at] === 58 && at < to) at++;
		let minutes = 0;
		if (at < to) {
			const minuteFrom = at;
			at = digits(bytes, at, to, 2);
			if (at - minuteFrom !== 2 || value > 59) return false;
			minutes = value;
		}
		stamp.offset = (sign === 45 ? -1 : 1) * (hours * 3600 + minutes * 60);
		return at === to;
	};

	const read = (bytes: Uint8Array, start: number, end: number): boolean => {
		let from = start;
		let to = end;
		while (from < to && bytes[from] === 32) from++;
		while (to > from && bytes[to - 1] === 32) to--;
		stamp.seconds = stamp.offset = Number.NaN;
		stamp.hasT = stamp.isZulu = false;
		if (from === to) return false;
		if (!isDigit(bytes[from])) return readNamedMonth(bytes, from, to);
		let at = date(bytes, from, to);
		if (at < 0) {
			// A date that was read in part leaves the one remembered behind; forget it.
			rememberedLength = 0;
			stamp.look = null;
			stamp.day = stamp.dayMonthFirst = Number.NaN;
			const after = time(bytes, from, to, 4, false);
			return after < 0 ? readNamedMonth(bytes, from, to) : zone(bytes, after, to);
		}
		if (at === to) return true;
		const between = at;
		if (bytes[at] === 44) at++;
		while (at < to && bytes[at] === 32) at++;
		if (at < to && (bytes[at]! | 32) === 116) {
			stamp.hasT = true;
			at++;
		}
		if (at === between) return false;
		at = time(bytes, at, to, 2, true);
		return at >= 0 && zone(bytes, at, to);
	};

	const readNamedMonth = (bytes: Uint8Array, from: number, to: number): boolean => {
		if (to - from < 9 || to - from > 40) return false;
		const text = String.fromCharCode(...bytes.subarray(from, to));
		const dayFirst = /^(\d{1,2})[ -]([A-Za-z]{3})[a-z]*\.?[ -](\d{4}|\d{2})(?!\d),? */.exec(text);
		const monthFirst = /^([A-Za-z]{3})[a-z]*\.? (\d{1,2}),? (\d{4}),? */.exec(text);
		const match = dayFirst ?? monthFirst;
		if (match === null) return false;
		const [all, a, b, year] = match;
		const [day, month] = dayFirst === null ? [b!, a!] : [a!, b!];
		rememberedLength = 0;
		stamp.look = "month by name";
		stamp.day = stamp.dayMonthFirst = dayNumber(
			Number(year!.length === 2 ? `20${year}` : year),
			MONTHS.indexOf(month.toLowerCase()) + 1,
			Number(day),
		);
		if (from + all.length === to) return true;
		const at = time(bytes, from + all.length, to, 2, true);
		return at >= 0 && zone(bytes, at, to);
	};

	return { stamp, read };
}
