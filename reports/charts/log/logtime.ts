import { offsetReader } from "../../../lib/logs/times/zone.ts";
import { DAY, HOUR, MINUTE } from "../../../lib/time.ts";
import { timeUnit } from "../axes.ts";

/** The clock of a log. */
export interface LogClock {
	/** Instant of the first sample [s since 1970-01-01 UTC]; null when the log has elapsed times only. */
	readonly startUtcSeconds: number | null;
	/** IANA name, offset or null. */
	readonly zone: string | null;
}

/** From a second to eight weeks. */
const STEPS = [
	1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400, 172_800,
	259_200, 432_000, 604_800, 1_209_600, 2_419_200, 4_838_400,
];
/** Room that a tick's text takes [px]. */
const TICK_ROOM = 74;

const readers = new Map<string, ReturnType<typeof offsetReader>>();

/** Offset of a zone at an instant [s east of UTC]. A reader of a zone is slow to make. */
function offsetAt(zone: string | null, utcSeconds: number): number {
	const name = zone ?? "UTC";
	const reader = readers.get(name) ?? offsetReader(name);
	readers.set(name, reader);
	return reader(utcSeconds);
}

/** Clock on the wall at the first sample, as seconds since 1970 of a zone without offset; null without dates. Of a moment after a change of the clocks: as they show it then. */
const wallStart = ({ startUtcSeconds, zone }: LogClock, seconds = 0): number | null =>
	startUtcSeconds === null ? null : startUtcSeconds + offsetAt(zone, startUtcSeconds + seconds);

/** Whether the clocks changed between the first sample and `seconds` after it, so that an axis of times of day is off after it. */
export const clocksChanged = ({ startUtcSeconds, zone }: LogClock, seconds: number): boolean =>
	startUtcSeconds !== null && offsetAt(zone, startUtcSeconds) !== offsetAt(zone, startUtcSeconds + seconds);

export const MONTH_NAMES = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");
const two = (part: number): string => String(part).padStart(2, "0");

/** `10 Mar 2026` */
const dayNumber = (wallSeconds: number): string => {
	const date = new Date(wallSeconds * 1000);
	return `${date.getUTCDate()} ${MONTH_NAMES[date.getUTCMonth()]} ${date.getUTCFullYear()}`;
};

/** A moment of a log in words: `10 Mar 2026 08:00`, or the time from the first sample. */
export function momentWords(clock: LogClock, seconds: number): string {
	const start = wallStart(clock, seconds);
	if (start === null) return `${Math.round(seconds)} s from the first sample`;
	const date = new Date((start + seconds) * 1000);
	return `${dayNumber(start + seconds)} ${two(date.getUTCHours())}:${two(date.getUTCMinutes())}`;
}

/** Time of day of a moment, `08:12:36`, or the time from the first sample, `0:12:36`. */
export function timeWords(clock: LogClock, seconds: number): string {
	const start = wallStart(clock, seconds);
	const whole = Math.round(seconds);
	if (start !== null) return new Date((start + whole) * 1000).toISOString().slice(11, 19);
	return `${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
}

/** `14:00` for a time of day [s after midnight]. */
export const timeOfDayWords = (seconds: number): string =>
	`${two(Math.floor(seconds / HOUR))}:${two(Math.floor((seconds % HOUR) / MINUTE))}`;

/** Day of a moment: `2026-03-10`; null without dates. */
export function isoDay(clock: LogClock, seconds: number): string | null {
	const start = wallStart(clock, seconds);
	return start === null ? null : new Date((start + seconds) * 1000).toISOString().slice(0, 10);
}

/** Ticks of a time axis over a window of a log: clock times where it has dates, else times from the first sample. */
export function timeTicks(clock: LogClock, fromSeconds: number, toSeconds: number, width: number) {
	const start = wallStart(clock, fromSeconds);
	const most = Math.max(2, Math.floor(width / TICK_ROOM));
	const length = toSeconds - fromSeconds;
	const step = STEPS.find((size) => length / size <= most) ?? Math.ceil(length / most / DAY) * DAY;
	const zero = start ?? 0;
	// Adding 0 makes of -0 a plain 0.
	const first = Math.ceil((zero + fromSeconds) / step - 1e-9) * step - zero + 0;
	const values: number[] = [];
	for (let tick = first; tick <= toSeconds + 1e-6; tick += step) values.push(tick);
	if (start === null) {
		const unit = timeUnit(length);
		return {
			values,
			labelExpr: `format(datum.value / ${unit.seconds}, '~r')`,
			title: `time from the first sample (${unit.symbol})`,
		};
	}
	const wall = `1000 * (datum.value + ${start})`;
	const day = `utcFormat(${wall}, '%-d %b')`;
	const time = `utcFormat(${wall}, '${step < 60 ? "%H:%M:%S" : "%H:%M"}')`;
	const zone = clock.zone === null ? "" : `, ${clock.zone}`;
	return {
		values,
		labelExpr: step >= DAY ? day : `(datum.value + ${start}) % ${DAY} == 0 ? ${day} : ${time}`,
		title: step >= DAY ? `day${zone}` : `time of day from ${dayNumber(start + fromSeconds)}${zone}`,
	};
}
