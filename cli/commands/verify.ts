import { InputError } from "../../lib/errors.ts";
import { fitWarningWords } from "../../reports/fit/fitremarks.ts";
import { seriesWarningWords } from "../../reports/words/logremarks.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { verificationJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { logOptions, readOptionsOf, readThrough, runOptions, runOptionsOf } from "../logfile.ts";
import { curveCsv } from "../print/fitprint.ts";
import { verificationHeadline, verificationText } from "../print/verifyprint.ts";
import { today } from "../today.ts";
import { file, flag, force, group, logFile, units, verb } from "../verb.ts";

export const verifyVerb = verb({
	name: "verify",
	words: "<log>",
	describe: "Compare a log with what the scenario predicts for the schedule that ran",
	positionals: { log: logFile },
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
		const deliver = delivery({ html, csv, svg }, { json, quiet, force }, [path, scenarioPath]);
		const scenario = await loadScenario(scenarioPath);
		const { logReader } = await import("../../lib/logs/read.ts");
		const log = await readThrough(path, logReader(readOptions));
		const { verifyLog } = await import("../../lib/fit/verify.ts");
		const verification = verifyLog(scenario, log, runAsked.of(log));
		const { series, warnings, isWithin } = verification;
		const told = { units, version: packageVersion(), date: today() };
		const reports = () => import("../../reports/verify/verify.ts");
		await deliver({
			files: {
				html: async () => (await reports()).verifyReport(verification, told),
				csv: () => curveCsv(verification),
				svg: async () => (await reports()).logSvg(verification, "predicted"),
			},
			json: () => verificationJson(verification),
			verdict: verificationHeadline(verification),
			text: ({ columns }) => verificationText(verification, units, columns),
			warnings: [...series.warnings.map(seriesWarningWords), ...warnings.map(fitWarningWords)],
			isWarningWhenQuiet: true,
		});
		return isWithin ? 0 : 1;
	},
});
