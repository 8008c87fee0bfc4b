import { type Fault, InputError, show } from "../../errors.ts";
import { nearest } from "../../nearest.ts";
import { DAY } from "../../time.ts";

export interface CycleSchedule {
	readonly kind: "cycle";
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** Default: on. */
	readonly startsWith?: "on" | "off";
}
/** On- and off-time of a cycle. */
export type Cycle = Pick<CycleSchedule, "onSeconds" | "offSeconds">;
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

/** A schedule without a cycle repeats after any time; this one is used. */
export const DEFAULT_PERIOD_SECONDS = 60;

const KINDS = ["cycle", "daily", "switches", "continuous", "off"] as const;
const isTime = (x: unknown): x is number => typeof x === "number" && Number.isFinite(x) && x >= 0;
const isList = (x: unknown): x is ArrayLike<unknown> => Array.isArray(x) || ArrayBuffer.isView(x);

/**
 * Checks a schedule that was written by hand.
 * @throws InputError with every fault: an unknown kind, on + off = 0, negative or infinite periods, times out of order
 */
export function checkSchedule(schedule: Schedule): void {
	const faults: Fault[] = [];
	const fault = (path: string, message: string) =>
		faults.push({ path: path === "" ? "schedule" : `schedule.${path}`, message });
	/** Whether its kind is one of those allowed there. */
	const isOneOf = (given: unknown, kinds: readonly string[], path: string): given is { kind: string } => {
		if (typeof given !== "object" || given === null) {
			fault(
				path,
				`needs an object such as { kind: "cycle", onSeconds: 4, offSeconds: 236 }, got ${show(given)}`,
			);
			return false;
		}
		const { kind } = given as { kind?: unknown };
		if (typeof kind === "string" && kinds.includes(kind)) return true;
		const near = typeof kind === "string" ? nearest(kind, kinds) : null;
		const list = kinds.map((name) => `"${name}"`).join(", ");
		fault(
			path === "" ? "kind" : `${path}.kind`,
			`needs one of ${list}, got ${show(kind)}${near === null ? "" : `; did you mean "${near}"?`}`,
		);
		return false;
	};
	const checkStart = (startsWith: unknown, path: string) => {
		if (startsWith !== undefined && startsWith !== "on" && startsWith !== "off")
			fault(`${path}startsWith`, `needs "on" or "off", got ${show(startsWith)}`);
	};
	const checkCycle = (cycle: CycleSchedule, path: string) => {
		for (const key of ["onSeconds", "offSeconds"] as const)
			if (!isTime(cycle[key])) fault(path + key, `needs a time of 0 s or more, got ${show(cycle[key])}`);
		if (cycle.onSeconds === 0 && cycle.offSeconds === 0)
			fault(
				`${path}onSeconds`,
				"on and off are both 0 s, so the cycle has no length; give one of them a time",
			);
		checkStart(cycle.startsWith, path);
	};
	const checkDaily = ({ parts }: DailySchedule) => {
		if (!isList(parts) || parts.length === 0) {
			fault("parts", "needs at least one part of the day");
			return;
		}
		parts.forEach((part, i) => {
			if (typeof part !== "object" || part === null) {
				fault(`parts[${i}]`, `needs an object with fromSeconds and schedule, got ${show(part)}`);
				return;
			}
			const { fromSeconds, schedule: own } = part;
			const previous = parts[i - 1]?.fromSeconds ?? -1;
			if (!(isTime(fromSeconds) && fromSeconds < DAY && !(fromSeconds <= previous)))
				fault(`parts[${i}].fromSeconds`, `needs times of day in ascending order, got ${show(fromSeconds)} s`);
			if (isOneOf(own, ["cycle", "continuous", "off"], `parts[${i}].schedule`) && own.kind === "cycle")
				checkCycle(own, `parts[${i}].`);
		});
	};
	const checkSwitches = ({ switchSeconds, repeatSeconds, startsWith }: SwitchesSchedule) => {
		checkStart(startsWith, "");
		if (!isList(switchSeconds)) {
			fault("switchSeconds", `needs a list of times in s, got ${show(switchSeconds)}`);
			return;
		}
		switchSeconds.forEach((time, i) => {
			const previous = switchSeconds[i - 1] ?? -1;
			if (!(isTime(time) && !(time <= previous)))
				fault(`switchSeconds[${i}]`, `needs times in ascending order, got ${show(time)} s`);
		});
		const last = switchSeconds.at(-1) ?? 0;
		if (repeatSeconds !== undefined && !(isTime(repeatSeconds) && repeatSeconds > last))
			fault("repeatSeconds", `needs a time after the last switch at ${last} s, got ${show(repeatSeconds)}`);
	};
	if (isOneOf(schedule, KINDS, "")) {
		if (schedule.kind === "cycle") checkCycle(schedule, "");
		if (schedule.kind === "daily") checkDaily(schedule);
		if (schedule.kind === "switches") checkSwitches(schedule);
	}
	if (faults.length > 0) throw new InputError(faults);
}

/**
 * Length of the pattern that repeats.
 *
 * @param schedule when the fan is on
 * @returns time [s]; null when the schedule never repeats
 * @throws never
 *
 * Source: this project.
 * @example periodSeconds({ kind: "cycle", onSeconds: 4, offSeconds: 236 }) // => 240
 */
export function periodSeconds(schedule: Schedule): number | null {
	checkSchedule(schedule);
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
