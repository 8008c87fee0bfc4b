import type { Choice } from "../../lib/choose/choosetypes.ts";
import { power } from "../../lib/power.ts";
import { traceContour } from "../../lib/solve/cycles/contour.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { mapDrawings } from "../charts/choose/map.ts";
import { html } from "../page/html.ts";
import type { Section } from "../page/section.ts";
import { formatPpm } from "../words/format.ts";
import { listMarks } from "./settingmarks.ts";

/** Settings of the grid each way. */
const CELLS = 60;
/** The map reaches so many times beyond the settings that it marks. */
const REACH = 5;

const spaced = (low: number, high: number): Float64Array =>
	Float64Array.from({ length: CELLS }, (_, i) => low * power(high / low, i / (CELLS - 1)));

/** The map of all settings round the answer; null where there is none. */
export function mapSection(choice: Choice): Section | null {
	const { model, scenario, feasibilityLimits } = choice;
	const marks = listMarks(choice).map(({ name, evaluated: { schedule } }) => ({
		name,
		note: `${formatDuration(schedule.onSeconds)} on, ${formatDuration(schedule.offSeconds)} off`,
		onSeconds: schedule.onSeconds,
		offSeconds: schedule.offSeconds,
	}));
	const named = marks.filter(({ onSeconds, offSeconds }) => onSeconds > 0 && offSeconds > 0);
	if (named.length === 0) return null;
	const ends = (times: readonly number[]): readonly [number, number] => [
		Math.min(...times) / REACH,
		Math.max(...times) * REACH,
	];
	const [onFrom, onTo] = ends(named.map(({ onSeconds }) => onSeconds));
	const [offFrom, offTo] = ends(named.map(({ offSeconds }) => offSeconds));
	const [onSeconds, offSeconds] = [spaced(onFrom, onTo), spaced(offFrom, offTo)];
	const map = settingMap(withMaximumSource(model), { onSeconds, offSeconds });
	const { on } = scenario.target;
	const excess = (on === "mean" ? map.meanPpm : map.peakPpm).map((ppm) => ppm - model.intakePpm);
	const ceilingPpm = scenario.target.ceiling.value;
	const { maxOffSeconds } = feasibilityLimits;
	const drawn = on === "mean" ? "mean" : "peak";
	const sentence = [
		`Every pair of times is a place. Left of and above the thick line the ${drawn} stays under ${formatPpm(ceilingPpm)}; in the hatched field it does not. The numbers are the ${drawn} in ppm.`,
		model.source !== undefined && "It is drawn for the highest respiration of the run.",
		on === "worst hour" &&
			"The target is about the worst hour, which stays under the ceiling for longer pauses too.",
		maxOffSeconds !== null &&
			`The longest possible off-time is ${formatDuration(Math.floor(maxOffSeconds))}.`,
	];
	return {
		id: "map",
		heading: "The map round the answer",
		words: "Map",
		sentence: sentence.filter((one) => one !== false).join(" "),
		body: html`<figure>${mapDrawings({
			id: "map-d",
			title: `${drawn === "peak" ? "Peak" : "Mean"} CO₂ by off-time and on-time, round the answer`,
			desc: `Marked: ${marks.map(({ name, note }) => `${name}, ${note}`).join("; ")}.`,
			onSeconds,
			offFromSeconds: offFrom,
			offToSeconds: offTo,
			lineAt: (ppm) => traceContour({ onSeconds, offSeconds, excess }, ppm - model.intakePpm),
			intakePpm: model.intakePpm,
			ceilingPpm,
			maxOffSeconds,
			marks: named,
		})}</figure>`,
	};
}
