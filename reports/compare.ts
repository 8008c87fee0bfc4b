import { listInputs } from "../lib/scenario/inputs.ts";
import type { ComparedSchedule, Comparison } from "../lib/study/compare.ts";
import type { ComparisonCurves, Curve } from "../lib/study/curves.ts";
import { formatDuration } from "../lib/units.ts";
import { type Picture, windowOf } from "./charts/picture.ts";
import { PLOT_WIDTH, sawtoothRows, sawtoothSpec } from "./charts/sawtooth.ts";
import { type ChartTheme, LIGHT } from "./charts/theme.ts";
import { thinned } from "./charts/thin.ts";
import { chartFigure } from "./figure.ts";
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
import { verdictOf } from "./verdict.ts";

/** Points of all curves of a report together; more would make the file heavy without showing more. */
const POINTS = 28_000;

const picture = (
	curves: readonly Curve[],
	{ schedules, scenario }: Comparison,
	rest: Pick<Picture, "originSeconds" | "clock" | "timeTitle">,
): Picture => {
	const points = Math.min(2000, Math.floor(POINTS / (2 * curves.length)));
	return {
		series: curves.map((curve) => ({
			...thinned(curve, points),
			words: schedules.find(({ name }) => name === curve.name)?.inWords ?? "",
		})),
		ceilingPpm: scenario.target.ceiling.value,
		floorPpm: scenario.target.floor?.value ?? null,
		...rest,
	};
};

/** The window that shows the pattern; told by the clock when a schedule goes by the clock. */
export const patternPicture = ({ pattern }: ComparisonCurves, comparison: Comparison): Picture => {
	const start = pattern[0]?.timesSeconds[0] ?? 0;
	const byClock = comparison.schedules.some(({ schedule }) => schedule.kind === "daily");
	return picture(pattern, comparison, {
		originSeconds: byClock ? Math.floor(start / 86_400) * 86_400 : start,
		clock: byClock ? "time of day" : "elapsed",
		timeTitle: byClock ? "time of day" : "time",
	});
};

const firstDayPicture = ({ firstDay }: ComparisonCurves, comparison: Comparison): Picture =>
	picture(firstDay, comparison, {
		originSeconds: firstDay[0]?.timesSeconds[0] ?? 0,
		clock: "elapsed",
		timeTitle: "time from a fresh start",
	});

const span = (shown: Picture): string => {
	const [first, last] = windowOf(shown);
	return last - first === 86_400 ? "24 h" : formatDuration(last - first);
};

const count = (schedules: readonly ComparedSchedule[]): string =>
	schedules.length === 1
		? "the schedule"
		: schedules.length === 2
			? "both schedules"
			: `all ${schedules.length} schedules`;

/** The report of a comparison as one HTML file. */
export async function compareReport(
	comparison: Comparison,
	curves: ComparisonCurves,
	options: ReportOptions,
): Promise<string> {
	const { scenario, schedules, winner, nearest, warnings } = comparison;
	const pattern = patternPicture(curves, comparison);
	const firstDay = firstDayPicture(curves, comparison);
	const charts = await Promise.all([
		chartFigure("pattern", pattern, `CO2 under ${count(schedules)} over ${span(pattern)}, with the ceiling.`),
		chartFigure(
			"first-day",
			firstDay,
			`CO2 under ${count(schedules)} in the first ${span(firstDay)} from a fresh start, with the ceiling.`,
		),
	]);
	const marked =
		winner !== null
			? { name: winner, badge: "✓ holds with the least air" }
			: nearest !== null
				? { name: nearest, badge: "nearest, but does not hold" }
				: null;
	return page({
		title: scenario.name,
		kind: "Comparison of schedules",
		lead: scenario.notes,
		body: [
			section(
				"verdict",
				"Verdict",
				verdictBlock(verdictOf(comparison, options.units)),
				verdictTable(schedules),
			),
			section("sawtooth", "The sawtooth", charts[0].figure),
			section("day", "The first day from a fresh start", charts[1].figure),
			section("figures", "Figures", figuresTable(schedules, marked, options.units)),
			section(
				"continuous",
				"The continuous equivalent",
				html`<p>The same air a day, delivered without a pause, would hold the CO2 of the first column. What the pauses add to it is the penalty of intermittency.</p>`,
				continuousTable(schedules),
			),
			inputsSection(listInputs(scenario), options.units),
			assumptionsSection([
				...warnings,
				...schedules.flatMap(({ name, summary }) => summary.notes.map((note) => `${name}: ${note}`)),
			]),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		data: Object.fromEntries(charts.map(({ id, data }) => [id, data])),
		script: await liveScript(),
	});
}

/** The sawtooth of a comparison as an SVG file for a paper or a slide. */
export async function compareSvg(
	comparison: Comparison,
	curves: ComparisonCurves,
	theme: ChartTheme = LIGHT,
): Promise<string> {
	const { compileChart, drawSvg } = await import("./svg.ts");
	const shown = patternPicture(curves, comparison);
	return drawSvg(await compileChart(sawtoothSpec(shown, theme)), sawtoothRows(shown, PLOT_WIDTH), "chart");
}
