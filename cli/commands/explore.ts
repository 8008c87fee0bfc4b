import { checkOutputs, packageVersion, writeOutput } from "../files.ts";
import { loadScenario } from "../load.ts";
import { print, terminal, wrap } from "../print/print.ts";
import { file, force, group, units, verb } from "../verb.ts";

export const exploreVerb = verb({
	name: "explore",
	words: "[scenario]",
	describe:
		"Write a live page with the model inside: change the schedule and the chamber, watch the sawtooth",
	positionals: {
		scenario: {
			type: "string",
			describe: "Scenario file; - reads standard input; none: the starter, whose values are invented",
		},
	},
	options: group("Output", {
		html: { ...file("Page to write, one file that opens without a network"), default: "explore.html" },
		units,
		force,
	}),
	examples: [
		["$0 explore", "A page with the starter scenario, explore.html"],
		["$0 explore cabinet.yaml --html live.html", "With a chamber of your own"],
		["$0 explore cabinet.yaml --html live.html --units us", "It starts in cubic feet and pounds"],
	],
	epilogue: "The page saves its state as a scenario file; compare gives the same values for it.",
	async run({ scenario: path, html, units, force }) {
		checkOutputs([html], force, path === undefined ? [] : [path]);
		const scenario =
			path === undefined ? await starter() : await loadScenario(path, { schedules: "optional" });
		const { exploreReport } = await import("../../reports/explore/explore.ts");
		const content = await exploreReport(scenario, { units, version: packageVersion() });
		await writeOutput({ path: html, content }, force);
		if (html !== "-") await print(wrap(`Wrote ${html}. Open it in a browser.`, terminal().columns));
		return 0;
	},
});

async function starter() {
	const [{ parseScenario }, { starterScenario }] = await Promise.all([
		import("../../lib/scenario/parse.ts"),
		import("../../lib/scenario/starter.ts"),
	]);
	return parseScenario(starterScenario(), "starter.yaml");
}
