import { DISCHARGE_COEFFICIENT } from "../../sources/airpath.ts";
import { GAS_CONSTANT, MOLAR_MASS_CO2, MOLAR_MASS_DRY_AIR } from "../../sources/constants.ts";

/** 0 °C [K]. */
export const ZERO_CELSIUS = 273.15;

/**
 * Volume of an amount of CO2 as a pure gas:  v = m R T / (M p)   (1)
 * @param kg mass [kg] (a rate in kg/s gives m3/s)
 * @param celsius temperature [°C]
 * @param pascal pressure [Pa]
 * @returns volume [m3]
 * @throws never
 *
 * Valid for: ideal gas, which CO2 is within 0.5 % at room conditions (from memory).
 * Source: ideal gas law; molar gas constant of SI 2019.
 * @example co2VolumeM3(0.001, 20, 101325).toFixed(6) // => "0.000547"
 */
export function co2VolumeM3(kg: number, celsius: number, pascal: number): number {
	return (kg * GAS_CONSTANT.value * (celsius + ZERO_CELSIUS)) / ((MOLAR_MASS_CO2.value / 1000) * pascal);
}

/**
 * CO2 as mass concentration:  c = ppm M p / (R T) / 1000   (2)
 * @param ppm mole fraction [ppm]
 * @param celsius temperature [°C]
 * @param pascal pressure [Pa]
 * @returns mass concentration [mg/m3]
 * @throws never
 *
 * Source: ideal gas law.
 * @example co2MgPerM3(1, 25, 101325).toFixed(5) // => "1.79885"
 */
export function co2MgPerM3(ppm: number, celsius: number, pascal: number): number {
	return (ppm * MOLAR_MASS_CO2.value * pascal) / (GAS_CONSTANT.value * (celsius + ZERO_CELSIUS)) / 1000;
}

/**
 * Density of dry air:  rho = M p/(R T)   (19)
 * @param celsius temperature [°C]
 * @param pascal pressure [Pa]
 * @returns density [kg/m3]
 * @throws never
 *
 * Source: ideal gas law.
 * @example airDensityKgPerM3(20, 101325).toFixed(4) // => "1.2041"
 */
export function airDensityKgPerM3(celsius: number, pascal: number): number {
	return ((MOLAR_MASS_DRY_AIR.value / 1000) * pascal) / (GAS_CONSTANT.value * (celsius + ZERO_CELSIUS));
}

/**
 * Flow that warmth drives by itself through two equal openings, one above the other, into a chamber warmer or colder
 * than the room, and through a filter, in which the flow is laminar, and a flap behind one of them:
 *
 *     p0 + r q + rho (q/(Cd A))^2 = dp,  dp = rho g h |dT|/T      (20); without either q = Cd A sqrt(dp/rho); 0 where dp <= p0
 *
 * @param areaM2 each opening [m2]
 * @param heightM one above the other [m]
 * @param path resistance of the filter r [Pa s/m3], pressure of the flap p0 [Pa], density of the air rho [kg/m3]; default none
 * @returns [m3/s]
 * @example (stackFlowM3PerS(0.00785, 0.5, 20, 22) * 3600).toFixed(1) // => "3.2"
 */
export function stackFlowM3PerS(
	areaM2: number,
	heightM: number,
	outsideCelsius: number,
	insideCelsius: number,
	path: {
		readonly filterPaSPerM3: number;
		readonly flapPa?: number;
		readonly densityKgPerM3: number;
	} | null = null,
): number {
	const drive =
		(GRAVITY * heightM * Math.abs(insideCelsius - outsideCelsius)) / (outsideCelsius + ZERO_CELSIUS);
	const opening = DISCHARGE_COEFFICIENT.value * areaM2;
	if (path === null || drive === 0) return opening * Math.sqrt(drive);
	const { filterPaSPerM3, flapPa = 0, densityKgPerM3: density } = path;
	// The positive root, written so that nothing cancels where the filter takes nearly all.
	const pascal = density * drive - flapPa;
	if (pascal <= 0) return 0;
	const half = Math.sqrt(
		(filterPaSPerM3 / 2) * (filterPaSPerM3 / 2) + (density * pascal) / (opening * opening),
	);
	return pascal / (filterPaSPerM3 / 2 + half);
}
/** Standard gravity [m/s2]. */
const GRAVITY = 9.80665;
