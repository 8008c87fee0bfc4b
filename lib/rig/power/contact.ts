import type { Model } from "../../model/chamber.ts";
import { burstsPerDay, periodSeconds, type Schedule, segments } from "../../model/schedule/schedule.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { CONTACT_OPERATIONS, MIN_CONTACT_CURRENT, MIN_PULSE, RESISTIVE_SHARE } from "../../sources/timers.ts";
import type { ContactLife, FormatValue, PowerReport, RigFinding } from "../rigtypes.ts";

const DAY = 86_400;
/** Mean month [d]. */
const MONTH_DAYS = 30.44;
/** A contact that lasts less than this is a part to be replaced by the calendar [months]: judgement. */
const MIN_LIFE_MONTHS = 12;
/** A fan that waits longer than this after each power cut is worth a warning [s]: judgement. */
const MAX_POWER_UP_PAUSE = 15 * 60;

/** Wear of the contact by each schedule that switches it. */
export function estimateContactLife({ timer, schedules }: Scenario): ContactLife[] {
	const rated = timer?.ratedOperations?.value;
	const operations = rated ?? CONTACT_OPERATIONS.value;
	return schedules.flatMap(({ name, schedule }) => {
		const operationsPerMonth = burstsPerDay(schedule) * MONTH_DAYS;
		if (!(operationsPerMonth > 0)) return [];
		return [
			{
				name,
				operationsPerMonth,
				months: operations / operationsPerMonth,
				cautiousMonths: rated === undefined ? CONTACT_OPERATIONS.low! / operationsPerMonth : null,
			},
		];
	});
}

/** What the contact bears, and how long it lasts. */
export function contactItems(
	scenario: Scenario,
	power: PowerReport | null,
	lives: readonly ContactLife[] | null,
	say: FormatValue,
): RigFinding[] {
	return [...ratingItem(scenario, power, say), ...(lives ?? []).map((life) => lifeItem(scenario, life, say))];
}

function ratingItem({ timer }: Scenario, power: PowerReport | null, say: FormatValue): RigFinding[] {
	const rating = timer?.contactRating ?? timer?.resistiveRating ?? null;
	if (timer === null || power === null || rating === null) return [];
	const { fanAmps } = power;
	const amps = (value: number) => say(value, "current");
	const inductive = timer.contactRating !== null;
	const usable = inductive ? rating.value : (rating.value * RESISTIVE_SHARE.value) / 100;
	const most = inductive ? rating.value : (rating.value * RESISTIVE_SHARE.high!) / 100;
	const tiny = timer.type !== "negative-switching" && fanAmps < MIN_CONTACT_CURRENT.value * (1 - 1e-9);
	const over = fanAmps > most * (1 + 1e-9);
	const tight = !over && fanAmps > usable * (1 + 1e-9);
	const bears = inductive
		? `${amps(rating.value)} for motors`
		: `${amps(usable)} for motors, ${RESISTIVE_SHARE.value} % of its resistive ${amps(rating.value)}`;
	return [
		{
			id: "contact",
			about: null,
			verdict: over ? "stop" : tight || tiny ? "attention" : "ok",
			finding: `The timer switches ${amps(fanAmps)} of fans and bears ${bears}${over ? ": it is overloaded" : ""}${
				tiny ? "; so small a current may not keep a power contact clean" : ""
			}.`,
			reason:
				"A small relay carries 7 to 10 A of heaters but only 3 A of motors. A welded contact leaves the fan on for good, and the crop dries out.",
			remedy:
				over || tight
					? "Switch fewer fans, or put a larger relay or a solid-state switch behind the timer."
					: tiny
						? "Try it with the real fan for a day, or take a solid-state timer."
						: null,
			values: [
				{ label: "switched", value: fanAmps, dimension: "current" },
				{ label: "bears for motors", value: usable, dimension: "current" },
			],
		},
	];
}

