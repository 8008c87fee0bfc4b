import { InputError } from "../../lib/errors.ts";
import { nearest } from "../../lib/nearest.ts";
import { ceilingConflicts, ceilingRecordsOf } from "../../lib/sources/ceilingrecords.ts";
import { toleranceOf } from "../../lib/sources/ceilings.ts";
import {
	q10,
	type SpeciesKey,
	type StageKey,
	speciesKeys,
	species as speciesTable,
	stageFactors,
	stageKeys,
} from "../../lib/sources/fungi.ts";
import type { PublishedValue } from "../../lib/sources/published.ts";
import { calledAs } from "../calledas.ts";
import { table, wrap } from "./print.ts";

/** Key of a species by its name, Latin name or another name, in any case. */
function keyOf(name: string): SpeciesKey {
	const wanted = name.trim().toLowerCase();
	const found = speciesKeys.find((key) => {
		const { aliases, latin } = speciesTable[key];
		return key === wanted || aliases.includes(wanted) || latin.toLowerCase() === wanted;
	});
	if (found !== undefined) return found;
	const near = nearest(
		wanted,
		speciesKeys.flatMap((key) => [key, ...speciesTable[key].aliases]),
	);
	throw new InputError(
		`unknown species "${name}"${near === null ? "" : `; did you mean "${near}"?`} Known: ${speciesKeys.join(", ")}`,
	);
}

const conflictsOf = (key: SpeciesKey) =>
	ceilingConflicts.filter((conflict) => conflict.species === key || conflict.species === "any");

/** All that is published on the species named, or on each, for another program. */
export const speciesJson = (name: string | undefined) => ({
	format: "lullgust/species@2",
	q10,
	species: (name === undefined ? speciesKeys : [keyOf(name)]).map(everythingOf),
});

const everythingOf = (key: SpeciesKey) => ({
	name: key,
	...speciesTable[key],
	stages: stageKeys.map((stage) => ({ stage, rateFactor: stageFactors[stage], ...toleranceOf(key, stage) })),
	records: ceilingRecordsOf(key),
	conflicts: conflictsOf(key).map((conflict) => conflict.text),
});

const rangeOf = ({ low, high }: { readonly low: number | null; readonly high: number | null }): string => {
	if (low === null) return high === null ? "" : `up to ${high}`;
	return high === null ? `from ${low}` : `${low}..${high}`;
};

const limitOf = (key: SpeciesKey, stage: StageKey): string => {
	const { ceiling, floor } = toleranceOf(key, stage);
	return floor === null ? `${ceiling.value}` : `${floor.value}..${ceiling.value}`;
};

const sourceOf = ({ source, provenance }: PublishedValue): string => `${source} (${provenance})`;

/** All species in short. */
export function overview(columns: number): string {
	const ceilings = table(
		["species", "ppm", "range", "evidence", "source"],
		speciesKeys.map((key) => {
			const { ceiling } = toleranceOf(key, "fruiting");
			return [key, limitOf(key, "fruiting"), rangeOf(ceiling), ceiling.evidence, sourceOf(ceiling)];
		}),
		[1, 2],
		columns,
	);
	const rates = table(
		["species", "at", "median", "5 to 95 %", "evidence", "source"],
		speciesKeys.map((key) => {
			const { rate, referenceC } = speciesTable[key];
			return [key, `${referenceC} °C`, String(rate.value), rangeOf(rate), rate.evidence, sourceOf(rate)];
		}),
		[1, 2, 3],
		columns,
	);
	const conflicts = ceilingConflicts
		.map(({ species, text }) => wrap(`${species}: ${text}`, columns, "  "))
		.join("");
	return `CO₂ ceiling, or band, while fruiting [ppm]\n${ceilings}
Respiration rate while fruiting [mg CO₂ per kg fresh mass and h]\n${rates}
Disagreement between sources\n${conflicts}
All about one: ${calledAs()} species oyster\n`;
}

/** What is published on one species. Throws InputError. */
export function portrait(name: string, columns: number): string {
	const key = keyOf(name);
	const { latin, aliases, rate, referenceC, excess } = speciesTable[key];
	const fruiting = toleranceOf(key, "fruiting");
	const own = stageKeys.filter((stage) => stage === "fruiting" || toleranceOf(key, stage) !== fruiting);
	const stages = table(
		["stage", "ppm", "range", "evidence", "source"],
		own.map((stage) => {
			const { ceiling } = toleranceOf(key, stage);
			return [stage, limitOf(key, stage), rangeOf(ceiling), ceiling.evidence, sourceOf(ceiling)];
		}),
		[1, 2],
		columns,
	);
	const factors = table(
		["stage", "factor", "range", "evidence", "source"],
		stageKeys.map((stage) => {
			const factor = stageFactors[stage];
			return [stage, factor.value.toFixed(2), rangeOf(factor), factor.evidence, sourceOf(factor)];
		}),
		[1, 2],
		columns,
	);
	const records = table(
		["stage", "CO₂ ppm", "evidence", "value and source"],
		ceilingRecordsOf(key).map((record) => [
			record.stage,
			rangeOf(record),
			record.evidence,
			[record.of, record.kind, record.source, record.provenance].filter((part) => part !== null).join("; "),
		]),
		[1],
		columns,
	);
	const conflicts = conflictsOf(key)
		.map((conflict) => wrap(conflict.text, columns, "  "))
		.join("");
	return `${key} (${latin})\n${wrap(`Also: ${aliases.join(", ")}`, columns, "  ")}${
		excess === "" ? "" : wrap(`Signs of too much CO₂: ${excess}`, columns, "  ")
	}
Respiration rate while fruiting, CO₂ per fresh mass
${wrap(`${rate.value} mg/(kg h) at ${referenceC} °C; 5 to 95 %: ${rangeOf(rate)}; ${rate.evidence}; ${sourceOf(rate)}`, columns, "  ")}${wrap(`Q10 ${q10.value} (${rangeOf(q10)}); ${q10.evidence}; ${sourceOf(q10)}`, columns, "  ")}
Stage factor on that rate\n${factors}
CO₂ ceiling, or band, by stage [ppm]; stages not listed: as while fruiting\n${stages}
Published records\n${records}
Disagreement between sources, and what is not known\n${conflicts}`;
}
