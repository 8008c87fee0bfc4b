import type { UnitSystem } from "../../lib/units/format.ts";

/** On- and off-time as a person writes them. */
export interface TimerSettingText {
	readonly on: string;
	readonly off: string;
}

/** Names of the schedules of the page. */
export const SCHEDULE_NAMES = ["A", "B"] as const;

/** All that a reader has changed; the page shows what follows from it and from the file. */
export interface ExploreState {
	/** What the file is to say, by its path with dots. */
	readonly values: Readonly<Record<string, string>>;
	/** A and, where a second one is pinned beside it, B. */
	readonly schedules: readonly [TimerSettingText] | readonly [TimerSettingText, TimerSettingText];
	/** Place of the schedule that the controls move. */
	readonly activeSchedule: 0 | 1;
	readonly units: UnitSystem;
	/** The curve as the sensor shows it is drawn too. */
	readonly isSensorShown: boolean;
}

const VERSION = "1";
/** Longer than any value worth writing. */
const MAX_VALUE_LENGTH = 80;
const MAX_FRAGMENT_LENGTH = 10_000;

/** A state as the fragment of a link, without its "#". */
export function encodeState({
	values,
	schedules,
	activeSchedule,
	units,
	isSensorShown,
}: ExploreState): string {
	const fields = new URLSearchParams({ v: VERSION });
	for (const [path, text] of Object.entries(values)) fields.set(path, text);
	schedules.forEach(({ on, off }, place) => {
		fields.set(`${SCHEDULE_NAMES[place]}.on`, on);
		fields.set(`${SCHEDULE_NAMES[place]}.off`, off);
	});
	if (schedules.length > 1) fields.set("moves", SCHEDULE_NAMES[activeSchedule]);
	fields.set("units", units);
	if (isSensorShown) fields.set("sensor", "shown");
	return fields.toString();
}

/**
 * State of a fragment: what it says of the known paths, and `base` for all the rest. Anything may stand in a link, so what is
 * not understood is passed over; whether the values make sense is for the parser to say.
 */
export function decodeState(fragment: string, base: ExploreState, paths: readonly string[]): ExploreState {
	const text = fragment.replace(/^#/, "");
	if (text.length > MAX_FRAGMENT_LENGTH) return base;
	const fields = new URLSearchParams(text);
	if (fields.get("v") !== VERSION) return base;
	const read = (key: string): string | null => {
		const value = fields.get(key)?.trim() ?? "";
		return value === "" || value.length > MAX_VALUE_LENGTH ? null : value;
	};
	const settingOf = (name: string, otherwise: TimerSettingText | undefined): TimerSettingText | undefined => {
		const [on, off] = [read(`${name}.on`) ?? otherwise?.on, read(`${name}.off`) ?? otherwise?.off];
		return on === undefined || off === undefined ? undefined : { on, off };
	};
	const a = settingOf("A", base.schedules[0])!;
	const b = settingOf("B", undefined);
	const units = read("units");
	return {
		values: Object.fromEntries(
			paths.flatMap((path) => {
				const value = read(path);
				return value === null ? [] : [[path, value]];
			}),
		),
		schedules: b === undefined ? [a] : [a, b],
		activeSchedule: b !== undefined && read("moves") === "B" ? 1 : 0,
		units: units === "si" || units === "us" ? units : base.units,
		isSensorShown: read("sensor") === "shown",
	};
}

/** The state with one of its values said anew: of a path of the file, or of a schedule (`A.on`). */
export function withValue(state: ExploreState, path: string, text: string): ExploreState {
	const [, name, period] = /^([AB])\.(on|off)$/.exec(path) ?? [];
	if (name === undefined || period === undefined)
		return { ...state, values: { ...state.values, [path]: text } };
	const place = name === "A" ? 0 : 1;
	const schedules = state.schedules.map((setting, i) =>
		i === place ? { ...setting, [period]: text } : setting,
	);
	return { ...state, schedules: schedules as unknown as ExploreState["schedules"] };
}
