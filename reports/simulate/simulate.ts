import type { Comparison } from "../../lib/compare/compare.ts";
import { type Curve, sampleCurve } from "../../lib/compare/curves.ts";
import { initialState, uniformState } from "../../lib/solve/propagate/propagate.ts";
import { type RunStats, runStats, type SimulateOptions } from "../../lib/solve/simulate.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { liveScript } from "../charts/interactive/bundle.ts";
import { fanTrace } from "../charts/sawtooth/fan.ts";
import type { ChartData, Series } from "../charts/sawtooth/picture.ts";
import { type ChartTheme, LIGHT } from "../charts/theme.ts";
import { continuousTable } from "../compare/continuoustable.ts";
import { runTable } from "../compare/resultstable.ts";
import { runVerdictTable } from "../compare/verdicttable.ts";
import { chartFigure, chartSvg } from "../page/figure.ts";
import { html } from "../page/html.ts";
import { section } from "../page/page.ts";
import { type ReportOptions, scenarioPage, verdictBlock } from "../page/sections.ts";
import { formatPpm } from "../words/format.ts";
import { evaluateRun, verdictOfRun } from "../words/runverdict.ts";
import { cropZoneName } from "../words/verdict.ts";
import { warningMessage } from "../words/warnings.ts";

/** Points of one curve. */
const POINTS = 2000;

/** How a run starts and how long it is. */
export type RunWindow = Pick<SimulateOptions, "start" | "startPpm" | "durationSeconds">;

/** The run of the one schedule of this comparison, with what the sensor shows when there is one. */
const runChartData = (comparison: Comparison, { start, startPpm, durationSeconds }: RunWindow): ChartData => {
	const { schedules, scenario, model } = comparison;
	const { name, inWords, schedule } = schedules[0]!;
	const shown: Curve = sampleCurve(name, model, schedule, {
		fromSeconds: 0,
		toSeconds: durationSeconds,
		start: start ?? (startPpm === undefined ? initialState(model) : uniformState(model, startPpm)),
		points: POINTS,
	});
	const fan = fanTrace(shown.bursts, durationSeconds);
	const trace = (co2Ppm: Float64Array, rest: Pick<Series, "name" | "words" | "isOverlay">): Series => ({
		timesSeconds: shown.timesSeconds,
		co2Ppm,
		fan,
		...rest,
	});
	const zone = cropZoneName(comparison);
	const sensor =
		zone === null ? "as the sensor shows it" : `sensor, in the ${model.sensorZone ?? "mixed"} zone`;
	return {
		series: [
			trace(shown.co2Ppm, { name, words: inWords, isOverlay: false }),
			...(shown.sensorPpm === null
				? []
				: [trace(shown.sensorPpm, { name: sensor, words: "", isOverlay: true })]),
		],
		windowSeconds: durationSeconds,
		ceilingPpm: scenario.target.ceiling.value,
		floorPpm: scenario.target.floor?.value ?? null,
		zone,
		isTimeOfDay: false,
		timeTitle: "time from the start",
	};
};

const lengthOf = ({ windowSeconds }: ChartData): string =>
	windowSeconds <= 172_800 && windowSeconds % 3600 === 0
		? `${windowSeconds / 3600} h`
		: formatDuration(windowSeconds);

/** The values of the run itself. */
const runInWords = ({ startPpm, endPpm, peakPpm, troughPpm }: RunStats): string =>
	`It starts at ${formatPpm(startPpm)} and ends at ${formatPpm(endPpm)}; peak ${formatPpm(peakPpm)}, trough ${formatPpm(troughPpm)}.`;

/** The report of one run as one HTML file; the comparison holds the schedule that ran, and no other. */
export async function simulateReport(
	comparison: Comparison,
	run: RunWindow,
	options: ReportOptions,
): Promise<string> {
	const { scenario, schedules, warnings, model } = comparison;
	const { name, inWords, schedule } = schedules[0]!;
	const figures = runStats(model, schedule, { ...run, ceilingPpm: scenario.target.ceiling.value });
	const judged = evaluateRun(figures, comparison);
	const shown = runChartData(comparison, run);
	const chart = await chartFigure(
		"run",
		shown,
		`CO₂ under “${name}” over ${lengthOf(shown)} from the start of the run.`,
	);
	return scenarioPage(scenario, options, {
		kind: "Simulation of one schedule",
		lead: `${name}: ${inWords}`,
		body: [
			section(
				"verdict",
				"Verdict",
				verdictBlock(verdictOfRun(comparison, figures, options.units)),
				runVerdictTable(comparison, judged),
			),
			section("run-heading", "The run", html`<p>${runInWords(figures)}</p>`, chart.figure),
			section("figures", "Results", runTable(comparison, judged, options.units)),
			section("continuous", "The same air without pauses", ...continuousTable(schedules)),
		],
		warnings: warnings.map(warningMessage),
		data: { [chart.id]: chart.data },
		script: await liveScript(),
	});
}

/** The run as an SVG file for a paper or a slide. */
export const simulateSvg = (
	comparison: Comparison,
	run: RunWindow,
	theme: ChartTheme = LIGHT,
): Promise<string> => chartSvg(runChartData(comparison, run), theme);
