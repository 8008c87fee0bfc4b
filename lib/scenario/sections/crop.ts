import { toleranceOf } from "../../sources/ceilings.ts";
import { q10, type SpeciesKey, type StageKey, species, stageFactors } from "../../sources/fungi.ts";
import { DAY } from "../../time.ts";
import { assumedQuantity, chosenQuantity, type Located, publishedDefault } from "../origins.ts";
import type { Quantity, Substrate } from "../scenario.ts";
import type { Sections } from "../schema.ts";

type Item = Located<Exclude<Sections["substrate"], readonly unknown[]>>;

const volumeOf = (item: Item): Quantity | null => {
	if (item.volume !== undefined) return item.volume;
	const { density, mass } = item;
	if (density === undefined) return null;
	const spread = mass.low !== null || density.low !== null;
	return {
		value: mass.value / density.value,
		low: spread ? (mass.low ?? mass.value) / (density.high ?? density.value) : null,
		high: spread ? (mass.high ?? mass.value) / (density.low ?? density.value) : null,
		dimension: "volume",
		text: `${mass.text} at ${density.text}`,
		origin: density.origin,
	};
};

/** One kind of substrate, with the defaults of its species and stage. */
export const buildSubstrate = (item: Item): Substrate => {
	const speciesKey: SpeciesKey = item.species ?? "unknown";
	const stageKey: StageKey = item.stage ?? "fruiting";
	const kind = species[speciesKey];
	const rates = item.rates?.map(({ at, rate }) => ({ timeSeconds: at, respirationRate: rate })) ?? null;
	const ownRate = item.rate ?? rates?.[0]?.respirationRate;
	const { flush } = item;
	return {
		species: speciesKey,
		stage: stageKey,
		stageFactor:
			ownRate === undefined
				? publishedDefault(stageFactors[stageKey], "number")
				: assumedQuantity(1, "number", "1", "a rate that is given holds for the stage as it is", "moderate"),
		mass: item.mass,
		respirationRate: ownRate ?? publishedDefault(kind.rate, "respiration"),
		reference:
			item.reference ??
			assumedQuantity(
				kind.referenceC,
				"temperature",
				`${kind.referenceC} °C`,
				`temperature of the prior of ${speciesKey}`,
				kind.rate.evidence,
			),
		q10: item.q10 ?? publishedDefault(q10, "number"),
		halfInhibitionPpm: item.inhibition ?? null,
		volume: volumeOf(item),
		flush:
			flush === undefined
				? null
				: {
						low: flush.low ?? publishedDefault(stageFactors["between flushes"], "number"),
						high: flush.high ?? publishedDefault(stageFactors["flush peak"], "number"),
						rise: flush.rise,
						fall: flush.fall,
						width:
							flush.width ??
							assumedQuantity(DAY, "duration", "1 d", "judgement: pins swell within a day", "weak"),
					},
		rates,
	};
};

/** Ceiling and floor that the crop itself asks for: the lowest ceiling, and a floor when every entry has one. */
export const cropTolerance = (
	substrate: Sections["substrate"],
): { readonly ceiling: Quantity; readonly floor: Quantity | null } => {
	const all = [substrate]
		.flat()
		.map((item) => toleranceOf(item.species ?? "unknown", item.stage ?? "fruiting"));
	const ceiling = all.reduce((least, one) => (one.ceiling.value < least.ceiling.value ? one : least)).ceiling;
	const floors = all.map(({ floor }) => floor).filter((floor) => floor !== null);
	const floor =
		floors.length === all.length ? floors.reduce((top, one) => (one.value > top.value ? one : top)) : null;
	return {
		ceiling: chosenQuantity(ceiling, "concentration"),
		floor: floor === null || floor.value >= ceiling.value ? null : chosenQuantity(floor, "concentration"),
	};
};
