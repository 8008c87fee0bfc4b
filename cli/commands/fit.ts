import { basename, resolve } from "node:path";
import { InputError } from "../../lib/errors.ts";
import type { FitName, FitOptions } from "../../lib/fit/fitoptions.ts";
import type { Fit } from "../../lib/fit/fittypes.ts";
import type { Log } from "../../lib/logs/log.ts";
import { normalizeText } from "../../lib/units/read.ts";
import { isoDay } from "../../reports/charts/log/logtime.ts";
import { fitWarningWords } from "../../reports/fit/fitremarks.ts";
import { soughtOf } from "../../reports/fit/fitwords.ts";
import {
	failureWords,
	fitPieceTable,
	fittedPiecesWords,
	MEAN_WORDS,
} from "../../reports/fit/pieces/fitpieces.ts";
import { seriesWarningWords } from "../../reports/words/logremarks.ts";
import { clockOf } from "../../reports/words/logwords.ts";
import { delivery } from "../deliver.ts";
import { checkOutputs, type Output, packageVersion, readText } from "../files.ts";
import { fitJson } from "../json.ts";
import { loadHashedScenario } from "../load.ts";
import {
	durationOf,
	type LoadedLog,
	loadLog,
	logOptions,
	readOptionsOf,
	runOptions,
	runOptionsOf,
} from "../logfile.ts";
import { eachPiece, inputsOf, partOptions, refuseForPieces, splitterOf, workPart } from "../logs/pieces.ts";
import { filesOf, provenanceOf } from "../logs/provenance.ts";
import { curveCsv, fitHeadline, fitText } from "../print/fitprint.ts";
import { fitPiecesCsv, piecesJson, pieceText } from "../print/piecesprint.ts";
import { wrap } from "../print/print.ts";
import { today } from "../today.ts";
import { file, flag, force, group, list, logFiles, splitList, units, verb } from "../verb.ts";

export const fitVerb = verb({
	name: "fit",
	words: "<log..>",
	describe: "Estimate CO₂ output, delivered flow, leakage and sensor response from a log",
	positionals: logFiles,
	options: {
		...runOptions,
		...group("What to estimate", {
			test: {
				choices: ["log", "rise", "decay", "bursts"],
				default: "log",
				requiresArg: true,
				describe:
					"Kind of log: log (schedule running), rise (closed chamber), decay (leak test in the empty chamber), bursts (counted bursts)",
			},
			free: list(
				"NAMES",
				"Values to estimate, instead of those of the test: respiration, flow, leak, offset, response; on top of them q10, trend (growth per day) and flush",
			),
			fix: list(
				"NAME=VALUE",
				"A known value, such as leak=0.3/h, or leak=0.3/h±10% if the log may sharpen it; repeatable",
			),
			prior: list(
				"NAMES",
				"Values whose range in the scenario is prior knowledge: leak, flow, response, offset",
			),
			burst: list("TIME", "On-time of the counted bursts; give it twice for two lengths"),
			fan: {
				choices: ["on", "off"],
				default: "off",
				requiresArg: true,
				describe: "State of the fan during a leak test",
			},
			days: flag(
				"Estimate CO₂ output day by day, from midnight to midnight; --update writes the last whole day",
			),
			profile: flag("Calculate the intervals by profile likelihood (slower)"),
		}),
		...partOptions,
		...group("Which part of the log", {
			each: {
				choices: ["night", "closure"],
				requiresArg: true,
				describe:
					"Fit piece by piece: each closure of a rise or decay test, found by itself; each night, in a decay test from when the last person left, else from --from to --to, times of day (18:00 to 06:00)",
			},
		}),
		...logOptions,
		...group("Output", {
			update: file("Write the estimates into this scenario file; everything else in it stays"),
			html: file("Write a report, one page that needs no network"),
			csv: file("Write log, model and residual, one line per reading"),
			svg: file("Write a chart of the log with the model"),
			json: flag("Print the results as JSON, in SI units"),
			units,
			quiet: flag("Print only the result, in a paragraph"),
			force,
		}),
	},
	examples: [
		["$0 fit day.csv --scenario cabinet.yaml --html fit.html", "Fit a day's log and write a report"],
		["$0 fit week.csv --days --scenario cabinet.yaml", "CO₂ output from day to day"],
		["$0 fit rise.csv --test rise --scenario cabinet.yaml", "Respiration from a closed chamber"],
		["$0 fit decay.csv --test decay --scenario cabinet.yaml", "Leakage from a leak test"],
		[
			"$0 fit day.csv --scenario cabinet.yaml --fix leak=0.3/h --update cabinet.yaml",
			"Fit with a known leak and write the estimates back",
		],
		[
			"$0 fit logs/*.csv --test decay --each night --scenario room.yaml --csv nights.csv",
			"Leakage of each night in many logs, one line each",
		],
	],
	epilogue:
		"Exit code: 0 the log determines at least one value, 1 it determines none or the model does not follow it, 2 usage or input. Of several parts: 0 each determines at least one value, 1 one determines none or failed.\nColumns of the CSV: time_s, utc (where the log has dates), logged_ppm, sensor_model_ppm, chamber_model_ppm, residual_ppm, excluded, fan_s (seconds that the fan ran since the line before). Of several parts it has a line each, with the estimates in SI.",
	async run({
		log: paths,
		scenario: scenarioPath,
		update,
		html,
		csv,
		svg,
		json,
		units,
		quiet,
		force,
		...asked
	}) {
		const runAsked = runOptionsOf(asked);
		const fitAsked = fitOptionsOf(asked);
		const split = splitterOf(asked, asked.test === "rise" ? 1 : asked.test === "decay" ? -1 : null);
		const inputs = inputsOf(paths, scenarioPath);
		const isSeveral = paths.length > 1 || asked.each !== undefined;
		if (isSeveral) refuseForPieces({ svg, update });
		const deliver = delivery({ html, csv, svg }, { json, quiet, force }, [...inputs, update]);
		if (update !== undefined && resolve(update) !== resolve(scenarioPath))
			throw new InputError(
				`--update names ${update}, but the log was fitted with ${scenarioPath}; use the same file for both`,
			);
		const before = update === undefined ? null : { path: update, text: readText(update) };
		if (update !== undefined) checkOutputs([update], true);

		const optional = asked.test === "log" ? {} : ({ schedules: "optional" } as const);
		const loaded = await loadHashedScenario(scenarioPath, optional);
		const { scenario } = loaded;
		const { fitLog } = await import("../../lib/fit/fit.ts");
		const told = { units, version: packageVersion() };
		const read = (path: string) => loadLog(path, readOptionsOf(path, asked));
		const work = (part: Log, whole: LoadedLog, fromSeconds: number) => ({
			...fitLog(scenario, part, { ...runAsked.of(whole.log, fromSeconds), ...fitAsked }),
			provenance: provenanceOf(loaded, whole),
		});
		const asJson = (one: ReturnType<typeof work>) => ({ ...fitJson(one), provenance: one.provenance });
		const tells = (fit: Fit): boolean => soughtOf(fit).some(({ isIdentifiable }) => isIdentifiable);
		const reports = () => import("../../reports/fit/fit.ts");

		if (isSeveral) {
			const pieces = await eachPiece(paths, read, split, work);
			await deliver({
				files: {
					html: async () => (await reports()).fitPiecesReport(scenario, pieces, told),
					csv: () => fitPiecesCsv(pieces),
					svg: () => null,
				},
				json: () => piecesJson("lullgust/fits@1", pieces, asJson),
				verdict: fittedPiecesWords(pieces, units),
				text: ({ columns }) => `\n${pieceText(fitPieceTable(pieces, units))}${wrap(MEAN_WORDS, columns)}`,
				warnings: failureWords(pieces),
				isWarningWhenQuiet: true,
			});
			return pieces.every(({ result }) => result !== null && tells(result)) ? 0 : 1;
		}
		const whole = await read(paths[0]!);
		const learnt = workPart(split(whole.log)[0]!, whole, work);
		const updated = before === null ? null : await updateOf(learnt, before);
		await deliver({
			files: {
				html: async () => (await reports()).fitReport(learnt, { ...told, files: filesOf(learnt.provenance) }),
				csv: () => curveCsv(learnt),
				svg: async () => (await reports()).logSvg(learnt, "model"),
			},
			update: () => updated,
			json: () => asJson(learnt),
			verdict: fitHeadline(learnt, units),
			text: ({ columns }) => fitText(learnt, units, columns),
			warnings: [
				...learnt.series.warnings.map(seriesWarningWords),
				...learnt.warnings.map(fitWarningWords),
				...(update !== undefined && updated === null
					? [`${update}: not written, because this log determines no value to write`]
					: []),
			],
			isWarningWhenQuiet: true,
		});
		return tells(learnt) ? 0 : 1;
	},
});

