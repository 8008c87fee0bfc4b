import { periodicFanSpeedFraction } from "../../model/fan/deliveredair.ts";
import { fanSpeedFraction } from "../../model/fan/fanspeed.ts";
import {
	type FanSegment,
	makeTimeline,
	playTimeline,
	shiftTimeline,
	type Timeline,
} from "../../model/schedule/timeline.ts";
import type { Actuator } from "../../model/zones.ts";
import { DAY } from "../../time.ts";

/** An actuator whose schedule is worked out. */
export interface TimedActuator extends Actuator {
	readonly timeline: Timeline;
}

export function timeActuator(actuator: Actuator): TimedActuator {
	const timeline = makeTimeline(actuator.schedule);
	return { ...actuator, timeline: shiftTimeline(timeline, -(actuator.phaseSeconds ?? 0)) };
}

/** Time between two switches of anything. */
export interface Interval {
	readonly startSeconds: number;
	readonly durationSeconds: number;
	/** By actuator; as short-lived as the walk. */
	readonly isOn: readonly boolean[];
	/** The actuators that switch at its start. */
	readonly switched: readonly number[];
	/** Speed of each at its start, as a share of full speed. */
	readonly speeds: Float64Array;
}

/** Switches so near to each other are one: instants are products, and carry their rounding [s]. */
const SAME_SECONDS = 1e-9;

/** The schedules of all actuators from time 0 as intervals, without gaps; `startSpeeds` is theirs at time 0. */
export function* mergeIntervals(
	actuators: readonly TimedActuator[],
	untilSeconds: number,
	startSpeeds: ArrayLike<number>,
): Generator<Interval> {
	const plays = actuators.map((a, i) => playTimeline(a.timeline, untilSeconds, a, startSpeeds[i]!));
	const segments = plays.map((play) => play.next().value as FanSegment | undefined);
	const ends = segments.map((segment) => (segment === undefined ? 0 : endOf(segment)));
	const isOn = segments.map((segment) => segment?.isOn ?? false);
	const speeds = Float64Array.from(startSpeeds);
	let switched = actuators.map((_, i) => i);
	for (let start = 0; start < untilSeconds; ) {
		let end = untilSeconds;
		for (const each of ends)
			if (each > start + SAME_SECONDS && each < end && each < untilSeconds - SAME_SECONDS) end = each;
		yield { startSeconds: start, durationSeconds: end - start, isOn, switched, speeds };
		switched = [];
		for (let i = 0; i < actuators.length; i++) {
			let segment = segments[i]!;
			if (ends[i]! <= end + SAME_SECONDS && end < untilSeconds) {
				do {
					segment = plays[i]!.next().value as FanSegment;
					segments[i] = segment;
					ends[i] = endOf(segment);
				} while (ends[i]! <= end + SAME_SECONDS);
				if (segment.isOn !== isOn[i]) switched.push(i);
				isOn[i] = segment.isOn;
			}
			speeds[i] = fanSpeedFraction(
				actuators[i]!,
				segment.isOn,
				segment.fanSpeedFraction,
				Math.max(end - segment.startSeconds, 0),
			);
		}
		start = end;
	}
}

const endOf = ({ startSeconds, durationSeconds }: FanSegment): number => startSeconds + durationSeconds;

/** No common period is looked for beyond this [s]. */
const MAX_PERIOD_SECONDS = 3 * DAY;
const MAX_MULTIPLES = 10_000;

/** The shortest time after which all schedules repeat together, and `others` too [s]; null: none within three days. */
export function findCommonPeriod(
	actuators: readonly TimedActuator[],
	others: readonly number[] = [],
): number | null {
	const periods = [...others];
	for (const { timeline } of actuators) {
		if (timeline.periodSeconds === null) return null;
		if (timeline.repeatSeconds < Number.POSITIVE_INFINITY) periods.push(timeline.periodSeconds);
	}
	const longest = periods.length === 0 ? (actuators[0]?.timeline.periodSeconds ?? DAY) : Math.max(...periods);
	for (let k = 1; k <= MAX_MULTIPLES && (k === 1 || k * longest <= MAX_PERIOD_SECONDS); k++)
		if (periods.every((one) => Math.abs((k * longest) / one - Math.round((k * longest) / one)) < 1e-9))
			return k * longest;
	return null;
}

/** Speed of each actuator at the start of a period that repeats, as a share of full speed. */
export const periodicSpeeds = (actuators: readonly TimedActuator[], periodSeconds: number): Float64Array =>
	Float64Array.from(actuators, (a) => periodicFanSpeedFraction(a, a.timeline, periodSeconds));
