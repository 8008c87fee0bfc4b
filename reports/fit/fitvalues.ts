import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { FittedParameter } from "../../lib/fit/fittypes.ts";
import { powerOfTen } from "../../lib/power.ts";
import { DAY } from "../../lib/time.ts";
import { CUBIC_FOOT } from "../../lib/units/factors.ts";
import type { UnitSystem } from "../../lib/units/format.ts";

/** A fitted value as a reader sees it; null where none can be had. */
export interface ShownValue {
	readonly value: string;
	readonly error: string | null;
	/** Error as a share of the value. */
	readonly percent: string | null;
	/** 95 % interval. */
	readonly interval: string | null;
	readonly unit: string;
}

const NUISANCE_PARAMETERS: readonly string[] = [
	"initialCo2",
	"initialReading",
	"phase",
	"timerRateError",
	"switchShift",
	"offShift",
	"background",
];

/** Parameters that belong together: all days of respiration are one kind. */
export const dimensionOf = (name: FitName): string => (name.startsWith("generation") ? "generation" : name);

/** Initial conditions, background and timing: needed for the fit, sought by nobody. */
export const isNuisance = (name: FitName): boolean => NUISANCE_PARAMETERS.includes(name);

const scaleOf = (
	name: FitName,
	units: UnitSystem,
): { readonly factor: number; readonly unit: string; readonly decimals: number } => {
	const us = units === "us";
	switch (dimensionOf(name)) {
		case "generation":
		case "leak":
			return us
				? { factor: 3600 / CUBIC_FOOT, unit: "ft³/h", decimals: 4 }
				: { factor: 3.6e6, unit: "L/h", decimals: 3 };
		case "flow":
			return us
				? { factor: 60 / CUBIC_FOOT, unit: "cfm", decimals: 2 }
				: { factor: 3600, unit: "m³/h", decimals: 2 };
		case "timerRateError":
		case "trend":
			return { factor: 100, unit: "%", decimals: 3 };
		case "response":
		case "phase":
		case "switchShift":
		case "offShift":
		case "lost on-time":
			return { factor: 1, unit: "s", decimals: 1 };
		case "flush rise":
		case "flush fall":
			return { factor: 1 / DAY, unit: "d", decimals: 2 };
		case "per burst":
		case "q10":
		case "flush high":
			return { factor: 1, unit: "", decimals: 3 };
		default:
			return { factor: 1, unit: "ppm", decimals: 0 };
	}
};

const minus = (text: string): string => text.replace("-", "−");

/** Digits of a value that any log can tell: chamber and sensor are known to no more. */
const MAX_DIGITS = 5;

/** How many decimals a value has so that its error has two digits, but no more digits than can be told. */
function decimalsOf(value: number, error: number | null, usual: number): number {
	if (error === null || !(error > 0)) return usual;
	const size = Number(Math.max(Math.abs(value), error).toPrecision(MAX_DIGITS));
	return Math.min(1 - Math.floor(Math.log10(error)), MAX_DIGITS - 1 - Math.floor(Math.log10(size)));
}

const rounded = (value: number, decimals: number): string => {
	const text =
		decimals >= 0
			? value.toFixed(decimals)
			: String(Math.round(value / powerOfTen(-decimals)) * powerOfTen(-decimals));
	return minus(Number(text) === 0 ? text.replace("-", "") : text);
};

/** A value to two digits of its error, and the error; one that is smaller than any digit shown is said to be. */
export function toItsError(
	value: number,
	error: number | null,
	usual: number,
): { readonly value: string; readonly error: string | null } {
	const decimals = decimalsOf(value, error, usual);
	return { value: rounded(value, decimals), error: error === null ? null : errorText(error, decimals) };
}

const errorText = (error: number, decimals: number): string => {
	const text = rounded(error, decimals);
	return Number(text) === 0 && error > 0 ? `< ${rounded(powerOfTen(-decimals), decimals)}` : text;
};

/** `1.40 (SE 0.14)` */
export function withItsError(value: number, error: number | null, usual: number, unit = ""): string {
	const shown = toItsError(value, error, usual);
	return `${shown.value}${unit}${shown.error === null ? "" : ` (SE ${shown.error})`}`;
}

/** A share with two digits that mean something: `1.2 %`, `0.03 %`, `140 %`. */
export const percentOf = (share: number): string => {
	const percent = 100 * Math.abs(share);
	if (percent < 0.01) return "< 0.01 %";
	return `${percent >= 10 ? Math.round(percent) : Number(percent.toPrecision(2))} %`;
};

