import { warningMessage } from "../../reports/words/warnings.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { comparisonJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { comparisonCsv, resultsText, verdictLine } from "../print/compareprint.ts";
import { file, flag, force, group, scenarioFile, units, verb } from "../verb.ts";

export const compareVerb = verb({
	name: "compare",
	words: "<scenario>",
	describe: "Compare the schedules of a scenario with its target",
	positionals: { scenario: scenarioFile },
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
	async run({ scenario: path, html, svg, csv, units, ...asked }) {
		const deliver = delivery({ html, svg, csv }, asked, [path]);
		const scenario = await loadScenario(path);
		const { compareSchedules } = await import("../../lib/compare/compare.ts");
		const comparison = compareSchedules(scenario);
		const drawn = async () => {
			const { comparisonCurves } = await import("../../lib/compare/curves.ts");
			const reports = await import("../../reports/compare/compare.ts");
			return { curves: comparisonCurves(comparison), ...reports };
		};
		await deliver({
			files: {
				async html() {
					const { compareReport, curves } = await drawn();
					return compareReport(comparison, curves, { units, version: packageVersion() });
				},
				async svg() {
					const { compareSvg, curves } = await drawn();
					return compareSvg(comparison, curves);
				},
				csv: () => comparisonCsv(comparison),
			},
			json: () => comparisonJson(comparison),
			verdict: verdictLine(comparison, units),
			async text({ isTerminal, columns, colour }) {
				const results = `\n${resultsText(comparison, units, columns)}`;
				if (!isTerminal) return results;
				const { periodicPlots } = await import("../print/plot.ts");
				return (
					results +
					periodicPlots(comparison, columns, colour)
						.map((plot) => `\n${plot}`)
						.join("")
				);
			},
			warnings: comparison.warnings.map(warningMessage),
		});
		return comparison.best === null ? 1 : 0;
	},
});
