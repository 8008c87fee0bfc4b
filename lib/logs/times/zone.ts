import { DAY } from "../../time.ts";
import { refusal } from "../refusal.ts";

/** Offset [s east of UTC] that a text such as `UTC`, `Z`, `+01:00`, `-5` or `GMT+2` names; null when it names none. */
export function offsetOf(text: string): number | null {
	const match = /^(?:(?:UTC|GMT|Z)|(?:UTC|GMT)?\s*([+-])(\d{1,2})(?::?([0-5]\d))?)$/i.exec(text.trim());
	if (match === null) return null;
	const [, sign, hours = "0", minutes = "0"] = match;
	const seconds = Number(hours) * 3600 + Number(minutes) * 60;
	return seconds > 14 * 3600 ? null : sign === "-" ? -seconds : seconds;
}

/** `UTC` or `+01:00` for an offset [s east of UTC]. */
export function offsetName(seconds: number): string {
	if (seconds === 0) return "UTC";
	const minutes = Math.round(Math.abs(seconds) / 60);
	const two = (x: number) => String(x).padStart(2, "0");
	return `${seconds < 0 ? "-" : "+"}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

/** One name for a zone: an IANA name, `UTC` or an offset such as `+01:00`. Throws InputError when it is none. */
export function zoneName(text: string, path = "zone"): string {
	const offset = offsetOf(text);
	if (offset !== null) return offsetName(offset);
	try {
		return new Intl.DateTimeFormat("en-US", { timeZone: text.trim() }).resolvedOptions().timeZone;
	} catch (error) {
		if (!(error instanceof RangeError)) throw error;
		const message = `needs a time zone such as "Europe/Berlin", "UTC" or "+01:00", got "${text}"`;
		throw refusal(path, message);
	}
}

/** Offset [s east of UTC] of a zone at an instant [s since 1970-01-01 UTC]. */
export function offsetReader(zone: string): (utcSeconds: number) => number {
	const fixed = offsetOf(zone);
	if (fixed !== null) return () => fixed;
	const format = new Intl.DateTimeFormat("en-US-u-ca-gregory", {
		timeZone: zone,
		hourCycle: "h23",
		year: "numeric",
		month: "numeric",
		day: "numeric",
		hour: "numeric",
		minute: "numeric",
		second: "numeric",
	});
	return (utcSeconds) => {
		const part: Record<string, number> = {};
		for (const { type, value } of format.formatToParts(utcSeconds * 1000)) part[type] = Number(value);
		const local = Date.UTC(part.year!, part.month! - 1, part.day, part.hour, part.minute, part.second);
		return local / 1000 - Math.floor(utcSeconds);
	};
}

/** Time of day [s after midnight] at an instant [s since 1970-01-01 UTC] in a zone; null is UTC. */
export function secondsOfDay(utcSeconds: number, zone: string | null): number {
	const local = utcSeconds + offsetReader(zone ?? "UTC")(utcSeconds);
	return ((local % DAY) + DAY) % DAY;
}

/** What a local time can mean. */
export interface LocalTime {
	/** As UTC [s since 1970-01-01], the earlier meaning in an hour that a clock change repeats. */
	utcSeconds: number;
	/** The later meaning in such an hour, else the same. */
	laterSeconds: number;
	/** The clock change left it out. */
	isNonexistent: boolean;
}

/** Offsets before and after the change of the clocks near a day [s east of UTC], and its instant [s since 1970-01-01 UTC]; the same twice when there is none. */
interface Change {
	readonly before: number;
	readonly after: number;
	readonly utcSeconds: number;
}

function changeNear(localDay: number, offsetAt: (utcSeconds: number) => number): Change {
	// No zone is a day away from UTC, and no two clock changes lie in three days.
	let low = (localDay - 1) * DAY;
	let high = (localDay + 2) * DAY;
	const before = offsetAt(low);
	const after = offsetAt(high);
	while (before !== after && high - low > 1) {
		const middle = Math.floor((low + high) / 2);
		if (offsetAt(middle) === before) low = middle;
		else high = middle;
	}
	return { before, after, utcSeconds: high };
}

/** Turns local times [s since 1970-01-01, as the clock on the wall shows them] of a zone into instants; each call overwrites the last answer. */
export function localClock(zone: string): (localSeconds: number) => LocalTime {
	const answer: LocalTime = { utcSeconds: 0, laterSeconds: 0, isNonexistent: false };
	const offsetAt = offsetReader(zone);
	let day = Number.NaN;
	let change: Change = { before: 0, after: 0, utcSeconds: 0 };
	return (localSeconds) => {
		const localDay = Math.floor(localSeconds / DAY);
		if (localDay !== day) {
			day = localDay;
			change = changeNear(day, offsetAt);
		}
		const { before, after, utcSeconds } = change;
		const early = localSeconds - before;
		answer.isNonexistent = false;
		if (before === after) {
			answer.utcSeconds = answer.laterSeconds = early;
			return answer;
		}
		const late = localSeconds - after;
		const asBefore = early < utcSeconds;
		const asAfter = late >= utcSeconds;
		answer.isNonexistent = !asBefore && !asAfter;
		answer.utcSeconds = asBefore || answer.isNonexistent ? early : late;
		answer.laterSeconds = asAfter ? late : answer.utcSeconds;
		return answer;
	};
}

/** Local times that come twice, or not at all, where the clocks of a zone change [s since 1970-01-01, the end not in it]. */
export interface ZoneChange {
	readonly zone: string;
	readonly kind: "ambiguous" | "nonexistent";
	readonly fromLocal: number;
	readonly toLocal: number;
}

/** Calendars of all zones of the world; made when first needed, for there are hundreds. */
let world: readonly { readonly zone: string; readonly offsetAt: (utcSeconds: number) => number }[] | null =
	null;

/** The changes of the clocks in all zones of the world near a local day, counted from 1970-01-01. */
export function zoneChanges(localDay: number): readonly ZoneChange[] {
	world ??= Intl.supportedValuesOf("timeZone").map((zone) => ({ zone, offsetAt: offsetReader(zone) }));
	return world.flatMap(({ zone, offsetAt }): ZoneChange[] => {
		const { before, after, utcSeconds } = changeNear(localDay, offsetAt);
		if (before === after) return [];
		return [
			{
				zone,
				kind: after < before ? "ambiguous" : "nonexistent",
				fromLocal: utcSeconds + Math.min(before, after),
				toLocal: utcSeconds + Math.max(before, after),
			},
		];
	});
}
