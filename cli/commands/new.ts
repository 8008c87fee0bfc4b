import { calledAs } from "../calledas.ts";
import { checkOutputs, writeOutput } from "../files.ts";
import { print } from "../print/print.ts";
import { flag, force, group, verb } from "../verb.ts";

export const newVerb = verb({
	name: "new",
	words: "[file]",
	describe: "Write a commented starter scenario, or the JSON Schema of the file format",
	positionals: {
		file: { type: "string", default: "-", describe: "File to write; - or none: standard output" },
	},
	options: group("Output", {
		schema: flag("Write the JSON Schema instead, with which an editor completes and checks scenario files"),
		force,
	}),
	examples: [
		["$0 new my-cabinet.yaml", "Write the starter file, then edit it"],
		["$0 new --schema lullgust.schema.json", "Write the schema for an editor"],
	],
	epilogue: "The values in the starter file are invented: put in your own.",
	async run({ file, schema, force }) {
		checkOutputs([file], force);
		const content = schema
			? `${JSON.stringify((await import("../../lib/scenario/schema.ts")).scenarioJsonSchema(), null, 2)}\n`
			: (await import("../../lib/scenario/starter.ts")).starterScenario();
		await writeOutput({ path: file, content }, force);
		if (file !== "-" && !schema) await print(`Wrote ${file}. Edit it, then: ${calledAs()} compare ${file}\n`);
		if (file !== "-" && schema) await print(`Wrote ${file}.\n`);
		return 0;
	},
});
