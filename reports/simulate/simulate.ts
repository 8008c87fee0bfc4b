import type { Comparison } from "../../lib/compare/comparison.ts";
import { type Curve, sampleCurve } from "../../lib/compare/curves.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { initialState, uniformState } from "../../lib/solve/propagate/propagate.ts";
import { type RunStats, runStats, type SimulateOptions } from "../../lib/solve/simulate.ts";
import { DAY } from "../../lib/time.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { chamberDrawing, type Hero, heroDrawings, wideHero } from "../charts/section/hero.ts";
import { lensDrawings } from "../charts/section/lens.ts";
import { readingsOf } from "../charts/section/reading.ts";
import { READING_SCRIPT, READING_STYLE, readingLine } from "../charts/section/readingline.ts";
import { extremes } from "../charts/section/scale.ts";
import type { State } from "../charts/section/states.ts";
import { FIELD_SECONDS, weekDrawings } from "../charts/section/week.ts";
import { airAndWaterSection } from "../compare/airandwater.ts";
import { judgedFigure, timeFigure } from "../compare/comparewords.ts";
import { continuousTable } from "../compare/continuoustable.ts";
import { curveOf, cycleOf, heroOf, spareWords } from "../compare/herodata.ts";
import { humiditySections } from "../compare/humiditysection.ts";
import { runTable } from "../compare/resultstable.ts";
import type { Head } from "../page/head.ts";
import { html } from "../page/html.ts";
import { scenarioReport } from "../page/report.ts";
import type { Section } from "../page/section.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { standaloneSvg } from "../page/standalone.ts";
import { formatPpm, roughTime, whole } from "../words/format.ts";
import { hasHumidity } from "../words/humidity.ts";
import { type EvaluatedRun, evaluateRun, verdictOfRun } from "../words/runverdict.ts";
import { stateOf } from "../words/states.ts";
import { cropZoneName } from "../words/verdict.ts";
import { warningMessage } from "../words/warnings.ts";

/** Points of one curve. */
const POINTS = 2000;
/** Cycles that a lens shows. */
const LENS_CYCLES = 10;

/** How a run starts and how long it is. */
export type RunWindow = Pick<SimulateOptions, "start" | "startPpm" | "durationSeconds">;

/** The CO2 of a stretch of the run. */
function curveFrom(
	comparison: Comparison,
	run: RunWindow,
	fromSeconds: number,
	toSeconds: number,
	points = POINTS,
): Curve {
	const { schedules, model } = comparison;
	const { name, schedule } = schedules[0]!;
	const { start, startPpm } = run;
	return sampleCurve(name, model, schedule, {
		fromSeconds,
		toSeconds,
		start: start ?? (startPpm === undefined ? initialState(model) : uniformState(model, startPpm)),
		points,
	});
}

const placeOfPeak = ({ co2Ppm }: Curve): number =>
	co2Ppm.reduce((most, ppm, place) => (ppm > co2Ppm[most]! ? place : most), 0);

function runHero(
	comparison: Comparison,
	curve: Curve,
	{ stats, valuePpm }: EvaluatedRun,
	units: UnitSystem,
): Hero {
	const compared = comparison.schedules[0]!;
	const { criterion } = compared.summary;
	const zone = cropZoneName(comparison);
	const settled = heroOf(comparison, { pattern: [curve], range: null }, units);
	const levels = `${whole(stats.troughPpm)} to ${whole(stats.peakPpm)} ppm`;
	const sensor =
		zone === null ? "the sensor shows" : `sensor, ${comparison.model.sensorZone ?? "mixed"} zone`;
	return {
		...settled,
		title: `CO₂ over ${formatDuration(stats.durationSeconds)}, beside a section of the chamber`,
		desc: `The run starts at ${formatPpm(stats.startPpm)} and ends at ${formatPpm(stats.endPpm)}, from ${levels}. The ceiling is ${formatPpm(criterion.ceilingPpm)}.`,
		subject: {
			...curveOf(compared, curve, [
				{ text: levels },
				...(stats.sensor === null
					? []
					: [
							{ text: sensor, colour: "tl" } as const,
							{ text: `up to ${whole(stats.sensor.peakPpm)} ppm`, colour: "tl" } as const,
						]),
			]),
			peakPpm: stats.peakPpm,
			inShort: `${whole(stats.troughPpm)} to ${whole(stats.peakPpm)} ppm`,
		},
		rival: null,
		shown: curve.sensorPpm === null ? null : { timesSeconds: curve.timesSeconds, co2Ppm: curve.sensorPpm },
		isBandSubject: false,
		valuePpm,
		spare: spareWords(valuePpm, criterion.ceilingPpm),
		isTimeOfDay: false,
		chamber: { ...settled.chamber, peakPpm: stats.peakPpm, troughPpm: stats.troughPpm },
	};
}

