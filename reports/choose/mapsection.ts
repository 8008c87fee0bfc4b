import type { Choice } from "../../lib/choose/choosetypes.ts";
import { DEFAULT_TIMER } from "../../lib/model/schedule/timer.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { cellCentres, cellEdges, type SettingsChartData, settingsSpec } from "../charts/choose/settings.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import type { Html } from "../page/html.ts";
import { section } from "../page/page.ts";
import { listMarks } from "./settingmarks.ts";

/** Cells of the map each way. */
const CELLS = 60;

/** Every setting of the timer within the limits; null when these leave no room for a map. */
function settingsChartData(choice: Choice): SettingsChartData | null {
	const { scenario, model, feasibilityLimits: limits, feasibilityBoundary } = choice;
	const longest = limits.maxCycleSeconds;
	const { ranges } = scenario.timer ?? DEFAULT_TIMER;
	const highest = Math.min(longest, Math.max(...ranges.map((range) => range.highSeconds)));
	const lowest = Math.min(...ranges.map((range) => Math.max(range.lowSeconds, range.stepSeconds)));
	const onFrom = Math.max(limits.minOnSeconds, lowest);
	const offFrom = Math.max(limits.minOffSeconds, lowest);
	if (!(onFrom < highest && offFrom < highest)) return null;
	const onEdges = cellEdges(onFrom, highest, CELLS);
	const offEdges = cellEdges(offFrom, highest, CELLS);
	const { on } = scenario.target;
	const map = settingMap(withMaximumSource(model), {
		onSeconds: cellCentres(onEdges),
		offSeconds: cellCentres(offEdges),
	});
	return {
		onEdges,
		offEdges,
		ppm: on === "mean" ? map.meanPpm : map.peakPpm,
		statistic: on === "mean" ? "mean" : "peak",
		intakePpm: model.intakePpm,
		ceilingPpm: scenario.target.ceiling.value,
		longestCycleSeconds: longest,
		boundary: feasibilityBoundary,
		maxOffSeconds: limits.maxOffSeconds,
		marks: listMarks(choice).map(({ name, shape, evaluated }) => ({
			name,
			shape,
			onSeconds: evaluated.schedule.onSeconds,
			offSeconds: evaluated.schedule.offSeconds,
		})),
	};
}

/** The map of all settings; null when there is none. */
export async function mapSection(choice: Choice): Promise<Html | null> {
	const picture = settingsChartData(choice);
	if (picture === null) return null;
	const { on } = choice.scenario.target;
	const caption = [
		choice.model.source !== undefined && "Colours show the highest respiration of the run.",
		on === "worst hour" && "Colour shows the peak; the line shows where the worst hour reaches the ceiling.",
		`The line is the ceiling: ${
			choice.isFeasible
				? "settings above and left of it stay under it"
				: "no setting of this timer stays under it, unless a line is drawn"
		}.`,
		picture.maxOffSeconds !== null &&
			(picture.maxOffSeconds < picture.offEdges.at(-1)!
				? `Right of the dashed line, at ${formatDuration(Math.floor(picture.maxOffSeconds))}, the off-time is too long for any fan.`
				: `The longest possible off-time, ${formatDuration(Math.floor(picture.maxOffSeconds))}, is beyond what the timer can show.`),
		Number.isFinite(picture.longestCycleSeconds) &&
			"Settings with a cycle longer than the limit are left blank.",
	];
	return section(
		"map",
		"The map of all settings",
		await stillFigure(
			"map",
			(width) => settingsSpec(picture, PAGE, width),
			`${picture.statistic === "peak" ? "Peak" : "Mean"} CO₂ of every pair of on-time and off-time that the timer can show within the limits.`,
			caption.filter((sentence) => sentence !== false).join(" "),
		),
	);
}
