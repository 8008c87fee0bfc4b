import type { Lesson } from "../../lib/lesson/lesson.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatPpm, formatTime } from "../words/format.ts";
import { formatNumber } from "./lessoncharts.ts";
import { formatPercent } from "./lessonwords.ts";

/** A common misconception as a question, and the answer with this lesson's figures. */
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
			question: "If the air per day is the same, isn't the mean CO₂ the same?",
			answer: `Nearly, if each burst is short. With rare bursts of one air change the mean excess is ${formatPercent(one.penalty)} above that of continuous flow; with bursts of five air changes ${formatPercent(five.penalty)} above.`,
		},
		{
			question: "Does a stronger fan flatten the sawtooth?",
			answer: `Hardly: the CO₂ rises in the pause with any fan. Here “${longest.name}” has a ripple of ${formatPpm(m.ripple.givenPpm)}. A fan twice as strong, run half as long, makes it ${formatPpm(m.ripple.strongerFanPpm)}; half the cycle makes it ${formatPpm(m.ripple.halfTheCyclePpm)}. Take a shorter cycle.`,
		},
		{
			question: "CO₂ is heavier than air. Doesn't it pool at the floor?",
			answer: `Not in a fan-stirred chamber: ${m.weight.morePpm} ppm more make air ${(100 * m.weight.heavier).toFixed(2)} % heavier; ${degree} more warmth makes it ${(100 * m.weight.lighterPerKelvin).toFixed(2)} % lighter. Warmth and fans decide where air goes. (Pure CO₂, as from dry ice, is different: it does pool, and it is dangerous.)`,
		},
		{
			question: "Can enough fresh air bring the CO₂ down to 400 ppm?",
			answer: `Only if the intake air has less than that. Here it has ${formatPpm(model.intakePpm)}, and no fan gets below it. A room with people in it has more.`,
		},
		{
			question: "The fan's box says how much air it moves. Isn't that the delivered flow?",
			answer: `No. The box gives the flow against no resistance; a filter, a duct and a small inlet leave less, often much less. Measure it, for example with a bag of known size. This lesson uses a delivered flow of ${formatQuantity(model.deliveredM3PerS, "flow", units)}.`,
		},
		{
			question: "Doesn't the crop feel the mean, so that peaks do not matter?",
			answer:
				"Nobody knows well how fast a crop responds to CO₂, so always name the statistic that you compare with the ceiling. The peak is the cautious choice.",
		},
		{
			question: "Does fresh air leave the humidity alone?",
			answer: `No. Take a chamber at ${formatPercent(m.humidity.chamber)} relative humidity and intake air at ${formatPercent(m.humidity.intake)}, of the same temperature. After one air change the chamber is at ${formatPercent(m.humidity.after)}, until water evaporates again.`,
		},
		{
			question: "The logger says that the peak stayed under the ceiling. Is that proof?",
			answer: `Not with a slow sensor. Under “${sensor.schedule.name}”, one with a response time of ${formatTime(slow.responseSeconds)} shows a peak of ${formatPpm(slow.shown.peakPpm)} where the air has ${formatPpm(sensor.air.peakPpm)}.`,
		},
		{
			question: "Doesn't a sealed box run out of oxygen first?",
			answer: `No. When its CO₂ is at ${m.oxygen.atPpm} ppm, a limit for people at work, the oxygen has only fallen from ${m.oxygen.freshPercent} % to about ${formatNumber(m.oxygen.leftPercent)} %. The CO₂ harms first.`,
		},
	];
}

function twiceThePause({ pauses }: Lesson["misconceptions"], ceilingPpm: number): Misconception[] {
	const [first, second, third] = pauses;
	if (first === undefined || second === undefined) return [];
	const more =
		third === undefined
			? ""
			: ` Near the longest possible off-time, after ${formatTime(third.offSeconds)}, it takes ${formatTime(third.onSeconds)}.`;
	return [
		{
			question: "Does twice the pause need twice the burst?",
			answer: `More than that. To keep the peak at ${formatPpm(ceilingPpm)}, a pause of ${formatTime(first.offSeconds)} needs ${formatTime(first.onSeconds)} here, and ${formatTime(second.offSeconds)} needs ${formatTime(second.onSeconds)}: ${formatNumber(second.offSeconds / first.offSeconds)} times the pause, ${formatNumber(second.onSeconds / first.onSeconds)} times the burst.${more}`,
		},
	];
}