/** A few cycles round the peak of the run; null where its cycles are seen as it is. */
function lensSection(comparison: Comparison, run: RunWindow, curve: Curve): Section | null {
	const { schedules, model, scenario } = comparison;
	const cycle = cycleOf(schedules[0]!.schedule);
	if (cycle === null || run.durationSeconds < 3 * LENS_CYCLES * cycle) return null;
	const peakSeconds = curve.timesSeconds[placeOfPeak(curve)]!;
	const length = LENS_CYCLES * cycle;
	const fromSeconds = Math.max(0, Math.min(peakSeconds - length / 2, run.durationSeconds - length));
	const near = curveFrom(comparison, run, fromSeconds, fromSeconds + length);
	const [, peakPpm] = extremes(near.co2Ppm);
	const ceilingPpm = scenario.target.ceiling.value;
	const title = `${LENS_CYCLES} cycles round the peak`;
	return {
		id: "lens",
		heading: title,
		words: "Round the peak",
		sentence: `The highest CO₂ of the run comes ${roughTime(peakSeconds)} after its start.`,
		body: html`<figure>${lensDrawings({
			id: "lens-d",
			title,
			desc: `CO₂ swings up to ${whole(peakPpm)} ppm: ${spareWords(peakPpm, ceilingPpm)}.`,
			trace: { timesSeconds: near.timesSeconds.map((t) => t + fromSeconds), co2Ppm: near.co2Ppm },
			bursts: near.bursts.map(({ startSeconds, endSeconds }) => ({
				startSeconds: startSeconds + fromSeconds,
				endSeconds: endSeconds + fromSeconds,
			})),
			fromSeconds,
			toSeconds: fromSeconds + length,
			intakePpm: model.intakePpm,
			ceilingPpm,
			peakPpm,
			spare: spareWords(peakPpm, ceilingPpm),
		})}</figure>`,
	};
}

/** Most days that are shown by the hour. */
const MAX_DAYS = 7;

interface DayOfRun {
	readonly name: string;
	readonly peaks: readonly number[];
}

/** The peak of each half hour of the days round the peak; none for a run of less than two days. */
function daysOf(comparison: Comparison, run: RunWindow, peakSeconds: number): readonly DayOfRun[] {
	const days = Math.floor(run.durationSeconds / DAY + 1e-9);
	if (days < 2) return [];
	const count = Math.min(days, MAX_DAYS);
	const first = Math.max(0, Math.min(Math.floor(peakSeconds / DAY) - 3, days - count));
	const from = first * DAY;
	// Two buckets a half hour keep its extremes.
	const curve = curveFrom(comparison, run, from, from + count * DAY, count * 48 * 16);
	const peaks: number[] = new Array(count * 48).fill(Number.NEGATIVE_INFINITY);
	curve.timesSeconds.forEach((t, place) => {
		const field = Math.min(peaks.length - 1, Math.floor(t / FIELD_SECONDS));
		peaks[field] = Math.max(peaks[field]!, curve.co2Ppm[place]!);
	});
	peaks.forEach((ppm, field) => {
		if (ppm === Number.NEGATIVE_INFINITY) peaks[field] = peaks[field - 1] ?? curve.co2Ppm[0]!;
	});
	return Array.from({ length: count }, (_, day) => ({
		name: `day ${first + day + 1}`,
		peaks: peaks.slice(day * 48, day * 48 + 48),
	}));
}

function weekSection({ model, scenario }: Comparison, days: readonly DayOfRun[]): Section | null {
	if (days.length === 0) return null;
	const ceilingPpm = scenario.target.ceiling.value;
	const halfHours = days.map(({ peaks }) => peaks.filter((ppm) => ppm > ceilingPpm).length);
	const total = halfHours.reduce((a, b) => a + b, 0);
	return {
		id: "week",
		heading: `${days.length} days, hour by hour`,
		words: "By the hour",
		sentence:
			"Each field is half an hour from the start of the run; its colour is the peak in ppm. Hatched fields pass the ceiling.",
		body: html`<figure>${weekDrawings({
			id: "week-d",
			title: "Peak of each half hour",
			desc: total === 0 ? "No half hour passes the ceiling." : `${total} half hours pass the ceiling.`,
			days: days.map((day, place) => ({
				...day,
				above: halfHours[place] === 0 ? "–" : `in ${formatDuration(halfHours[place]! * FIELD_SECONDS)}`,
			})),
			intakePpm: model.intakePpm,
			ceilingPpm,
		})}</figure>`,
	};
}

