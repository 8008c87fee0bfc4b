import { power } from "../../power.ts";
import { GAS_CONSTANT, MOLAR_MASS_DRY_AIR } from "../../sources/constants.ts";
import {
	MOIST_AIR_HEAT as HEAT,
	INNER_RESISTANCE,
	LATENT_HEAT,
	MAGNUS,
	MOLAR_MASS_WATER,
	PSYCHROMETER,
	WATER_SATURATION,
} from "../../sources/water.ts";
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

/** Temperature by which moist air of humidity ratio W has an enthalpy [kJ/kg]. */
const celsiusOf = (enthalpy: number, ratio: number): number =>
	(enthalpy - HEAT.evaporationAt0C * ratio) / (HEAT.dryAir + HEAT.vapour * ratio);

/**
 * Enthalpy of moist air per dry air in it:  h = 1.006 t + W (2501 + 1.86 t)   (18)
 * @param celsius temperature [°C]
 * @param ratio humidity ratio W [kg/kg]
 * @returns enthalpy [kJ/kg]
 * @throws never
 *
 * Valid for: ideal gases; 0.2 % below real air at 25 °C.
 * Source: ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 30.
 * @example enthalpyKJPerKg(30, 0.02).toFixed(3) // => "81.316"
 */
export const enthalpyKJPerKg = (celsius: number, ratio: number): number =>
	HEAT.dryAir * celsius + ratio * (HEAT.evaporationAt0C + HEAT.vapour * celsius);

/**
 * Density of water vapour:  ρ = p/(R T/Mw)
 * @param vapourPa its pressure [Pa]
 * @param celsius temperature [°C]
 * @returns density [g/m3]
 * @throws never
 *
 * Source: ideal gas law.
 * @example vapourGPerM3(saturationPa(20), 20).toFixed(2) // => "17.29"
 */
export const vapourGPerM3 = (vapourPa: number, celsius: number): number =>
	(vapourPa * MOLAR_MASS_WATER.value) / (GAS_CONSTANT.value * (celsius + ZERO_CELSIUS));

/**
 * Air of a chamber after a purge by n air changes, before its walls give their heat back: dry air, of which s stays, vapour and enthalpy add up,
 *
 *     W = W_i + (W_c - W_i) s      h likewise      t from h and W; what is beyond saturation hangs as fog      (19)
 *
 * @param airChanges n [-]
 * @param chamber its temperature [°C] and relative humidity before [0..1]
 * @param intake likewise, of the intake air
 * @param pascal pressure [Pa]
 * @returns temperature [°C], relative humidity [0..1] and fog [g of liquid per kg of dry air]
 * @throws never
 *
 * Source: balances of dry air, vapour and enthalpy; air follows its walls within half a minute.
 * @example airAfterBurst(0.3, { celsius: 18, relativeHumidity: 0.9 }, { celsius: 5, relativeHumidity: 0.8 }, 101325).celsius.toFixed(2) // => "14.63"
 */
export function airAfterBurst(
	airChanges: number,
	chamber: MoistAir,
	intake: MoistAir,
	pascal: number,
): MoistAir & { readonly fogGPerKg: number } {
	const vapourOf = ({ celsius, relativeHumidity }: MoistAir) => relativeHumidity * saturationPa(celsius);
	const ratioOf = (air: MoistAir) => humidityRatio(vapourOf(air), pascal);
	// Of the air e^-n stays, and of the dry air in it as much less as it is the moister.
	const stays = Math.exp(-airChanges) * (pascal - vapourOf(chamber));
	const kept = stays / (stays - Math.expm1(-airChanges) * (pascal - vapourOf(intake)));
	const mixed = (inside: number, outside: number) => outside + (inside - outside) * kept;
	const ratio = mixed(ratioOf(chamber), ratioOf(intake));
	const heat = mixed(
		enthalpyKJPerKg(chamber.celsius, ratioOf(chamber)),
		enthalpyKJPerKg(intake.celsius, ratioOf(intake)),
	);
	const clear = celsiusOf(heat, ratio);
	const saturated = (celsius: number) => humidityRatio(saturationPa(celsius), pascal);
	if (ratio <= saturated(clear)) {
		const vapourPa = (ratio * pascal) / (LIGHTER + ratio);
		return { celsius: clear, relativeHumidity: vapourPa / saturationPa(clear), fogGPerKg: 0 };
	}
	// Liquid warms the air: between where it is now and where all of it had condensed.
	let [low, high] = [clear, clear + 2.6 * 1000 * ratio];
	for (let i = 0; i < 60; i++) {
		const middle = (low + high) / 2;
		const held = saturated(middle);
		if (enthalpyKJPerKg(middle, held) + (ratio - held) * HEAT.liquid * middle < heat) low = middle;
		else high = middle;
	}
	return { celsius: low, relativeHumidity: 1, fogGPerKg: 1000 * Math.max(0, ratio - saturated(low)) };
}

/**
 * Share of its own heat that a wet surface in saturated air gives off as vapour:  f = s/(s + g), s = dρs/dt   (20)
 * @param celsius temperature [°C]
 * @param radiationOverConvection h_r/h_c [-]
 * @returns share [0..1]
 * @throws never
 *
 * Source: Penman's partition, for the heat of the surface itself.
 * @example latentShare(20, 0).toFixed(3) // => "0.695"
 */
export function latentShare(celsius: number, radiationOverConvection: number): number {
	const half = 0.01;
	const slope =
		(vapourGPerM3(saturationPa(celsius + half), celsius + half) -
			vapourGPerM3(saturationPa(celsius - half), celsius - half)) /
		(2 * half);
	// As the density of air and the heat of evaporation are at this temperature, against 20 °C.
	const density = (20 + ZERO_CELSIUS) / (celsius + ZERO_CELSIUS);
	const heat = (1000 * LATENT_HEAT.value) / (HEAT.evaporationAt0C - 2.361 * celsius);
	return slope / (slope + PSYCHROMETER.value * density * heat * (1 + radiationOverConvection));
}

/**
 * Temperature of the inner side of a wall:  t_si = t_i - U R_si (t_i - t_o)   (21); moist air sweats on it below its dew point.
 * @param insideC temperature of the air inside [°C]
 * @param outsideC outside [°C]
 * @param wattPerM2K U of the wall [W/(m2 K)]
 * @returns temperature [°C]
 * @throws never
 *
 * Source: steady conduction; R_si of ISO 6946 from memory.
 * @example wallC(18, 12, 5.2631579).toFixed(2) // => "13.89"
 */
export const wallC = (insideC: number, outsideC: number, wattPerM2K: number): number =>
	insideC - Math.min(1, wattPerM2K * INNER_RESISTANCE.value) * (insideC - outsideC);
