import { DAY, HOUR } from "../../time.ts";
import type { Log } from "../log.ts";
import { findClockStart } from "../times/clockstart.ts";
import { localClock, offsetReader } from "../times/zone.ts";
import type { Stretch } from "./slice.ts";

/** A fall that lasts so long is that of a night; shorter ones are breaks [s]. */
const MIN_NIGHT_SECONDS = 3 * HOUR;

/**
 * When times of day come in a log [s since the first sample], from the day before the first sample on; by the clock on the
 * wall where the log has dates, changes of the clocks and all. null where it tells no time of day.
 */
export function findTimesOfDay(
	log: Pick<Log, "startUtcSeconds" | "startsAtSeconds" | "layout">,
): ((day: number, secondsOfDay: number) => number) | null {
	const { startUtcSeconds, layout } = log;
	if (startUtcSeconds !== null) {
		const zone = layout.zone ?? "UTC";
		const clock = localClock(zone);
		const firstDay = Math.floor((startUtcSeconds + offsetReader(zone)(startUtcSeconds)) / DAY);
		return (day, secondsOfDay) => clock((firstDay + day) * DAY + secondsOfDay).utcSeconds - startUtcSeconds;
	}
	const start = findClockStart(log);
	return start === null ? null : (day, secondsOfDay) => day * DAY + secondsOfDay - start;
}

/** The parts of a log between two times of day, such as from evening to morning; null where it tells no time of day. */
export function listClockStretches(log: Log, fromOfDay: number, toOfDay: number): readonly Stretch[] | null {
	const when = findTimesOfDay(log);
	if (when === null) return null;
	const until = log.timesSeconds.at(-1) ?? 0;
	const stretches: Stretch[] = [];
	for (let day = -1; when(day, fromOfDay) < until; day++) {
		const fromSeconds = Math.max(when(day, fromOfDay), 0);
		const toSeconds = Math.min(when(toOfDay > fromOfDay ? day : day + 1, toOfDay), until);
		if (toSeconds > fromSeconds) stretches.push({ fromSeconds, toSeconds });
	}
	return stretches;
}

/** Of all falls those of nights: the longest from noon to noon, where the log tells the time of day, of those that last some hours. */
export function selectNights(log: Log, falls: readonly Stretch[]): readonly Stretch[] {
	const length = ({ fromSeconds, toSeconds }: Stretch): number => toSeconds - fromSeconds;
	const long = falls.filter((one) => length(one) >= MIN_NIGHT_SECONDS);
	const noons = listClockStretches(log, DAY / 2, DAY / 2);
	if (noons === null) return long;
	return noons.flatMap((noon) => {
		const middle = (one: Stretch): number => (one.fromSeconds + one.toSeconds) / 2;
		const own = long.filter((one) => middle(one) >= noon.fromSeconds && middle(one) < noon.toSeconds);
		return own.length === 0 ? [] : [own.reduce((best, one) => (length(one) > length(best) ? one : best))];
	});
}
