import { InputError } from "../errors.ts";
import { power } from "../power.ts";
import { type Dimension, dimensionRules, expectation } from "./dimensions.ts";
import { unitNamed } from "./factors.ts";
import { formatDuration } from "./format.ts";

/** A number read from text, in SI (m, m2, m3, kg, s, °C, K, m3/s, m/s, 1/s, ppm, 0..1, kg/(kg s), kg/m3, Pa, A, V, W, J, Ω). */
export interface ParsedValue {
	readonly value: number;
	readonly dimension: Dimension;
	/** The unit as written; "" when there was none. */
	readonly unit: string;
}
/** Why a text could not be read; "" when it is plainly not of the dimension. */
export interface Refusal {
	readonly refused: string;
}

/** One spelling for what people type: Unicode minus, dots, superscripts and spaces, and "per" for "/". */
export const normalizeText = (text: string): string =>
	text
		.replace(/[⁻₋]/g, "-")
		.normalize("NFKC")
		.replace(/[−‐‑]/g, "-")
		.replace(/[·⋅•∙×]/g, "*")
		.replace(/\s+/g, " ")
		.trim();

const spellings: readonly (readonly [RegExp, string])[] = [
	[/\bper\b/gi, "/"],
	[/\b(?:cu\.?|cubic) ?(mm|cm|dm|m|in|ft|feet|foot|inch|inches|met(?:re|er)s?)\b/gi, "$1^3"],
	[/\bcfm\b/gi, "ft3/min"],
	[/\bfpm\b/gi, "ft/min"],
	[/\b(?:sq\.?|square) ?(mm|cm|dm|m|in|ft|feet|foot|inch|inches|met(?:re|er)s?)\b/gi, "$1^2"],
	[/\b(?:in\.?|inch|inches) ?(?:of )?(?:H2O|w\.?[gc]\b\.?|water(?: (?:gauge|column))?)/gi, "inwater"],
	[/\bmm ?(?:of )?(?:H2O|w\.?[gc]\b\.?|water(?: (?:gauge|column))?)/gi, "mmwater"],
	[/Ω/g, "ohm"],
	[/\b(?:UK|imp(?:erial)?)\.? gal(?:lons?)?\b/gi, "ukgal"],
	[/\bUS gal(?:lons?)?\b/gi, "gal"],
	[/\bACH\b/gi, "/h"],
	[/\b(?:air )?(?:ex)?changes?\b/gi, "1"],
	[/(?:°|\bdeg(?:rees?)?\b) ?(?=[CFK])/g, ""],
];

interface ParsedUnit {
	readonly signature: string;
	readonly toSi: (x: number) => number;
}

