import { powerOfTen } from "../../power.ts";
/** How numbers are written in one column. */
export interface NumberStyle {
	readonly decimal: "." | ",";
	/** No column showed a sign when the style was found: one followed by three digits could be either. */
	readonly isPlain: boolean;
}

const DIGITS = /\d/;
const MISSING =
	/^(?:|nan|n\.?a\.?n?|n\/a|#n\/a|null|nil|none|void|missing|invalid|-+|—|–|\.+|\*+|\?+|#+|err(?:or)?|fehler|erreur|inf(?:inity)?|-inf(?:inity)?|overflow|over|under|ol|fault|offline|no ?data|#[a-z0-9/]+[!?]?)$/i;

/** Whether a cell stands for "no value". */
export const isMissing = (text: string): boolean => MISSING.test(text.trim());

/** Whether a cell begins like a number, a date or a time. */
export const looksNumeric = (text: string): boolean => /^[\s'"]*[-+−]?[.,]?\d/.test(text);

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
	".": /^[-+]?\d{1,3}(?:([ ,'’_])\d{3})(?:\1\d{3})*(?:\.\d*)?$/,
	",": /^[-+]?\d{1,3}(?:([ .'’_])\d{3})(?:\1\d{3})*(?:,\d*)?$/,
};
const PLAIN: Readonly<Record<NumberStyle["decimal"], RegExp>> = {
	".": /^[-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d{1,3})?$/i,
	",": /^[-+]?(?:\d+,?\d*|,\d+)(?:e[-+]?\d{1,3})?$/i,
};
/** What may follow a number in its cell. */
const UNIT =
	/\s*(?:ppmv?|vol\.? ?-? ?%|%\s*(?:rh|r\.?h\.?|rF|vol\.?)?|°\s*[CF]?|deg\.? ?[CF]|℃|℉|[CF]|rpm)$/i;

/** Number in a cell with thousands signs, an exponent or a unit behind it; NaN when it is none or could be two. */
export function writtenNumber(text: string, style: NumberStyle): number {
	const cell = text
		.replace(/[\u00a0\u2000-\u200a\u202f]/g, " ")
		.replace(/\u2212/g, "-")
		.trim()
		.replace(UNIT, "");
	const decimal = style.decimal;
	const group = decimal === "." ? "," : ".";
	if (style.isPlain && /^[-+]?\d{1,3}[.,]\d{3}$/.test(cell)) return Number.NaN;
	if (PLAIN[decimal].test(cell)) return Number(cell.replace(",", "."));
	if (GROUPS[decimal].test(cell))
		return Number(
			cell
				.replace(/[ '’_]/g, "")
				.replaceAll(group, "")
				.replace(",", "."),
		);
	// A column without a sign of its own takes either.
	if (style.isPlain && PLAIN[group].test(cell)) return Number(cell.replace(",", "."));
	return Number.NaN;
}

interface Evidence {
	/** Cells that only make sense with this sign for decimals. */
	readonly point: number;
	readonly comma: number;
	/** Cells such as 1.032 or 1,032, by sign. */
	readonly eitherPoint: number;
	readonly eitherComma: number;
	/** Cells of digits alone. */
	readonly whole: number;
}

function gatherEvidence(cells: readonly string[]): Evidence {
	const found = { point: 0, comma: 0, eitherPoint: 0, eitherComma: 0, whole: 0 };
	for (const raw of cells) {
		const cell = raw.replace(/[\s'’_\u00a0\u202f]/g, "").replace(/^[-+]/, "");
		if (!DIGITS.test(cell)) continue;
		const match = /^(\d*)((?:[.,]\d*)*)/.exec(cell)!;
		const signs = match[2]!.replace(/\d/g, "");
		if (signs === "") found.whole++;
		else if (signs.length === 1) {
			const either = /^[1-9]\d{0,2}[.,]\d{3}$/.test(match[0]!);
			if (signs === ".") found[either ? "eitherPoint" : "point"]++;
			else found[either ? "eitherComma" : "comma"]++;
		} else if (/^\.+$/.test(signs)) found.comma++;
		else if (/^,+$/.test(signs)) found.point++;
		else found[signs.at(-1) === "," ? "comma" : "point"]++;
	}
	return found;
}

/** What a column says about its decimal sign, and null when nothing; `groups`: three digits behind a sign are thousands if the column says nothing else. */
function findDecimal(evidence: Evidence, groups: boolean): NumberStyle["decimal"] | null {
	const { point, comma, eitherPoint, eitherComma, whole } = evidence;
	if (point > comma) return ".";
	if (comma > point) return ",";
	const either = eitherPoint + eitherComma;
	if (either === 0) return null;
	const sign = eitherPoint >= eitherComma ? "." : ",";
	const asGroup = sign === "." ? "," : ".";
	// A logger writes all its values with as many decimals: whole numbers beside three digits mean thousands.
	return groups || whole > 0 ? asGroup : sign;
}

/**
 * Decides how each column writes its numbers, from cells of each; `groups` marks columns whose values are in the hundreds or
 * thousands, `delimiter` settles what no column says.
 */
export function findNumberStyles(
	columns: readonly (readonly string[])[],
	groups: readonly boolean[],
	delimiter: string,
): { readonly decimal: NumberStyle["decimal"]; readonly styles: readonly NumberStyle[] } {
	const evidence = columns.map(gatherEvidence);
	const own = evidence.map((one, k) => findDecimal(one, groups[k] ?? false));
	const points = own.filter((sign) => sign === ".").length;
	const commas = own.filter((sign) => sign === ",").length;
	const decimal =
		points === commas ? (delimiter === ";" && commas > 0 ? "," : ".") : points > commas ? "." : ",";
	return {
		decimal,
		styles: own.map((sign) => ({
			decimal: sign ?? decimal,
			isPlain: sign === null && points + commas === 0,
		})),
	};
}
