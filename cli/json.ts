import type { Schedule } from "../lib/model/schedule.ts";
import { listInputs } from "../lib/scenario/inputs.ts";
import type { InputRow, Origin } from "../lib/scenario/scenario.ts";
import type { Summary } from "../lib/solve/summary.ts";
import type { ComparedSchedule, Comparison } from "../lib/study/compare.ts";
import type { Dimension } from "../lib/units.ts";

/** What `compare --json` prints. Numbers are in the unit their name ends in; what cannot be had is null. */
export interface ComparisonJson {
	readonly format: "lullgust/comparison@1";
	readonly scenario: { readonly name: string; readonly file: string };
	/** At least one schedule holds the target. */
	readonly within: boolean;
	readonly winner: string | null;
	readonly nearest: string | null;
	/** In the order of the file, each with all figures of `Summary`. */
	readonly schedules: readonly (ScheduleJson & Summary)[];
	/** Every input with its history. */
	readonly inputs: readonly InputJson[];
	readonly warnings: readonly string[];
}

interface InputJson {
	/** As in the file: `chamber.leak`. */
	readonly path: string;
	readonly value: number;
	/** Ends of its range or spread. */
	readonly low: number | null;
	readonly high: number | null;
	/** Unit of the three: SI, with °C, ppm, and shares from 0 to 1. */
	readonly unit: string;
	/** As its author wrote it. */
	readonly text: string;
	readonly origin: Origin;
}

interface ScheduleJson {
	readonly name: string;
	readonly schedule: Schedule;
	readonly inWords: string;
}

/** What `simulate --json` prints; the curve itself is what `--csv` writes. */
export interface SimulationJson {
	readonly format: "lullgust/simulation@1";
	readonly scenario: { readonly name: string; readonly file: string };
	readonly within: boolean;
	readonly durationSeconds: number;
	readonly sampleSeconds: number;
	/** Figures of this run. */
	readonly run: RunFigures;
	/** The schedule with all figures of the regime it settles into, as in a comparison. */
	readonly schedule: ScheduleJson & Summary;
	readonly warnings: readonly string[];
}

/** Figures of the samples of one run, in the zone of the crop. */
export interface RunFigures {
	readonly samples: number;
	readonly startPpm: number;
	readonly endPpm: number;
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
	/** First sample above the ceiling [s]; null: none. */
	readonly firstAboveSeconds: number | null;
	/** Share of the samples above the ceiling [%]. */
	readonly aboveCeilingPercent: number;
}

const scenarioOf = ({ scenario }: Comparison) => ({ name: scenario.name, file: scenario.fileName });
const scheduleOf = ({ name, schedule, inWords, summary }: ComparedSchedule): ScheduleJson & Summary => ({
	name,
	schedule,
	inWords,
	...summary,
});

const unitOf: Readonly<Record<Dimension, string>> = {
	length: "m",
	volume: "m3",
	mass: "kg",
	duration: "s",
	temperature: "°C",
	"temperature difference": "K",
	flow: "m3/s",
	"air changes": "1/s",
	concentration: "ppm",
	fraction: "1",
	respiration: "kg/(kg s)",
	density: "kg/m3",
	pressure: "Pa",
	current: "A",
	voltage: "V",
	number: "1",
};
const inputOf = ({ path, quantity }: InputRow): InputJson => {
	const { value, low, high, dimension, text, origin } = quantity;
	return { path, value, low, high, unit: unitOf[dimension], text, origin };
};

/** The answer of `compare` for another program. */
export const comparisonJson = (comparison: Comparison): ComparisonJson => ({
	format: "lullgust/comparison@1",
	scenario: scenarioOf(comparison),
	within: comparison.winner !== null,
	winner: comparison.winner,
	nearest: comparison.nearest,
	schedules: comparison.schedules.map(scheduleOf),
	inputs: listInputs(comparison.scenario).map(inputOf),
	warnings: comparison.warnings,
});

/** The answer of `simulate` for another program. */
export const simulationJson = (
	comparison: Comparison,
	run: RunFigures,
	sampling: { readonly durationSeconds: number; readonly sampleSeconds: number },
): SimulationJson => ({
	format: "lullgust/simulation@1",
	scenario: scenarioOf(comparison),
	within: comparison.winner !== null,
	...sampling,
	run,
	schedule: scheduleOf(comparison.schedules[0]!),
	warnings: comparison.warnings,
});

/** Text of a JSON value; NaN and infinite numbers become null. */
export const jsonText = (value: object): string => `${JSON.stringify(value, null, 2)}\n`;
