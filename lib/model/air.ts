import { GAS_CONSTANT, MOLAR_MASS_CO2 } from "../sources/constants.ts";

/** 0 °C [K]. */
export const ZERO_CELSIUS = 273.15;

/**
 * Volume of an amount of CO2 as a pure gas:  v = m R T / (M p)   (1)
 * @param kg mass [kg] (a rate in kg/s gives m3/s)
 * @param celsius temperature [°C]
 * @param pascal pressure [Pa]
 * @returns volume [m3]
 * Valid for: ideal gas, which CO2 is within 0.5 % at room conditions (from memory).
 * @example co2VolumeM3(0.001, 20, 101325).toFixed(6) // => "0.000547"
 */
export function co2VolumeM3(kg: number, celsius: number, pascal: number): number {
	return (kg * GAS_CONSTANT.value * (celsius + ZERO_CELSIUS)) / ((MOLAR_MASS_CO2.value / 1000) * pascal);
}

/**
 * CO2 as mass concentration:  c = ppm M p / (R T) / 1000   (2)
 * @returns [mg/m3]
 * @example co2MgPerM3(1, 25, 101325).toFixed(5) // => "1.79885"
 */
export function co2MgPerM3(ppm: number, celsius: number, pascal: number): number {
	return (ppm * MOLAR_MASS_CO2.value * pascal) / (GAS_CONSTANT.value * (celsius + ZERO_CELSIUS)) / 1000;
}
