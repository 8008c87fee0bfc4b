import * as z from "zod";
import type { Fault } from "../../errors.ts";
import type { CycleSchedule, Schedule } from "../../model/schedule/schedule.ts";
import { DAY } from "../../time.ts";
import { duration, mapping, oneOf, timeOfDay } from "../text/leaves.ts";
import { eachRising, rule } from "../text/rules.ts";

const DURATION_BOUNDS = { min: "0 s", max: "366 d" } as const;
const startsWithKey = () => oneOf(["on", "off"], "state of the fan at the beginning");
const tooShort = (on: number | undefined, off: number | undefined): string | null => {
	if (on === undefined || off === undefined) return null;
	if (on + off === 0) return "on and off are both 0 s; one of them must be longer";
	return on + off < 1 ? "on and off together must be at least 1 s" : null;
};

const dailyPart = mapping(
	{
		from: timeOfDay("when this part begins; the last part runs over midnight"),
		on: duration("on-time", DURATION_BOUNDS).optional(),
		off: duration("off-time", DURATION_BOUNDS).optional(),
		fan: oneOf(["continuous", "off"], "instead of on and off: never off, or never on").optional(),
	},
	"a part of the day with its own cycle",
).check(
	rule(({ on, off, fan: always }, say, intact) => {
		if (always !== undefined && (on !== undefined || off !== undefined)) {
			say("fan", "conflicts with on and off; give one of the two");
		} else if (intact && always === undefined && (on === undefined || off === undefined)) {
			say([], 'needs on and off such as { on: 4 s, off: 236 s }, or fan: "continuous" or "off"');
		} else {
			const short = tooShort(on, off);
			if (short !== null) say("on", short);
		}
	}),
);

/** When the fan runs, as the file says it. */
export const scheduleSection = z
	.union(
		[
			mapping(
				{
					on: duration("on-time of a cycle", DURATION_BOUNDS),
					off: duration("off-time of a cycle", DURATION_BOUNDS),
					starts: startsWithKey().optional(),
				},
				"a cycle",
			).check(
				rule(({ on, off }, say) => {
					const short = tooShort(on, off);
					if (short !== null) say("on", short);
				}),
			),
			mapping(
				{
					daily: z
						.array(dailyPart, { error: 'needs a list such as [{ from: "07:00", on: 4 s, off: 236 s }]' })
						.min(1, { error: "needs at least one part" })
						.max(200, { error: "has more than 200 parts" })
						.meta({ description: "other cycles by time of day, in order" }),
				},
				"other cycles by time of day",
			).check(
				rule(({ daily }, say) => {
					eachRising(
						(daily ?? []).map((part) => part?.from),
						(index) => say(["daily", index, "from"], "the parts must follow each other through the day"),
					);
				}),
			),
			mapping(
				{
					switches: z
						.union(
							[
								z.string(),
								z
									.array(duration("time of a switching", { min: "0 s", max: "366 d" }))
									.min(1, { error: "needs at least one time" })
									.max(100_000, { error: "has more than 100000 entries" }),
							],
							{ error: 'needs a list of times such as ["0 s", "4 s"], or the name of a CSV file' },
						)
						.meta({ description: "times of the switchings, or a CSV file with the header time_s,fan" }),
					starts: startsWithKey().optional(),
					repeat: duration("repeat the list with this period", { min: "1 s", max: "366 d" }).optional(),
				},
				"an explicit list of switchings",
			).check(
				rule(({ switches, repeat }, say) => {
					if (switches === undefined || typeof switches === "string") return;
					eachRising(switches, (index) =>
						say(["switches", index], "the times must rise from entry to entry"),
					);
					const last = switches.at(-1) ?? 0;
					if (repeat !== undefined && last >= repeat) say("repeat", "must be longer than the last time");
				}),
			),
			oneOf(["continuous", "off"], "never off, or never on"),
		],
		{ error: 'needs a schedule such as { on: 4 s, off: 236 s }, or "continuous" or "off"' },
	)
	.meta({ description: "when the fan runs" });

