import { type Fault, InputError } from "../../errors.ts";

export interface CycleSchedule {
	readonly kind: "cycle";
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** Default: on. */
	readonly startsWith?: "on" | "off";
}
export interface ContinuousSchedule {
	readonly kind: "continuous";
}
export interface OffSchedule {
	readonly kind: "off";
}
/** Another cycle by time of day; each part starts its cycle afresh and the last one runs over midnight. */
export interface DailySchedule {
	readonly kind: "daily";
	/** Ascending, each in [0, 86400). */
	readonly parts: readonly {
		readonly fromSeconds: number;
		readonly schedule: CycleSchedule | ContinuousSchedule | OffSchedule;
	}[];
}
/** The fan changes state at each of the listed times; before the first it is in the state `startsWith`. */
export interface SwitchesSchedule {
	readonly kind: "switches";
	/** Strictly ascending, >= 0 [s]. */
	readonly switchSeconds: readonly number[];
	/** Default: on. */
	readonly startsWith?: "on" | "off";
	/** The list is repeated with this period [s], each time from the state `startsWith`; absent: once, then the last state holds. */
	readonly repeatSeconds?: number;
}

/** When the fan is on. Time 0 is midnight of the first day. */
export type Schedule = CycleSchedule | DailySchedule | SwitchesSchedule | ContinuousSchedule | OffSchedule;

/** A stretch [startSeconds, startSeconds + durationSeconds) in which the fan does not change state. */
export interface Segment {
	readonly startSeconds: number;
	/** Kept apart from the start so that equal bursts have equal lengths to the last bit, on day 30 too. */
	readonly durationSeconds: number;
	readonly isOn: boolean;
}

const DAY = 86_400;
/** A schedule without a cycle repeats after any time; this one is used. */
const DEFAULT_PERIOD_SECONDS = 60;

/**
 * Faults of a schedule that was not read from a file.
 * @throws InputError with every fault: on + off = 0, negative or infinite periods, times out of order.
 */
export function checkSchedule(schedule: Schedule): void {
	const faults: Fault[] = [];
	const fault = (path: string, message: string) => faults.push({ path: `schedule.${path}`, message });
	const checkCycle = (cycle: CycleSchedule, path: string) => {
		for (const key of ["onSeconds", "offSeconds"] as const)
			if (!(cycle[key] >= 0 && Number.isFinite(cycle[key])))
				fault(path + key, `needs a time of 0 s or more, got ${cycle[key]}`);
		if (cycle.onSeconds === 0 && cycle.offSeconds === 0)
			fault(
				`${path}onSeconds`,
				"on and off are both 0 s, so the cycle has no length; give one of them a time",
			);
	};
	if (schedule.kind === "cycle") checkCycle(schedule, "");
	if (schedule.kind === "daily") {
		if (schedule.parts.length === 0) fault("parts", "needs at least one part of the day");
		schedule.parts.forEach((part, i) => {
			const previous = schedule.parts[i - 1]?.fromSeconds ?? -1;
			if (!(part.fromSeconds >= 0 && part.fromSeconds < DAY && part.fromSeconds > previous))
				fault(`parts[${i}].fromSeconds`, `needs times of day in ascending order, got ${part.fromSeconds} s`);
			if (part.schedule.kind === "cycle") checkCycle(part.schedule, `parts[${i}].`);
		});
	}
	if (schedule.kind === "switches") {
		schedule.switchSeconds.forEach((time, i) => {
			const previous = schedule.switchSeconds[i - 1] ?? -1;
			if (!(Number.isFinite(time) && time >= 0 && time > previous))
				fault(`switchSeconds[${i}]`, `needs times in ascending order, got ${time} s`);
		});
		const last = schedule.switchSeconds.at(-1) ?? 0;
		if (schedule.repeatSeconds !== undefined && !(schedule.repeatSeconds > last))
			fault(
				"repeatSeconds",
				`needs a time after the last switch at ${last} s, got ${schedule.repeatSeconds}`,
			);
	}
	if (faults.length > 0) throw new InputError(faults);
}

/** Length of the pattern that repeats [s]; null when the schedule never repeats. */
export function periodSeconds(schedule: Schedule): number | null {
	switch (schedule.kind) {
		case "cycle":
			return schedule.onSeconds === 0 || schedule.offSeconds === 0
				? DEFAULT_PERIOD_SECONDS
				: schedule.onSeconds + schedule.offSeconds;
		case "daily":
			return DAY;
		case "switches":
			return schedule.switchSeconds.length === 0 ? DEFAULT_PERIOD_SECONDS : (schedule.repeatSeconds ?? null);
		default:
			return DEFAULT_PERIOD_SECONDS;
	}
}

