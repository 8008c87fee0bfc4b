import type { EvidenceGrade, PublishedValue } from "../sources/published.ts";
import type { Dimension } from "../units/dimensions.ts";
import { formatQuantity } from "../units/format.ts";
import { parseValue } from "../units/read.ts";
import type { Quantity } from "./scenario.ts";
import type { Path, SourceDocument } from "./text/document.ts";
import { isMeasured, type Measured } from "./text/leaves.ts";

/** The same shape with each measured value replaced by a Quantity that knows its line. */
export type Located<T> = T extends Measured
	? Quantity
	: T extends object
		? { readonly [K in keyof T]: Located<T[K]> }
		: T;

/** A section as read, each value with its place in the file or the log that it was fitted to. */
export const located = <T>(source: SourceDocument, value: T, path: Path): Located<T> => {
	if (isMeasured(value)) {
		const { value: number, low, high, dimension, text, fitted, on, distribution, source: told } = value;
		const origin =
			fitted !== undefined
				? ({ kind: "fitted", log: fitted, ...(on === undefined ? {} : { on }) } as const)
				: ({
						kind: "given",
						...source.valueAt(path),
						...(told === undefined ? {} : { source: told }),
					} as const);
		const drawn = distribution === undefined ? {} : { distribution };
		return { value: number, low, high, dimension, text, ...drawn, origin } as Located<T>;
	}
	if (Array.isArray(value)) {
		return value.map((item, index) => located(source, item, [...path, index])) as Located<T>;
	}
	if (typeof value === "object" && value !== null) {
		return Object.fromEntries(
			Object.entries(value).map(([key, item]) => [key, located(source, item, [...path, key])]),
		) as Located<T>;
	}
	return value as Located<T>;
};

/** A default, with where it is from. */
export const assumedQuantity = (
	value: number,
	dimension: Dimension,
	text: string,
	source: string,
	evidence: EvidenceGrade,
): Quantity => ({
	value,
	low: null,
	high: null,
	dimension,
	text,
	origin: { kind: "default", source, evidence },
});

/** A default of nothing. */
export const zeroQuantity = (dimension: Dimension, source: string): Quantity =>
	assumedQuantity(0, dimension, formatQuantity(0, dimension), source, "moderate");

/** A published figure as a default. */
export const publishedDefault = (given: PublishedValue, dimension: Dimension): Quantity => {
	const si = (x: number): number => {
		const read = parseValue(`${x} ${given.unit}`.trim(), [dimension]);
		if ("refused" in read) throw new Error(`published figure in a unit that cannot be read: ${given.unit}`);
		return read.value;
	};
	const { value, low, high, unit } = given;
	const span = low === null || high === null ? "" : ` (${low}..${high})`;
	const number = Number(value.toPrecision(3));
	return {
		value: si(value),
		low: low === null ? null : si(low),
		high: high === null ? null : si(high),
		dimension,
		text: `${unit === "" || unit === "ppm" ? number : value}${unit === "" ? "" : ` ${unit}`}${span}`,
		origin: { kind: "default", source: `${given.source} [${given.provenance}]`, evidence: given.evidence },
	};
};

/** A published figure whose ends are what one may choose from, not its uncertainty. */
export const chosenQuantity = (given: PublishedValue, dimension: Dimension): Quantity =>
	publishedDefault({ ...given, low: null, high: null }, dimension);
