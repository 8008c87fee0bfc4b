import { MOLAR_MASS_CO2 } from "./constants.ts";
import { published } from "./published.ts";

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
