import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import type { CycleSchedule, Schedule } from "../../model/schedule/schedule.ts";
import { burstsPerDay } from "../../model/schedule/timeline.ts";
import { namesMeant } from "../../nearest.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { DAY } from "../../time.ts";
import { formatDuration } from "../../units/format.ts";
import type { FitOptions } from "../fitoptions.ts";
import type { FanSource } from "../fittypes.ts";
import type { FanRun } from "./fitmodel.ts";
import { findScheduleStart } from "./loggedchamber.ts";

/** On-time of the schedule that was named, or is the only one. */
export function listOnSeconds(scenario: Scenario, options: FitOptions): readonly number[] {
	const { schedule } = findSchedule(scenario, options.schedule);
	return schedule?.kind === "cycle" ? [schedule.onSeconds] : [];
}

/** How the fan ran, as far as it is known before the search. */
export interface FanHistory {
	readonly fan: FanRun;
	readonly scheduleName: string | null;
	/** The cycle whose phase is not known; null when the instants are. */
	readonly seek: CycleSchedule | null;
	readonly fanFrom: FanSource;
	readonly phaseSeconds: number;
}

/**
 * Schedule that ran, by name or as the only one; null where a test has none or it is not clear.
 * @throws InputError for a name that the scenario does not have
 */
export function findSchedule(
	scenario: Scenario,
	name: string | undefined,
	test: FitOptions["test"] = "log",
): { readonly name: string | null; readonly schedule: Schedule | null } {
	if (test !== "log") return { name: null, schedule: null };
	const { schedules } = scenario;
	const names = schedules.map((one) => one.name);
	if (name !== undefined) {
		const meant = namesMeant(name, names);
		if (meant.length === 1) return schedules.find((one) => one.name === meant[0])!;
		const message =
			meant.length > 1
				? `"${name}" may be ${meant.map((one) => `"${one}"`).join(" or ")}`
				: `"${name}" is none of the scenario's schedules: ${names.join(", ")}`;
		throw new InputError([{ path: "schedule", message }]);
	}
	return schedules.length === 1 ? schedules[0]! : { name: null, schedule: null };
}

export function findFanHistory(scenario: Scenario, series: CleanSeries, options: FitOptions): FanHistory {
	const test = options.test ?? "log";
	if (test !== "log") {
		const isOn = test === "decay" && options.fan === "on";
		return {
			fan: { kind: "scheduled", schedule: { kind: isOn ? "continuous" : "off" } },
			scheduleName: null,
			seek: null,
			fanFrom: { code: isOn ? "always on" : "always off" },
			phaseSeconds: 0,
		};
	}
	const { name, schedule } = findSchedule(scenario, options.schedule, test);
	if (series.fan !== null)
		return {
			fan: { kind: "logged", ...series.fan },
			scheduleName: name,
			seek: null,
			fanFrom: { code: "fan column", state: series.fan.timing?.state ?? null },
			phaseSeconds: 0,
		};
	if (schedule === null)
		throw new InputError([
			{
				path: "schedule",
				message: `no fan column tells when the fan ran, so name the schedule that did, one of ${scenario.schedules.map((one) => `"${one.name}"`).join(", ")}`,
			},
		]);
	checkSwitchings(schedule, series);
	const given = options.phaseSeconds;
	if (
		given !== undefined ||
		schedule.kind !== "cycle" ||
		schedule.onSeconds === 0 ||
		schedule.offSeconds === 0
	) {
		return {
			fan: { kind: "scheduled", schedule },
			scheduleName: name,
			seek: null,
			fanFrom: { code: given !== undefined ? "schedule with given start" : "schedule by the clock" },
			phaseSeconds: given ?? findScheduleStart(schedule, series),
		};
	}
	return {
		fan: { kind: "scheduled", schedule },
		scheduleName: name,
		seek: schedule,
		fanFrom: { code: "schedule with estimated start" },
		phaseSeconds: 0,
	};
}

/** So many bursts may a log span, and so many more for each of its rows: a log of a month, and one averaged over cycles, stay well below. */
const MAX_BURSTS = 10_000;
const MAX_BURSTS_PER_ROW = 20;

/** A few rows a year apart ask for a year of switchings in each step of the search, and tell nothing of them. */
function checkSwitchings(schedule: Schedule, { timesSeconds, log }: CleanSeries): void {
	const span = timesSeconds.at(-1) ?? 0;
	const bursts = Math.round((burstsPerDay(schedule) * span) / DAY);
	if (bursts <= MAX_BURSTS + MAX_BURSTS_PER_ROW * timesSeconds.length) return;
	const longest = timesSeconds.reduce(
		(most, t, i) => Math.max(most, i > 0 ? t - timesSeconds[i - 1]! : 0),
		0,
	);
	throw new InputError([
		{
			path: "log",
			message: `its ${timesSeconds.length} rows span ${formatDuration(span)} with ${bursts} bursts, at most ${formatDuration(longest)} from one row to the next where ${formatDuration(log.sampleIntervalSeconds)} is usual; take a part of it (--from, --to)`,
		},
	]);
}
