import { power } from "../../power.ts";
import { GAS_CONSTANT, MOLAR_MASS_DRY_AIR } from "../../sources/constants.ts";
import { MAGNUS, MOLAR_MASS_WATER, WATER_SATURATION } from "../../sources/water.ts";
import { ZERO_CELSIUS } from "./gaslaws.ts";

/** Molar mass of water over that of dry air [-]. */
const LIGHTER = MOLAR_MASS_WATER.value / MOLAR_MASS_DRY_AIR.value;

/** Air as moisture sees it. */
export interface MoistAir {
	readonly celsius: number;
	/** Relative humidity, over liquid water [0..1]. */
	readonly relativeHumidity: number;
}

/**
 * Saturation pressure of water vapour over liquid water:
 *
 *     ln(p/pc) = (Tc/T)(a1 θ + a2 θ^1.5 + a3 θ^3 + a4 θ^3.5 + a5 θ^4 + a6 θ^7.5),  θ = 1 - T/Tc      (13)
 *
 * @param celsius temperature [°C]
 * @returns pressure [Pa]
 * @throws never
 *
 * Valid for: 0.01..374 °C; below, over supercooled water, in which relative humidity is told by convention (from memory).
 * Source: Wagner & Pruss, coefficients from memory; they meet the ASHRAE 2017 table within 0.03 %.
 * @example saturationPa(20).toFixed(2) // => "2339.19"
 */
export function saturationPa(celsius: number): number {
	const { criticalKelvin, criticalPascal, terms } = WATER_SATURATION;
	const kelvin = celsius + ZERO_CELSIUS;
	const theta = 1 - kelvin / criticalKelvin;
	const sum = terms.reduce(
		(total, [exponent, coefficient]) => total + coefficient * power(theta, exponent),
		0,
	);
	return criticalPascal * Math.exp((criticalKelvin / kelvin) * sum);
}

/**
 * Humidity ratio, vapour per dry air by mass:  W = (Mw/Ma) pw/(p - pw)   (14)
 * @param vapourPa pressure of the vapour [Pa]
 * @param pascal pressure of the moist air [Pa]
 * @returns humidity ratio [kg/kg]
 * @throws never
 *
 * Valid for: ideal gases; the table for real air lies 0.5 % higher at saturation.
 * Source: definition, with the ideal gas law.
 * @example humidityRatio(saturationPa(25), 101325).toFixed(5) // => "0.02009"
 */
export function humidityRatio(vapourPa: number, pascal: number): number {
	return (LIGHTER * vapourPa) / (pascal - vapourPa);
}

/**
 * Volume of moist air per dry air in it:  v = R T (1 + W Ma/Mw)/(Ma p)   (15)
 * @param celsius temperature [°C]
 * @param ratio humidity ratio [kg/kg]
 * @param pascal pressure [Pa]
 * @returns specific volume [m3/kg]
 * @throws never
 *
 * Source: definition, with the ideal gas law.
 * @example specificVolumeM3PerKgDryAir(30, 0.02, 95461).toFixed(4) // => "0.9409"
 */
export function specificVolumeM3PerKgDryAir(celsius: number, ratio: number, pascal: number): number {
	const specificGasConstant = GAS_CONSTANT.value / (MOLAR_MASS_DRY_AIR.value / 1000);
	return (specificGasConstant * (celsius + ZERO_CELSIUS) * (1 + ratio / LIGHTER)) / pascal;
}

/**
 * Dew point, below which a surface gets wet, from the Magnus form:  td = b y/(a - y),  y = ln RH + a t/(b + t)   (16)
 * @param air its temperature [°C] and relative humidity [0..1]
 * @returns temperature [°C]
 * @throws never
 *
 * Valid for: -45..60 °C (from memory).
 * Source: coefficients of WMO-No. 8.
 * @example dewPointC({ celsius: 20, relativeHumidity: 0.5 }).toFixed(4) // => "9.2552"
 */
export function dewPointC(air: MoistAir): number {
	const { celsius, relativeHumidity } = air;
	const { a, bCelsius: b } = MAGNUS;
	const y = Math.log(relativeHumidity) + (a * celsius) / (b + celsius);
	return (b * y) / (a - y);
}

/**
 * Water that each cubic metre of chamber air takes along when intake air with as much dry air replaces it:
 *
 *     w = (Wc - Wi)/v(Tc, Wc)      (17)
 *
 * @param chamber its temperature [°C] and relative humidity [0..1]
 * @param intake likewise, of the intake air
 * @param pascal pressure [Pa]
 * @returns water [kg/m3]; negative when the intake air is the moister
 * @throws never
 *
 * Source: mass balance of dry air and vapour.
 * @example waterCarriedKgPerM3({ celsius: 20, relativeHumidity: 0.95 }, { celsius: 20, relativeHumidity: 0.5 }, 101325).toFixed(5) // => "0.00787"
 */
export function waterCarriedKgPerM3(chamber: MoistAir, intake: MoistAir, pascal: number): number {
	const ratio = (air: MoistAir) => humidityRatio(air.relativeHumidity * saturationPa(air.celsius), pascal);
	const inside = ratio(chamber);
	return (inside - ratio(intake)) / specificVolumeM3PerKgDryAir(chamber.celsius, inside, pascal);
}

/**
 * Relative humidity of a well-mixed chamber after n air changes at its own temperature, cut off at saturation:
 *
 *     RH = min(1, [pi + (pc - pi) exp(-n)]/ps(Tc))      (18)
 *
 * @param airChanges n [-]
 * @param chamber its temperature [°C] and relative humidity before [0..1]
 * @param intake likewise, of the intake air
 * @returns relative humidity [0..1]
 * @throws never
 *
 * Source: mass balance of vapour in one mixed zone.
 * @example relativeHumidityAfter(0.5, { celsius: 18, relativeHumidity: 0.9 }, { celsius: 18, relativeHumidity: 0.45 }).toFixed(3) // => "0.723"
 */
export function relativeHumidityAfter(airChanges: number, chamber: MoistAir, intake: MoistAir): number {
	const intakeShare =
		(intake.relativeHumidity * saturationPa(intake.celsius)) / saturationPa(chamber.celsius);
	return Math.min(1, intakeShare + (chamber.relativeHumidity - intakeShare) * Math.exp(-airChanges));
}
