import type { Schedule } from "../schedule/schedule.ts";
import { makeTimeline, playTimeline, type Timeline } from "../schedule/timeline.ts";
import { type FanDynamics, fanSpeedFraction, fullSpeedSeconds } from "./fanspeed.ts";

/** Speed of the fan at the start of a period that repeats, as a share of full speed. */
export function periodicFanSpeedFraction(
	fan: FanDynamics,
	schedule: Schedule | Timeline,
	periodSeconds: number,
): number {
	// Over a period the level maps as f → a f + b, because (3) is affine in f0.
	let a = 1;
	let b = 0;
	for (const { isOn, durationSeconds } of playTimeline(makeTimeline(schedule), periodSeconds)) {
		const zero = fanSpeedFraction(fan, isOn, 0, durationSeconds);
		const slope = fanSpeedFraction(fan, isOn, 1, durationSeconds) - zero;
		a *= slope;
		b = slope * b + zero;
	}
	return a < 1 ? b / (1 - a) : b;
}

/** Air through the fan from time 0 to `untilSeconds`, from a level at the start [m3]; the mixing factor is not in it. */
export function deliveredM3(
	fan: FanDynamics & { readonly deliveredM3PerS: number },
	schedule: Schedule | Timeline,
	untilSeconds: number,
	startFraction: number,
): number {
	let seconds = 0;
	for (const segment of playTimeline(makeTimeline(schedule), untilSeconds, fan, startFraction))
		seconds += fullSpeedSeconds(fan, segment.isOn, segment.fanSpeedFraction, segment.durationSeconds);
	return seconds * fan.deliveredM3PerS;
}
