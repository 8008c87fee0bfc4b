import { power } from "../../power.ts";
import { refusal } from "../refusal.ts";

/** Numbers that loggers write for "no value", and that no sensor means. */
export const CODES: ReadonlySet<number> = new Set([
	65535, 65534, 65536, 32767, 32768, 9999999, 999999, 99999, 99999999,
]);
/** Another of them, which is a thinkable reading of CO2 in ppm. */
export const OPEN_CODE = 9999;
/** Readings below this come nowhere near it. */
const MAX_BELOW_CODE = 5000;
/** A sensor that ends at the code comes this near before. */
const NEAR_CODE = 0.85 * OPEN_CODE;
/** A jump of so many usual steps its way (95 of 100 are smaller) is no step. */
const JUMP_STEPS = 3;
/** A value that is no end of a range and stands so many times as often as any other is a code. */
const TIMES_AS_OFTEN = 3;
/** What chance does less often than this is no chance. */
const MAX_CHANCE = 0.001;

/** A column of CO2 in ppm, row by row, and what the other columns tell. */
export interface CodedColumn {
	readonly title: string;
	readonly cells: readonly string[];
	readonly values: readonly number[];
	/** The same code stands in a column that cannot reach it. */
	readonly isCodeElsewhere: boolean;
}

/**
 * Whether 9999 means "no value" in a column of CO2: by what lies around it, how often and how it is written, and by the other columns.
 * Throws InputError where it can be either.
 */
export function isOpenCode({ title, cells, values, isCodeElsewhere }: CodedColumn): boolean {
	const read = cells
		.map((cell, i): Reading => ({ cell: cell.trim(), value: values[i]! }))
		.filter(({ value }) => value > 0 && !CODES.has(value));
	const others = read.filter(isOther);
	if (others.every(({ value }) => value < MAX_BELOW_CODE)) return true;
	const codes = read.filter((one) => !isOther(one));
	/** Readings before and after each run of them. */
	const around = read.flatMap((one, i) =>
		isOther(one) ? [] : [[read.slice(0, i).findLast(isOther)?.value, read.slice(i + 1).find(isOther)?.value]],
	);
	if (codes.length === 0) return false;
	const isEnd = others.every(({ value }) => value < OPEN_CODE);
	const near = around.filter((pair) => pair.some((value) => value! > NEAR_CODE)).length;
	// A sensor that shows 9998 again and again ends there, not at 9999.
	const highest = Math.max(...others.map(({ value }) => value));
	const endsBefore = others.filter(({ value }) => value === highest).length > Math.max(2, codes.length);
	if (isEnd && near === codes.length && !isCodeElsewhere && !endsBefore) return false;
	const isCode =
		isCodeElsewhere ||
		jumps(read, around) ||
		(!isEnd &&
			(isWrittenOtherwise(codes, others) ||
				codes.length >= TIMES_AS_OFTEN * mostOften(others.map(({ value }) => value))));
	// A sensor that ends there and a code may stand in one file.
	if (isCode && !(isEnd && near > 0)) return true;
	throw refusal(
		"co2 column",
		`${OPEN_CODE} in "${title}" can be a reading or stand for no value, among values up to ${highest}; write no value as NA, or take it as a reading (--accept-implausible)`,
	);
}

interface Reading {
	readonly cell: string;
	readonly value: number;
}
const isOther = ({ value }: Reading): boolean => value !== OPEN_CODE;

/** The code has no sign before decimals or between thousands where readings have one: by chance too seldom. */
function isWrittenOtherwise(codes: readonly Reading[], others: readonly Reading[]): boolean {
	const isBare = ({ cell }: Reading): boolean => /^\d+$/.test(cell);
	const large = others.filter(({ value }) => value >= 1000);
	const share = (1 + large.filter(isBare).length) / (2 + large.length);
	return codes.every(isBare) && power(share, codes.length) < MAX_CHANCE;
}

/** Each time the column jumps there or back further than its readings step that way, and goes on where it was. */
function jumps(read: readonly Reading[], around: readonly (readonly (number | undefined)[])[]): boolean {
	const steps = read
		.flatMap((one, i) => {
			const before = read[i - 1];
			return before !== undefined && isOther(one) && isOther(before) ? [one.value - before.value] : [];
		})
		.sort((a, b) => a - b);
	const usual = (way: 1 | -1): number => {
		const sizes = steps
			.map((step) => way * step)
			.filter((step) => step > 0)
			.sort((a, b) => a - b);
		return sizes[Math.floor(0.95 * (sizes.length - 1))] ?? Number.POSITIVE_INFINITY;
	};
	const [up, down] = [usual(1), usual(-1)];
	const isJump = (step: number): boolean => Math.abs(step) > JUMP_STEPS * (step > 0 ? up : down);
	return around.every(([before = Number.NaN, after = Number.NaN]) => {
		const isSpike = isJump(OPEN_CODE - before) || isJump(after - OPEN_CODE);
		return isSpike && !isJump(after - before);
	});
}

function mostOften(values: readonly number[]): number {
	const counts = new Map<number, number>();
	for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
	return Math.max(0, ...counts.values());
}

/** 9999 stands in a column whose other numbers stay far below. */
export function holdsOpenCode(cells: readonly string[]): boolean {
	const numbers = cells
		.map((cell) => Number(cell.trim().replace(",", ".")))
		.filter((value) => !Number.isNaN(value));
	const others = numbers.filter((value) => value !== OPEN_CODE);
	return (
		others.length > 2 && others.length < numbers.length && others.every((value) => value < MAX_BELOW_CODE)
	);
}
