import type { Lesson } from "../../lib/lesson/lesson.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm } from "../words/verdict.ts";
import { formatNumber } from "./lessoncharts.ts";
import { formatPercent, formatTime } from "./lessonwords.ts";

/** What many believe, as a question, and the answer with this lesson's figures. */
export interface Misconception {
	readonly question: string;
	readonly answer: string;
}

/** The questions of the lesson, each with its answer. */
export function answerMisconceptions(lesson: Lesson, units: UnitSystem): readonly Misconception[] {
	const { misconceptions: m, model, washout, sensor, schedules, ceilingPpm } = lesson;
	const share = (n: number) =>
		formatPercent(washout.replaced.find(({ airChanges }) => airChanges === n)!.replacedFraction);
	const [one, five] = m.meanPenalties as [(typeof m.meanPenalties)[0], (typeof m.meanPenalties)[0]];
	const longest = schedules[0]!;
	const slow = sensor.sensors.at(-1)!;
	const degree = units === "us" ? "1.8 °F" : "1 K";
	return [
		{
			question: "One air change makes all the air new, doesn't it?",
			answer: `No: ${share(1)} of it. The fresh air mixes with the old, and part of it leaves again. Two air changes replace ${share(2)}, three ${share(3)}.`,
		},
		...twiceThePause(m, ceilingPpm),
		{
			question: "If the air a day is the same, isn't the mean CO2 the same?",
			answer: `Nearly, if each burst is short. With rare bursts of one air change the mean excess is ${formatPercent(one.penalty)} above that of continuous flow; with bursts of five air changes ${formatPercent(five.penalty)} above.`,
		},
		{
			question: "Does a stronger fan flatten the sawtooth?",
			answer: `Hardly: the CO2 rises in the pause, whatever the fan. Here “${longest.name}” has a ripple of ${formatPpm(m.ripple.givenPpm)}; a fan twice as strong, run half as long, makes it ${formatPpm(m.ripple.strongerFanPpm)}; half the cycle makes it ${formatPpm(m.ripple.halfTheCyclePpm)}. A shorter cycle is the cure.`,
		},
		{
			question: "CO2 is heavier than air. Doesn't it pool at the floor?",
			answer: `Not in a fan-stirred chamber: ${m.weight.morePpm} ppm more make air ${(100 * m.weight.heavier).toFixed(2)} % heavier, ${degree} of warmth makes it ${(100 * m.weight.lighterPerKelvin).toFixed(2)} % lighter. Warmth and fans decide where air goes. (Pure CO2, as from dry ice, is another matter: it does pool, and it is dangerous.)`,
		},
		{
			question: "Can enough fresh air bring the CO2 down to 400 ppm?",
			answer: `Only if the air drawn in has less than that. Here it has ${formatPpm(model.intakePpm)}, and no fan gets below it. A room with people in it has more.`,
		},
		{
			question: "The fan's box says how much air it moves. Isn't that the flow to reckon with?",
			answer: `No. The box gives the flow against no resistance; a filter, a duct and a small inlet leave less, often much less. Measure it, say with a bag of known size. This lesson takes ${formatQuantity(model.deliveredM3PerS, "flow", units)} as what is really delivered.`,
		},
		{
			question: "Doesn't the crop feel the mean, so that peaks do not matter?",
			answer:
				"Nobody knows well how fast a crop answers to CO2, so say which figure you hold against the ceiling. Holding the peak is the cautious choice.",
		},
		{
			question: "Does fresh air leave the humidity alone?",
			answer: `No. Take a chamber at ${formatPercent(m.humidity.chamber)} and air drawn in at ${formatPercent(m.humidity.intake)} of the same temperature: after one air change it stands at ${formatPercent(m.humidity.after)}, until water evaporates anew.`,
		},
		{
			question: "The logger says that the peak stayed under the ceiling. Is that proof?",
			answer: `Not with a slow sensor: under “${sensor.schedule.name}” one that takes ${formatTime(slow.responseSeconds)} for 63 % of a step shows a peak of ${formatPpm(slow.shown.peakPpm)} where the air has ${formatPpm(sensor.air.peakPpm)}.`,
		},
		{
			question: "Doesn't a sealed box run out of oxygen first?",
			answer: `No. When its CO2 is at ${m.oxygen.atPpm} ppm, a limit for people at work, the oxygen has only fallen from ${m.oxygen.freshPercent} % to about ${formatNumber(m.oxygen.leftPercent)} %. It is the CO2 that harms first.`,
		},
	];
}

function twiceThePause({ pauses }: Lesson["misconceptions"], ceilingPpm: number): Misconception[] {
	const [first, second, third] = pauses;
	if (first === undefined || second === undefined) return [];
	const more =
		third === undefined
			? ""
			: ` Near the wall, after ${formatTime(third.offSeconds)}, it takes ${formatTime(third.onSeconds)}.`;
	return [
		{
			question: "Does twice the pause need twice the burst?",
			answer: `More than that. To stay at ${formatPpm(ceilingPpm)} on the peak, a pause of ${formatTime(first.offSeconds)} needs ${formatTime(first.onSeconds)} here, and ${formatTime(second.offSeconds)} needs ${formatTime(second.onSeconds)}: ${formatNumber(second.offSeconds / first.offSeconds)} times the pause, ${formatNumber(second.onSeconds / first.onSeconds)} times the burst.${more}`,
		},
	];
}
