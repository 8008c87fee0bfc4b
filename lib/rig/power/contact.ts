import type { Model } from "../../model/chamber.ts";
import { periodSeconds, type Schedule } from "../../model/schedule/schedule.ts";
import { burstsPerDay, segments } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { withMaximumSource } from "../../solve/cycles/maximumsource.ts";
import { CONTACT_OPERATIONS, MIN_CONTACT_CURRENT, MIN_PULSE, RESISTIVE_SHARE } from "../../sources/timers.ts";
import { DAY, MONTH } from "../../time.ts";
import type {
	ContactFinding,
	ContactLifeFinding,
	PowerUpFinding,
	PulseFinding,
	RigFinding,
} from "../findings.ts";
import type { ContactLife, PowerReport } from "../rigtypes.ts";

/** A contact that lasts less than this is a part to be replaced by the calendar [months]: judgement. */
const MIN_LIFE_MONTHS = 12;
/** A fan that waits longer than this after each power cut is worth a warning [s]: judgement. */
const MAX_POWER_UP_PAUSE = 15 * 60;

/** Wear of the contact by each schedule that switches it. */
export function estimateContactLife({ timer, schedules }: Scenario): ContactLife[] {
	const rated = timer?.ratedOperations?.value;
	const operations = rated ?? CONTACT_OPERATIONS.value;
	return schedules.flatMap(({ name, schedule }) => {
		const operationsPerMonth = (burstsPerDay(schedule) * MONTH) / DAY;
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

/** What the contact carries, and how long it lasts. */
export function contactFindings(
	scenario: Scenario,
	power: PowerReport | null,
	lives: readonly ContactLife[] | null,
): RigFinding[] {
	return [...ratingFinding(scenario, power), ...(lives ?? []).map((life) => lifeFinding(scenario, life))];
}

function ratingFinding({ timer }: Scenario, power: PowerReport | null): ContactFinding[] {
	const rating = timer?.contactRating ?? timer?.resistiveRating ?? null;
	if (timer === null || power === null || rating === null) return [];
	const { fanAmps } = power;
	const isMotorRating = timer.contactRating !== null;
	const usableAmps = isMotorRating ? rating.value : (rating.value * RESISTIVE_SHARE.value) / 100;
	const maxAmps = isMotorRating ? rating.value : (rating.value * RESISTIVE_SHARE.high!) / 100;
	const isBelowMinimum =
		timer.type !== "negative-switching" && fanAmps < MIN_CONTACT_CURRENT.value * (1 - 1e-9);
	const isOver = fanAmps > maxAmps * (1 + 1e-9);
	const isTight = !isOver && fanAmps > usableAmps * (1 + 1e-9);
	return [
		{
			code: "contact",
			about: null,
			verdict: isOver ? "stop" : isTight || isBelowMinimum ? "attention" : "ok",
			switchedAmps: fanAmps,
			ratingAmps: rating.value,
			isMotorRating,
			usableAmps,
			load: isOver ? "overloaded" : isTight ? "tight" : "carried",
			isBelowMinimum,
		},
	];
}

function lifeFinding(
	{ limits, timer }: Scenario,
	{ name, operationsPerMonth, months, cautiousMonths }: ContactLife,
): ContactLifeFinding {
	const wantedMonths = limits.life === null ? null : limits.life.value / MONTH;
	const isShort = months < (wantedMonths ?? MIN_LIFE_MONTHS) * (1 - 1e-9);
	return {
		code: "contact life",
		about: name,
		verdict: isShort ? "attention" : "ok",
		operations: timer?.ratedOperations?.value ?? CONTACT_OPERATIONS.value,
		operationsPerMonth,
		months,
		cautiousMonths,
		wantedMonths,
	};
}

/** Shortest on- or off-time of a schedule and longest off-time [s]; null when it never switches. */
function onOffExtremes(schedule: Schedule): { shortest: number; longestOff: number } | null {
	const list = [...segments(schedule, periodSeconds(schedule) ?? DAY)];
	if (list.every(({ isOn }) => isOn === list[0]?.isOn)) return null;
	const seconds = list.map(({ durationSeconds }) => durationSeconds);
	const off = list.filter(({ isOn }) => !isOn).map(({ durationSeconds }) => durationSeconds);
	return { shortest: Math.min(...seconds), longestOff: Math.max(...off) };
}

/** Pulses that weld a contact, and what a power cut does to each schedule. */
export function timingFindings({ timer, schedules }: Scenario, model: Model): RigFinding[] {
	const found = schedules.flatMap(({ name, schedule }) => {
		const lengths = onOffExtremes(schedule);
		return lengths === null ? [] : [{ name, ...lengths }];
	});
	const pulses = found
		.filter(({ shortest }) => shortest < MIN_PULSE.value - 1e-9 && timer?.type !== "negative-switching")
		.map(
			({ name, shortest }): PulseFinding => ({
				code: "pulse",
				about: name,
				verdict: "stop",
				shortestSeconds: shortest,
			}),
		);
	const powerUp = timer?.powerUp ?? null;
	if (powerUp === null) return pulses;
	const cuts = found.map(
		({ name, longestOff }): PowerUpFinding => ({
			code: "power-up",
			about: name,
			verdict: powerUp === "off" && longestOff > MAX_POWER_UP_PAUSE ? "attention" : "ok",
			powerUp,
			longestOffSeconds: longestOff,
			risePpm: (1e6 * withMaximumSource(model).generationM3PerS * longestOff) / model.volumeM3,
		}),
	);
	return [...pulses, ...cuts];
}
