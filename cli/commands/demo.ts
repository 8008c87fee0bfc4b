import { basename, join } from "node:path";
import {
	checkOutputs,
	makeFolder,
	type Output,
	packageVersion,
	readText,
	shippedScenarios,
	writeOutput,
} from "../files.ts";
import { loadScenario } from "../load.ts";
import { verdictLine } from "../print/compareprint.ts";
import { print, terminal, wrap } from "../print/print.ts";
import { force, group, units, verb } from "../verb.ts";

export const demoVerb = verb({
	name: "demo",
	words: "[folder]",
	describe: "Compare the shipped scenarios and write their reports",
	positionals: {
		folder: { type: "string", default: "lullgust-demo", describe: "Where to write; created if missing" },
	},
	options: group("Output", { units, force }),
	examples: [
		["$0 demo", "Reports in the folder lullgust-demo"],
		["$0 demo there --force", "Into another folder, replacing its files"],
	],
	epilogue: "The scenarios are invented. Each is copied beside its report, so that you can change it.",
	async run({ folder, units, force }) {
		const jobs = shippedScenarios().map((path) => {
			const copy = join(folder, basename(path));
			return { path, copy, report: copy.replace(/\.yaml$/, ".html") };
		});
		makeFolder(folder);
		checkOutputs(
			jobs.flatMap(({ copy, report }) => [copy, report]),
			force,
		);

		const { compareSchedules } = await import("../../lib/compare/compare.ts");
		const { comparisonCurves } = await import("../../lib/compare/curves.ts");
		const { compareReport } = await import("../../reports/compare/compare.ts");
		for (const { path, copy, report } of jobs) {
			const comparison = compareSchedules(await loadScenario(path));
			const page = await compareReport(comparison, comparisonCurves(comparison), {
				units,
				version: packageVersion(),
			});
			const outputs: Output[] = [
				{ path: copy, content: readText(path) },
				{ path: report, content: page },
			];
			for (const output of outputs) await writeOutput(output, force);
			await print(
				wrap(`${comparison.scenario.name}. ${verdictLine(comparison, units)}`, terminal().columns, "  "),
			);
			await print(`  ${report}\n`);
		}
		return 0;
	},
});
