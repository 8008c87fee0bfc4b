import { InputError } from "../../lib/errors.ts";
import type { RigReport } from "../../lib/rig/rigtypes.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import type { CommissioningSheet } from "../../reports/rig/sheets/sheet.ts";
import { checkOutputs, type Output, packageVersion, writeOutput } from "../files.ts";
import { jsonText } from "../json.ts";
import { loadScenario } from "../load.ts";
import { print, terminal, wrap } from "../print/print.ts";
import { rigJson } from "../rigjson.ts";
import { file, flag, force, group, text, units, verb } from "../verb.ts";

export const rigVerb = verb({
	name: "rig",
	words: "<scenario>",
	describe: "Check fan, filter, supply, wire, fuse, timer and wiring, with sheets to test them",
	positionals: {
		scenario: { type: "string", demandOption: true, describe: "Scenario file; - reads standard input" },
	},
	options: group("Output", {
		html: file(
			"Write a report with fan curve, wiring and commissioning sheets, one page that needs no network",
		),
		sheets: file("Write only the commissioning sheets, to print, one per page"),
		schedule: text(
			"NAME",
			"Schedule that the sheets are made for. Default: the one that meets the target with the least air",
		),
		json: flag("Print everything for another program, in SI"),
		units,
		quiet: flag("Print only the verdict"),
		force,
	}),
	examples: [
		["$0 rig cabinet.yaml", "Verdicts and values in the terminal"],
		["$0 rig cabinet.yaml --html rig.html", "The report, with drawing and sheets"],
		["$0 rig cabinet.yaml --sheets sheets.html", "Step lists to take to the bench"],
	],
	epilogue:
		"Exit code: 0 no stop faults, 1 a stop fault, 2 usage or input.\nLow-voltage side only, an estimate and no safety device; the mains side belongs to a listed adapter and licensed people.",
	async run({ scenario: path, html, sheets, schedule, json, units, quiet, force }) {
		const files = [html, sheets].filter((name) => name !== undefined);
		const taken = [...files, ...(json ? ["-"] : [])];
		checkOutputs(taken, force, [path]);

		const scenario = await loadScenario(path, { schedules: "optional", rig: "required" });
		requireSchedule(scenario, schedule);
		const { checkRig } = await import("../../lib/rig/check.ts");
		const { commissioning } = await import("../../lib/rig/commissioning/commissioning.ts");
		const { commissioningSheets } = await import("../../reports/rig/sheets/sheets.ts");
		const report = checkRig(scenario);
		const plan = commissioning(report, schedule === undefined ? {} : { schedule });
		const sheetsIn = (system: UnitSystem) =>
			commissioningSheets(plan, report, {
				units: system,
				...(path === "-" ? { fileName: "scenario.yaml" } : {}),
			});
		const outputs = files.length === 0 ? [] : await render(report, sheetsIn(units), { html, sheets, units });
		if (json) outputs.push({ path: "-", content: jsonText(rigJson(report, plan, sheetsIn("si"))) });
		for (const output of outputs) await writeOutput(output, force);

		if (!taken.includes("-")) {
			const { rigLine, rigText } = await import("../print/rigprint.ts");
			const { columns } = terminal();
			await print(wrap(rigLine(report, units), columns));
			if (!quiet) {
				await print(`\n${rigText(report, units, columns)}`);
				await print(
					files.length > 0
						? `\nWrote ${files.join(", ")}.\n`
						: "\nDrawing, fan curve and commissioning sheets are in the page that --html writes.\n",
				);
			}
		}
		return report.verdict === "stop" ? 1 : 0;
	},
});

function requireSchedule({ schedules }: Scenario, name: string | undefined): void {
	if (name === undefined || schedules.some((one) => one.name === name)) return;
	const known = schedules.map((one) => `"${one.name}"`).join(", ");
	throw new InputError(
		`--schedule: there is no schedule "${name}"; ${known === "" ? "the file has none" : `the file has ${known}`}`,
	);
}

interface Wanted {
	readonly html: string | undefined;
	readonly sheets: string | undefined;
	readonly units: UnitSystem;
}

/** Everything is made before anything is written. */
async function render(
	report: RigReport,
	steps: readonly CommissioningSheet[],
	{ html, sheets, units }: Wanted,
): Promise<Output[]> {
	const options = { units, version: packageVersion() };
	const { rigReport, sheetsPage } = await import("../../reports/rig/rig.ts");
	const outputs: Output[] = [];
	if (html !== undefined) outputs.push({ path: html, content: await rigReport(report, steps, options) });
	if (sheets !== undefined) outputs.push({ path: sheets, content: sheetsPage(steps, report, options) });
	return outputs;
}
