import type { Dimension } from "../../lib/units/dimensions.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";

/** Writes a value [SI] in the reader's units. */
export type SayValue = (value: number, dimension: Dimension) => string;

/** Values in sentences: whole per cents from 10 % on, three digits of volts and amperes. */
export const sayIn =
	(units: UnitSystem): SayValue =>
	(value, dimension) =>
		formatQuantity(roundForSentence(value, dimension), dimension, units);

function roundForSentence(value: number, dimension: Dimension): number {
	if (dimension === "fraction") return Number((100 * value).toFixed(Math.abs(value) < 0.0995 ? 1 : 0)) / 100;
	return dimension === "current" || dimension === "voltage" ? Number(value.toPrecision(3)) : value;
}

/** A value as a table has it: three digits; times from ten minutes on to 10 s, from an hour on to the minute. */
export function formatRounded(value: number, dimension: Dimension, units: UnitSystem): string {
	if (dimension === "duration") {
		const step = value < 10 ? 0.01 : value < 60 ? 0.1 : value < 600 ? 1 : value < 3600 ? 10 : 60;
		return formatQuantity(Number((step * Math.round(value / step)).toPrecision(12)), dimension, units);
	}
	return formatQuantity(value, dimension, units).replace(/^-?\d+(?:\.\d+)?/, (number) =>
		String(Number(Number(number).toPrecision(3))),
	);
}

/** 9999 and 10,000. */
export const formatCount = (value: number): string =>
	value < 10_000 ? String(value) : String(value).replace(/\B(?=(\d{3})+$)/g, ",");
