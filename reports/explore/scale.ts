import { power } from "../../lib/power.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";

/** Range of a slider in SI, evenly apart in the logarithm; where it has a zero, that is its lower end. */
export interface Scale {
	readonly low: number;
	readonly high: number;
	readonly hasZero: boolean;
}

/** Positions of a slider: 0 to this. */
export const SLIDER_STEPS = 400;

/** Position of a value on a slider; at an end where the value lies beyond it. */
export function positionOf({ low, high, hasZero }: Scale, value: number): number {
	if (!(value > 0)) return 0;
	const first = hasZero ? 1 : 0;
	const share = Math.log(value / low) / Math.log(high / low);
	return Math.round(first + Math.max(0, Math.min(1, share)) * (SLIDER_STEPS - first));
}

/** Value at a position of a slider. */
export function valueAtPosition({ low, high, hasZero }: Scale, position: number): number {
	if (hasZero && position <= 0) return 0;
	const first = hasZero ? 1 : 0;
	return low * power(high / low, (position - first) / (SLIDER_STEPS - first));
}

/** Time in steps that a person would key in: tenths of a second below ten, seconds below ten minutes, then coarser [s]. */
export function roundSeconds(seconds: number): number {
	const step = seconds < 10 ? 0.1 : seconds < 60 ? 0.5 : seconds < 600 ? 1 : seconds < 3600 ? 5 : 60;
	return Math.round(Math.round(seconds / step) * step * 10) / 10;
}

/** A value as a scenario file says it, to three digits in the reader's units. */
export function entryText(value: number, dimension: Dimension, units: UnitSystem): string {
	if (dimension === "duration") return formatDuration(roundSeconds(value));
	const [, number = "0", unit = ""] = /^(-?[\d.]+)(.*)$/.exec(formatQuantity(value, dimension, units)) ?? [];
	return `${Number(Number(number).toPrecision(3))}${unit}`.replaceAll("³", "3").replaceAll("·", " ");
}

const PLAIN_NUMBER = /^\s*-?\d+(?:[.,]\d+)?\s*$/;

/** Unit of a value as it is shown; "" where it has several, as "2 min 54 s". */
export const unitOf = (shown: string): string => /^-?[\d.,]+\s*(\D*)$/.exec(shown)?.[1] ?? "";

/** What was typed, a bare number in the unit that stood there. */
export const withUnit = (typed: string, unit: string): string =>
	unit !== "" && PLAIN_NUMBER.test(typed)
		? `${typed.trim()} ${unit.replaceAll("³", "3").replaceAll("·", " ")}`
		: typed;
