import type { Comparison } from "../../lib/compare/compare.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { checkOutputs, type Output, packageVersion, writeOutput } from "../files.ts";
import { comparisonJson, jsonText } from "../json.ts";
import { loadScenario } from "../load.ts";
import { comparisonCsv, resultsText, verdictLine } from "../print/compareprint.ts";
import { complain, print, terminal, wrap } from "../print/print.ts";
import { file, flag, force, group, units, verb } from "../verb.ts";

export const compareVerb = verb({
	name: "compare",
	words: "<scenario>",
	describe: "Compare the schedules of a scenario with its target",
	positionals: {
		scenario: { type: "string", demandOption: true, describe: "Scenario file; - reads standard input" },
	},
	options: group("Output", {
		html: file("Write a report with curves, one page that needs no network"),
		svg: file("Write the curves as an SVG chart"),
		csv: file("Write all values for a spreadsheet, one line per schedule, in SI"),
		json: flag("Print everything for another program, in SI"),
		units,
		quiet: flag("Print only the verdict"),
		force,
	}),
	examples: [
		["$0 compare cabinet.yaml", "Verdict and results in the terminal"],
		["$0 compare cabinet.yaml --html report.html --force", "Replace the report"],
		["$0 compare cabinet.yaml --json", "For another program"],
		["$0 compare - --csv - < cabinet.yaml", "From standard input to standard output"],
	],
	epilogue:
		"Exit code: 0 at least one schedule meets the target, 1 none does, 2 usage or input.\nWhere a file name is wanted, - is standard output.",
	async run({ scenario: path, html, svg, csv, json, units, quiet, force }) {
		const files = [html, svg, csv].filter((name) => name !== undefined);
		const taken = [...files, ...(json ? ["-"] : [])];
		checkOutputs(taken, force, [path]);

		const scenario = await loadScenario(path);
		const { compareSchedules } = await import("../../lib/compare/compare.ts");
		const comparison = compareSchedules(scenario);
		const outputs = await render(comparison, { html, svg, csv, units });
		if (json) outputs.push({ path: "-", content: jsonText(comparisonJson(comparison)) });
		for (const output of outputs) await writeOutput(output, force);

		if (!taken.includes("-")) {
			await print(wrap(verdictLine(comparison, units), terminal().columns));
			if (!quiet) await printResults(comparison, units, files);
		} else if (!json) complain(comparison.warnings.map((warning) => `warning: ${warningMessage(warning)}`));
		return comparison.best === null ? 1 : 0;
	},
});

interface Wanted {
	readonly html: string | undefined;
	readonly svg: string | undefined;
	readonly csv: string | undefined;
	readonly units: UnitSystem;
}

/** Everything is made before anything is written. */
async function render(comparison: Comparison, { html, svg, csv, units }: Wanted): Promise<Output[]> {
	const outputs: Output[] = [];
	if (csv !== undefined) outputs.push({ path: csv, content: comparisonCsv(comparison) });
	if (html === undefined && svg === undefined) return outputs;
	const { comparisonCurves } = await import("../../lib/compare/curves.ts");
	const curves = comparisonCurves(comparison);
	if (html !== undefined) {
		const { compareReport } = await import("../../reports/compare/compare.ts");
		outputs.push({
			path: html,
			content: await compareReport(comparison, curves, {
				units,
				version: packageVersion(),
			}),
		});
	}
	if (svg !== undefined) {
		const { compareSvg } = await import("../../reports/compare/compare.ts");
		outputs.push({ path: svg, content: await compareSvg(comparison, curves) });
	}
	return outputs;
}

async function printResults(
	comparison: Comparison,
	units: UnitSystem,
	files: readonly string[],
): Promise<void> {
	const { isTerminal, columns, colour } = terminal();
	await print(`\n${resultsText(comparison, units, columns)}`);
	if (isTerminal) {
		const { periodicPlots } = await import("../print/plot.ts");
		for (const plot of periodicPlots(comparison, columns, colour)) await print(`\n${plot}`);
	}
	if (comparison.warnings.length > 0) await print("\n");
	for (const warning of comparison.warnings)
		await print(wrap(`warning: ${warningMessage(warning)}`, columns, "  "));
	if (files.length > 0) await print(`\nWrote ${files.join(", ")}.\n`);
}
