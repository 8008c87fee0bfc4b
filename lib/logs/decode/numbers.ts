import { powerOfTen } from "../../power.ts";
import { refusal } from "../refusal.ts";

/** How numbers are written in one column. */
export interface NumberStyle {
	readonly decimal: "." | ",";
	/** The other sign stands between thousands. */
	readonly isGrouped: boolean;
	/** The column showed neither sign when the style was found: one followed by three digits could be either. */
	readonly isPlain: boolean;
}

/** A style for numbers that are known to have a decimal point and no thousands. */
export const POINT: NumberStyle = { decimal: ".", isGrouped: false, isPlain: false };

const MISSING =
	/^(?:|nan|n\.?a\.?n?|n\/a|#n\/a|null|nil|none|void|missing|invalid|-+|—|–|\.+|\*+|\?+|#+|err(?:or)?|fehler|erreur|inf(?:inity)?|-inf(?:inity)?|overflow|over|under|ol|fault|offline|no ?data|#[a-z0-9/]+[!?]?)$/i;

/** Whether a cell stands for "no value". */
export const isMissing = (text: string): boolean => MISSING.test(text.trim());

const POWERS = Array.from({ length: 16 }, (_, k) => powerOfTen(k));

/** Number in a cell written plainly, with at most one decimal sign (a byte); NaN for anything else. */
export function plainNumber(bytes: Uint8Array, from: number, to: number, decimal: number): number {
	let at = from;
	const first = bytes[at];
	if (first === 45 || first === 43) at++;
	let mantissa = 0;
	let digits = 0;
	let point = -1;
	for (; at < to; at++) {
		const byte = bytes[at]!;
		const digit = byte - 48;
		if (digit >= 0 && digit <= 9) {
			mantissa = mantissa * 10 + digit;
			digits++;
		} else if (byte === decimal && point < 0) point = digits;
		else return Number.NaN;
	}
	// Up to 15 digits, mantissa and power of ten are exact, and so is the rounding of their quotient.
	if (digits === 0 || digits > 15) return Number.NaN;
	const value = point < 0 ? mantissa : mantissa / POWERS[digits - point]!;
	return first === 45 ? -value : value;
}

const GROUPS: Readonly<Record<NumberStyle["decimal"], RegExp>> = {
	".": /^[-+]?[1-9]\d{0,2}(?:([ ,'’_])\d{3})(?:\1\d{3})*(?:\.\d*)?$/,
	",": /^[-+]?[1-9]\d{0,2}(?:([ .'’_])\d{3})(?:\1\d{3})*(?:,\d*)?$/,
};
const PLAIN: Readonly<Record<NumberStyle["decimal"], RegExp>> = {
	".": /^[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d{1,3})?$/i,
	",": /^[-+]?(?:\d+,?\d*|,\d+)(?:e[-+]?\d{1,3})?$/i,
};
/** One sign before three digits: decimals or thousands. */
const OPEN = /^[-+]?[1-9]\d{0,2}([.,])\d{3}$/;
/** What may follow a number in its cell. */
const UNIT =
	/\s*(?:ppmv?|vol\.? ?-? ?%|%\s*(?:rh|r\.?h\.?|rF|vol\.?)?|°\s*[CF]?|deg\.? ?[CF]|℃|℉|[CF]|rpm)$/i;
const otherThan = (sign: string): "." | "," => (sign === "." ? "," : ".");

const bareNumber = (text: string): string =>
	text
		.replace(/[\u00a0\u2000-\u200a\u202f]/g, " ")
		.replace(/\u2212/g, "-")
		.trim()
		.replace(UNIT, "");

/** Number in a cell with thousands signs, an exponent or a unit behind it; NaN when it is none or could be two. */
export function writtenNumber(text: string, { decimal, isGrouped, isPlain }: NumberStyle): number {
	const cell = bareNumber(text);
	const group = otherThan(decimal);
	if (isPlain && OPEN.test(cell)) return Number.NaN;
	if (PLAIN[decimal].test(cell)) return Number(cell.replace(",", "."));
	if (GROUPS[decimal].test(cell) && (isGrouped || !cell.includes(group)))
		return Number(
			cell
				.replace(/[ '’_]/g, "")
				.replaceAll(group, "")
				.replace(",", "."),
		);
	// A column without a sign of its own takes either.
	if (isPlain && PLAIN[group].test(cell)) return Number(cell.replace(",", "."));
	return Number.NaN;
}

/** Whether a cell that could not be read in a style is a number in another one. */
export function isInOtherStyle(text: string): boolean {
	const cell = bareNumber(text);
	return [".", ","].some((sign) => PLAIN[sign as "."].test(cell) || GROUPS[sign as "."].test(cell));
}

/** The signs in a column's cells. */
interface Signs {
	/** Cells in which the sign can only stand before decimals. */
	readonly decimals: Readonly<Record<"." | ",", number>>;
	/** Cells in which it can only stand between thousands. */
	readonly groups: Readonly<Record<"." | ",", number>>;
	/** Cells such as 1.032, in which it can be either. */
	readonly open: Readonly<Record<"." | ",", number>>;
	/** Whole numbers from 1000 on, without a sign. */
	readonly largeWhole: number;
	/** Those of three digits, which need no sign between thousands. */
	readonly smallWhole: number;
}

function countSigns(cells: readonly string[]): Signs {
	const none = () => ({ ".": 0, ",": 0 });
	const found = { decimals: none(), groups: none(), open: none(), largeWhole: 0, smallWhole: 0 };
	for (const raw of cells) {
		const cell = bareNumber(raw).replace(/[ '’_]/g, "");
		const [, sign] = OPEN.exec(cell) ?? [];
		if (sign !== undefined) found.open[sign as "."]++;
		else if (/^-?9+$/.test(cell)) continue;
		else if (/^[-+]?\d+$/.test(cell)) {
			const digits = cell.replace(/\D/g, "").length;
			if (digits > 2) found[digits > 3 ? "largeWhole" : "smallWhole"]++;
		} else
			for (const decimal of [".", ","] as const) {
				const group = otherThan(decimal);
				if (PLAIN[decimal].test(cell) && cell.includes(decimal)) found.decimals[decimal]++;
				else if (GROUPS[decimal].test(cell) && cell.includes(group)) {
					found.groups[group]++;
					if (cell.includes(decimal)) found.decimals[decimal]++;
				}
			}
	}
	return found;
}

/** A column of numbers, and whether what it holds can be so. */
export interface NumberColumn {
	readonly title: string;
	readonly cells: readonly string[];
	/** What is not read may stay open. */
	readonly isRead: boolean;
	readonly fits: (values: readonly number[]) => boolean;
}

/**
 * Decides how each column writes its numbers: by cells that can mean one thing only, else by what the column can hold, else by the other
 * columns. Throws InputError where all that leaves it open.
 */
export function findNumberStyles(
	columns: readonly NumberColumn[],
	delimiter: string,
	asked: NumberStyle["decimal"] | undefined,
): { readonly decimal: NumberStyle["decimal"]; readonly styles: readonly NumberStyle[] } {
	const signs = columns.map(({ cells }) => countSigns(cells));
	/** The sign that a column's cells tell for certain. */
	const certain = signs.map(({ decimals, groups }): NumberStyle["decimal"] | null => {
		const point = decimals["."] + groups[","];
		const comma = decimals[","] + groups["."];
		return point === comma ? null : point > comma ? "." : ",";
	});
	const isOpen = signs.map(({ open }, k) => certain[k] === null && open["."] + open[","] > 0);
	/** A sign that is the only one with which a column holds what it can hold. */
	const fitting = columns.map((column, k) =>
		isOpen[k] && column.isRead ? fittingStyles(column, signs[k]!) : [],
	);
	const votes = certain.map((own, k) => own ?? (fitting[k]!.length === 1 ? fitting[k]![0]!.decimal : null));
	const count = (sign: string): number => votes.filter((one) => one === sign).length;
	const most = count(".") === count(",") ? null : count(".") > count(",") ? "." : ",";
	const hasComma = count(",") > 0 || signs.some(({ open }) => open[","] > 0);
	const decimal = asked ?? most ?? (delimiter === ";" && hasComma ? "," : ".");
	const styles = columns.map((column, k): NumberStyle => {
		const { groups } = signs[k]!;
		if (asked !== undefined) return { decimal: asked, isGrouped: true, isPlain: false };
		const own = certain[k]!;
		if (own !== null)
			return {
				decimal: own,
				isGrouped: groups[otherThan(own)] > 0 || areGroups(column, own),
				isPlain: false,
			};
		if (!isOpen[k] || !column.isRead) return { decimal, isGrouped: false, isPlain: true };
		return chooseStyle(column, signs[k]!, fitting[k]!, most);
	});
	return { decimal, styles };
}

const readAll = (cells: readonly string[], style: NumberStyle): number[] =>
	cells.map((cell) => writtenNumber(cell, style)).filter((value) => !Number.isNaN(value));

/** Cells such as 1,032 beside others with a decimal point hold what the column can hold. */
function areGroups({ cells, fits }: NumberColumn, decimal: NumberStyle["decimal"]): boolean {
	const open = cells.filter((cell) => OPEN.exec(bareNumber(cell))?.[1] === otherThan(decimal));
	return open.length > 0 && fits(readAll(open, { decimal, isGrouped: true, isPlain: false }));
}

/** With its sign before decimals, and between thousands. */
function bothStyles({ open }: Signs): readonly NumberStyle[] {
	const sign = open["."] > 0 ? "." : ",";
	return [
		{ decimal: sign, isGrouped: false, isPlain: false },
		{ decimal: otherThan(sign), isGrouped: true, isPlain: false },
	];
}

/** Styles in which a column whose signs are open holds what it can hold. */
function fittingStyles({ cells, fits }: NumberColumn, signs: Signs): readonly NumberStyle[] {
	const inDoubt = cells.filter((cell) => OPEN.test(bareNumber(cell)));
	return bothStyles(signs).filter((style) => fits(readAll(inDoubt, style)) && fits(readAll(cells, style)));
}

/** The style of a column in which each sign could stand before decimals or between thousands. */
function chooseStyle(
	column: NumberColumn,
	signs: Signs,
	fitting: readonly NumberStyle[],
	most: "." | "," | null,
): NumberStyle {
	const { open, largeWhole, smallWhole } = signs;
	const [, asGroups] = bothStyles(signs);
	let left = fitting;
	// What can be neither is judged when it has been read.
	if (left.length === 0) left = bothStyles(signs).filter(({ decimal }) => decimal === most);
	// Who groups thousands groups all of them, and who writes three decimals seldom leaves them away.
	if (largeWhole > 0) left = left.filter(({ isGrouped }) => !isGrouped);
	else if (left.length > 1 && most !== null) left = left.filter(({ decimal }) => decimal === most);
	else if (left.length > 1 && smallWhole > 0) left = [asGroups!];
	const [style] = left;
	if (left.length === 1 && (most === null || style!.decimal === most) && !(open["."] > 0 && open[","] > 0))
		return style!;
	const cell = column.cells.find((one) => OPEN.test(bareNumber(one)))!.trim();
	throw refusal(
		"decimal",
		`"${cell}" in "${column.title}" can have decimals or thousands${most === null ? "" : ", and does not agree with the other columns"}; say which sign stands before decimals (--decimal point or --decimal comma)`,
	);
}

/** A date, a time of day with or without its half, a zone; not what stands in the next field. */
const STAMP =
	/^(?:\d+([-/.])\d+\1\d+|\d{1,2}[- ][A-Za-z]{3,}\.?[- ]\d+,?|[A-Za-z]{3,}\.? \d{1,2},? \d{4},?)(?:,?(?: +|T)\d{1,2}[:.]\d\d(?:[:.]\d\d(?:[.,]\d+)?)?)?(?: *[ap]\.?m\.?)?(?: *(?:z|utc|gmt)?(?:[-+]\d{1,2}:?\d*)?)?$|^\d+:\d\d(?::\d\d(?:[.,]\d+)?)? *(?:[ap]\.?m\.?)?$/i;

/** Whether a cell holds one thing, so that its row was split where it should be: a number, a date, a time, a word, a code. */
export const isOneThing = (text: string): boolean => {
	const cell = bareNumber(text);
	if ([...Object.values(PLAIN), ...Object.values(GROUPS)].some((form) => form.test(cell)) || isMissing(cell))
		return true;
	return !/[,;|\t"]/.test(cell) && (!cell.includes(" ") || STAMP.test(cell) || !/\d/.test(cell));
};
