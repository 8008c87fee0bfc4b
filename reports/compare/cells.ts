import type { Summary } from "../../lib/solve/summary.ts";

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

/** `66 below`, `340 above`, `12 below the floor`. */
export const marginText = (
	{ ceilingPpm, floorPpm }: Summary["criterion"],
	valuePpm: number,
	meanPpm: number,
): string => {
	const over = valuePpm - ceilingPpm;
	if (over > 0) return `${over < 0.5 ? "< 1" : whole(over)} above`;
	if (floorPpm !== null && meanPpm < floorPpm) return `${whole(floorPpm - meanPpm)} below the floor`;
	return `${whole(-over)} below`;
};

export const yesNo = (within: boolean): string => (within ? "✓ yes" : "✗ no");