const parseUnit = (written: string): ParsedUnit | null => {
	let text = written;
	for (const [pattern, replacement] of spellings) text = text.replace(pattern, replacement);
	const above: string[] = [];
	const below: string[] = [];
	let numerator = 1;
	let denominator = 1;
	let sign = 1;
	let group: number | null = null;
	let rest = text.trim();
	while (rest !== "") {
		const token = /^(?:([A-Za-z%]+)(?:\^?(-?[1-3])(?!\d))?|1(?![\d.])|[/*()])\s*/.exec(rest);
		if (token === null) return null;
		const [all, name, raised] = token;
		rest = rest.slice(all.length);
		if (name === undefined) {
			const mark = all.trim();
			if (mark === "/") {
				if (sign < 0) return null;
				sign = -1;
			} else if (mark === "(") {
				if (group !== null) return null;
				group = sign;
				sign = 1;
			} else if (mark === ")") {
				if (group === null) return null;
				group = null;
			}
			continue;
		}
		const unit = unitNamed(name);
		if (unit === undefined) return null;
		let exponent = Number(raised ?? 1) * sign * (group ?? 1);
		sign = 1;
		let { kind } = unit;
		if (Math.abs(exponent) > 1) {
			if (kind !== "length") return null;
			kind = Math.abs(exponent) === 3 ? "volume" : "area";
		}
		const up = exponent > 0;
		exponent = Math.abs(exponent);
		(up ? above : below).push(kind);
		numerator *= power(up ? unit.numerator : unit.denominator, exponent);
		denominator *= power(up ? unit.denominator : unit.numerator, exponent);
	}
	if (sign < 0 || group !== null) return null;
	const signature = `${above.sort().join(" ")}/${below.sort().join(" ")}`;
	return { signature, toSi: (x) => (x * numerator) / denominator };
};

const numberPattern =
	/^[+-]?(?:\d{1,3}(?: \d{3})+(?!\d)(?:\.\d+)?|\d+(?:\.\d+)?|\.\d+)(?:e[+-]?\d+(?![\d.]))?/i;

const whyNot = (dimensions: readonly Dimension[], signature: string): string => {
	if (dimensions.includes("concentration") && signature === "mass/volume") {
		return "mass per volume depends on temperature and pressure; write ppm";
	}
	if (dimensions.includes("duration") && signature === "length/") return "m is metre; write min for minutes";
	return "";
};

const readOne = (
	digits: string,
	written: string,
	dimensions: readonly Dimension[],
): ParsedValue | Refusal => {
	const unit = parseUnit(written);
	if (unit === null) return { refused: "" };
	for (const dimension of dimensions) {
		const convert = dimensionRules[dimension].from[unit.signature];
		if (convert === undefined) continue;
		const value = convert(unit.toSi(Number(digits.replaceAll(" ", ""))));
		return Number.isFinite(value)
			? { value, dimension, unit: written }
			: { refused: "it must be a finite number" };
	}
	return { refused: whyNot(dimensions, unit.signature) };
};

/** `3 min 56 s`: larger units first, each part positive. */
const readCompound = (text: string, dimension: Dimension): ParsedValue | Refusal => {
	let total = 0;
	let smallest = Number.POSITIVE_INFINITY;
	for (const [, digits, written] of text.matchAll(/(\d+(?:\.\d+)?) ?([A-Za-z]+)/g)) {
		const part = readOne(digits ?? "", written ?? "", [dimension]);
		const unit = readOne("1", written ?? "", [dimension]);
		if ("refused" in part || "refused" in unit) return { refused: "" };
		if (unit.value >= smallest) return { refused: "write the larger unit first" };
		smallest = unit.value;
		total += part.value;
	}
	return { value: total, dimension, unit: "" };
};

/** Reads one value with its unit as people write it into SI, or says why not; takes what `normalizeText` gives. */
export const parseValue = (text: string, dimensions: readonly Dimension[]): ParsedValue | Refusal => {
	if (/\d ?,/.test(text)) return { refused: "write a point for decimals and no comma in thousands" };
	const clock = /^(\d{1,2}):(\d{2})$/.exec(text);
	if (clock !== null && dimensions.includes("duration")) {
		const [, large, small] = clock.map(Number) as [number, number, number];
		return {
			refused: `write ${formatDuration(60 * large + small)}, or ${formatDuration(3600 * large + 60 * small)} if hours and minutes are meant`,
		};
	}
	if (/^[+-]?\.?(?:nan|inf(?:inity)?)\b/i.test(text)) return { refused: "it must be a finite number" };
	const compound = dimensions.find((dimension) => dimensionRules[dimension].compound === true);
	if (compound !== undefined && /^(?:\d+(?:\.\d+)? ?[A-Za-z]+ ?){2,}$/.test(text))
		return readCompound(text, compound);
	const digits = numberPattern.exec(text)?.[0];
	if (digits === undefined) return { refused: "" };
	return readOne(digits, text.slice(digits.length).trim(), dimensions);
};

/**
 * One value with its unit, as people write it, in SI (m, m2, m3, kg, s, °C, K, m3/s, m/s, 1/s, ppm, 0..1, Pa, A, V, W, J, Ω).
 *
 * @param text number and unit
 * @param dimension what it measures
 * @returns value [SI unit of its dimension]
 * @throws InputError when the text is no value of the dimension: the rule, what was received, and why
 *
 * Source: factors exact by definition: international yard and pound of 1959, US gallon of 231 in3, UK gallon of 4.54609 L.
 * @example readValue("68 F", "temperature") // => 20
 */
export const readValue = (text: string, dimension: Dimension): number => {
	const read = parseValue(normalizeText(text), [dimension]);
	if (!("refused" in read)) return read.value;
	const why = read.refused === "" ? "" : `; ${read.refused}`;
	throw new InputError([
		{ path: dimension, message: `needs ${expectation([dimension])}, got "${text}"${why}` },
	]);
};
