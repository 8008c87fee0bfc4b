import type { NumberColumn } from "../decode/numbers.ts";
import type { Channel, ChannelKind } from "../log.ts";
import { refusal } from "../refusal.ts";
import { isPlausible, type kindOf, temperatureUnit } from "./columnwords.ts";
import { CODES, OPEN_CODE } from "./missingcode.ts";

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
	isOpenCodeIn: () => boolean,
): Conversion {
	if (kind === "fan") {
		const share = /%|per ?cent/i.test(header) ? 0.01 : 1;
		const convert = (value: number): number =>
			value < 0 || CODES.has(value) ? Number.NaN : Math.min(share * value, 1);
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
	const usable = seen.filter((value) => value > 0 && !CODES.has(value)).sort((a, b) => a - b);
	const high = usable[Math.floor(0.95 * (usable.length - 1))];
	if (stated === null && high !== undefined && high < MIN_PPM)
		throw refusal(
			"unit",
			`"${title}" has no unit, and its values stay below ${MIN_PPM}, which CO2 in ppm never does; say the unit (--unit %, --unit ‰ or --unit ppm)`,
		);
	const factor = stated ?? 1;
	const hasCode = factor === 1 && isOpenCodeIn();
	const convert = (value: number): number => {
		// 0.1 % must be 1000 ppm, not 1000.0000000000001.
		const ppm = factor === 1 ? value : Math.round(value * factor * 1e6) / 1e6;
		return ppm > 0 && ppm <= 1e6 && !CODES.has(value) && !(hasCode && value === OPEN_CODE) ? ppm : Number.NaN;
	};
	return { unit: CO2_UNITS[factor]!, convert };
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
				// A header may say ppm where the values are per cent: 1.032 below it is 1032 ppm or 1.032 %.
				const factors = unit === null || unit === 1 ? [1, 10_000] : [unit];
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
		const readings = values.filter((value) => !CODES.has(Math.abs(value)) && !/^-?9+$/.test(String(value)));
		return readings.filter(holds).length >= 0.8 * readings.length;
	};
