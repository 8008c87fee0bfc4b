import { MOLAR_MASS_CO2 } from "./constants.ts";
import type { StageKey } from "./fungi.ts";
import { type PublishedValue, published } from "./published.ts";

/** Molar mass of water [g/mol]. */
export const MOLAR_MASS_WATER = published(
	18.015268,
	"g/mol",
	"standard atomic weights",
	"from memory",
	"strong",
);

/** Water made with each gram of CO2 [g/g] when sugar is burnt: C6H12O6 + 6 O2 gives 6 CO2 + 6 H2O. */
// biome-ignore format: a record reads best on one line
export const WATER_PER_CO2 = published(MOLAR_MASS_WATER.value / MOLAR_MASS_CO2.value, "", "stoichiometry of glucose; fat gives less, and part of the water stays in the fungus", "computed", "moderate");

/** Heat that a gram of water takes to evaporate at 20 °C [kJ/g]. */
// biome-ignore format: a record reads best on one line
export const LATENT_HEAT = published(2.4538, "kJ/g", "steam tables at 20 °C", "from memory", "strong");

/** Heat of respiration with each gram of CO2 [kJ/g]: 469 kJ/mol, between glucose and lignin. */
// biome-ignore format: a record reads best on one line
export const RESPIRATION_HEAT = published(10.65, "kJ/g", "enthalpy of combustion of glucose (10.62) and cellulose (10.72)", "from memory", "strong", 10.45, 11.13);

/** Specific heats of dry air and vapour, and heat of vapour at 0 °C, as the enthalpy of moist air is written [kJ/(kg K)], [kJ/kg]. */
export const MOIST_AIR_HEAT = {
	dryAir: 1.006,
	vapour: 1.86,
	evaporationAt0C: 2501,
	liquid: 4.186,
	source: "ASHRAE Handbook Fundamentals 2017, ch. 1, eq. 30 and 33",
	provenance: "read second hand",
	evidence: "strong",
} as const;

/** Psychrometer coefficient of a wet surface in air without radiation, ρ cp Le^(2/3)/λ, as density per kelvin [g/(m3 K)]. */
// biome-ignore format: a record reads best on one line
export const PSYCHROMETER = published(0.4434, "", "Lewis relation: 1.2041 kg/m3, 1006 J/(kg K), Le 0.851, 2453.8 J/g", "computed", "strong");

/** Radiation beside convection at the surface of a crop, by which measured shares of heat lost as vapour are met. */
// biome-ignore format: a record reads best on one line
export const RADIATION_SHARE = published(0.5, "", "mushrooms in saturated air lose 39 % (4 °C) to 63 % (20 °C) of their heat as vapour", "computed", "moderate", 0, 1);

/** Resistance to heat from the air of a chamber to its wall [m2 K/W]. */
// biome-ignore format: a record reads best on one line
export const INNER_RESISTANCE = published(0.13, "", "ISO 6946; 0.25 in corners", "from memory", "moderate", 0.13, 0.25);

/** Vapour that condenses on a wall or dries off it, by free convection [mm/s]. */
// biome-ignore format: a record reads best on one line
export const WALL_TRANSFER = published(3.4, "mm/s", "Lewis relation at 3 to 5 W/(m2 K)", "computed", "moderate", 2.5, 4.6);

/** Names of wet surfaces. */
export const surfaceKeys = ["fruit bodies", "casing", "open water"] as const;

/**
 * Evaporation of wet surfaces [mm/s] on the difference to air that is saturated at its own temperature. A surface that gets its heat from
 * the air alone cools to the wet bulb, and evaporates a third of what Lewis' relation promises: these figures have that in them.
 */
// biome-ignore format: a record reads best on one line
export const SURFACE_TRANSFER: Readonly<Record<(typeof surfaceKeys)[number], PublishedValue>> = {
	"fruit bodies": published(2, "mm/s", "button mushrooms, 1.5 to 2.1 mm/s from the extremes of Mahajan et al. 2008", "computed", "moderate", 1.2, 4),
	casing: published(5, "mm/s", "casing that is watered, about 2 L/(m2 day)", "judgement", "weak", 3, 9),
	"open water": published(5.4, "mm/s", "ASHRAE pool formula, still air", "computed", "strong", 3, 9),
};

/** Evaporation of a crop per fresh mass of substrate [m3/(h kg)], by stage: the air that would leave saturated. */
const perMass = (value: number, low: number, high: number): PublishedValue =>
	published(
		value,
		"m3/h",
		"prior: 1.8 m3/h per kg of oyster bodies at most, times their share; measure it with a logger of humidity",
		"judgement",
		"weak",
		low,
		high,
	);
// biome-ignore format: a table reads best as one
export const CROP_EVAPORATION: Readonly<Record<StageKey, PublishedValue>> = {
	"spawn run": perMass(0.005, 0.001, 0.03),
	colonised: perMass(0.01, 0.002, 0.06),
	pinning: perMass(0.05, 0.01, 0.25),
	fruiting: perMass(0.15, 0.04, 0.6),
	"flush peak": perMass(0.3, 0.1, 0.9),
	"between flushes": perMass(0.05, 0.01, 0.25),
	"late flush": perMass(0.1, 0.03, 0.4),
};
// biome-ignore format: a record reads best on one line
/** Of cased beds once they are cased [m3/(h kg)]. */
export const CASED_EVAPORATION = published(0.2, "m3/h", "prior: 90 kg of compost under a square metre of casing at 3 to 9 mm/s", "judgement", "weak", 0.1, 0.4);

/** Saturation pressure over water from the critical point; powers of 1 - T/Tc with their coefficients. */
export const WATER_SATURATION = {
	criticalKelvin: 647.096,
	criticalPascal: 22.064e6,
	terms: [
		[1, -7.85951783],
		[1.5, 1.84408259],
		[3, -11.7866497],
		[3.5, 22.6807411],
		[4, -15.9618719],
		[7.5, 1.80122502],
	],
	source: "Wagner & Pruss, IAPWS SR1-86(1992)",
	provenance: "from memory",
	evidence: "strong",
} as const;

/** Magnus form of the saturation pressure over water, ln(p/p0) = a t/(b + t), t in °C; it can be inverted by hand. */
export const MAGNUS = {
	a: 17.62,
	bCelsius: 243.12,
	source: "WMO-No. 8",
	provenance: "read",
	evidence: "strong",
} as const;
