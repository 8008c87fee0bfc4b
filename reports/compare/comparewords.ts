import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import type { State } from "../charts/section/states.ts";
import type { Head, HeadFigure } from "../page/head.ts";
import { formatGrams, roughTime, upperFirst, whole } from "../words/format.ts";
import { isPublishedRespiration, stateOf } from "../words/states.ts";
import { marginText } from "../words/verdict.ts";

/** The schedule that a page is about: the best one, else the closest. */
export const subjectOf = ({ schedules, best, closest }: Comparison): ComparedSchedule =>
	schedules.find(({ name }) => name === (best ?? closest)) ?? schedules[0]!;

const STATISTIC = { peak: "highest CO₂", mean: "mean CO₂", "worst hour": "worst hour" };

/** A quantity in words, parted into number and unit. */
const parted = (words: string): Pick<HeadFigure, "value" | "unit"> => {
	const at = words.lastIndexOf(" ");
	return { value: words.slice(0, at), unit: words.slice(at + 1) };
};

/** "88 under the ceiling", "340 above the ceiling", "12 below the floor" */
const marginNote = (margin: string): string =>
	margin.endsWith("floor") ? margin : `${margin.replace("below", "under")} the ceiling`;

/** The judged value as a figure of the head. */
export const judgedFigure = (
	criterion: ComparedSchedule["summary"]["criterion"],
	valuePpm: number,
	meanPpm: number,
): HeadFigure => ({
	value: whole(valuePpm),
	unit: "ppm",
	name: STATISTIC[criterion.statistic],
	note: marginNote(marginText(criterion, valuePpm, meanPpm)),
});

/** The first two parts of a time, such as "1 h 12 min", for a figure in large type. */
export const timeFigure = (seconds: number): Pick<HeadFigure, "value" | "unit"> => {
	const parts = roughTime(seconds).split(" ");
	return parts.length <= 2
		? { value: parts[0]!, unit: parts[1] ?? "" }
		: { value: parts[0]!, unit: parts.slice(1, 4).join(" ") };
};

function airFigure(subject: ComparedSchedule, units: UnitSystem): HeadFigure {
	const { moistureLossGPerDay } = subject.water;
	return {
		...parted(formatQuantity(subject.summary.freshAirM3PerDay, "volume", units)),
		name: "fresh air per day",
		note:
			moistureLossGPerDay > 0 ? `${formatGrams(moistureLossGPerDay)} of water with it` : "through the fan",
	};
}

/** A name that fits into an answer of six words. */
const isShort = (name: string): boolean => name.length <= 24 && name.split(/\s+/).length <= 4;

function answerOf(
	{ schedules, highRespiration }: Comparison,
	{ name }: ComparedSchedule,
	state: State,
): string {
	const who = isShort(name) ? upperFirst(name) : schedules.length === 1 ? "This schedule" : "One schedule";
	if (state === "holds") return `${who} holds.`;
	if (state === "fails")
		return schedules.length === 1
			? `${who} fails.`
			: schedules.length === 2
				? "Both schedules fail."
				: `All ${schedules.length} schedules fail.`;
	return highRespiration?.compliant.includes(name) === true
		? "Holds at published respiration."
		: "Holds unless respiration is high.";
}

/** The answer to a comparison: state, six words, two figures. */
export function compareHead(comparison: Comparison, units: UnitSystem): Head {
	const { schedules, scenario } = comparison;
	const subject = subjectOf(comparison);
	const { summary } = subject;
	const { criterion, exceedanceSecondsPerHour, firstExceedanceSeconds } = summary;
	const state = stateOf(comparison, subject);
	const count = schedules.length === 1 ? `“${subject.name}”` : `${schedules.length} schedules`;
	const above: HeadFigure = {
		...timeFigure(exceedanceSecondsPerHour),
		name: "above, per hour",
		note: firstExceedanceSeconds === null ? "" : `first after ${roughTime(firstExceedanceSeconds)}`,
	};
	return {
		state,
		word: {
			holds: "HOLDS",
			doubt: isPublishedRespiration(comparison) ? "HOLDS IF AS PUBLISHED" : "HOLDS IF AS EXPECTED",
			fails: "FAILS",
		}[state],
		what: [
			scenario.name,
			`${count} against a ceiling of ${whole(criterion.ceilingPpm)} ppm on the ${criterion.statistic}`,
		],
		answer: answerOf(comparison, subject, state),
		figures: [
			judgedFigure(criterion, criterion.valuePpm, summary.meanPpm),
			state === "fails" && exceedanceSecondsPerHour > 0 ? above : airFigure(subject, units),
		],
	};
}
