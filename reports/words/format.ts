import { formatDuration } from "../../lib/units/format.ts";

/** A whole number; from 10,000 on with a comma. */
export const whole = (value: number): string => {
	const rounded = Math.round(value);
	return Math.abs(rounded) >= 10_000 ? rounded.toLocaleString("en-US") : String(rounded === 0 ? 0 : rounded);
};
export const short = (value: number): string => String(Number(value.toPrecision(3)));
/** To a tenth; what is more than nothing never reads as nothing. */
export const percentCell = (value: number): string =>
	value > 0 && value < 0.05 ? "< 0.1 %" : `${value === 0 ? 0 : value.toFixed(1)} %`;
export const orNone = <T>(value: T | null, format: (value: T) => string, none = "–"): string =>
	value === null ? none : format(value);

export const yesNo = (isMet: boolean): string => (isMet ? "✓ yes" : "✗ no");

export const formatPpm = (value: number): string => `${Math.round(value)} ppm`;
export const formatGrams = (value: number): string => `${whole(value)} g`;
/** Tenths of a second matter only below a minute. */
export const formatTime = (seconds: number): string =>
	formatDuration(seconds < 60 ? Math.round(10 * seconds) / 10 : Math.round(seconds));

/** A time for a glance: whole minutes from ten minutes on, whole hours from ten hours on. */
export const roughTime = (seconds: number): string => {
	const step = seconds >= 36_000 ? 3600 : seconds >= 600 ? 60 : 1;
	return formatTime(seconds < 60 ? seconds : Math.round(seconds / step) * step);
};

export const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
/** `1 row`, `2,880 readings` */
export const countWords = (count: number, one: string, more = `${one}s`): string =>
	`${count.toLocaleString("en-US")} ${count === 1 ? one : more}`;
/** "a, b and c" */
export const inRow = (words: readonly string[], joint = "and"): string =>
	words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${joint} ${words.at(-1)}`;
