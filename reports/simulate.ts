import { type Schedule, segments } from "../lib/model/schedule.ts";
import { listInputs } from "../lib/scenario/inputs.ts";
import type { Trajectory } from "../lib/solve/simulate.ts";
import type { Comparison } from "../lib/study/compare.ts";
import { thin } from "../lib/study/curves.ts";
import { formatDuration } from "../lib/units.ts";
import { type Burst, fanTrace } from "./charts/fan.ts";
import type { Picture, Series } from "./charts/picture.ts";
import { type ChartTheme, LIGHT } from "./charts/theme.ts";
import { chartFigure, chartSvg } from "./figure.ts";
import { html } from "./html.ts";
import { liveScript } from "./live/bundle.ts";
import { page, section } from "./page.ts";
import {
	assumptionsSection,
	cautionsSection,
	footerLine,
	inputsSection,
	type ReportOptions,
	scenarioSection,
	verdictBlock,
} from "./sections.ts";
import { continuousTable, figuresTable, verdictTable } from "./tables.ts";
import { ppm, verdictOf } from "./verdict.ts";

/** Points of one curve. */
const POINTS = 2000;

/** When the fan runs, up to a time; neighbouring segments in which it runs are one burst. */
function* burstsUntil(schedule: Schedule, toSeconds: number): Generator<Burst> {
	let from: number | null = null;
	for (const { startSeconds, on } of segments(schedule, toSeconds)) {
		if (on) from ??= startSeconds;
		else if (from !== null) {
			yield { startSeconds: from, endSeconds: startSeconds };
			from = null;
		}
	}
	if (from !== null) yield { startSeconds: from, endSeconds: toSeconds };
}

/** The run of the one schedule of this comparison, with what the sensor shows when there is one. */
const runPicture = ({ schedules, scenario }: Comparison, run: Trajectory): Picture => {
	const { name, inWords, schedule, summary } = schedules[0]!;
	const { timesSeconds, sensorPpm } = run;
	const co2Ppm = summary.zone === "stagnant" ? (run.stagnantPpm ?? run.co2Ppm) : run.co2Ppm;
	const windowSeconds = timesSeconds.at(-1) ?? 0;
	const fan = fanTrace(burstsUntil(schedule, windowSeconds), windowSeconds);
	const trace = (values: Float64Array, rest: Pick<Series, "name" | "words" | "shadow">): Series => {
		const kept = thin(timesSeconds, [values], POINTS);
		return {
			timesSeconds: kept.map((place) => timesSeconds[place]!),
			co2Ppm: kept.map((place) => values[place]!),
			fan,
			...rest,
		};
	};
	return {
		series: [
			trace(co2Ppm, { name, words: inWords, shadow: false }),
			...(sensorPpm === null
				? []
				: [trace(sensorPpm, { name: "as the sensor shows it", words: "", shadow: true })]),
		],
		windowSeconds,
		ceilingPpm: scenario.target.ceiling.value,
		floorPpm: scenario.target.floor?.value ?? null,
		byClock: false,
		timeTitle: "time from the start",
	};
};

const lengthOf = ({ windowSeconds }: Picture): string =>
	windowSeconds <= 172_800 && windowSeconds % 3600 === 0
		? `${windowSeconds / 3600} h`
		: formatDuration(windowSeconds);

/** The figures of the run itself, which starts where it was told to. */
const runInWords = ({ co2Ppm }: Series): string => {
	let [peak, trough] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
	for (let i = 0; i < co2Ppm.length; i++) {
		peak = Math.max(peak, co2Ppm[i]!);
		trough = Math.min(trough, co2Ppm[i]!);
	}
	return `It starts at ${ppm(co2Ppm[0]!)} and ends at ${ppm(co2Ppm[co2Ppm.length - 1]!)}; peak ${ppm(peak)}, trough ${ppm(trough)}.`;
};

/** The report of one run as one HTML file; the comparison holds the schedule that ran, and no other. */
export async function simulateReport(
	comparison: Comparison,
	run: Trajectory,
	options: ReportOptions,
): Promise<string> {
	const { scenario, schedules, warnings } = comparison;
	const { name, inWords } = schedules[0]!;
	const shown = runPicture(comparison, run);
	const chart = await chartFigure(
		"run",
		shown,
		`CO2 under “${name}” over ${lengthOf(shown)} from the start of the run.`,
	);
	return page({
		title: scenario.name,
		kind: "Simulation of one schedule",
		lead: `${name}: ${inWords}`,
		body: [
			section(
				"verdict",
				"Verdict",
				verdictBlock(verdictOf(comparison, options.units)),
				verdictTable(schedules),
			),
			section("run-heading", "The run", html`<p>${runInWords(shown.series[0]!)}</p>`, chart.figure),
			section("figures", "Figures", figuresTable(schedules, null, options.units)),
			section("continuous", "The continuous equivalent", ...continuousTable(schedules)),
			inputsSection(listInputs(scenario), options.units),
			assumptionsSection(warnings),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		data: { [chart.id]: chart.data },
		script: await liveScript(),
	});
}

/** The run as an SVG file for a paper or a slide. */
export const simulateSvg = (
	comparison: Comparison,
	run: Trajectory,
	theme: ChartTheme = LIGHT,
): Promise<string> => chartSvg(runPicture(comparison, run), theme);
