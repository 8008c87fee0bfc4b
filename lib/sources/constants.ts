import { power } from "../power.ts";
import { type PublishedValue, published } from "./published.ts";

/** Molar gas constant [J/(mol K)]. */
// biome-ignore format: a record reads best on one line
export const GAS_CONSTANT = published(8.31446261815324, "J/(mol K)", "SI 2019: exact, Avogadro constant times Boltzmann constant", "from memory", "strong");

/** Molar masses [g/mol]. */
export const MOLAR_MASS_CO2 = published(44.0095, "g/mol", "standard atomic weights", "from memory", "strong");
// biome-ignore format: a record reads best on one line
export const MOLAR_MASS_DRY_AIR = published(28.9647, "g/mol", "dry air, conventional", "from memory", "strong");

/** Standard pressure at sea level [Pa]. */
// biome-ignore format: a record reads best on one line
export const STANDARD_PRESSURE = published(101_325, "Pa", "standard atmosphere, by definition", "definition", "strong");

/**
 * Density of pure CO2 at 25 °C and 101.325 kPa [kg/m3], M p / (R T): the basis on which millilitres of CO2 in a
 * respiration rate are read.
 */
// biome-ignore format: a record reads best on one line
export const CO2_DENSITY_25C = published(((MOLAR_MASS_CO2.value / 1000) * STANDARD_PRESSURE.value) / (GAS_CONSTANT.value * 298.15), "kg/m3", "M p / (R T) at 25 °C and 101.325 kPa", "computed", "strong");

/** Global annual mean of CO2 in outdoor air by year [ppm]. */
export const OUTDOOR_CO2: Readonly<Record<number, PublishedValue>> = Object.fromEntries(
	(
		[
			[2015, 399.65],
			[2018, 407.61],
			[2020, 412.44],
			[2021, 414.7],
			[2022, 417.08],
			[2023, 419.35],
			[2024, 422.79],
			[2025, 425.64],
		] as const
	).map(([year, ppm]) => [
		year,
		published(
			ppm,
			"ppm",
			`NOAA GML, global annual mean ${year}, revised later`,
			"read",
			"strong",
			ppm - 0.1,
			ppm + 0.1,
		),
	]),
);

/** CO2 of intake air when the file names none [ppm]: the newest global mean, to the ppm. An occupied room has more. */
// biome-ignore format: a record reads best on one line
export const INTAKE_CO2 = published(426, "ppm", "NOAA GML, global annual mean 2025 (425.64 ppm), rounded; a room with people in it has 600..1000 ppm", "read", "moderate");

/** CO2 limits for people [ppm]. A simulator is no safety device: a calibrated room alarm and local rules are. */
export const EXPOSURE_LIMITS: readonly (PublishedValue & { readonly what: string })[] = [
	{
		what: "OSHA permissible exposure limit, 8-h average",
		...published(5000, "ppm", "29 CFR 1910.1000 table Z-1", "read second hand", "moderate"),
	},
	{
		what: "ACGIH threshold limit value, 8 h",
		...published(5000, "ppm", "ACGIH", "read second hand", "moderate"),
	},
	{
		what: "ACGIH short-term limit, 15 min",
		...published(30_000, "ppm", "ACGIH", "read second hand", "moderate"),
	},
	{ what: "NIOSH recommended limit", ...published(5000, "ppm", "NIOSH", "read second hand", "moderate") },
	{ what: "NIOSH short-term limit", ...published(30_000, "ppm", "NIOSH", "read second hand", "moderate") },
	{
		what: "NIOSH immediately dangerous to life or health",
		...published(40_000, "ppm", "NIOSH", "read second hand", "moderate"),
	},
];

const accuracySource =
	"data sheets of sensors up to 5000 ppm: 30..50 ppm + 2..3 %; also Sensors 2024, 24(17):5675; research grade 3 ppm + 1 %";

/** Air changes by leak of a tub with plugged or small holes [1/h]; the value is the geometric mean of the ends. */
// biome-ignore format: a record reads best on one line
export const PASSIVE_LEAK = published(0.45, "/h", "prior for tubs with plugged or small holes (0.1..2 /h, geometric mean); open ducts lie far outside it", "judgement", "weak", 0.1, 2);

/** Relative humidity in a fruiting chamber. */
// biome-ignore format: a record reads best on one line
export const FRUITING_HUMIDITY = published(90, "%", "fruiting 85..95 %: Stamets; common practice", "read", "moderate", 85, 95);

/** What data sheets of CO2 sensors for up to 5000 ppm promise: a fixed part and a share of the reading, which add up. */
export const SENSOR_ACCURACY = {
	ppm: published(50, "ppm", accuracySource, "read", "moderate", 30, 50),
	share: published(3, "%", accuracySource, "read", "moderate", 2, 3),
} as const;

/** Relative humidity of the intake air when nothing is known. */
// biome-ignore format: a record reads best on one line
export const INTAKE_HUMIDITY = published(50, "%", "judgement: indoor air, 30..70 %", "judgement", "weak", 30, 70);

/**
 * Air pressure at an altitude:  p = 101325 (1 - 2.25577e-5 Z)^5.2559   (12)
 * @param metres Z, geopotential [m]
 * @returns pressure [Pa]
 * @throws never
 *
 * Source: ASHRAE Handbook Fundamentals 2017, as printed in an adoption; read.
 * @example pressureAtAltitudePa(1000).toFixed(0) // => "89875"
 */
export const pressureAtAltitudePa = (metres: number): number =>
	STANDARD_PRESSURE.value * power(1 - 2.25577e-5 * metres, 5.2559);
