import type { Comparison } from "../../lib/compare/comparison.ts";
import type { ComparisonCurves } from "../../lib/compare/curves.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { chamberDrawing, heroDrawings, wideHero } from "../charts/section/hero.ts";
import { readingsOf } from "../charts/section/reading.ts";
import { READING_SCRIPT, READING_STYLE, readingLine } from "../charts/section/readingline.ts";
import { glyph } from "../charts/section/states.ts";
import { html } from "../page/html.ts";
import { scenarioReport } from "../page/report.ts";
import type { Section } from "../page/section.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { STACK_STYLE, type StackColumn, stackTable } from "../page/stacktable.ts";
import { standaloneSvg } from "../page/standalone.ts";
import { formatGrams, formatTime, upperFirst, whole } from "../words/format.ts";
import { hasHumidity } from "../words/humidity.ts";
import { STATE_WORDS, stateOf } from "../words/states.ts";
import { basisWords, HEADROOM_NOTE, headroomText, maxOffTimeWords, verdictOf } from "../words/verdict.ts";
import { warningMessage } from "../words/warnings.ts";
import { airAndWaterSection } from "./airandwater.ts";
import { compareHead, subjectOf } from "./comparewords.ts";
import { continuousTable } from "./continuoustable.ts";
import { heroOf, heroRival } from "./herodata.ts";
import { humiditySections } from "./humiditysection.ts";
import { cycleSection } from "./onecycle.ts";
import { resultsTable } from "./resultstable.ts";
import { roomSections } from "./roomsection.ts";
import { scheduleTiles } from "./schedules.ts";
import { switchSections } from "./switchsection.ts";

/** Schedules that are drawn; further ones stand in the table. */
const MAX_TILES = 8;

/** "1 h of the settled pattern", "24 h from day 6 of the run, on which the peak occurs" */
const patternWindowWords = ({ seconds, runDay }: ComparisonCurves["patternWindow"]): string => {
	const length = seconds >= 3600 ? `${seconds / 3600} h` : `${seconds / 60} min`;
	return runDay === null ? `${length} of the settled pattern` : `${length} from day ${runDay} of the run`;
};

const NUMBERS = ["", "One schedule", "Two schedules", "Three schedules", "Four schedules", "Five schedules"];

function schedulesSection(
	comparison: Comparison,
	{ pattern, patternWindow }: ComparisonCurves,
): Section | null {
	const { schedules } = comparison;
	if (schedules.length < (heroRival(comparison) === null ? 2 : 3)) return null;
	const more = schedules.length - MAX_TILES;
	return {
		id: "schedules",
		heading: `${NUMBERS[schedules.length] ?? `${schedules.length} schedules`}, one scale`,
		words: "Schedules",
		sentence: `All show ${patternWindowWords(patternWindow)} under the same ceiling. The bars below each are the fan.${more > 0 ? ` ${more} more stand in the table.` : ""}`,
		body: scheduleTiles("tile", comparison, pattern, schedules.slice(0, MAX_TILES)),
		isLong: true,
	};
}

/** The judged value where it is another than the peak and the mean. */
const columnsOf = ({ criterion }: Comparison["schedules"][number]["summary"]): readonly StackColumn[] => [
	{ heading: "verdict", label: "verdict", isText: true },
	{ heading: html`peak,<br>ppm`, label: "peak, ppm" },
	{ heading: html`mean,<br>ppm`, label: "mean, ppm" },
	criterion.statistic === "worst hour"
		? { heading: html`worst hour,<br>ppm`, label: "worst hour, ppm" }
		: { heading: html`trough,<br>ppm`, label: "trough, ppm" },
	{ heading: html`above the ceiling,<br>per hour`, label: "above, per hour" },
	{ heading: html`fresh air,<br>per day`, label: "fresh air per day" },
	{ heading: html`water out,<br>per day`, label: "water out per day" },
	{ heading: html`bursts,<br>per day`, label: "bursts per day" },
	{ heading: "headroom", label: "headroom" },
];

