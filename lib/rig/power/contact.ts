import type { Model } from "../../model/chamber.ts";
import { contactMonths, ratedOperations, wantedContactMonths } from "../../model/schedule/contactlife.ts";
import { burstsPerDay } from "../../model/schedule/timeline.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { withMaximumSource } from "../../solve/cycles/maximumsource.ts";
import { CONTACT_OPERATIONS, MIN_CONTACT_CURRENT, MIN_PULSE, RESISTIVE_SHARE } from "../../sources/timers.ts";
import { DAY, MINUTE, MONTH } from "../../time.ts";
import { finding, isAbove, isBelow, verdictOf } from "../finding.ts";
import { switchingTimes } from "../switchingtimes.ts";
import type { PowerReport } from "./powerreport.ts";

/** A fan that waits longer than this after each power cut is worth a warning [s]: judgement. */
const MAX_POWER_UP_PAUSE = 15 * MINUTE;

export type ContactLife = ReturnType<typeof estimateContactLife>[number];

/** Wear of the contact by each schedule that switches it. */
export function estimateContactLife(scenario: Scenario) {
	const { timer, schedules } = scenario;
	const rated = timer?.ratedOperations?.value;
	return schedules
		.map(({ name, schedule }) => ({ name, operationsPerMonth: (burstsPerDay(schedule) * MONTH) / DAY }))
		.filter(({ operationsPerMonth }) => operationsPerMonth > 0)
		.map((wear) => ({
			...wear,
			/** At its rated operations, given or usual [months]. */
			months: contactMonths(scenario, wear.operationsPerMonth),
			/** At the cautious figure for motors [months]; null when the operations are given. */
			cautiousMonths: rated === undefined ? CONTACT_OPERATIONS.low! / wear.operationsPerMonth : null,
		}));
}

/** What the contact carries, and how long it lasts. */
export const contactFindings = (
	scenario: Scenario,
	power: PowerReport | null,
	lives: readonly ContactLife[] | null,
) => [...ratingFinding(scenario, power), ...(lives ?? []).map((life) => lifeFinding(scenario, life))];

function ratingFinding({ timer }: Scenario, power: PowerReport | null) {
	const rating = timer?.contactRating ?? timer?.resistiveRating ?? null;
	if (timer === null || power === null || rating === null) return [];
	const { fanAmps } = power;
	const isMotorRating = timer.contactRating !== null;
	const share = (percent: number): number => (isMotorRating ? rating.value : (rating.value * percent) / 100);
	const usableAmps = share(RESISTIVE_SHARE.value);
	const isBelowMinimum = timer.type !== "negative-switching" && isBelow(fanAmps, MIN_CONTACT_CURRENT.value);
	const isOver = isAbove(fanAmps, share(RESISTIVE_SHARE.high!));
	const isTight = !isOver && isAbove(fanAmps, usableAmps);
	return [
		finding("contact", verdictOf(isOver, isTight || isBelowMinimum), {
			switchedAmps: fanAmps,
			ratingAmps: rating.value,
			/** The rating is for motors (inductive), not resistive. */
			isMotorRating,
			/** What counts for motors [A]. */
			usableAmps,
			load: isOver ? "overloaded" : isTight ? "tight" : "carried",
			/** Too little to keep a power contact clean. */
			isBelowMinimum,
		}),
	];
}

function lifeFinding(scenario: Scenario, { name, ...wear }: ContactLife) {
	const { limits } = scenario;
	/** What `limits.life` asks for; null where it is not given. */
	const wantedMonths = limits.life === null ? null : limits.life.value / MONTH;
	const isShort = isBelow(wear.months, wantedContactMonths(scenario));
	return finding(
		"contact life",
		verdictOf(false, isShort),
		{ operations: ratedOperations(scenario), ...wear, wantedMonths },
		name,
	);
}

/** Pulses that weld a contact, and what a power cut does to each schedule. */
export function timingFindings({ timer, schedules }: Scenario, model: Model) {
	const powerUp = timer?.powerUp ?? null;
	const found = schedules.flatMap(({ name, schedule }) => {
		const times = switchingTimes(schedule);
		return times === null ? [] : [{ name, ...times }];
	});
	const pulses = found.flatMap(({ name, shortestOn, shortestOff }) => {
		const shortestSeconds = Math.min(shortestOn, shortestOff);
		const isSound = shortestSeconds >= MIN_PULSE.value - 1e-9 || timer?.type === "negative-switching";
		return isSound ? [] : [finding("pulse", "stop", { shortestSeconds }, name)];
	});
	const cuts = found.flatMap(({ name, longestOff: longestOffSeconds }) => {
		if (powerUp === null) return [];
		const isLong = powerUp === "off" && longestOffSeconds > MAX_POWER_UP_PAUSE;
		const risePpm = closedRisePpm(model, longestOffSeconds);
		return [finding("power-up", verdictOf(false, isLong), { powerUp, longestOffSeconds, risePpm }, name)];
	});
	return [...pulses, ...cuts];
}

/** Greatest rise of CO2 in a pause, every opening shut [ppm]. */
export const closedRisePpm = (model: Model, offSeconds: number): number =>
	(1e6 * withMaximumSource(model).generationM3PerS * offSeconds) / model.volumeM3;
