import { jsonText } from "../json.ts";
import { print, terminal } from "../print/print.ts";
import { flag, group, verb } from "../verb.ts";

export const speciesVerb = verb({
	name: "species",
	words: "[name]",
	describe: "Show ceilings, bands and published respiration, each with its source and evidence grade",
	positionals: { name: { type: "string", describe: "One species with all its records" } },
	options: group("Output", { json: flag("Print everything for another program") }),
	examples: [
		["$0 species", "All species, one line each"],
		["$0 species oyster", "All that is published on one species"],
	],
	epilogue:
		"Evidence: strong = measured by a described method, moderate = practice or one source, weak = a guess.\nThe best respiration rate is your own: measure it.",
	async run({ name, json }) {
		const { overview, portrait, speciesJson } = await import("../print/speciesprint.ts");
		const { columns } = terminal();
		if (json) await print(jsonText(speciesJson(name)));
		else await print(name === undefined ? overview(columns) : portrait(name, columns));
		return 0;
	},
});
