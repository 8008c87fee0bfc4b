import type { Dimension } from "../../units/dimensions.ts";
import { normalizeText, parseValue, type Refusal } from "../../units/read.ts";

/** A number or a range read from text, in SI. */
export interface ParsedQuantity {
	readonly value: number;
	readonly low: number | null;
	readonly high: number | null;
	readonly dimension: Dimension;
	/** As it was written. */
	readonly text: string;
}

// A geometric mean needs a true zero: 20 °C is not twice 10 °C, a difference has either sign, a share is bounded on both sides.
const isRatio = (dimension: Dimension): boolean =>
	dimension !== "temperature" && !dimension.endsWith(" difference") && dimension !== "fraction";

/** Central value of a range: the geometric mean of a ratio quantity with both ends above 0, else the midpoint. */
export const centre = (low: number, high: number, dimension: Dimension): number =>
	isRatio(dimension) && low > 0 ? Math.sqrt(low) * Math.sqrt(high) : low + (high - low) / 2;

const bareNumber = /^[+-]?[\d.]+(?:e[+-]?\d+)?$/i;
const trailingUnit = (text: string): string =>
	/^[+-]?[\d. ]+(?:e[+-]?\d+)?(.*)$/i.exec(text)?.[1]?.trim() ?? "";

const readRange = (
	left: string,
	right: string,
	dimensions: readonly Dimension[],
): Omit<ParsedQuantity, "text"> | Refusal => {
	const high = parseValue(right, dimensions);
	if ("refused" in high) return high;
	// `60..400 mg/(kg h)`: the unit behind the second number serves both.
	const low = parseValue(bareNumber.test(left) ? `${left} ${trailingUnit(right)}` : left, [high.dimension]);
	if ("refused" in low) return low;
	if (low.value >= high.value) return { refused: "write the smaller end first" };
	return {
		value: centre(low.value, high.value, high.dimension),
		low: low.value,
		high: high.value,
		dimension: high.dimension,
	};
};

const readUncertainty = (
	left: string,
	right: string,
	dimensions: readonly Dimension[],
): Omit<ParsedQuantity, "text"> | Refusal => {
	const percent = /^\+?([\d.]+) ?%$/.exec(right)?.[1];
	// `2.4 ± 10 %` of a plain number is relative; `90 ± 5 %` of a share takes its unit from the right.
	const borrows = bareNumber.test(left) && !(percent !== undefined && dimensions.includes("number"));
	const central = parseValue(borrows ? `${left} ${trailingUnit(right)}` : left, dimensions);
	if ("refused" in central) return central;
	const { value, dimension, unit } = central;
	let spread: number;
	if (percent !== undefined && unit !== "%") {
		if (dimension === "temperature")
			return { refused: "a percentage of a temperature means nothing; write ± 2 K" };
		spread = (Math.abs(value) * Number(percent)) / 100;
	} else {
		const written = bareNumber.test(right) ? `${right} ${unit}` : right;
		const read = parseValue(written, [dimension === "temperature" ? "temperature difference" : dimension]);
		if ("refused" in read) return read;
		spread = read.value;
	}
	if (!(spread > 0 && Number.isFinite(spread))) return { refused: "the spread must be above 0" };
	return { value, low: value - spread, high: value + spread, dimension };
};

/**
 * Reads `180 L`, a range `60..400 mg/(kg h)` (also `…`, `to`) or a spread `70 m3/h ±10 %` (also `70 ± 5 m3/h`, `+/-`).
 * A spread in % is relative, except on a value that is itself in %: there it means percentage points.
 */
export const parseQuantity = (text: string, dimensions: readonly Dimension[]): ParsedQuantity | Refusal => {
	if (text.length > 200) return { refused: "it is too long for a value" };
	const normal = normalizeText(text);
	const spread = /^(.+?) ?(?:±|\+\/?-) ?(.+)$/.exec(normal);
	const range = /^(.+?) ?(?:\.{2,3}|\bto\b|(?<=[\w%)]) ?–) ?(.+)$/.exec(normal);
	let read: Omit<ParsedQuantity, "text"> | Refusal;
	if (spread !== null) read = readUncertainty(spread[1] ?? "", spread[2] ?? "", dimensions);
	else if (range !== null) read = readRange(range[1] ?? "", range[2] ?? "", dimensions);
	else {
		const one = parseValue(normal, dimensions);
		read = "refused" in one ? one : { value: one.value, low: null, high: null, dimension: one.dimension };
	}
	return "refused" in read ? read : { ...read, text: text.trim() };
};
