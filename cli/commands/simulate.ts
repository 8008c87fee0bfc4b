import type { Comparison } from "../../lib/compare/comparison.ts";
import { InputError } from "../../lib/errors.ts";
import type { Model } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { namesMeant, nearest } from "../../lib/nearest.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import type { RunStats, SimulateOptions, Trajectory } from "../../lib/solve/simulate.ts";
import { type Dimension, expectation } from "../../lib/units/dimensions.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { normalizeText, parseValue } from "../../lib/units/read.ts";
import { formatPpm } from "../../reports/words/format.ts";
import { evaluateRun, verdictOfRun } from "../../reports/words/runverdict.ts";
import { noSettledPatternWords } from "../../reports/words/steadystate.ts";
import { cropZoneName, inOneBreath } from "../../reports/words/verdict.ts";
import { warningMessage } from "../../reports/words/warnings.ts";
import { delivery } from "../deliver.ts";
import { packageVersion } from "../files.ts";
import { simulationJson } from "../json.ts";
import { loadScenario } from "../load.ts";
import { wrap } from "../print/print.ts";
import { file, flag, force, group, scenarioFile, text, units, verb } from "../verb.ts";

/** So many samples fit in memory with ease. */
const MAX_SAMPLES = 10_000_000;

export const simulateVerb = verb({
	name: "simulate",
	words: "<scenario>",
	describe: "Run one schedule of a scenario over time",
	positionals: { scenario: scenarioFile },
	options: {
		...group("Run", {
			schedule: text("NAME", "Schedule to run; not needed when the file has only one"),
			for: { ...text("TIME", "Length of the run"), default: "24 h" },
			every: { ...text("TIME", "Sampling interval of the CSV"), default: "1 s" },
			"starts-at": text(
				"TIME",
				"Time of day of the start, such as 14:00; default midnight. Schedules, cycles too, and a temperature that swings go on from midnight",
			),
			start: {
				...text(
					"STATE",
					"CO₂ at the start: fresh (as the scenario says), settled (in the settled pattern), or a value such as 900ppm",
				),
				default: "fresh",
			},
		}),
		...group("Output", {
			csv: file("Write the curve for a spreadsheet, one line per sample"),
			html: file("Write a report with the curve, one page that needs no network"),
			svg: file("Write the curve as an SVG chart"),
			json: flag("Print the values for another program, in SI"),
			units,
			quiet: flag("Print only the verdict"),
			force,
		}),
	},
	examples: [
		[
			'$0 simulate cabinet.yaml --schedule "short and often" --for 24h --csv curve.csv',
			"A day, for a spreadsheet",
		],
		["$0 simulate cabinet.yaml --schedule rare --for 7d --every 1min --html week.html", "A week as a report"],
		[
			'$0 simulate cabinet.yaml --schedule rare --start "5000 ppm" --for 2h',
			"After a long time with the fan off",
		],
	],
	epilogue:
		"Exit code: 0 this run meets the target, 1 it does not, 2 usage or input.\nThe values are exact and do not depend on --every. Columns of the CSV: time_s, co2_ppm (with a stagnant zone mixed_ppm and stagnant_ppm), sensor_ppm where there is a sensor, fan_on.",
	async run({ scenario: path, html, svg, csv, json, units, quiet, force, ...asked }) {
		const durationSeconds = parseOption("--for", asked.for, "duration");
		const sampleIntervalSeconds = parseOption("--every", asked.every, "duration");
		checkSampling(durationSeconds, sampleIntervalSeconds);
		const start = readStart(asked.start);
		const { startsAtOf } = await import("../logfile.ts");
		const startsAtSeconds = startsAtOf(asked["starts-at"] ?? "00:00");
		const deliver = delivery({ html, svg, csv }, { json, quiet, force }, [path]);

		const whole = await loadScenario(path);
		const scenario = { ...whole, schedules: [selectSchedule(whole, asked.schedule)] };
		const { compareSchedules } = await import("../../lib/compare/compare.ts");
		const { startRunAt } = await import("../../lib/model/startrun.ts");
		const compared = compareSchedules(scenario);
		const [only] = compared.schedules;
		const { model, schedule } = startRunAt(compared.model, only!.schedule, startsAtSeconds);
		const inWords =
			asked["starts-at"] === undefined ? only!.inWords : `${only!.inWords}, from ${asked["starts-at"]} on`;
		const comparison = { ...compared, model, schedules: [{ ...only!, schedule, inWords }] };
		const { runStats, simulate } = await import("../../lib/solve/simulate.ts");
		const run = { durationSeconds, ...(await startOf(model, schedule, start)) };
		const stats = runStats(model, schedule, { ...run, ceilingPpm: scenario.target.ceiling.value });
		const { isMet } = evaluateRun(stats, comparison);
		const reports = () => import("../../reports/simulate/simulate.ts");
		await deliver({
			files: {
				html: async () =>
					(await reports()).simulateReport(comparison, run, { units, version: packageVersion() }),
				svg: async () => (await reports()).simulateSvg(comparison, run),
				csv: () => curveCsv(simulate(model, schedule, { ...run, sampleIntervalSeconds })),
			},
			json: () =>
				simulationJson(comparison, stats, { isMet, durationSeconds, sampleIntervalSeconds, startsAtSeconds }),
			verdict: inOneBreath(verdictOfRun(comparison, stats, units)),
			async text({ isTerminal, columns, colour }) {
				const lines = runLines(comparison, stats).map((line) => wrap(line, columns, "  "));
				if (!isTerminal) return `\n${lines.join("")}`;
				const { runPlot } = await import("../print/plot.ts");
				return `\n${lines.join("")}\n${runPlot(comparison, run, columns, colour)}`;
			},
			notes: lastSample(durationSeconds, sampleIntervalSeconds),
			warnings: comparison.warnings.map(warningMessage),
		});
		return isMet ? 0 : 1;
	},
});

