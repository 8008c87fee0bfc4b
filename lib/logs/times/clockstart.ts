import { type SecondsSinceMidnight, sinceMidnight } from "../../time.ts";
import type { Log } from "../log.ts";
import { secondsOfDay } from "./zone.ts";

/**
 * Where the first sample of a log lies by the clock: the time of day that a clock on the wall showed then, of a part of a log since the
 * midnight before the whole of it. From there on time runs without a jump, over a change of the clocks too.
 * @returns null where the log has elapsed times only
 */
export function findClockStart({
	startUtcSeconds,
	startsAtSeconds = null,
	layout,
}: Pick<Log, "startUtcSeconds" | "startsAtSeconds" | "layout">): SecondsSinceMidnight | null {
	if (startsAtSeconds !== null) return sinceMidnight(startsAtSeconds);
	return startUtcSeconds === null ? null : sinceMidnight(secondsOfDay(startUtcSeconds, layout.zone));
}