function lifeItem({ limits, timer }: Scenario, life: ContactLife, say: FormatValue): RigFinding {
	const { name, operationsPerMonth, months, cautiousMonths } = life;
	const wanted = limits.life === null ? null : limits.life.value / (MONTH_DAYS * DAY);
	const short = months < (wanted ?? MIN_LIFE_MONTHS) * (1 - 1e-9);
	const count = say(timer?.ratedOperations?.value ?? CONTACT_OPERATIONS.value, "number");
	const round = (x: number) => say(Number(x.toPrecision(3)), "number");
	return {
		id: "contact life",
		about: name,
		verdict: short ? "attention" : "ok",
		finding: `${round(operationsPerMonth)} operations a month: ${count} last ${round(months)} months${
			cautiousMonths === null
				? ""
				: `, and ${CONTACT_OPERATIONS.low} of a cautious guess ${round(cautiousMonths)} months`
		}.`,
		reason:
			wanted === null
				? "A contact wears with every operation; life grows with the cycle."
				: `A contact wears with every operation; it is to last ${round(wanted)} months (limits.life).`,
		remedy: short
			? "Take a longer cycle with burst and pause alike, a solid-state timer, or replace the relay by the calendar."
			: null,
		values: [
			{ label: "operations a month", value: operationsPerMonth, dimension: "number" },
			{ label: "life", value: months * MONTH_DAYS * DAY, dimension: "duration" },
		],
	};
}

/** Shortest and longest stretch of a schedule with the fan on or off [s]; null when it never switches. */
function onOffExtremes(schedule: Schedule): { shortest: number; longestOff: number } | null {
	const list = [...segments(schedule, periodSeconds(schedule) ?? DAY)];
	if (list.every(({ isOn }) => isOn === list[0]?.isOn)) return null;
	const seconds = list.map(({ durationSeconds }) => durationSeconds);
	const off = list.filter(({ isOn }) => !isOn).map(({ durationSeconds }) => durationSeconds);
	return { shortest: Math.min(...seconds), longestOff: Math.max(...off) };
}

/** Pulses that weld a contact, and what a power cut does to each schedule. */
export function timingItems(scenario: Scenario, model: Model, say: FormatValue): RigFinding[] {
	const { timer, schedules } = scenario;
	const found = schedules.flatMap(({ name, schedule }) => {
		const lengths = onOffExtremes(schedule);
		return lengths === null ? [] : [{ name, ...lengths }];
	});
	const items: RigFinding[] = found
		.filter(({ shortest }) => shortest < MIN_PULSE.value - 1e-9 && timer?.type !== "negative-switching")
		.map(({ name, shortest }) => ({
			id: "pulse",
			about: name,
			verdict: "stop",
			finding: `It switches for only ${say(shortest, "duration")}.`,
			reason: `Pulses of 0.1 s can weld a contact; none is to be shorter than ${MIN_PULSE.value} s, and 3 s or more are better.`,
			remedy: "Lengthen burst and pause alike.",
			values: [{ label: "shortest stretch", value: shortest, dimension: "duration" }],
		}));
	if (timer === null || timer.powerUp === null) return items;
	for (const { name, longestOff } of found) {
		const isOffAtPowerUp = timer.powerUp === "off";
		const isLong = isOffAtPowerUp && longestOff > MAX_POWER_UP_PAUSE;
		const risePpm = (1e6 * model.generationM3PerS * longestOff) / model.volumeM3;
		items.push({
			id: "power-up",
			about: name,
			verdict: isLong ? "attention" : "ok",
			finding: isOffAtPowerUp
				? `After each power cut the timer waits ${say(longestOff, "duration")} before the fan runs, in which CO2 rises by up to ${say(risePpm, "concentration")} more. Where power fails more often than that, the fan never runs.`
				: "After each power cut the timer begins with a burst.",
			reason: "A timer begins its cycle anew when power returns, and so do all timers on the same line.",
			remedy: isLong
				? "Take a timer or a mode that begins with the fan on, or a shorter cycle with burst and pause alike."
				: null,
			values: [{ label: "longest pause", value: longestOff, dimension: "duration" }],
		});
	}
	return items;
}
