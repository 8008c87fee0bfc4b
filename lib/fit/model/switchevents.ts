import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import { periodSeconds, type Schedule } from "../../model/schedule/schedule.ts";
import { segments } from "../../model/schedule/timeline.ts";
import type { SwitchEvent } from "./readings.ts";

/** A timer as the logger's clock sees it: it starts at `phaseSeconds` and its seconds last 1 + drift of the logger's. */
export interface TimerClock {
	readonly phaseSeconds: number;
	readonly timerRateError: number;
}

/**
 * Edges of the fan from before time 0 to `untilSeconds` on the logger's clock.
 *
 * A burst of a fan that speeds up and runs down is moved to the square burst that delivers the same air: it begins
 * τup (1 - e^-on/τup) later and ends τdown (1 - e^-on/τup) later.
 */
export function scheduledSwitchEvents(
	schedule: Schedule,
	clock: TimerClock,
	untilSeconds: number,
	fan: FanTimes,
	daysFrom: readonly number[] = [],
): readonly SwitchEvent[] {
	const { phaseSeconds, timerRateError } = clock;
	const scale = 1 + timerRateError;
	const period = periodSeconds(schedule);
	// Whole periods back or on, so that the schedule runs already before time 0, but not much longer.
	const back = period === null ? 0 : (Math.ceil(phaseSeconds / (period * scale)) + 1) * period;
	const isOn = schedule.kind === "continuous";
	const events: SwitchEvent[] = [
		{ timeSeconds: Number.NEGATIVE_INFINITY, isOn, source: 0, dTimeDPhase: 0, dTimeDRateError: 0 },
	];
	const until = (untilSeconds - phaseSeconds) / scale + back + 1;
	let reached = 1;
	for (const segment of segments(schedule, Math.max(until, 0))) {
		if (segment.isOn) reached = speedReached(fan.spinUpTauSeconds, segment.durationSeconds);
		const shift = reached * ((segment.isOn ? fan.spinUpTauSeconds : fan.coastDownTauSeconds) ?? 0);
		const timer = segment.startSeconds - back;
		const timeSeconds = phaseSeconds + scale * timer + shift;
		const previous = events.at(-1)!;
		if (segment.isOn === previous.isOn) continue;
		events.push({ timeSeconds, isOn: segment.isOn, source: 0, dTimeDPhase: 1, dTimeDRateError: timer });
	}
	return addDays(events, daysFrom);
}

/**
 * Edges of a fan whose switch instants were logged, later by a shift, or switch-offs by one of their own. These two stand in the places
 * of phase and rate error, which a logged fan has not. A fan that speeds up and runs down is moved as above.
 */
export function loggedSwitchEvents(
	{ onAtStart, switchesSeconds, timing }: NonNullable<CleanSeries["fan"]>,
	[shift, offShift]: readonly [number, number],
	model: FanTimes,
	daysFrom: readonly number[] = [],
): readonly SwitchEvent[] {
	let isOn = onAtStart;
	const areOffsApart = (timing?.offShiftWithinSeconds ?? null) !== null;
	const events: SwitchEvent[] = [
		{ timeSeconds: Number.NEGATIVE_INFINITY, isOn, source: 0, dTimeDPhase: 0, dTimeDRateError: 0 },
	];
	let reached = 1;
	for (const [k, seconds] of switchesSeconds.entries()) {
		isOn = !isOn;
		if (isOn) reached = speedReached(model.spinUpTauSeconds, (switchesSeconds[k + 1] ?? Infinity) - seconds);
		const isApart = areOffsApart && !isOn;
		const moved = reached * ((isOn ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0);
		const timeSeconds = seconds + (isApart ? offShift : shift) + moved;
		const [dTimeDPhase, dTimeDRateError] = isApart ? [0, 1] : [1, 0];
		events.push({ timeSeconds, isOn, source: 0, dTimeDPhase, dTimeDRateError });
	}
	return addDays(events, daysFrom);
}

type FanTimes = Pick<Model, "spinUpTauSeconds" | "coastDownTauSeconds">;

/** Share of full speed that a burst reaches. */
const speedReached = (tau: number | undefined, seconds: number): number =>
	tau === undefined || tau === 0 ? 1 : -Math.expm1(-seconds / tau);

/** Adds the instants at which another entry of the sources begins. */
function addDays(switches: readonly SwitchEvent[], daysFrom: readonly number[]): readonly SwitchEvent[] {
	if (daysFrom.length === 0) return switches;
	const starts = daysFrom.map((timeSeconds, index) => ({ timeSeconds, source: index }));
	const events: SwitchEvent[] = [];
	let source = 0;
	let day = 0;
	let isOn = false;
	for (const one of [...switches, null]) {
		const until = one?.timeSeconds ?? Number.POSITIVE_INFINITY;
		for (; day < starts.length && starts[day]!.timeSeconds < until; day++) {
			source = starts[day]!.source;
			events.push({
				timeSeconds: starts[day]!.timeSeconds,
				isOn,
				source,
				dTimeDPhase: 0,
				dTimeDRateError: 0,
			});
		}
		if (one === null) break;
		isOn = one.isOn;
		events.push({ ...one, source });
	}
	return events;
}

/** Bursts among edges, clipped to the log. */
export function findBursts(
	events: readonly SwitchEvent[],
	untilSeconds: number,
): { readonly startSeconds: number; readonly endSeconds: number }[] {
	const bursts: { startSeconds: number; endSeconds: number }[] = [];
	let from: number | null = null;
	for (const { timeSeconds, isOn } of [...events, { timeSeconds: untilSeconds, isOn: false }]) {
		const time = Math.min(Math.max(timeSeconds, 0), untilSeconds);
		if (isOn && from === null) from = time;
		else if (!isOn && from !== null) {
			if (time > from) bursts.push({ startSeconds: from, endSeconds: time });
			from = null;
		}
	}
	return bursts;
}
