import { InputError } from "../../lib/errors.ts";
import type { Verification } from "../../lib/fit/fittypes.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { fitWarningWords } from "../../reports/fit/fitremarks.ts";
import { seriesWarningWords } from "../../reports/words/logremarks.ts";
import { checkOutputs, type Output, packageVersion, writeOutput } from "../files.ts";
import { jsonText, verificationJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { logOptions, readOptionsOf, readThrough, runOptions, runOptionsOf } from "../logfile.ts";
import { curveCsv } from "../print/fitprint.ts";
import { complain, print, terminal, wrap } from "../print/print.ts";
import { verificationHeadline, verificationText } from "../print/verifyprint.ts";
import { today } from "../today.ts";
import { file, flag, force, group, units, verb } from "../verb.ts";

export const verifyVerb = verb({
	name: "verify",
	words: "<log>",
	describe: "Compare a log with what the scenario predicts for the schedule that ran",
	positionals: {
		log: { type: "string", demandOption: true, describe: "Logger's file; - reads standard input" },
	},
	options: {
		...runOptions,
		...logOptions,
		...group("Output", {
			html: file("Write a report, one page that needs no network"),
			csv: file("Write log, prediction and residual, one line per reading"),
			svg: file("Write a chart of the log with the prediction"),
			json: flag("Print the results as JSON, in SI units"),
			units,
			quiet: flag("Print only the verdict"),
			force,
		}),
	},
	examples: [
		["$0 verify week.csv --scenario cabinet.yaml", "Does the schedule work as predicted?"],
		["$0 verify week.csv --scenario cabinet.yaml --html proof.html", "The same as a report"],
	],
	epilogue:
		"Exit code: 0 within (the log agrees with the prediction, and CO₂ stays under the ceiling), 1 outside, 2 usage or input.\nColumns of the CSV are those of `fit`, the model being the prediction.",
	async run({ log: path, scenario: scenarioPath, html, csv, svg, json, units, quiet, force, ...asked }) {
		if (path === "-" && scenarioPath === "-")
			throw new InputError("log and scenario cannot both come from standard input");
		const readOptions = readOptionsOf(path, asked);
		const runAsked = runOptionsOf(asked);
		const files = [html, csv, svg].filter((name) => name !== undefined);
		const taken = [...files, ...(json ? ["-"] : [])];
		checkOutputs(taken, force, [path, scenarioPath]);

		const scenario = await loadScenario(scenarioPath);
		const { logReader } = await import("../../lib/logs/read.ts");
		const log = await readThrough(path, logReader(readOptions));
		const { verifyLog } = await import("../../lib/fit/verify.ts");
		const verification = verifyLog(scenario, log, runAsked.of(log));

		const outputs = await render(verification, { html, csv, svg, units });
		if (json) outputs.push({ path: "-", content: jsonText(verificationJson(verification)) });
		for (const output of outputs) await writeOutput(output, force);

		const remarks = [
			...verification.series.warnings.map(seriesWarningWords),
			...verification.warnings.map(fitWarningWords),
		].map((warning) => `warning: ${warning}`);
		if (!taken.includes("-")) await printVerification(verification, units, quiet, remarks, files);
		else if (!json) complain(remarks);
		return verification.isWithin ? 0 : 1;
	},
});

interface Wanted {
	readonly html: string | undefined;
	readonly csv: string | undefined;
	readonly svg: string | undefined;
	readonly units: UnitSystem;
}

/** Everything is made before anything is written. */
async function render(verification: Verification, { html, csv, svg, units }: Wanted): Promise<Output[]> {
	const outputs: Output[] = [];
	if (csv !== undefined) outputs.push({ path: csv, content: curveCsv(verification) });
	if (html === undefined && svg === undefined) return outputs;
	const { logSvg, verifyReport } = await import("../../reports/verify/verify.ts");
	if (html !== undefined)
		outputs.push({
			path: html,
			content: await verifyReport(verification, { units, version: packageVersion(), date: today() }),
		});
	if (svg !== undefined) outputs.push({ path: svg, content: await logSvg(verification, "predicted") });
	return outputs;
}

async function printVerification(
	verification: Verification,
	units: UnitSystem,
	quiet: boolean,
	remarks: readonly string[],
	files: readonly string[],
): Promise<void> {
	const { columns } = terminal();
	await print(wrap(verificationHeadline(verification), columns));
	if (quiet) return complain(remarks);
	await print(verificationText(verification, units, columns));
	if (remarks.length > 0) await print("\n");
	for (const remark of remarks) await print(wrap(remark, columns, "  "));
	if (files.length > 0) await print(`\nWrote ${files.join(", ")}.\n`);
}
