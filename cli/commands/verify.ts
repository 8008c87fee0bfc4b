import type { Log } from "../../lib/logs/log.ts";
import { fitWarningWords } from "../../reports/fit/fitremarks.ts";
import { failureWords } from "../../reports/fit/pieces/fitpieces.ts";
import { verifiedPiecesWords, verifyPieceTable } from "../../reports/verify/verifypieces.ts";
import { seriesWarningWords } from "../../reports/words/logremarks.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { verificationJson } from "../json.ts";
import { loadHashedScenario } from "../load.ts";
import { type LoadedLog, loadLog, logOptions, readOptionsOf, runOptions, runOptionsOf } from "../logfile.ts";
import { eachPiece, inputsOf, partOptions, refuseForPieces, splitterOf, workPart } from "../logs/pieces.ts";
import { filesOf, provenanceOf } from "../logs/provenance.ts";
import { curveCsv } from "../print/fitprint.ts";
import { piecesJson, pieceText, verifyPiecesCsv } from "../print/piecesprint.ts";
import { verificationHeadline, verificationText } from "../print/verifyprint.ts";
import { today } from "../today.ts";
import { file, flag, force, group, logFiles, units, verb } from "../verb.ts";

export const verifyVerb = verb({
	name: "verify",
	words: "<log..>",
	describe: "Compare a log with what the scenario predicts for the schedule that ran",
	positionals: logFiles,
	options: {
		...runOptions,
		...partOptions,
		...group("Which part of the log", {
			each: {
				choices: ["night"],
				requiresArg: true,
				describe: "Verify night by night: from --from to --to, times of day (18:00 to 06:00)",
			},
		}),
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
		["$0 verify week.csv --scenario cabinet.yaml --each night", "Night by night, one line each"],
	],
	epilogue:
		"Exit code: 0 within (the log agrees with the prediction, and CO₂ stays under the ceiling), 1 outside, 2 usage or input. Of several parts: 0 all are within, 1 one is outside or failed.\nColumns of the CSV are those of `fit`, the model being the prediction; of several parts it has a line each.",
	async run({ log: paths, scenario: scenarioPath, html, csv, svg, json, units, quiet, force, ...asked }) {
		const runAsked = runOptionsOf(asked);
		const split = splitterOf(asked, null);
		const inputs = inputsOf(paths, scenarioPath);
		const isSeveral = paths.length > 1 || asked.each !== undefined;
		if (isSeveral) refuseForPieces({ svg });
		const deliver = delivery({ html, csv, svg }, { json, quiet, force }, inputs);
		const loaded = await loadHashedScenario(scenarioPath);
		const { scenario } = loaded;
		const { verifyLog } = await import("../../lib/fit/verify.ts");
		const told = { units, version: packageVersion(), date: today() };
		const read = (path: string) => loadLog(path, readOptionsOf(path, asked));
		const work = (part: Log, whole: LoadedLog, fromSeconds: number) => ({
			...verifyLog(scenario, part, runAsked.of(whole.log, fromSeconds)),
			provenance: provenanceOf(loaded, whole),
		});
		const asJson = (one: ReturnType<typeof work>) => ({
			...verificationJson(one),
			provenance: one.provenance,
		});
		const reports = () => import("../../reports/verify/verify.ts");

		if (isSeveral) {
			const pieces = await eachPiece(paths, read, split, work);
			const failures = failureWords(pieces);
			const within = pieces.filter(({ result }) => result?.isWithin === true).length;
			await deliver({
				files: {
					html: async () => (await reports()).verifyPiecesReport(scenario, pieces, told),
					csv: () => verifyPiecesCsv(pieces),
					svg: () => null,
				},
				json: () => piecesJson("lullgust/verifications@1", pieces, asJson),
				verdict: verifiedPiecesWords(pieces),
				text: () => `\n${pieceText(verifyPieceTable(pieces))}`,
				warnings: failures,
				isWarningWhenQuiet: true,
			});
			return within === pieces.length ? 0 : 1;
		}
		const whole = await read(paths[0]!);
		const verification = workPart(split(whole.log)[0]!, whole, work);
		const { series, warnings, isWithin, provenance } = verification;
		await deliver({
			files: {
				html: async () =>
					(await reports()).verifyReport(verification, { ...told, files: filesOf(provenance) }),
				csv: () => curveCsv(verification),
				svg: async () => (await reports()).logSvg(verification, "predicted"),
			},
			json: () => asJson(verification),
			verdict: verificationHeadline(verification),
			text: ({ columns }) => verificationText(verification, units, columns),
			warnings: [...series.warnings.map(seriesWarningWords), ...warnings.map(fitWarningWords)],
			isWarningWhenQuiet: true,
		});
		return isWithin ? 0 : 1;
	},
});