interface Asked {
	readonly test: string;
	readonly fix: readonly string[] | undefined;
	readonly free: readonly string[] | undefined;
	readonly prior: readonly string[] | undefined;
	readonly burst: readonly string[] | undefined;
	readonly fan: string;
	readonly days: boolean;
	readonly profile: boolean;
}

/** Names of parameters that the command line knows by another word as well. */
const ALIASES: ReadonlyMap<string, FitName> = new Map([
	["respiration", "generation"],
	["lag", "response"],
	["start", "initialCo2"],
	["reading", "initialReading"],
	["drift", "timerRateError"],
]);
const nameOf = (word: string): FitName => ALIASES.get(word) ?? (word as FitName);

/** The options of the fit; names and values are judged where they are used. Throws InputError. */
function fitOptionsOf(asked: Asked): FitOptions {
	const pairs = splitList(asked.fix).map((written) => {
		const [, name, value] = /^([^=]+)=(.+)$/.exec(written) ?? [];
		if (name === undefined || value === undefined)
			throw new InputError(`--fix needs a name and a value such as leak=0.3/h, got "${written}"`);
		return [nameOf(name.trim()), normalizeText(value)] as const;
	});
	const names = (values: readonly string[] | undefined) => splitList(values).map(nameOf);
	const burstSeconds = splitList(asked.burst).map((written) => durationOf("--burst", written));
	return {
		test: asked.test as NonNullable<FitOptions["test"]>,
		fan: asked.fan as NonNullable<FitOptions["fan"]>,
		days: asked.days,
		profile: asked.profile,
		...(pairs.length === 0 ? {} : { fix: Object.fromEntries(pairs) }),
		...(asked.free === undefined ? {} : { free: names(asked.free) }),
		...(asked.prior === undefined ? {} : { prior: names(asked.prior) }),
		...(burstSeconds.length === 0 ? {} : { burstSeconds }),
	};
}

/** The scenario file with the estimates; null when the log determines no value of the file. */
async function updateOf(
	{ changes, series, changeCorrelations }: Fit,
	{ path, text }: { readonly path: string; readonly text: string },
): Promise<Output | null> {
	if (changes.length === 0) return null;
	const { updateScenario } = await import("../../lib/scenario/edit/update.ts");
	const on = isoDay(clockOf(series), series.timesSeconds.at(-1) ?? 0) ?? today();
	const stamp = { log: basename(series.log.fileName), on };
	return { path, content: updateScenario(text, changes, stamp, path, changeCorrelations) };
}
