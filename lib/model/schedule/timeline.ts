import { InputError, show } from "../../errors.ts";
import { DAY } from "../../time.ts";
import { type FanDynamics, fanSpeedFraction } from "../fan/fanspeed.ts";
import {
	type CycleSchedule,
	checkSchedule,
	type DailySchedule,
	DEFAULT_PERIOD_SECONDS,
	type Schedule,
	type Segment,
	type SwitchesSchedule,
} from "./schedule.ts";

/** A schedule worked out once: what it does in one period, to be repeated as long as a run lasts. */
export interface Timeline {
	readonly kind: "timeline";
	/** Without gaps from time 0; neighbours may have the same state. The last one never ends when nothing repeats. */
	readonly segments: readonly Segment[];
	/** Length of those segments, after which they come again [s]; infinite when they never do. */
	readonly repeatSeconds: number;
	/** Length of the pattern that repeats [s]; null when none does. A fan that never switches repeats after any time; this one is used. */
	readonly periodSeconds: number | null;
}

/** A segment with the fan's speed at its start, as a share of full speed. */
export interface FanSegment extends Segment {
	readonly fanSpeedFraction: number;
}

/**
 * The timeline of a schedule: one period of segments, repeated as index × period; a timeline is its own.
 *
 * @param schedule when the fan is on
 * @returns segments with their start and duration [s], and the period [s]
 * @throws InputError with every fault of the schedule
 *
 * Source: this project.
 * @example makeTimeline({ kind: "cycle", onSeconds: 12, offSeconds: 540 }).periodSeconds // => 552
 */
export function makeTimeline(schedule: Schedule | Timeline): Timeline {
	if (typeof schedule === "object" && schedule?.kind === "timeline") return schedule;
	checkSchedule(schedule);
	switch (schedule.kind) {
		case "continuous":
		case "off":
			return steady(schedule.kind === "continuous");
		case "cycle":
			return schedule.onSeconds === 0 || schedule.offSeconds === 0
				? steady(schedule.offSeconds === 0)
				: repeating(cycleTurn(schedule), schedule.onSeconds + schedule.offSeconds);
		case "daily":
			return repeating(dailySegments(schedule), DAY);
		case "switches":
			return switchTimeline(schedule);
	}
}

const steady = (isOn: boolean): Timeline => ({
	kind: "timeline",
	segments: [{ startSeconds: 0, durationSeconds: Number.POSITIVE_INFINITY, isOn }],
	repeatSeconds: Number.POSITIVE_INFINITY,
	periodSeconds: DEFAULT_PERIOD_SECONDS,
});

const repeating = (segments: Iterable<Segment>, periodSeconds: number): Timeline => ({
	kind: "timeline",
	segments: [...segments],
	repeatSeconds: periodSeconds,
	periodSeconds,
});

function cycleTurn({ onSeconds, offSeconds, startsWith }: CycleSchedule): Segment[] {
	const onFirst = startsWith !== "off";
	const first = onFirst ? onSeconds : offSeconds;
	return [
		{ startSeconds: 0, durationSeconds: first, isOn: onFirst },
		{ startSeconds: first, durationSeconds: onSeconds + offSeconds - first, isOn: !onFirst },
	];
}

/** A cycle that begins at `from` and is broken off at `until`. */
function* cycleSegments(cycle: CycleSchedule, from: number, until: number): Generator<Segment> {
	const { onSeconds, offSeconds } = cycle;
	if (onSeconds === 0 || offSeconds === 0) {
		yield { startSeconds: from, durationSeconds: until - from, isOn: offSeconds === 0 };
		return;
	}
	const period = onSeconds + offSeconds;
	const onFirst = cycle.startsWith !== "off";
	const first = onFirst ? onSeconds : offSeconds;
	for (let index = 0; ; index++) {
		const start = from + index * period;
		if (start >= until) return;
		yield { startSeconds: start, durationSeconds: Math.min(first, until - start), isOn: onFirst };
		const second = start + first;
		if (second >= until) return;
		yield { startSeconds: second, durationSeconds: Math.min(period - first, until - second), isOn: !onFirst };
	}
}

/** From midnight to midnight. */
function* dailySegments({ parts }: DailySchedule): Generator<Segment> {
	const play = (part: DailySchedule["parts"][number], from: number, to: number): Iterable<Segment> =>
		part.schedule.kind === "cycle"
			? cycleSegments(part.schedule, from, to)
			: [{ startSeconds: from, durationSeconds: to - from, isOn: part.schedule.kind === "continuous" }];
	const [head, last] = [parts[0]!, parts.at(-1)!];
	// The last part began the evening before; its cycle is continued in phase over midnight.
	for (const { startSeconds, durationSeconds, isOn } of play(
		last,
		last.fromSeconds,
		DAY + head.fromSeconds,
	)) {
		const end = startSeconds + durationSeconds;
		if (end <= DAY) continue;
		yield startSeconds >= DAY
			? { startSeconds: startSeconds - DAY, durationSeconds, isOn }
			: { startSeconds: 0, durationSeconds: end - DAY, isOn };
	}
	for (const [i, part] of parts.entries())
		yield* play(part, part.fromSeconds, parts[i + 1]?.fromSeconds ?? DAY);
}