export type ScheduleSection = z.output<typeof scheduleSection>;

type FanState = "on" | "off";
const other = (state: FanState): FanState => (state === "on" ? "off" : "on");

const cycle = (
	onSeconds: number,
	off: number,
	starts?: FanState,
): CycleSchedule | { readonly kind: "continuous" | "off" } => {
	if (off === 0) return { kind: "continuous" };
	if (onSeconds === 0) return { kind: "off" };
	return {
		kind: "cycle",
		onSeconds,
		offSeconds: off,
		...(starts === undefined ? {} : { startsWith: starts }),
	};
};

const switches = (times: readonly number[], starts: FanState, repeat: number | undefined): Schedule => {
	const atOnce = times[0] === 0;
	return {
		kind: "switches",
		switchSeconds: atOnce ? times.slice(1) : times,
		startsWith: atOnce ? other(starts) : starts,
		...(repeat === undefined ? {} : { repeatSeconds: repeat }),
	};
};

const MAX_SWITCHES = 100_000;

/**
 * Reads `time_s,fan` rows: the state of the fan from each time on; a row that repeats the state changes nothing. Faults name the line and
 * never what stands there: a scenario of someone else may name any file of its reader.
 */
export const readSwitches = (
	text: string,
	fileName: string,
	starts: FanState | undefined,
	repeat: number | undefined,
): { readonly schedule: Schedule | null; readonly faults: readonly Fault[] } => {
	const faults: Fault[] = [];
	const say = (line: number, message: string): void => {
		if (faults.length < 20) faults.push({ file: fileName, line, column: 1, message });
	};
	const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\n|\r/);
	if ((lines[0] ?? "").replaceAll(" ", "").toLowerCase() !== "time_s,fan") {
		say(1, 'needs the header "time_s,fan"');
		return { schedule: null, faults };
	}
	const times: number[] = [];
	let state = starts;
	let first: FanState | undefined = starts;
	let before = Number.NEGATIVE_INFINITY;
	for (const [index, line] of lines.entries()) {
		if (index === 0 || line.trim() === "") continue;
		const match = /^\s*(\d+(?:\.\d+)?)\s*,\s*(on|off|0|1)\s*$/i.exec(line);
		if (match === null) {
			say(index + 1, 'needs a time in s and on or off such as "4,off"');
			continue;
		}
		const time = Number(match[1]);
		const next: FanState = /^(?:on|1)$/i.test(match[2] ?? "") ? "on" : "off";
		if (time <= before) say(index + 1, "the times must rise from row to row");
		if (time > 366 * DAY) say(index + 1, "must be at most 366 d");
		before = time;
		if (state === undefined) first = other(next);
		if (next !== state) times.push(time);
		state = next;
	}
	if (times.length > MAX_SWITCHES) say(1, `has more than ${MAX_SWITCHES} switches`);
	if (faults.length === 0 && before === Number.NEGATIVE_INFINITY) say(1, "has no rows under its header");
	if (repeat !== undefined && before >= repeat) say(1, "its last time is not below the period of repeat");
	return { schedule: faults.length > 0 ? null : switches(times, first ?? "off", repeat), faults };
};

/** The schedule of a section; null when it names a file of switches, whose text the caller must fetch. */
export const buildSchedule = (section: ScheduleSection): Schedule | null => {
	if (typeof section === "string") return { kind: section };
	if ("on" in section) return cycle(section.on, section.off, section.starts);
	if ("daily" in section) {
		return {
			kind: "daily",
			parts: section.daily.map(({ from, on, off, fan }) => ({
				fromSeconds: from,
				schedule: fan === undefined ? cycle(on ?? 0, off ?? 0) : { kind: fan },
			})),
		};
	}
	// The first listed time switches the fan on unless the file says otherwise.
	if (typeof section.switches === "string") return null;
	return switches(section.switches, section.starts ?? "off", section.repeat);
};
