import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import type { ComparisonCurves, Curve } from "../../lib/compare/curves.ts";
import { isTimeVarying } from "../../lib/model/chamber.ts";
import { inWords } from "../../lib/model/schedule/inwords.ts";
import { periodSeconds, type Schedule } from "../../lib/model/schedule/schedule.ts";
import { dutyCycle } from "../../lib/model/schedule/timeline.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import type { CurveLine, Hero, HeroCurve } from "../charts/section/hero.ts";
import { extremes } from "../charts/section/scale.ts";
import { percentCell, roughTime, whole } from "../words/format.ts";
import { stateOf } from "../words/states.ts";
import { subjectOf } from "./comparewords.ts";

/** Longest cycle of a schedule [s]; null where nothing cycles. */
export const cycleOf = (schedule: Schedule): number | null => {
	switch (schedule.kind) {
		case "cycle":
			return periodSeconds(schedule);
		case "daily":
			return schedule.parts.reduce<number | null>((most, part) => {
				const own = cycleOf(part.schedule);
				return own === null || (most !== null && most >= own) ? most : own;
			}, null);
		default:
			return null;
	}
};

/** "4 s on, 3 min 56 s off" */
export const settingWords = (schedule: Schedule): string => {
	if (schedule.kind === "daily") return "by time of day";
	return inWords(schedule)
		.split(", ")
		.slice(0, schedule.kind === "cycle" ? 2 : 1)
		.join(", ");
};

export const shareWords = (schedule: Schedule): string =>
	`${percentCell(100 * dutyCycle(schedule))} of the time`;

/** "88 ppm to spare" */
export const spareWords = (valuePpm: number, ceilingPpm: number): string =>
	valuePpm > ceilingPpm
		? `${whole(Math.max(1, valuePpm - ceilingPpm))} ppm above`
		: `${whole(ceilingPpm - valuePpm)} ppm to spare`;

export function curveOf(
	{ name, schedule, summary }: ComparedSchedule,
	curve: Curve,
	lines: readonly CurveLine[],
): HeroCurve {
	const { peakPpm, troughPpm } = summary;
	const isAbove = peakPpm > summary.criterion.ceilingPpm;
	return {
		name,
		setting: settingWords(schedule),
		trace: curve,
		bursts: curve.bursts,
		cycleSeconds: cycleOf(schedule),
		share: shareWords(schedule),
		peakPpm,
		lines,
		inShort: isAbove
			? `${name}: up to ${whole(peakPpm)}`
			: `${name}: ${whole(troughPpm)} to ${whole(peakPpm)}`,
	};
}

/** The schedule beside the subject: the one with the highest peak; none where the range of the subject is what is to be seen. */
export function heroRival(comparison: Comparison): ComparedSchedule | null {
	const subject = subjectOf(comparison);
	if (stateOf(comparison, subject) === "doubt") return null;
	return comparison.schedules
		.filter((schedule) => schedule !== subject)
		.reduce<ComparedSchedule | null>(
			(most, next) => (most === null || next.summary.peakPpm > most.summary.peakPpm ? next : most),
			null,
		);
}

export function heroOf(
	comparison: Comparison,
	{ pattern, range }: Pick<ComparisonCurves, "pattern" | "range">,
	units: UnitSystem,
	[subject, rival]: readonly [ComparedSchedule, ComparedSchedule | null] = [
		subjectOf(comparison),
		heroRival(comparison),
	],
): Hero {
	const { model, scenario, schedules, highRespiration } = comparison;
	const curve = (of: ComparedSchedule): Curve => pattern[schedules.indexOf(of)]!;
	const { summary } = subject;
	const { criterion } = summary;
	const windowSeconds = Math.max(...pattern.map(({ timesSeconds }) => timesSeconds.at(-1) ?? 0));
	// A drawing has room for three digits.
	const volume = (m3: number): string => formatQuantity(Number(m3.toPrecision(3)), "volume", units);
	const levels = `${whole(summary.troughPpm)} to ${whole(summary.peakPpm)} ppm`;
	const highPpm = range === null ? null : extremes(range.high.co2Ppm)[1];
	const state = stateOf(comparison, subject);
	const rangeLine =
		highPpm === null || highRespiration === null
			? []
			: [{ text: `up to ${whole(highPpm)} if high`, colour: "td" } as const];
	const says = [
		`“${subject.name}” goes from ${levels}, under a ceiling of ${whole(criterion.ceilingPpm)} ppm.`,
		...(highPpm === null
			? []
			: [`With respiration at the high end of its range it comes to ${whole(highPpm)} ppm.`]),
		...(rival === null ? [] : [`“${rival.name}” comes to ${whole(rival.summary.peakPpm)} ppm.`]),
		`The intake air has ${whole(model.intakePpm)} ppm.`,
	];
	return {
		id: "hero",
		title: `CO₂ under ${rival === null ? "one schedule" : "two schedules"}, beside a section of the chamber`,
		desc: says.join(" "),
		subject: curveOf(subject, curve(subject), [{ text: levels }, ...rangeLine]),
		rival:
			rival === null
				? null
				: curveOf(
						rival,
						curve(rival),
						rival.summary.criterion.isMet
							? [{ text: `up to ${whole(rival.summary.peakPpm)} ppm` }]
							: [
									{ text: `up to ${whole(rival.summary.peakPpm)} ppm`, colour: "tf" },
									{ text: `${roughTime(rival.summary.exceedanceSecondsPerHour)} per h above`, colour: "tf" },
								],
					),
		band: range,
		shown: null,
		isBandSubject: state === "doubt",
		valuePpm: criterion.valuePpm,
		spare: spareWords(criterion.valuePpm, criterion.ceilingPpm),
		ceilingPpm: criterion.ceilingPpm,
		floorPpm: scenario.target.floor?.value ?? null,
		intakePpm: model.intakePpm,
		windowSeconds,
		isTimeOfDay: schedules.some(({ schedule }) => schedule.kind === "daily") || isTimeVarying(model),
		chamber: {
			peakPpm: summary.peakPpm,
			troughPpm: summary.troughPpm,
			fan: volume(summary.freshAirM3PerDay),
			leakage: volume(summary.infiltrationM3PerDay),
			fanFlow: summary.freshAirM3PerDay,
			leakageFlow: summary.infiltrationM3PerDay,
			hasSensor: (model.responseSeconds ?? 0) > 0,
		},
	};
}
