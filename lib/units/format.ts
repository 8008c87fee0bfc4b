import { DAY } from "../time.ts";
import type { Dimension } from "./dimensions.ts";
import { CUBIC_FOOT, FOOT, INCH, INCH_OF_WATER, POUND } from "./factors.ts";

/** Units that a reader wants to see. */
export type UnitSystem = "si" | "us";

/** At most four significant digits, integers whole, no trailing zeros. */
const digits = (x: number): string => {
	const rounded = Math.abs(x) >= 1000 ? Math.round(x) : Number(x.toPrecision(4));
	return String(rounded === 0 ? 0 : rounded);
};

/**
 * Time in words; tenths of a second only below an hour.
 *
 * @param seconds time [s]
 * @returns such as `4 s`, `3 min 56 s`, `1 h 30 min`, `2 d 3 h`
 * @throws never
 *
 * Source: this project.
 * @example formatDuration(236) // => "3 min 56 s"
 */
export const formatDuration = (seconds: number): string => {
	if (!Number.isFinite(seconds)) return String(seconds);
	if (seconds < 0) return `-${formatDuration(-seconds)}`;
	if (seconds < 59.95) return `${digits(seconds)} s`;
	const tenths = seconds < 3600 ? Math.round(seconds * 10) : Math.round(seconds) * 10;
	const whole = Math.floor(tenths / 10);
	const parts: [number, string][] = [
		[Math.floor(whole / DAY), "d"],
		[Math.floor(whole / 3600) % 24, "h"],
		[Math.floor(whole / 60) % 60, "min"],
		[(tenths % 600) / 10, "s"],
	];
	return parts
		.filter(([count]) => count > 0)
		.map(([count, unit]) => `${count} ${unit}`)
		.join(" ");
};

/**
 * A value as a reader of a unit system wants it, at most four significant digits.
 *
 * @param value in SI [unit of its dimension]
 * @param dimension what it measures
 * @param system `si` or `us`
 * @returns number and unit
 * @throws never
 *
 * Source: this project.
 * @example formatQuantity(0.0125, "flow") // => "45 m³/h"
 */
export const formatQuantity = (value: number, dimension: Dimension, system: UnitSystem = "si"): string => {
	const us = system === "us";
	switch (dimension) {
		case "length":
			return us ? `${digits(value / FOOT)} ft` : `${digits(value)} m`;
		case "area":
			if (us) return `${digits(value / INCH ** 2)} in²`;
			return Math.abs(value) < 1e-4 ? `${digits(value * 1e6)} mm²` : `${digits(value * 1e4)} cm²`;
		case "volume":
			if (us) return `${digits(value / CUBIC_FOOT)} ft³`;
			return Math.abs(value) < 1 ? `${digits(value * 1000)} L` : `${digits(value)} m³`;
		case "mass":
			if (us) return `${digits(value / POUND)} lb`;
			return Math.abs(value) < 1000 ? `${digits(value)} kg` : `${digits(value / 1000)} t`;
		case "duration":
			return formatDuration(value);
		case "temperature":
			return us ? `${digits(value * 1.8 + 32)} °F` : `${digits(value)} °C`;
		case "temperature difference":
			return us ? `${digits(value * 1.8)} °F` : `${digits(value)} K`;
		case "flow":
			return us ? `${digits((value / CUBIC_FOOT) * 60)} cfm` : `${digits(value * 3600)} m³/h`;
		case "velocity":
			return us ? `${digits((value / FOOT) * 60)} fpm` : `${digits(value)} m/s`;
		case "air changes":
			return `${digits(value * 3600)} /h`;
		case "concentration":
			return `${Math.round(value)} ppm`;
		case "concentration difference":
			return `${digits(value)} ppm`;
		case "fraction":
			return `${digits(value * 100)} %`;
		case "respiration":
			return `${digits(value * 3.6e9)} mg/(kg·h)`;
		case "density":
			return us ? `${digits((value / POUND) * CUBIC_FOOT)} lb/ft³` : `${digits(value)} kg/m³`;
		case "pressure":
			if (Math.abs(value) >= 5000) return `${digits(value / 1000)} kPa`;
			return us ? `${digits(value / INCH_OF_WATER)} inH₂O` : `${digits(value)} Pa`;
		case "current":
			return `${digits(value)} A`;
		case "voltage":
			return `${digits(value)} V`;
		case "power":
			return `${digits(value)} W`;
		case "energy":
			return `${digits(value / 3600)} Wh`;
		case "resistance":
			return `${digits(value)} Ω`;
		case "mass flow":
			return us ? `${digits((value / POUND) * 3600)} lb/h` : `${digits(value * 3.6e6)} g/h`;
		case "heat transmittance":
			return `${digits(value)} W/(m²·K)`;
		case "number":
			return digits(value);
	}
};
