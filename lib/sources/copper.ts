import { power } from "../power.ts";
import { published } from "./published.ts";

/** Resistivity of annealed copper at 20 °C [ohm m]. */
// biome-ignore format: a record reads best on one line
export const COPPER_RESISTIVITY = published(1.7241e-8, "ohm m", "100 % IACS; with the diameters of ASTM B258 it meets printed wire tables within 0.1 %", "computed", "strong");

/** Growth of its resistance with temperature, from 20 °C [1/K]. */
export const COPPER_TEMPERATURE_COEFFICIENT = published(0.00393, "/K", "textbooks", "from memory", "strong");

/** Diameter of an American wire gauge [m]: d = 0.127 mm · 92^((36 - n)/39). Source: ASTM B258. */
export const awgDiameterM = (gauge: number): number => 0.127e-3 * power(92, (36 - gauge) / 39);

/**
 * Greatest resistance of plain copper conductors at 20 °C [ohm/km] by cross-section [mm2]: class 1 and 2 solid and
 * stranded, class 5 flexible. Source: IEC 60228, via cable makers' tables [read].
 */
export const IEC_60228: readonly (readonly [mm2: number, class2: number, class5: number])[] = [
	[0.5, 36, 39],
	[0.75, 24.5, 26],
	[1, 18.1, 19.5],
	[1.5, 12.1, 13.3],
	[2.5, 7.41, 7.98],
	[4, 4.61, 4.95],
	[6, 3.08, 3.3],
];

/** Current of single wires in free air (chassis) and of bundled ones [A] by gauge: the two differ sixfold. */
export const AMPACITY: readonly (readonly [gauge: number, chassis: number, bundled: number])[] = [
	[18, 16, 2.3],
	[20, 11, 1.5],
	[22, 7, 0.92],
	[24, 3.5, 0.577],
];
export const AMPACITY_SOURCE = "wire tables in common use, chassis and bundled [read; partly from memory]";

/** What a short cable of two or three wires in free air may carry, over its bundled figure; never above the chassis one. */
// biome-ignore format: a record reads best on one line
export const CABLE_OVER_BUNDLED = published(3, "", "between the bundled and the chassis figure", "judgement", "weak");
