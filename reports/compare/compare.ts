import type { Comparison } from "../../lib/compare/compare.ts";
import { type ComparisonCurves, type Curve, thin } from "../../lib/compare/curves.ts";
import { isTimeVarying } from "../../lib/model/chamber.ts";
import { liveScript } from "../charts/interactive/bundle.ts";
import { fanTrace } from "../charts/sawtooth/fan.ts";
import type { ChartData } from "../charts/sawtooth/picture.ts";
import { type ChartTheme, LIGHT } from "../charts/theme.ts";
import { chartFigure, chartSvg } from "../page/figure.ts";
import { section } from "../page/page.ts";
import { type ReportOptions, scenarioPage, verdictBlock } from "../page/sections.ts";
import { cropZoneName, verdictOf } from "../words/verdict.ts";
import { warningMessage } from "../words/warnings.ts";
import { continuousTable } from "./continuoustable.ts";
import { resultsTable } from "./resultstable.ts";
import { roomSections } from "./roomsection.ts";
import { verdictTable } from "./verdicttable.ts";

/** Points of all curves of a report together; more would make the file heavy and show no more. */
const POINTS = 20_000;

const sawtoothChartData = (
	curves: readonly Curve[],
	comparison: Comparison,
	rest: Pick<ChartData, "isTimeOfDay" | "timeTitle">,
): ChartData => {
	const { schedules, scenario } = comparison;
	const most = Math.min(2000, Math.floor(POINTS / (2 * curves.length)));
	const windowSeconds = Math.max(...curves.map(({ timesSeconds }) => timesSeconds.at(-1) ?? 0));
	return {
		series: curves.map(({ name, timesSeconds, co2Ppm, bursts }) => {
			const kept = thin(timesSeconds, [co2Ppm], most);
			return {
				name,
				words: schedules.find((schedule) => schedule.name === name)?.inWords ?? "",
				timesSeconds: kept.map((place) => timesSeconds[place]!),
				co2Ppm: kept.map((place) => co2Ppm[place]!),
				fan: fanTrace(bursts, windowSeconds, Math.min(1000, most)),
				isOverlay: false,
			};
		}),
		windowSeconds,
		ceilingPpm: scenario.target.ceiling.value,
		floorPpm: scenario.target.floor?.value ?? null,
		zone: cropZoneName(comparison),
		...rest,
	};
};

/** The window that shows the pattern; by time of day when something depends on it. */
const patternChartData = ({ pattern }: ComparisonCurves, comparison: Comparison): ChartData => {
	const { schedules, model } = comparison;
	const isTimeOfDay = schedules.some(({ schedule }) => schedule.kind === "daily") || isTimeVarying(model);
	return sawtoothChartData(pattern, comparison, {
		isTimeOfDay,
		timeTitle: isTimeOfDay ? "time of day" : "time",
	});
};

/** "1 h of the settled pattern", "24 h from day 6 of the run, on which the peak occurs" */
const patternWindowWords = ({ seconds, runDay }: ComparisonCurves["patternWindow"]): string => {
	const length = seconds >= 3600 ? `${seconds / 3600} h` : `${seconds / 60} min`;
	return runDay === null ? `${length} of the settled pattern` : `${length} from day ${runDay} of the run`;
};

/** The report of a comparison as one HTML file. */
export async function compareReport(
	comparison: Comparison,
	curves: ComparisonCurves,
	options: ReportOptions,
): Promise<string> {
	const { scenario, schedules, best, closest, warnings } = comparison;
	const all = ["", "the schedule", "both schedules"][schedules.length] ?? `all ${schedules.length} schedules`;
	const charts = await Promise.all([
		chartFigure(
			"pattern",
			patternChartData(curves, comparison),
			`CO₂ under ${all}: ${patternWindowWords(curves.patternWindow)}.`,
		),
		chartFigure(
			"first-day",
			sawtoothChartData(curves.firstDay, comparison, {
				isTimeOfDay: false,
				timeTitle: "time from the start",
			}),
			`CO₂ under ${all} in the first 24 h from the start.`,
		),
	]);
	const marked =
		best !== null
			? { name: best, badge: "✓ meets the target with the least air" }
			: closest !== null
				? { name: closest, badge: "closest, but misses the target" }
				: null;
	return scenarioPage(scenario, options, {
		kind: "Comparison of schedules",
		lead: scenario.notes,
		body: [
			section(
				"verdict",
				"Verdict",
				verdictBlock(verdictOf(comparison, options.units)),
				verdictTable(comparison),
			),
			section("sawtooth", "The sawtooth", charts[0].figure),
			section("day", "The first day from the start", charts[1].figure),
			section("figures", "Results", resultsTable(comparison, marked, options.units)),
			...roomSections(comparison),
			section("continuous", "The same air without pauses", ...continuousTable(schedules)),
		],
		warnings: warnings.map(warningMessage),
		data: Object.fromEntries(charts.map(({ id, data }) => [id, data])),
		script: await liveScript(),
	});
}

/** The sawtooth of a comparison as an SVG file for a paper or a slide. */
export const compareSvg = (
	comparison: Comparison,
	curves: ComparisonCurves,
	theme: ChartTheme = LIGHT,
): Promise<string> => chartSvg(patternChartData(curves, comparison), theme);
