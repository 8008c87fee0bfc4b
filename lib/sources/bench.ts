import { published } from "./published.ts";

/** Baking soda, which gives off one CO2 for each NaHCO3 in an excess of acid [g/mol]. */
// biome-ignore format: a record reads best on one line
export const MOLAR_MASS_BAKING_SODA = published(84.0066, "g/mol", "standard atomic weights", "from memory", "strong");

/** Air that a person breathes out at rest [L], and the CO2 in it [%]. */
// biome-ignore format: a record reads best on one line
export const BREATH_LITRES = published(0.5, "L", "tidal volume at rest, textbook figure", "from memory", "weak");
export const BREATH_CO2 = published(4, "%", "exhaled air, textbook figure", "from memory", "weak");

/** Share of oxygen in dry air [%]. */
export const OXYGEN_IN_AIR = published(20.9, "%", "textbook figure", "from memory", "strong");