/**
 * The schedule from time 0 to `untilSeconds` as segments of constant fan state, without gaps; neighbours may have the same state.
 * Switch instants are index × period + offset, never a running sum.
 */
export function* segments(schedule: Schedule, untilSeconds: number): Generator<Segment> {
	switch (schedule.kind) {
		case "cycle":
			yield* cycleSegments(schedule, 0, untilSeconds);
			return;
		case "continuous":
		case "off":
			yield { startSeconds: 0, durationSeconds: untilSeconds, isOn: schedule.kind === "continuous" };
			return;
		case "daily":
			yield* dailySegments(schedule, untilSeconds);
			return;
		case "switches":
			yield* switchSegments(schedule, untilSeconds);
	}
}

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

function* dailySegments(daily: DailySchedule, until: number): Generator<Segment> {
	const { parts } = daily;
	const play = (part: DailySchedule["parts"][number], from: number, to: number) =>
		part.schedule.kind === "cycle"
			? cycleSegments(part.schedule, from, to)
			: [{ startSeconds: from, durationSeconds: to - from, isOn: part.schedule.kind === "continuous" }];
	const [head, last] = [parts[0]!, parts.at(-1)!];
	for (let day = 0; day * DAY < until; day++) {
		const midnight = day * DAY;
		// The last part began the evening before; its cycle is continued in phase over midnight.
		if (head.fromSeconds > 0)
			yield* shiftSegments(
				play(last, last.fromSeconds, DAY + Math.min(head.fromSeconds, until - midnight)),
				DAY,
				midnight,
			);
		for (const [i, part] of parts.entries()) {
			const end = Math.min(midnight + (parts[i + 1]?.fromSeconds ?? DAY), until);
			const start = midnight + part.fromSeconds;
			if (start < end) yield* play(part, start, end);
		}
	}
}

/** What of the segments lies after `from`, moved so that `from` becomes `to`. */
function* shiftSegments(list: Iterable<Segment>, from: number, to: number): Generator<Segment> {
	for (const { startSeconds, durationSeconds, isOn } of list) {
		const end = startSeconds + durationSeconds;
		if (end <= from) continue;
		const start = Math.max(startSeconds, from);
		yield {
			startSeconds: start - from + to,
			durationSeconds: start === startSeconds ? durationSeconds : end - start,
			isOn,
		};
	}
}

function* switchSegments(schedule: SwitchesSchedule, until: number): Generator<Segment> {
	const { switchSeconds, repeatSeconds } = schedule;
	const length = repeatSeconds ?? until;
	for (let index = 0; index * length < until; index++) {
		const origin = index * length;
		let isOn = schedule.startsWith !== "off";
		let start = 0;
		for (const next of [...switchSeconds, length]) {
			const end = Math.min(next, length, until - origin);
			if (end > start) yield { startSeconds: origin + start, durationSeconds: end - start, isOn };
			isOn = !isOn;
			start = next;
		}
	}
}

/** Bursts (off → on, or one start of a fan that never stops: 0) a day, averaged over the period or over `untilSeconds`. */
export function burstsPerDay(schedule: Schedule, untilSeconds = DAY): number {
	switch (schedule.kind) {
		case "continuous":
		case "off":
			return 0;
		case "cycle":
			return schedule.onSeconds === 0 || schedule.offSeconds === 0
				? 0
				: DAY / (schedule.onSeconds + schedule.offSeconds);
		default: {
			const span = periodSeconds(schedule) ?? untilSeconds;
			const list = [...segments(schedule, span)];
			// Over a whole period the first segment follows the last one; a list that does not repeat begins with the fan at rest.
			let before = periodSeconds(schedule) === null ? false : list.at(-1)!.isOn;
			let bursts = 0;
			for (const { isOn } of list) {
				if (isOn && !before) bursts++;
				before = isOn;
			}
			return (bursts * DAY) / span;
		}
	}
}

/** Share of the time in which the fan is on [0..1], over the period or over `untilSeconds`. */
export function dutyCycle(schedule: Schedule, untilSeconds = DAY): number {
	const span = periodSeconds(schedule) ?? untilSeconds;
	let on = 0;
	for (const segment of segments(schedule, span)) if (segment.isOn) on += segment.durationSeconds;
	return on / span;
}