function switchTimeline({ switchSeconds, repeatSeconds, startsWith }: SwitchesSchedule): Timeline {
	const onFirst = startsWith !== "off";
	if (switchSeconds.length === 0) return steady(onFirst);
	const segments: Segment[] = [];
	let isOn = onFirst;
	let start = 0;
	for (const end of [...switchSeconds, repeatSeconds ?? Number.POSITIVE_INFINITY]) {
		if (end > start) segments.push({ startSeconds: start, durationSeconds: end - start, isOn });
		isOn = !isOn;
		start = end;
	}
	return {
		kind: "timeline",
		segments,
		repeatSeconds: repeatSeconds ?? Number.POSITIVE_INFINITY,
		periodSeconds: repeatSeconds ?? null,
	};
}

/** A timeline with another time 0: what it does `seconds` later it does at once; one that never repeats shifts forwards only. */
export function shiftTimeline(timeline: Timeline, seconds: number): Timeline {
	const { segments, repeatSeconds } = timeline;
	const repeats = repeatSeconds < Number.POSITIVE_INFINITY;
	const shift = repeats ? ((seconds % repeatSeconds) + repeatSeconds) % repeatSeconds : seconds;
	const clipped = (repeats ? [-shift, repeatSeconds - shift] : [-shift]).flatMap((origin) =>
		segments.flatMap(({ startSeconds, durationSeconds, isOn }) => {
			const start = Math.max(origin + startSeconds, 0);
			const end = Math.min(origin + startSeconds + durationSeconds, repeatSeconds);
			return end > start ? [{ startSeconds: start, durationSeconds: end - start, isOn }] : [];
		}),
	);
	return shift === 0 ? timeline : { ...timeline, segments: clipped };
}

const INSTANT: FanDynamics = {};

/**
 * A timeline from time 0 to `untilSeconds`, the fan's speed carried from segment to segment.
 * Starts are index × period + offset, never a running sum, and equal bursts have equal lengths to the last bit, on day 30 too.
 */
export function* playTimeline(
	{ segments, repeatSeconds }: Timeline,
	untilSeconds: number,
	fan: FanDynamics = INSTANT,
	startFraction = 0,
): Generator<FanSegment> {
	if (!(untilSeconds >= 0))
		throw new InputError(`untilSeconds needs a time of 0 s or more, got ${show(untilSeconds)}`);
	let fraction = startFraction;
	for (let index = 0; ; index++) {
		const origin = index === 0 ? 0 : index * repeatSeconds;
		for (const segment of segments) {
			const startSeconds = origin + segment.startSeconds;
			if (startSeconds >= untilSeconds) return;
			const durationSeconds = Math.min(segment.durationSeconds, untilSeconds - startSeconds);
			const { isOn } = segment;
			yield { startSeconds, durationSeconds, isOn, fanSpeedFraction: fraction };
			fraction = fanSpeedFraction(fan, isOn, fraction, durationSeconds);
		}
	}
}

/**
 * The schedule from time 0 as segments of constant fan state, without gaps; neighbours may have the same state.
 * Switch instants are index × period + offset, never a running sum.
 *
 * @param schedule when the fan is on
 * @param untilSeconds end of the run [s]
 * @returns segments, each with its start and duration [s]
 * @throws InputError for a schedule or a time that makes no sense
 *
 * Source: this project.
 * @example [...segments({ kind: "cycle", onSeconds: 4, offSeconds: 236 }, 240)].length // => 2
 */
export function* segments(schedule: Schedule | Timeline, untilSeconds: number): Generator<Segment> {
	for (const { startSeconds, durationSeconds, isOn } of playTimeline(makeTimeline(schedule), untilSeconds))
		yield { startSeconds, durationSeconds, isOn };
}

/**
 * Bursts (off to on) per day, averaged over the period or over the run; 0 for a fan that never stops.
 *
 * @param schedule when the fan is on
 * @param untilSeconds length of the run of a schedule that never repeats [s]
 * @returns bursts [1/day]
 * @throws InputError for a schedule or a time that makes no sense
 *
 * Source: this project.
 * @example burstsPerDay({ kind: "cycle", onSeconds: 4, offSeconds: 236 }) // => 360
 */
export function burstsPerDay(schedule: Schedule | Timeline, untilSeconds = DAY): number {
	const timeline = makeTimeline(schedule);
	// Over a whole period the first segment follows the last one; a list that does not repeat begins with the fan at rest.
	let before = timeline.periodSeconds === null ? false : timeline.segments.at(-1)!.isOn;
	let bursts = 0;
	const span = timeline.periodSeconds ?? untilSeconds;
	for (const { isOn } of playTimeline(timeline, span)) {
		if (isOn && !before) bursts++;
		before = isOn;
	}
	return (bursts * DAY) / span;
}

/**
 * Share of the time in which the fan is on, over the period or over the run.
 *
 * @param schedule when the fan is on
 * @param untilSeconds length of the run of a schedule that never repeats [s]
 * @returns share [0..1]
 * @throws InputError for a schedule or a time that makes no sense
 *
 * Source: this project.
 * @example dutyCycle({ kind: "cycle", onSeconds: 4, offSeconds: 236 }).toFixed(4) // => "0.0167"
 */
export function dutyCycle(schedule: Schedule | Timeline, untilSeconds = DAY): number {
	const timeline = makeTimeline(schedule);
	const span = timeline.periodSeconds ?? untilSeconds;
	let on = 0;
	for (const segment of playTimeline(timeline, span)) if (segment.isOn) on += segment.durationSeconds;
	return on / span;
}