/** A value of the kind of a parameter in the reader's unit, with its unit. */
export function plainValue(name: FitName, value: number, units: UnitSystem): string {
	const { factor, unit } = scaleOf(name, units);
	const scaled = value * factor;
	const text = Math.abs(scaled) >= 1000 ? String(Math.round(scaled)) : String(Number(scaled.toPrecision(4)));
	return minus(`${text}${unit === "" ? "" : ` ${unit}`}`);
}

/** A number in the reader's unit, for an axis. */
export const scaledValue = (name: FitName, value: number, units: UnitSystem): number =>
	value * scaleOf(name, units).factor;

export const unitName = (name: FitName, units: UnitSystem): string => scaleOf(name, units).unit;

const NO_SHARES: readonly string[] = [
	"offset",
	"phase",
	"timerRateError",
	"switchShift",
	"offShift",
	"lost on-time",
];

/** A value with its standard error and 95 % interval, all to the same digit. */
export function shownValue(
	{
		name,
		value,
		standardError,
		ci95Low,
		ci95High,
	}: Pick<FittedParameter, "name" | "value" | "standardError" | "ci95Low" | "ci95High">,
	units: UnitSystem,
): ShownValue {
	const { factor, unit, decimals } = scaleOf(name, units);
	const shown = shownNumbers({ value, standardError, ci95Low, ci95High }, factor, unit, decimals);
	// An offset or a start is measured from an arbitrary zero, of which no share can be taken.
	return NO_SHARES.includes(name) ? { ...shown, percent: null } : shown;
}

/** A figure with its error and interval in a unit, all to the same digit. */
export function shownNumbers(
	{
		value,
		standardError,
		ci95Low,
		ci95High,
	}: Pick<FittedParameter, "value" | "standardError" | "ci95Low" | "ci95High">,
	factor: number,
	unit: string,
	decimals: number,
): ShownValue {
	const error = standardError === null ? null : standardError * factor;
	const digits = decimalsOf(value * factor, error, decimals);
	const show = (x: number): string => rounded(x * factor, digits);
	return {
		value: show(value),
		error: error === null ? null : errorText(error, digits),
		percent: standardError === null || value === 0 ? null : percentOf(standardError / Math.abs(value)),
		interval: ci95Low === null || ci95High === null ? null : `${show(ci95Low)} to ${show(ci95High)}`,
		unit,
	};
}

/** `48.1 m³/h (SE 0.4, 0.9 %)` */
export function valueWords(parameter: FittedParameter, units: UnitSystem): string {
	const { value, error, percent, unit } = shownValue(parameter, units);
	const end = unit === "" ? "" : ` ${unit}`;
	return `${value}${end}${error === null ? "" : ` (SE ${error}${percent === null ? "" : `, ${percent}`})`}`;
}

const MEANING: Readonly<Record<string, string>> = {
	generation: "pure CO₂ from crop and substrate",
	flow: "intake air that enters while the fan runs",
	leak: "intake air that enters with the fan off",
	offset: "positive: the sensor reads high",
	background: "what the sensor shows of the intake air",
	response: "time to show 63 % of a step change",
	initialCo2: "in the chamber, without sensor lag and offset",
	initialReading: "as the sensor showed it",
	phase: "from the first reading; negative: before it",
	timerRateError: "against the logger's clock",
	q10: "factor on CO₂ output for 10 K more",
	trend: "beside temperature and flush",
	"flush rise": "half of the rise, from the midnight before the log",
	"flush fall": "half of the fall, from the midnight before the log",
	"flush high": "factor on CO₂ output at the peak",
	"baseline step 1": "from here on the sensor reads so much more",
	"baseline step 2": "from here on the sensor reads so much more",
	switchShift: "as far as the samples leave it open",
	offShift: "as far as the samples, and what a state means, leave it open",
	"per burst": "volumes of air that one burst replaces",
	"lost on-time": "equivalent time without flow at the start of a burst",
};

/** What a parameter is, in a few plain words. */
export const meaningOf = (name: FitName): string => MEANING[dimensionOf(name)] ?? "";

/** `6.1 ppm` */
export const ppmWords = (ppm: number): string =>
	minus(`${Math.abs(ppm) < 10 ? Number(ppm.toPrecision(2)) : Math.round(ppm)} ppm`);
