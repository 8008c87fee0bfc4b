import type { SpeciesKey, StageKey } from "./fungi.ts";
import { type EvidenceGrade, type Provenance, type PublishedValue, published } from "./published.ts";

/** What a crop tolerates at a stage [ppm]: a ceiling, and a floor where a band is wanted. */
export interface Tolerance {
	readonly ceiling: PublishedValue;
	readonly floor: PublishedValue | null;
}
const limit = (
	value: number,
	low: number | null,
	high: number | null,
	source: string,
	provenance: Provenance,
	evidence: EvidenceGrade,
): PublishedValue => published(value, "ppm", source, provenance, evidence, low, high);
const ceilingOnly = (...record: Parameters<typeof limit>): Tolerance => ({
	ceiling: limit(...record),
	floor: null,
});

// biome-ignore format: a record reads best on one line
const fruitingTolerance: Readonly<Record<SpeciesKey, Tolerance>> = {
	oyster: ceilingOnly(1000, 600, 1500, "fruiting ≤ 1000 ppm: Stamets, as quoted", "read second hand", "moderate"),
	"king oyster": ceilingOnly(2000, 1000, 2500, "fruiting ≤ 2000 ppm: figures of Stamets", "read second hand", "moderate"),
	shiitake: ceilingOnly(1000, 800, 1500, "fruiting ≤ 1000 ppm: Stamets", "from memory", "weak"),
	button: ceilingOnly(1000, 800, 1500, "fruiting ≤ 1000 ppm: Bowman 1989, Mushroom Science XII", "read", "strong"),
	"lion's mane": ceilingOnly(1000, 500, 1000, "fruiting 500–1000 ppm: Stamets, scanned text", "read second hand", "weak"),
	enoki: {
		ceiling: limit(4000, 1300, 4500, "elongation 1340–4480 ppm: Wang et al. 2006; fruiting 2000–4000 ppm: Stamets p. 231", "read", "strong"),
		floor: limit(1300, null, null, "elongation from 1340 ppm: Wang et al. 2006, Acta Edulis Fungi 13(4)", "read", "strong"),
	},
	reishi: ceilingOnly(1000, 1000, 2000, "caps: ≤ 1000 ppm (trade text, no source) against ≤ 2000 ppm (Stamets 2000, second hand); the careful one is taken", "read", "weak"),
	unknown: ceilingOnly(1000, null, null, "judgement: the lowest fruiting default of the known species", "judgement", "weak"),
};

// biome-ignore format: a record reads best on one line
const pinningTolerance: Readonly<Partial<Record<SpeciesKey, Tolerance>>> = {
	oyster: ceilingOnly(1000, 700, 1000, "pinning ≤ 1000 ppm: Stamets, as quoted; 700 ppm in an extension-style text", "read second hand", "moderate"),
	"king oyster": ceilingOnly(1000, 500, 1000, "pinning 500–1000 ppm: figures of Stamets", "read second hand", "moderate"),
	button: ceilingOnly(1000, 1000, 1600, "pinning 340–1000 ppm best: Long 1968; onset of loss 1000–1500, or no effect up to 1600 (conflict)", "read", "strong"),
	enoki: ceilingOnly(1300, 300, 1340, "pinning 300–1340 ppm: Wang et al. 2006, Acta Edulis Fungi 13(4)", "read", "strong"),
};

// biome-ignore format: a record reads best on one line
const spawnRunTolerance: Readonly<Partial<Record<SpeciesKey, Tolerance>>> = {
	oyster: ceilingOnly(5000, 5000, 20_000, "spawn run 5000–20 000 ppm tolerated: Stamets, as quoted; the lower end", "read second hand", "moderate"),
	"king oyster": ceilingOnly(5000, 5000, 20_000, "spawn run 5000–20 000 ppm tolerated: figures of Stamets; the lower end", "read second hand", "moderate"),
	shiitake: ceilingOnly(3000, null, 3000, "spawn run, room air ≤ 3000 ppm: bag practice, no primary source", "read", "weak"),
	"lion's mane": ceilingOnly(3000, 3000, 10_000, "spawn run 3000–10 000 ppm tolerated: trade text, no source; the lower end", "read", "weak"),
};

// biome-ignore format: a record reads best on one line
const anyPinning: Tolerance = ceilingOnly(1000, 500, 1000, "any species, pinning ≤ 1000 ppm, better < 500: Stamets p. 214", "read", "moderate");

/** Default ceiling (and floor) of a species at a stage [ppm]; without a record of the stage, that of fruiting. */
export const toleranceOf = (key: SpeciesKey, stage: StageKey): Tolerance => {
	if (stage === "pinning") return pinningTolerance[key] ?? anyPinning;
	if (stage === "spawn run") return spawnRunTolerance[key] ?? fruitingTolerance[key];
	return fruitingTolerance[key];
};
