import type { NumberColumn } from "../decode/numbers.ts";
import type { Channel, ChannelKind } from "../log.ts";
import { refusal } from "../refusal.ts";
import { isPlausible, type kindOf, temperatureUnit } from "./columnwords.ts";

/** Numbers that loggers write for "no value". */
const SENTINELS = new Set([65535, 65534, 65536, 32767, 32768, 9999999, 999999, 99999, 99999999]);
/** Another of them, which is also a thinkable reading: no value where all others of the first rows are far below. */
const CODE = 9999;
const MAX_BELOW_CODE = 5000;
/** CO2 in a column without a unit that stays below this is not in ppm: outdoor air has some 420. */
const MIN_PPM = 50;
/** How a column's numbers are taken. */
export interface Conversion {
	/** As written in the file. */
	readonly unit: NonNullable<Channel["unit"]> | null;
	/** From the number in the cell to the channel's unit; NaN when no sensor can mean it. */
	readonly convert: (value: number) => number;
}

/** How the numbers of a column become values in the channel's unit, with codes for no value left out. Throws InputError. */
export function createConverter(
	kind: ChannelKind,
	header: string,
	stated: number | null,
	seen: readonly number[],
	title: string,
	accepts: boolean,
): Conversion {
	if (kind === "fan") {
		const share = /%|per ?cent/i.test(header) ? 0.01 : 1;
		const convert = (value: number): number =>
			value < 0 || SENTINELS.has(value) ? Number.NaN : Math.min(share * value, 1);
		return { unit: share === 1 ? null : "%", convert };
	}
	if (kind === "temperature") {
		const { unit, celsius } = temperatureUnit(header);
		const convert = (value: number): number => {
			const inCelsius = celsius(value);
			return inCelsius > -60 && inCelsius < 150 ? inCelsius : Number.NaN;
		};
		return { unit, convert };
	}
	if (kind === "humidity") {
		const isShare = seen.length > 0 && seen.every((value) => value <= 1) && seen.some((value) => value > 0);
		const top = isShare ? 1 : 100;
		return {
			unit: isShare ? "share" : "%",
			convert: (value) => (value >= 0 && value <= 1.05 * top ? value / top : Number.NaN),
		};
	}
	if (Number.isNaN(stated))
		throw refusal(
			"co2 column",
			`"${title}" is in a unit that depends on pressure and temperature; convert it to ppm`,
		);
	const usable = seen.filter((value) => value > 0 && !SENTINELS.has(value)).sort((a, b) => a - b);
	const high = usable[Math.floor(0.95 * (usable.length - 1))];
	if (stated === null && high !== undefined && high < MIN_PPM)
		throw refusal(
			"unit",
			`"${title}" has no unit, and its values stay below ${MIN_PPM}, which CO2 in ppm never does; say the unit (--unit %, --unit ‰ or --unit ppm)`,
		);
	const factor = stated ?? 1;
	const isCode = factor === 1 && usable.includes(CODE) && isCodeIn(seen, title, accepts);
	const convert = (value: number): number => {
		// 0.1 % must be 1000 ppm, not 1000.0000000000001.
		const ppm = factor === 1 ? value : Math.round(value * factor * 1e6) / 1e6;
		return ppm > 0 && ppm <= 1e6 && !SENTINELS.has(value) && !(isCode && value === CODE) ? ppm : Number.NaN;
	};
	return { unit: CO2_UNITS[factor]!, convert };
}

/** Whether 9999 means "no value": no reading comes near it. Throws InputError where it can be either. */
function isCodeIn(values: readonly number[], title: string, accepts: boolean): boolean {
	const readings = values.filter((value) => value > 0 && !SENTINELS.has(value));
	const others = readings.filter((value) => value !== CODE);
	if (accepts) return false;
	if (others.every((value) => value < MAX_BELOW_CODE)) return true;
	// A sensor that ends there comes near before.
	const isNear = (value: number | undefined): boolean =>
		value === CODE || (value !== undefined && value > 0.85 * CODE);
	const isEnd =
		others.every((value) => value < CODE) &&
		readings.every((value, i) => value !== CODE || isNear(readings[i - 1]) || isNear(readings[i + 1]));
	if (isEnd) return false;
	throw refusal(
		"co2 column",
		`${CODE} in "${title}" can be a reading or stand for no value, among values up to ${Math.max(...others)}; write no value as NA, or take it as a reading (--accept-implausible)`,
	);
}

const CO2_UNITS: Readonly<Record<number, Conversion["unit"]>> = {
	1: "ppm",
	0.001: "ppb",
	1000: "‰",
	10000: "%",
};

/** Whether values of a column of a kind can be so. */
export function fitsKind(
	kind: ReturnType<typeof kindOf> | undefined,
	unit: number | null,
): NumberColumn["fits"] {
	switch (kind) {
		case "co2":
			return (values) => {
				const factors = unit === null ? [1, 10_000] : [unit];
				return factors.some((factor) => areMost((value) => isPlausible(value * factor))(values));
			};
		case "temperature":
			return areMost((value) => value > -60 && value < 400);
		case "humidity":
			return areMost((value) => value < 200);
		default:
			return () => true;
	}
}

/** Four of five values that are no codes for none. */
const areMost =
	(holds: (value: number) => boolean) =>
	(values: readonly number[]): boolean => {
		const readings = values.filter(
			(value) => !SENTINELS.has(Math.abs(value)) && !/^-?9+$/.test(String(value)),
		);
		return readings.filter(holds).length >= 0.8 * readings.length;
	};