/** Says where the last sample lies when that is not the end of the run. */
function lastSample(durationSeconds: number, sampleIntervalSeconds: number): string[] {
	const lastSeconds = Math.floor(durationSeconds / sampleIntervalSeconds + 1e-9) * sampleIntervalSeconds;
	if (durationSeconds - lastSeconds <= 1e-9 * durationSeconds) return [];
	return [
		`--every ${formatDuration(sampleIntervalSeconds)} does not divide --for ${formatDuration(durationSeconds)}: the last sample of a CSV is at ${formatDuration(lastSeconds)}.`,
	];
}

/** A quantity from the command line. Throws InputError. */
function parseOption(
	option: string,
	text: string,
	dimension: Dimension,
	wanted = expectation([dimension]),
): number {
	const read = parseValue(normalizeText(text), [dimension]);
	if ("refused" in read) {
		const why = read.refused === "" ? "" : ` (${read.refused})`;
		throw new InputError(`${option} needs ${wanted}, got "${text}"${why}`);
	}
	return read.value;
}

/** Where a run starts: as the scenario says, in the settled pattern, or at a CO2 [ppm]. */
type RunStart = "fresh" | "settled" | number;

function readStart(text: string): RunStart {
	if (text === "fresh" || text === "settled") return text;
	if (text === "regime") return "settled";
	const wanted = 'fresh, settled or a CO₂ concentration such as "900 ppm"';
	const startPpm = parseOption("--start", text, "concentration", wanted);
	if (startPpm < 0 || startPpm > 1_000_000)
		throw new InputError(`--start must lie between 0 and 1000000 ppm, got "${text}"`);
	return startPpm;
}

function checkSampling(durationSeconds: number, sampleIntervalSeconds: number): void {
	if (!(durationSeconds > 0)) throw new InputError(`--for must be longer than 0 s, got ${durationSeconds} s`);
	if (!(sampleIntervalSeconds > 0))
		throw new InputError(`--every must be longer than 0 s, got ${sampleIntervalSeconds} s`);
	if (sampleIntervalSeconds > durationSeconds)
		throw new InputError(
			`--every ${formatDuration(sampleIntervalSeconds)} is longer than --for ${formatDuration(durationSeconds)}`,
		);
	if (durationSeconds / sampleIntervalSeconds > MAX_SAMPLES)
		throw new InputError(
			`--every ${formatDuration(sampleIntervalSeconds)} makes more than ${MAX_SAMPLES} samples; take at least ${formatDuration(Math.ceil(durationSeconds / MAX_SAMPLES))}`,
		);
}

