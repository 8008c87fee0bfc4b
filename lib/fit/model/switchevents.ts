import type { Model } from "../../model/chamber.ts";
import { periodSeconds, type Schedule, segments } from "../../model/schedule/schedule.ts";
import type { Edge } from "./readings.ts";

/** A timer as the logger's clock sees it: it starts at `phaseSeconds` and its seconds last 1 + drift of the logger's. */
export interface TimerClock {
	readonly phaseSeconds: number;
	readonly drift: number;
}

/**
 * Edges of the fan from before time 0 to `untilSeconds` on the logger's clock.
 *
 * A burst of a fan that speeds up and runs down is moved to the square burst that delivers the same air: it begins
 * τup (1 - e^-on/τup) later and ends τdown (1 - e^-on/τup) later.
 */
export function scheduleEdges(
	schedule: Schedule,
	clock: TimerClock,
	untilSeconds: number,
	fan: Pick<Model, "spinUpSeconds" | "coastDownSeconds">,
	daysFrom: readonly number[] = [],
): readonly Edge[] {
	const { phaseSeconds, drift } = clock;
	const stretch = 1 + drift;
	const period = periodSeconds(schedule);
	// Whole periods back, so that the schedule runs already before time 0.
	const back = period === null ? 0 : Math.max(0, Math.ceil(phaseSeconds / (period * stretch)) + 1) * period;
	const on = schedule.kind === "continuous";
	const switches: Edge[] = [{ timeSeconds: Number.NEGATIVE_INFINITY, on, source: 0, byPhase: 0, byDrift: 0 }];
	const until = (untilSeconds - phaseSeconds) / stretch + back + 1;
	let reached = 1;
	for (const segment of segments(schedule, Math.max(until, 0))) {
		if (segment.on) reached = settled(fan.spinUpSeconds, segment.durationSeconds);
		const shift = reached * ((segment.on ? fan.spinUpSeconds : fan.coastDownSeconds) ?? 0);
		const timer = segment.startSeconds - back;
		const timeSeconds = phaseSeconds + stretch * timer + shift;
		const previous = switches.at(-1)!;
		if (segment.on === previous.on) continue;
		switches.push({ timeSeconds, on: segment.on, source: 0, byPhase: 1, byDrift: timer });
	}
	return withDays(switches, daysFrom);
}

/** Edges of a fan whose switch instants were logged. */
export function loggedEdges(
	fan: { readonly onAtStart: boolean; readonly switchesSeconds: readonly number[] },
	daysFrom: readonly number[] = [],
): readonly Edge[] {
	let on = fan.onAtStart;
	const switches: Edge[] = [{ timeSeconds: Number.NEGATIVE_INFINITY, on, source: 0, byPhase: 0, byDrift: 0 }];
	for (const timeSeconds of fan.switchesSeconds) {
		on = !on;
		switches.push({ timeSeconds, on, source: 0, byPhase: 0, byDrift: 0 });
	}
	return withDays(switches, daysFrom);
}

/** Share of full speed that a burst reaches. */
const settled = (tau: number | undefined, seconds: number): number =>
	tau === undefined || tau === 0 ? 1 : -Math.expm1(-seconds / tau);

/** Adds the instants at which another entry of the sources begins. */
function withDays(switches: readonly Edge[], daysFrom: readonly number[]): readonly Edge[] {
	if (daysFrom.length === 0) return switches;
	const starts = daysFrom.map((timeSeconds, index) => ({ timeSeconds, source: index }));
	const edges: Edge[] = [];
	let source = 0;
	let day = 0;
	let on = false;
	for (const one of [...switches, null]) {
		const until = one?.timeSeconds ?? Number.POSITIVE_INFINITY;
		for (; day < starts.length && starts[day]!.timeSeconds < until; day++) {
			source = starts[day]!.source;
			edges.push({ timeSeconds: starts[day]!.timeSeconds, on, source, byPhase: 0, byDrift: 0 });
		}
		if (one === null) break;
		on = one.on;
		edges.push({ ...one, source });
	}
	return edges;
}

/** Bursts among edges, clipped to the log. */
export function burstsOf(
	edges: readonly Edge[],
	untilSeconds: number,
): { readonly startSeconds: number; readonly endSeconds: number }[] {
	const bursts: { startSeconds: number; endSeconds: number }[] = [];
	let from: number | null = null;
	for (const { timeSeconds, on } of [...edges, { timeSeconds: untilSeconds, on: false }]) {
		const time = Math.min(Math.max(timeSeconds, 0), untilSeconds);
		if (on && from === null) from = time;
		else if (!on && from !== null) {
			if (time > from) bursts.push({ startSeconds: from, endSeconds: time });
			from = null;
		}
	}
	return bursts;
}
