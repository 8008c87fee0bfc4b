import { DAY, HOUR } from "../../time.ts";
import type { Log } from "../log.ts";
import { findClockStart } from "../times/clockstart.ts";
import { localClock, offsetReader } from "../times/zone.ts";
import type { Stretch } from "./slice.ts";

/** A fall that lasts so long is that of a night; shorter ones are breaks [s]. */
const MIN_NIGHT_SECONDS = 3 * HOUR;

/** The days of a log. */
interface LogDays {
	/** Day of the first sample, counted from 1970-01-01; null without dates. */
	readonly firstDay: number | null;
	/** When a time of day comes on a day, 0 being that of the first sample [s since the first sample]. */
	readonly when: (day: number, secondsOfDay: number) => number;
}

/** The days of a log by the clock on the wall, changes of the clocks and all; null where it tells no time of day. */
export function findLogDays(
	log: Pick<Log, "startUtcSeconds" | "startsAtSeconds" | "layout">,
): LogDays | null {
	const { startUtcSeconds, layout } = log;
	if (startUtcSeconds !== null) {
		const zone = layout.zone ?? "UTC";
		const clock = localClock(zone);
		const firstDay = Math.floor((startUtcSeconds + offsetReader(zone)(startUtcSeconds)) / DAY);
		return {
			firstDay,
			when: (day, secondsOfDay) => clock((firstDay + day) * DAY + secondsOfDay).utcSeconds - startUtcSeconds,
		};
	}
	const start = findClockStart(log);
	return start === null
		? null
		: { firstDay: null, when: (day, secondsOfDay) => day * DAY + secondsOfDay - start };
}

/** The parts of a log between two times of day, such as from evening to morning; null where it tells no time of day. */
export function listClockStretches(log: Log, fromOfDay: number, toOfDay: number): readonly Stretch[] | null {
	const days = findLogDays(log);
	if (days === null) return null;
	const { when } = days;
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