function selectSchedule(scenario: Scenario, name: string | undefined): Scenario["schedules"][number] {
	const names = scenario.schedules.map((schedule) => schedule.name);
	const all = names.map((each) => `"${each}"`).join(", ");
	if (name === undefined && scenario.schedules.length === 1) return scenario.schedules[0]!;
	if (name === undefined) throw new InputError(`--schedule is missing; ${scenario.fileName} has ${all}`);
	const [meant, ...others] = namesMeant(name, names);
	if (meant !== undefined && others.length === 0)
		return scenario.schedules.find((schedule) => schedule.name === meant)!;
	if (scenario.sensorSwitches.some((one) => one.name === name))
		throw new InputError(
			`--schedule: "${name}" is switched by a sensor; lullgust compare shows what it does`,
		);
	const near = nearest(name, names);
	const wayOut =
		meant !== undefined
			? `"${name}" may be ${[meant, ...others].map((each) => `"${each}"`).join(" or ")}`
			: `${scenario.fileName} has no schedule "${name}"; ${near === null ? `it has ${all}` : `did you mean "${near}"?`}`;
	throw new InputError(`--schedule: ${wayOut}`);
}

async function startOf(
	model: Model,
	schedule: Schedule,
	start: RunStart,
): Promise<Pick<SimulateOptions, "start" | "startPpm">> {
	if (start === "fresh") return {};
	if (start !== "settled") return { startPpm: start };
	const { periodicState } = await import("../../lib/solve/periodic.ts");
	const steadyState = periodicState(model, schedule);
	if (!steadyState.exists)
		throw new InputError(
			`--start settled: there is no settled pattern. ${noSettledPatternWords(steadyState.cause)}`,
		);
	return { start: steadyState.start };
}

/** The curve in pieces, so that a month at 1 s never stands in memory as text. */
function* curveCsv(run: Trajectory): Generator<string> {
	const series = [
		[run.stagnantPpm === null ? "co2_ppm" : "mixed_ppm", run.co2Ppm],
		["stagnant_ppm", run.stagnantPpm],
		["sensor_ppm", run.sensorPpm],
	] as const;
	const columns = series.flatMap(([name, values]) => (values === null ? [] : [{ name, values }]));
	yield `${["time_s", ...columns.map(({ name }) => name), "fan_on"].join(",")}\n`;
	const rowsAPiece = 4096;
	for (let from = 0; from < run.timesSeconds.length; from += rowsAPiece) {
		let piece = "";
		const to = Math.min(from + rowsAPiece, run.timesSeconds.length);
		for (let i = from; i < to; i += 1) {
			piece += Number(run.timesSeconds[i]!.toFixed(6));
			for (const { values } of columns) piece += `,${values[i]!.toFixed(3)}`;
			piece += `,${run.fanOn[i]}\n`;
		}
		yield piece;
	}
}

/** The values of the run itself. */
function runLines(comparison: Comparison, stats: RunStats): readonly string[] {
	const { durationSeconds, startPpm, endPpm, peakPpm, meanPpm, troughPpm, sensor } = stats;
	const zone = cropZoneName(comparison);
	const where = zone === null ? "" : ` in the ${zone}, where the crop stands`;
	const place = zone === null ? "" : ` in the ${comparison.model.sensorZone ?? "mixed"} zone`;
	return [
		`This run: ${comparison.schedules[0]!.inWords}; ${formatDuration(durationSeconds)} from ${formatPpm(startPpm)} to ${formatPpm(endPpm)}${where}.`,
		`  Peak ${formatPpm(peakPpm)}, mean ${formatPpm(meanPpm)}, trough ${formatPpm(troughPpm)}.`,
		...(sensor === null
			? []
			: [
					`  The sensor${place} shows a peak of ${formatPpm(sensor.peakPpm)}, a mean of ${formatPpm(sensor.meanPpm)}.`,
				]),
	];
}
