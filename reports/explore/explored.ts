import { type Comparison, compareBy, evaluateAir } from "../../lib/compare/comparison.ts";
import { isSlow, type Preview, previewSchedule } from "../../lib/compare/preview.ts";
import { balanceWater } from "../../lib/compare/water.ts";
import { InputError } from "../../lib/errors.ts";
import { contactMonths } from "../../lib/model/schedule/contactlife.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { type KeyEdit, type KeyEdits, scenarioRewriter } from "../../lib/scenario/edit/rewrite.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { compile } from "../../lib/solve/compile.ts";
import { DAY, MONTH } from "../../lib/time.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { type ExploreState, SCHEDULE_NAMES, type TimerSettingText, withValue } from "./state.ts";
import { TRACE_POINTS, type Traces, tracesOf } from "./traces.ts";

/** What follows from a state. */
export interface Explored {
	readonly state: ExploreState;
	/** The scenario file that says all this: what is shown is what `compare` makes of it. */
	readonly text: string;
	readonly scenario: Scenario;
	readonly comparison: Comparison;
	readonly traces: Traces;
	/** Figures and traces are those of a preview. */
	readonly isPreview: boolean;
	/** By schedule: how long the contact lasts [months]. */
	readonly contactMonths: readonly number[];
}

/** Sensor that is added where the file has none: a common time constant, assumed. */
const DEFAULT_RESPONSE = "60 s";
/** Schedule where the file has no cycle to begin with: invented. */
const DEFAULT_SETTING: TimerSettingText = { on: "10 s", off: "5 min" };

/** Cycles of a file, by name. */
export const cyclesOf = ({
	schedules,
}: Scenario): readonly { readonly name: string; readonly setting: TimerSettingText }[] =>
	schedules.flatMap(({ name, schedule }) =>
		schedule.kind === "cycle"
			? [{ name, setting: { on: exactly(schedule.onSeconds), off: exactly(schedule.offSeconds) } }]
			: [],
	);

/** A time to the letter: in words where these say it exactly, else in seconds. */
const exactly = (seconds: number): string => {
	const tenths = Math.round(seconds * 10) / 10;
	return tenths === seconds && (seconds < 3600 || Number.isInteger(seconds))
		? formatDuration(seconds)
		: `${seconds} s`;
};

/** The state that a page begins with: nothing changed, the first cycle of the file. */
export const firstState = (scenario: Scenario, units: UnitSystem): ExploreState => ({
	values: {},
	schedules: [cyclesOf(scenario)[0]?.setting ?? DEFAULT_SETTING],
	activeSchedule: 0,
	units,
	isSensorShown: false,
});

/** Values by dotted paths as keys within keys. */
function nested(values: Readonly<Record<string, string>>): KeyEdits {
	const root: Record<string, KeyEdit> = {};
	for (const [path, text] of Object.entries(values)) {
		const keys = path.split(".");
		let at = root;
		for (const key of keys.slice(0, -1)) {
			at[key] ??= {};
			at = at[key] as Record<string, KeyEdit>;
		}
		at[keys.at(-1)!] = text;
	}
	return root;
}

/** What a state says as a scenario. */
interface ReadState {
	readonly text: string;
	readonly scenario: Scenario;
}

/** Reads states of one file. Every state becomes the text of a scenario, which goes the way of any other: parser, model, verdict. */
interface Explorer {
	/** @throws InputError for a state that is no scenario */
	readonly read: (state: ExploreState) => ReadState;
	/** @throws InputError for a state that is no scenario */
	readonly explore: (state: ExploreState) => Explored;
	/**
	 * As `explore`, but roughly where that would take longer than a frame.
	 * @throws InputError for a state that is no scenario
	 */
	readonly preview: (state: ExploreState) => Explored;
}

export function createExplorer(text: string, fileName: string): Explorer {
	const rewrite = scenarioRewriter(text);
	const hasSensor =
		parseScenario(rewrite({ schedules: { A: { ...DEFAULT_SETTING } } }), fileName).sensor !== null;
	const read = ({ values: all, schedules, isSensorShown }: ExploreState): ReadState => {
		const { "sensor.response": response, ...values } = all;
		const lag = hasSensor || isSensorShown ? (response ?? (hasSensor ? null : DEFAULT_RESPONSE)) : null;
		const said = rewrite({
			...nested(lag === null ? values : { ...values, "sensor.response": lag }),
			schedules: Object.fromEntries(schedules.map((setting, i) => [SCHEDULE_NAMES[i], { ...setting }])),
		});
		return { text: said, scenario: parseScenario(said, fileName) };
	};
	/** Of the schedules of the last glance: of two, only one is moved. */
	let lastPreviews: ReadonlyMap<string, Preview> = new Map();
	const preview = (state: ExploreState): Explored => {
		const known = new Map<Schedule, Preview>();
		const next = new Map<string, Preview>();
		const seen = explored(state, known, (scenario, compiled, schedule, options) => {
			const { model } = compile(compiled);
			if (!isSlow(model, schedule)) return evaluateAir(scenario, compiled, schedule, options);
			const key = JSON.stringify([state.values, state.isSensorShown, schedule]);
			const rough = lastPreviews.get(key) ?? previewSchedule(scenario, model, schedule, TRACE_POINTS);
			known.set(schedule, rough);
			next.set(key, rough);
			return rough.summary;
		});
		lastPreviews = next;
		return seen;
	};
	const explored = (
		state: ExploreState,
		known: ReadonlyMap<Schedule, Preview>,
		evaluate: typeof evaluateAir,
	): Explored => {
		const { text, scenario } = read(state);
		const compared = compareBy(scenario, (model, schedule) => ({
			summary: evaluate(scenario, model, schedule),
			water: balanceWater(scenario, known.get(schedule)?.even ?? model, schedule, null),
		}));
		const leftOut = scenario.water === null ? [] : ([{ code: "humidity left out", path: "water" }] as const);
		const comparison = { ...compared, warnings: [...leftOut, ...compared.warnings] };
		return {
			state,
			text,
			scenario,
			comparison,
			traces: tracesOf(comparison, known),
			isPreview: known.size > 0,
			contactMonths: comparison.schedules.map(({ summary }) =>
				contactMonths(scenario, (MONTH * summary.burstsPerDay) / DAY),
			),
		};
	};
	return { read, explore: (state) => explored(state, new Map(), evaluateAir), preview };
}

/** Of a state from a link what makes sense: all of it, or without the values that the parser refuses, whose paths are named. */
export function soundState(
	read: Explorer["read"],
	state: ExploreState,
	base: ExploreState,
): { readonly sound: ExploreState; readonly refused: readonly string[] } {
	const isSound = (candidate: ExploreState): boolean => {
		try {
			read(candidate);
			return true;
		} catch (error) {
			if (error instanceof InputError) return false;
			throw error;
		}
	};
	if (isSound(state)) return { sound: state, refused: [] };
	const refused: string[] = [];
	let sound: ExploreState = { ...base, units: state.units, isSensorShown: state.isSensorShown };
	const take = (next: ExploreState, path: string): void => {
		if (isSound(next)) sound = next;
		else refused.push(path);
	};
	const [a, b] = state.schedules;
	take({ ...sound, schedules: [a] }, "schedule A");
	if (b !== undefined)
		take(
			{ ...sound, schedules: [sound.schedules[0], b], activeSchedule: state.activeSchedule },
			"schedule B",
		);
	for (const [path, text] of Object.entries(state.values)) take(withValue(sound, path, text), path);
	return { sound, refused };
}
