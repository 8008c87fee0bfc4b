import type { Provenance, Published, Worth } from "./published.ts";

const figure = (
	value: number,
	unit: string,
	source: string,
	provenance: Provenance,
	worth: Worth,
): Published => ({
	value,
	unit,
	low: null,
	high: null,
	source,
	provenance,
	worth,
});

/** Baking soda, which gives off one CO2 for each NaHCO3 in an excess of acid [g/mol]. */
export const MOLAR_MASS_BAKING_SODA = figure(
	84.0066,
	"g/mol",
	"standard atomic weights",
	"from memory",
	"solid",
);

/** Air that a person breathes out at rest [L], and the CO2 in it [%]. */
export const BREATH_LITRES = figure(0.5, "L", "tidal volume at rest, textbook figure", "from memory", "soft");
export const BREATH_CO2 = figure(4, "%", "exhaled air, textbook figure", "from memory", "soft");

/** Share of oxygen in dry air [%]. */
export const OXYGEN_IN_AIR = figure(20.9, "%", "textbook figure", "from memory", "solid");
