import { InputError } from "../../lib/errors.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { loadScenario } from "../load.ts";
import { rigJson } from "../rigjson.ts";
import { file, flag, force, group, scenarioFile, text, units, verb } from "../verb.ts";

export const rigVerb = verb({
	name: "rig",
	words: "<scenario>",
	describe: "Check fan, filter, supply, wire, fuse, timer and wiring, with sheets to test them",
	positionals: { scenario: scenarioFile },
	options: group("Output", {
		html: file("Write a report with each check, fan curve and wiring, one page that needs no network"),
		sheets: file("Write the commissioning sheets, to print, one per page"),
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
		["$0 rig cabinet.yaml --html rig.html", "The report, with gauges and drawing"],
		["$0 rig cabinet.yaml --sheets sheets.html", "Step lists to take to the bench"],
	],
	epilogue:
		"Exit code: 0 no stop faults, 1 a stop fault, 2 usage or input.\nLow-voltage side only, an estimate and no safety device; the mains side belongs to a listed adapter and licensed people.",
	async run({ scenario: path, html, sheets, schedule, units, ...asked }) {
		const deliver = delivery({ html, sheets }, asked, [path]);
		const scenario = await loadScenario(path, { schedules: "optional" });
		requireSchedule(scenario, schedule);
		const { checkRig } = await import("../../lib/rig/check.ts");
		const { commissioning } = await import("../../lib/rig/commissioning/commissioning.ts");
		const { commissioningSheets } = await import("../../reports/rig/sheets/sheets.ts");
		const { rigLine, rigText } = await import("../print/rigprint.ts");
		const report = checkRig(scenario);
		const plan = commissioning(report, schedule === undefined ? {} : { schedule });
		const sheetsIn = (system: UnitSystem) =>
			commissioningSheets(plan, report, {
				units: system,
				...(path === "-" ? { fileName: "scenario.yaml" } : {}),
			});
		const told = { units, version: packageVersion() };
		const reports = () => import("../../reports/rig/rig.ts");
		await deliver({
			files: {
				html: async () => (await reports()).rigReport(report, told),
				sheets: async () => (await reports()).sheetsPage(sheetsIn(units), report, told),
			},
			json: () => rigJson(report, plan, sheetsIn("si")),
			verdict: rigLine(report, units),
			text: ({ columns }) => `\n${rigText(report, units, columns)}`,
			hint: "--html writes drawing and fan curve, --sheets the commissioning sheets.",
		});
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
