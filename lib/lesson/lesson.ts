import { findScenarioWarnings, type ScenarioWarning } from "../compare/warnings.ts";
import { InputError } from "../errors.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { withMaximumSource } from "../solve/cycles/maximumsource.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { HOUR } from "../time.ts";
import { bench } from "./bench.ts";
import { maxOffTimePanel, peakSettings, penaltyPanel } from "./ceilingpanels.ts";
import { nominalTimeConstantSeconds } from "./ceilingsettings.ts";
import { collapsePanel } from "./collapse.ts";
import { equalAirPanel } from "./equalair.ts";
import { cycleSeconds, summarizeCycle } from "./lessonschedule.ts";
import { misconceptions } from "./misconceptions.ts";
import { sensorPanel } from "./sensor.ts";

/** What was assumed or left out. */
export type LessonNote =
	| { readonly code: "invented" | "highest source" | "cycle made up" }
	| { readonly code: "schedules left out"; readonly count: number }
	| { readonly code: "other statistic"; readonly statistic: Scenario["target"]["on"] };

export interface LessonOptions {
	/** The chamber to teach with. Default: a plain one, invented for the lesson. */
	readonly scenario?: Scenario;
}

/** Invented: round figures, no leak, so that every theory of the lesson is exact in it. */
const CLASS_MODEL: Model = {
	volumeM3: 0.2,
	intakePpm: 420,
	generationM3PerS: 0.5e-3 / HOUR,
	infiltrationM3PerS: 0,
	deliveredM3PerS: 60 / HOUR,
};
const CLASS_CEILING = 1000;
const CLASS_SCHEDULES: readonly (readonly [name: string, onSeconds: number, offSeconds: number])[] = [
	["once an hour", 60, 3540],
	["each quarter-hour", 15, 885],
	["every three minutes", 3, 177],
];

interface Subject {
	readonly name: string;
	readonly model: Model;
	readonly ceilingPpm: number;
	readonly cycles: readonly { readonly name: string; readonly schedule: CycleSchedule }[];
	readonly notes: readonly LessonNote[];
	/** What was assumed about the scenario, or looks doubtful. */
	readonly warnings: readonly ScenarioWarning[];
}

/** Why short bursts can stand in for continuous flow, in numbers; all of the settled pattern, in the zone of the crop. */
export type Lesson = ReturnType<typeof lesson>;

/**
 * The lesson on intermittent ventilation: panels, misconceptions and bench experiments, with every number computed.
 *
 * @param options a scenario; default an invented class example
 * @returns the panels: CO2 [ppm], times [s], air [m3/day]
 * @throws InputError for a scenario that gives off no CO2 or has no fan, for then there is nothing to teach
 *
 * Source: this project; the theory is that of `equalMeanEfficacy`.
 * @example lesson().bench.doses.length // => 3
 */
export function lesson({ scenario }: LessonOptions = {}) {
	const { cycles, ...subject } = scenario === undefined ? makeClassExample() : subjectOf(scenario);
	const { model, ceilingPpm, name } = subject;
	const schedules = cycles
		.map((cycle) => summarizeCycle(cycle.name, cycle.schedule, model, ceilingPpm))
		.toSorted((a, b) => cycleSeconds(b) - cycleSeconds(a));
	const longest = schedules[0]!;
	const shortest = schedules.at(-1)!;
	const peaks = peakSettings(model, ceilingPpm);
	return {
		name,
		/** No scenario was given: chamber and schedules are made up for the lesson. */
		isInvented: scenario === undefined,
		model,
		ceilingPpm,
		/** From the longest cycle to the shortest; at least one. */
		schedules,
		/** Rise with fan and leak shut [ppm/s]; the longest cycle, and continuous flow with the same air [ppm]. */
		bucket: {
			risePpmPerS: (1e6 * model.generationM3PerS) / model.volumeM3,
			peakPpm: longest.summary.peakPpm,
			troughPpm: longest.summary.troughPpm,
			continuousPpm: longest.summary.continuousPpm!,
		},
		washout: {
			/** Time in which the fan moves as much air as the chamber holds [s]. */
			nominalTimeConstantSeconds: nominalTimeConstantSeconds(model),
			/** Air changes with the share they replace [-]. */
			replaced: [0.5, 1, 2, 3, 4.6].map((airChanges) => ({
				airChanges,
				replacedFraction: -Math.expm1(-airChanges),
			})),
		},
		equalAir: equalAirPanel(model, longest),
		collapse: collapsePanel(model, schedules),
		penalty: penaltyPanel(model, ceilingPpm, peaks),
		maxOffTime: maxOffTimePanel(model, ceilingPpm, peaks),
		sensor: sensorPanel(model, shortest),
		misconceptions: misconceptions(model, ceilingPpm, longest.schedule),
		bench: bench(model.volumeM3),
		notes: subject.notes,
		warnings: subject.warnings,
	};
}

const makeClassExample = (): Subject => ({
	name: "A plain class example",
	model: CLASS_MODEL,
	ceilingPpm: CLASS_CEILING,
	cycles: CLASS_SCHEDULES.map(([name, onSeconds, offSeconds]) => ({
		name,
		schedule: { kind: "cycle", onSeconds, offSeconds },
	})),
	notes: [{ code: "invented" }],
	warnings: [],
});

function subjectOf(scenario: Scenario): Subject {
	const built = buildModel(scenario);
	const model = withMaximumSource(built);
	const faults = [
		...(model.generationM3PerS > 0
			? []
			: [{ path: "substrate", message: "gives off no CO2, so there is no sawtooth to teach with" }]),
		...(model.deliveredM3PerS > 0
			? []
			: [{ path: "fan.flow", message: "is 0, so there are no bursts to teach with" }]),
	];
	if (faults.length > 0) throw new InputError(faults.map((fault) => ({ file: scenario.fileName, ...fault })));
	const cycles = scenario.schedules.flatMap(({ name, schedule }) =>
		schedule.kind === "cycle" && schedule.onSeconds > 0 && schedule.offSeconds > 0
			? [{ name, schedule }]
			: [],
	);
	const left = scenario.schedules.length - cycles.length;
	return {
		name: scenario.name,
		model,
		ceilingPpm: scenario.target.ceiling.value,
		cycles: cycles.length > 0 ? cycles : [inventCycle(model, scenario.target.ceiling.value)],
		notes: [
			...(built.source === undefined ? [] : [{ code: "highest source" } as const]),
			...(cycles.length === 0
				? [{ code: "cycle made up" } as const]
				: left > 0
					? [{ code: "schedules left out", count: left } as const]
					: []),
			...(scenario.target.on === "peak"
				? []
				: [{ code: "other statistic", statistic: scenario.target.on } as const]),
		],
		warnings: findScenarioWarnings(scenario),
	};
}

/** One air change a burst, and half the longest pause (ten minutes where none is too long). */
function inventCycle(model: Model, ceilingPpm: number): Subject["cycles"][number] {
	const longest = maxOffSeconds(model, ceilingPpm);
	const offSeconds = longest === null ? 600 : Math.max(1, Math.round(longest / 2));
	return {
		name: "one air change a burst",
		schedule: { kind: "cycle", onSeconds: nominalTimeConstantSeconds(model), offSeconds },
	};
}
