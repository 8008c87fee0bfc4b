import { basename, resolve } from "node:path";
import { InputError } from "../../lib/errors.ts";
import type { Fit, FitName, FitOptions } from "../../lib/fit/fittypes.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { normalizeText } from "../../lib/units/read.ts";
import { isoDay } from "../../reports/charts/log/logtime.ts";
import { fitWarningWords } from "../../reports/fit/fitremarks.ts";
import { soughtOf } from "../../reports/fit/fitwords.ts";
import { seriesWarningWords } from "../../reports/words/logremarks.ts";
import { clockOf } from "../../reports/words/logwords.ts";
import { checkOutputs, type Output, packageVersion, readText, writeOutput } from "../files.ts";
import { fitJson, jsonText } from "../json.ts";
import { loadScenario } from "../load.ts";
import { durationOf, logOptions, readOptionsOf, readThrough, runOptions, runOptionsOf } from "../logfile.ts";
import { curveCsv, fitHeadline, fitText } from "../print/fitprint.ts";
import { complain, print, terminal, wrap } from "../print/print.ts";
import { today } from "../today.ts";
import { file, flag, force, group, list, splitList, units, verb } from "../verb.ts";

export const fitVerb = verb({
	name: "fit",
	words: "<log>",
	describe: "Estimate CO₂ output, delivered flow, leakage and sensor response from a log",
	positionals: {
		log: { type: "string", demandOption: true, describe: "Logger's file; - reads standard input" },
	},
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
				"Values to estimate, instead of those of the test: respiration, flow, leak, offset, response",
			),
			fix: list("NAME=VALUE", "A known value, such as leak=0.3/h, flow=55m3/h or response=60s; repeatable"),
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
	],
	epilogue:
		"Exit code: 0 the log determines at least one value, 1 it determines none, 2 usage or input.\nColumns of the CSV: time_s, utc (where the log has dates), logged_ppm, sensor_model_ppm, chamber_model_ppm, residual_ppm, left_out, fan_s (seconds that the fan ran since the line before).",
	async run({
		log: path,
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
		if (path === "-" && scenarioPath === "-")
			throw new InputError("log and scenario cannot both come from standard input");
		const readOptions = readOptionsOf(path, asked);
		const runAsked = runOptionsOf(asked);
		const fitAsked = fitOptionsOf(asked);
		const files = [html, csv, svg].filter((name) => name !== undefined);
		const taken = [...files, ...(json ? ["-"] : [])];
		checkOutputs(taken, force, [path, scenarioPath, ...(update === undefined ? [] : [update])]);
		if (update !== undefined && resolve(update) !== resolve(scenarioPath))
			throw new InputError(
				`--update names ${update}, but the log was fitted with ${scenarioPath}; use the same file for both`,
			);
		const before = update === undefined ? null : { path: update, text: readText(update) };
		if (update !== undefined) checkOutputs([update], true);

		const optional = asked.test === "log" ? {} : ({ schedules: "optional" } as const);
		const scenario = await loadScenario(scenarioPath, optional);
		const { logReader } = await import("../../lib/logs/read.ts");
		const log = await readThrough(path, logReader(readOptions));
		const { fitLog } = await import("../../lib/fit/fit.ts");
		const learnt = fitLog(scenario, log, { ...runAsked.of(log), ...fitAsked });

		const outputs = await render(learnt, { html, csv, svg, units });
		if (json) outputs.push({ path: "-", content: jsonText(fitJson(learnt)) });
		const updated = before === null ? null : await updateOf(learnt, before);
		for (const output of outputs) await writeOutput(output, force);
		if (updated !== null) await writeOutput(updated, true);

		const remarks = [
			...[...learnt.series.warnings.map(seriesWarningWords), ...learnt.warnings.map(fitWarningWords)].map(
				(warning) => `warning: ${warning}`,
			),
			...(update !== undefined && updated === null
				? [`${update}: not written, because this log determines no value to write`]
				: []),
		];
		if (!taken.includes("-")) {
			const written = [...files, ...(updated === null ? [] : [updated.path])];
			await printFit(learnt, units, quiet, remarks, written);
		} else if (!json) complain(remarks);
		return soughtOf(learnt).some(({ isIdentifiable }) => isIdentifiable) ? 0 : 1;
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

interface Wanted {
	readonly html: string | undefined;
	readonly csv: string | undefined;
	readonly svg: string | undefined;
	readonly units: UnitSystem;
}

/** Everything is made before anything is written. */
async function render(learnt: Fit, { html, csv, svg, units }: Wanted): Promise<Output[]> {
	const outputs: Output[] = [];
	if (csv !== undefined) outputs.push({ path: csv, content: curveCsv(learnt) });
	if (html === undefined && svg === undefined) return outputs;
	const { fitReport, logSvg } = await import("../../reports/fit/fit.ts");
	if (html !== undefined)
		outputs.push({ path: html, content: await fitReport(learnt, { units, version: packageVersion() }) });
	if (svg !== undefined) outputs.push({ path: svg, content: await logSvg(learnt, "model") });
	return outputs;
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

async function printFit(
	learnt: Fit,
	units: UnitSystem,
	quiet: boolean,
	remarks: readonly string[],
	written: readonly string[],
): Promise<void> {
	const { columns } = terminal();
	await print(wrap(fitHeadline(learnt, units), columns));
	if (quiet) return complain(remarks);
	await print(fitText(learnt, units, columns));
	if (remarks.length > 0) await print("\n");
	for (const remark of remarks) await print(wrap(remark, columns, "  "));
	if (written.length > 0) await print(`\nWrote ${written.join(", ")}.\n`);
}
