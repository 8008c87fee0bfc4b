import { periodSeconds, type Schedule } from "../model/schedule/schedule.ts";
import { segments } from "../model/schedule/timeline.ts";
import { DAY } from "../time.ts";

/** Shortest on-time, shortest and longest off-time of a schedule as it repeats, or of its first day [s]; null when it never switches. */
export function switchingTimes(schedule: Schedule) {
	const times = {
		shortestOn: Number.POSITIVE_INFINITY,
		shortestOff: Number.POSITIVE_INFINITY,
		longestOff: 0,
	};
	for (const { isOn, durationSeconds } of segments(schedule, periodSeconds(schedule) ?? DAY)) {
		if (isOn) times.shortestOn = Math.min(times.shortestOn, durationSeconds);
		else {
			times.shortestOff = Math.min(times.shortestOff, durationSeconds);
			times.longestOff = Math.max(times.longestOff, durationSeconds);
		}
	}
	return Number.isFinite(times.shortestOn + times.shortestOff) ? times : null;
}