function figuresSection(comparison: Comparison, units: UnitSystem): Section {
	const { schedules, best, maxOffSeconds } = comparison;
	const bases = [...new Set(schedules.map(({ summary }) => basisWords(summary)))];
	return {
		id: "figures",
		heading: "Results",
		sentence: `${upperFirst(bases.join("; "))}. ${HEADROOM_NOTE} ${maxOffTimeWords(maxOffSeconds)}`,
		isLong: true,
		body: stackTable(
			"Results of all schedules",
			"schedule",
			columnsOf(schedules[0]!.summary),
			schedules.map((compared) => {
				const { name, summary, water } = compared;
				const state = stateOf(comparison, compared);
				return {
					name,
					isBest: name === best,
					cells: [
						glyph(state, STATE_WORDS[state]),
						whole(summary.peakPpm),
						whole(summary.meanPpm),
						whole(
							summary.criterion.statistic === "worst hour" ? summary.maxHourlyMeanPpm : summary.troughPpm,
						),
						formatTime(summary.exceedanceSecondsPerHour),
						formatQuantity(summary.freshAirM3PerDay, "volume", units),
						formatGrams(water.moistureLossGPerDay),
						burstCount(summary.burstsPerDay),
						headroomText(summary.criterion.headroomFactor),
					],
				};
			}),
		),
	};
}

/** The report of a comparison as one HTML file. */
export function compareReport(
	comparison: Comparison,
	curves: ComparisonCurves,
	options: ReportOptions,
): string {
	const { units } = options;
	const { scenario, schedules, best, closest, warnings } = comparison;
	const hero = heroOf(comparison, curves, units);
	const { grounds, more = [] } = verdictOf(comparison, units);
	const marked =
		best !== null
			? { name: best, badge: "✓ meets the target with the least air" }
			: closest !== null
				? { name: closest, badge: "closest, but misses the target" }
				: null;
	const room = roomSections(scenario);
	const read = hero.rival === null ? [hero.subject] : [hero.subject, hero.rival];
	return scenarioReport(scenario, listInputs(scenario), options, {
		kind: "compare",
		head: compareHead(comparison, units),
		hero: html`<figure>${heroDrawings(hero)}${readingLine()}</figure>`,
		lead: [
			keepTogether([grounds, ...more].join(" ")),
			...(scenario.notes === null ? [] : [html`<small>${scenario.notes}</small>`]),
			chamberDrawing(hero),
		],
		sections: [
			schedulesSection(comparison, curves),
			cycleSection(comparison, subjectOf(comparison), units),
			airAndWaterSection(comparison, subjectOf(comparison)),
			figuresSection(comparison, units),
		],
		warnings: warnings.map(warningMessage),
		details: [
			{
				summary: "All results",
				count: `${schedules.length} schedules, side by side`,
				body: resultsTable(comparison, marked, units),
			},
			{
				summary: "The first day from the start",
				count: "24 h",
				body: scheduleTiles("day", comparison, curves.firstDay, schedules.slice(0, MAX_TILES)),
			},
			hasHumidity(comparison) && {
				summary: "Humidity, water and heat",
				count: "per day",
				body: humiditySections(comparison),
			},
			scenario.sensorSwitches.length > 0 && {
				summary: "Switched by a sensor",
				count: "against the timers",
				body: switchSections(scenario, units),
			},
			room.length > 0 && { summary: "The air of the room", count: "round the chambers", body: room },
			{ summary: "The same air without pauses", count: "continuous flow", body: continuousTable(schedules) },
		],
		data: { readings: readingsOf(hero.windowSeconds, hero.isTimeOfDay, read) },
		style: READING_STYLE + STACK_STYLE,
		script: READING_SCRIPT,
	});
}

/** The hero of a comparison as an SVG file for a paper or a slide. */
export const compareSvg = (
	comparison: Comparison,
	curves: ComparisonCurves,
	units: UnitSystem = "si",
): string => standaloneSvg(wideHero(heroOf(comparison, curves, units)));
