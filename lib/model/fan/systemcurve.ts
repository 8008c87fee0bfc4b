import {
	BEND_LOSS,
	DISCHARGE_COEFFICIENT,
	DUCT_FRICTION,
	type DuctKind,
	ENTRY_LOSS,
	EXIT_LOSS,
} from "../../sources/airpath.ts";

/** What the air of a fan has to get through, all in series:  p = p0 + r q + k q^2   (23) */
export interface SystemCurve {
	/** Flap, which takes a fixed pressure to stay open: p0 [Pa]. */
	readonly flapPa: number;
	/** Filters, in which the flow is laminar: r [Pa s/m3]. */
	readonly filterPaSPerM3: number;
	/** Ducts and openings, in which it is turbulent: k [Pa s2/m6]. */
	readonly ductPaS2PerM6: number;
}

/** Nothing before or behind the fan. */
export const NO_RESISTANCE: SystemCurve = { flapPa: 0, filterPaSPerM3: 0, ductPaS2PerM6: 0 };

/**
 * Pressure that a path takes at a flow:  p = p0 + r q + k q^2   (23)
 * @param system flap [Pa], filters [Pa s/m3] and ducts [Pa s2/m6]
 * @param flowM3PerS q [m3/s]
 * @returns pressure [Pa]
 * @throws never
 *
 * Source: laminar filter, turbulent duct: textbooks, from memory.
 * @example systemPressurePa({ flapPa: 1, filterPaSPerM3: 500, ductPaS2PerM6: 20000 }, 0.02) // => 19
 */
export const systemPressurePa = (system: SystemCurve, flowM3PerS: number): number =>
	system.flapPa + system.filterPaSPerM3 * flowM3PerS + system.ductPaS2PerM6 * flowM3PerS * flowM3PerS;

/** A path whose filter takes so many times the pressure. */
export const withPressureDropRatio = (system: SystemCurve, pressureDropRatio: number): SystemCurve => ({
	...system,
	filterPaSPerM3: system.filterPaSPerM3 * pressureDropRatio,
});

/** A round duct. */
export interface Duct {
	readonly lengthM: number;
	readonly diameterM: number;
	/** Bends of 90 degrees. */
	readonly bends: number;
	readonly kind: DuctKind;
}

const circleM2 = (diameterM: number): number => (Math.PI / 4) * diameterM * diameterM;

/** Cross-section of a duct [m2]. */
export const ductAreaM2 = ({ diameterM }: Duct): number => circleM2(diameterM);

/** Air in a duct [m3]. */
export const ductVolumeM3 = (duct: Duct): number => duct.lengthM * ductAreaM2(duct);

/**
 * Resistance of a duct, its mouth and its end:  k = rho/(2 A^2) (f L/D + 0.5 + 1 + 0.5 bends)   (24)
 * @param duct length and diameter [m], number of bends [-], kind of wall
 * @param densityKgPerM3 density of the air [kg/m3]
 * @returns resistance [Pa s2/m6]
 * @throws never
 *
 * Valid for: turbulent flow, of which the friction factor f is taken as constant.
 * Source: Darcy and Weisbach; loss factors from textbooks, from memory (`lib/sources/airpath`).
 * @example (ductResistance({ lengthM: 2, diameterM: 0.1, bends: 0, kind: "flexible" }, 1.2) * 0.02 ** 2).toFixed(2) // => "8.25"
 */
export function ductResistance(duct: Duct, densityKgPerM3: number): number {
	const friction = (DUCT_FRICTION[duct.kind].value * duct.lengthM) / duct.diameterM;
	const losses = friction + ENTRY_LOSS.value + EXIT_LOSS.value + BEND_LOSS.value * duct.bends;
	return (losses * densityKgPerM3) / (2 * ductAreaM2(duct) ** 2);
}

/**
 * Resistance of an opening with a sharp edge:  k = rho/(2 (Cd A)^2), that is q = Cd A sqrt(2 p/rho)   (25)
 * @param areaM2 area of the hole, A [m2]
 * @param densityKgPerM3 density of the air, rho [kg/m3]
 * @param dischargeCoefficient Cd [-]; default 0.62, that of a sharp edge
 * @returns resistance [Pa s2/m6]
 * @throws never
 *
 * Source: orifice equation; Cd from textbooks, from memory.
 * @example openingResistance(0.00785, 1.2).toFixed(0) // => "25330"
 */
export const openingResistance = (
	areaM2: number,
	densityKgPerM3: number,
	dischargeCoefficient: number = DISCHARGE_COEFFICIENT.value,
): number => densityKgPerM3 / (2 * (dischargeCoefficient * areaM2) ** 2);

/**
 * Flow through a sharp-edged opening:  q = Cd A sqrt(2 p/rho)   (25)
 * @param areaM2 area of the hole, A [m2]
 * @param pressurePa pressure across it, p [Pa]; below 0 the flow goes the other way
 * @param densityKgPerM3 density of the air, rho [kg/m3]
 * @param dischargeCoefficient Cd [-]; default 0.62, that of a sharp edge
 * @returns flow [m3/s]
 * @throws never
 *
 * Source: orifice equation; Cd from textbooks, from memory.
 * @example (orificeFlowM3PerS(0.00785, 4, 1.2) * 3600).toFixed(1) // => "45.2"
 */
export const orificeFlowM3PerS = (
	areaM2: number,
	pressurePa: number,
	densityKgPerM3: number,
	dischargeCoefficient: number = DISCHARGE_COEFFICIENT.value,
): number =>
	Math.sign(pressurePa) *
	Math.sqrt(Math.abs(pressurePa) / openingResistance(areaM2, densityKgPerM3, dischargeCoefficient));