function runHead(
	comparison: Comparison,
	{ stats, valuePpm, isMet }: EvaluatedRun,
	days: readonly DayOfRun[],
): Head {
	const { scenario, schedules } = comparison;
	const compared = schedules[0]!;
	const { criterion, freshAirM3PerDay } = compared.summary;
	const state: State = !isMet ? "fails" : stateOf(comparison, compared) === "holds" ? "holds" : "doubt";
	const length = formatDuration(stats.durationSeconds);
	const failing = days.filter(({ peaks }) => Math.max(...peaks) > criterion.ceilingPpm).length;
	const aboveSeconds = stats.exceedanceSeconds;
	return {
		state,
		word: { holds: "HOLDS", doubt: "HOLDS IF AS EXPECTED", fails: "FAILS" }[state],
		what: [
			scenario.name,
			`“${compared.name}” over ${length} against a ceiling of ${whole(criterion.ceilingPpm)} ppm on the ${criterion.statistic}`,
		],
		answer: isMet
			? "The whole run holds."
			: criterion.statistic === "peak" && failing > 0 && Math.floor(stats.durationSeconds / DAY) <= MAX_DAYS
				? `Fails on ${failing} of ${days.length} days.`
				: "This run fails.",
		figures: [
			judgedFigure(criterion, valuePpm, stats.meanPpm),
			aboveSeconds > 0
				? {
						...timeFigure(aboveSeconds),
						name: "above the ceiling",
						note: `first after ${roughTime(stats.firstExceedanceSeconds ?? 0)}`,
					}
				: {
						value: String(Number(freshAirM3PerDay.toPrecision(3))),
						unit: "m³",
						name: "fresh air per day",
						note: "in the long run",
					},
		],
	};
}

/** The values of the run itself. */
const runInWords = ({ startPpm, endPpm, peakPpm, troughPpm }: RunStats): string =>
	`It starts at ${formatPpm(startPpm)} and ends at ${formatPpm(endPpm)}; peak ${formatPpm(peakPpm)}, trough ${formatPpm(troughPpm)}.`;

const evaluated = (comparison: Comparison, run: RunWindow): EvaluatedRun => {
	const { model, schedules, scenario } = comparison;
	return evaluateRun(
		runStats(model, schedules[0]!.schedule, { ...run, ceilingPpm: scenario.target.ceiling.value }),
		comparison,
	);
};

/** The report of one run as one HTML file; the comparison holds the schedule that ran, and no other. */
export function simulateReport(comparison: Comparison, run: RunWindow, options: ReportOptions): string {
	const { scenario, schedules, warnings } = comparison;
	const judged = evaluated(comparison, run);
	const { stats } = judged;
	const curve = curveFrom(comparison, run, 0, run.durationSeconds);
	const hero = runHero(comparison, curve, judged, options.units);
	const days = daysOf(comparison, run, curve.timesSeconds[placeOfPeak(curve)]!);
	const { grounds, more = [] } = verdictOfRun(comparison, stats, options.units);
	return scenarioReport(scenario, listInputs(scenario), options, {
		kind: "simulate",
		head: runHead(comparison, judged, days),
		hero: html`<figure>${heroDrawings(hero)}${readingLine()}</figure>`,
		lead: [keepTogether([grounds, ...more].join(" ")), chamberDrawing(hero)],
		sections: [
			lensSection(comparison, run, curve),
			weekSection(comparison, days),
			airAndWaterSection(comparison, comparison.schedules[0]!),
			{
				id: "figures",
				heading: "Results",
				sentence: runInWords(stats),
				body: runTable(comparison, judged, options.units),
				isLong: true,
			},
		],
		warnings: warnings.map(warningMessage),
		details: [
			hasHumidity(comparison) && {
				summary: "Humidity, water and heat",
				count: "per day",
				body: humiditySections(comparison),
			},
			{ summary: "The same air without pauses", count: "continuous flow", body: continuousTable(schedules) },
		],
		data: { readings: readingsOf(hero.windowSeconds, false, [hero.subject]) },
		style: READING_STYLE,
		script: READING_SCRIPT,
	});
}

/** The run as an SVG file for a paper or a slide. */
export const simulateSvg = (comparison: Comparison, run: RunWindow, units: UnitSystem = "si"): string =>
	standaloneSvg(
		wideHero(
			runHero(
				comparison,
				curveFrom(comparison, run, 0, run.durationSeconds),
				evaluated(comparison, run),
				units,
			),
		),
	);
