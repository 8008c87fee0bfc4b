import type { BindingConstraint, Choice, ChoiceWarning, FeasibleChoice } from "../lib/choose/choosetypes.ts";
import type { ComparedSchedule, Comparison } from "../lib/compare/compare.ts";
import type { ComparisonWarning } from "../lib/compare/warnings.ts";
import type {
	Confounded,
	FanSource,
	Fit,
	FitResiduals,
	FittedBurst,
	FitWarning,
	Verification,
} from "../lib/fit/fittypes.ts";
import type { Schedule } from "../lib/model/schedule/schedule.ts";
import { listInputs } from "../lib/scenario/inputs.ts";
import type { InputRow, Origin, Scenario } from "../lib/scenario/scenario.ts";
import type { RunStats } from "../lib/solve/simulate.ts";
import type { Summary } from "../lib/solve/summary.ts";
import type { Dimension } from "../lib/units/dimensions.ts";
import { inputLabel } from "../reports/choose/choosewords.ts";
import { constraintReason } from "../reports/choose/constraintwords.ts";
import { fieldTestWords } from "../reports/choose/fieldtestwords.ts";
import { confoundedReason, resolutionWords } from "../reports/fit/confoundedwords.ts";
import { fanWords, fitWarningWords, outlierReason } from "../reports/fit/fitremarks.ts";
import { checkWords, noRetuneWords } from "../reports/verify/verifywords.ts";
import { warningMessage } from "../reports/words/warnings.ts";
import { type ReadLogJson, readLogJson } from "./logjson.ts";

/** What `compare --json` prints. Numbers are in the unit their name ends in; what cannot be had is null. */
export interface ComparisonJson {
	readonly format: "lullgust/comparison@2";
	readonly scenario: { readonly name: string; readonly file: string };
	/** At least one schedule meets the target. */
	readonly isMet: boolean;
	readonly best: string | null;
	readonly closest: string | null;
	/** Those that meet it with the same air as the best. */
	readonly ties: readonly string[];
	/** Longest possible off-time, with any fan [s]; null: leakage alone keeps CO2 under the ceiling. */
	readonly maxOffSeconds: number | null;
	/** CO2 output at the high end of its range over the central value, and who still meets the target. */
	readonly highRespiration: Comparison["highRespiration"];
	/** In the order of the file, each with all values of `Summary`. */
	readonly schedules: readonly (ScheduleJson & Summary)[];
	/** Every input with its origin. */
	readonly inputs: readonly InputJson[];
	readonly warnings: readonly Coded<ComparisonWarning>[];
}

/** Something told by its code and numbers, with the sentence for people. */
export type Coded<T> = T & { readonly message: string };
const withMessage = <W extends ComparisonWarning | ChoiceWarning>(warning: W): Coded<W> => ({
	...warning,
	message: warningMessage(warning),
});

export interface InputJson {
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
	readonly format: "lullgust/simulation@2";
	readonly scenario: { readonly name: string; readonly file: string };
	/** This run meets the target. */
	readonly isMet: boolean;
	readonly durationSeconds: number;
	/** Sampling interval of `--csv` [s]; no value here depends on it. */
	readonly sampleIntervalSeconds: number;
	/** Exact values of this run in the zone of the crop, and of the sensor where there is one. */
	readonly run: RunStats;
	/** The schedule with all values of the settled pattern, or of the day of its peak, as in a comparison. */
	readonly schedule: ScheduleJson & Summary;
	readonly warnings: readonly Coded<ComparisonWarning>[];
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
	area: "m2",
	volume: "m3",
	mass: "kg",
	duration: "s",
	temperature: "°C",
	"temperature difference": "K",
	flow: "m3/s",
	velocity: "m/s",
	"air changes": "1/s",
	concentration: "ppm",
	"concentration difference": "ppm",
	fraction: "1",
	respiration: "kg/(kg s)",
	density: "kg/m3",
	pressure: "Pa",
	current: "A",
	voltage: "V",
	power: "W",
	energy: "J",
	resistance: "ohm",
	number: "1",
};
/** An input for another program. */
export const inputOf = ({ path, quantity }: InputRow): InputJson => {
	const { value, low, high, dimension, text, origin } = quantity;
	return { path, value, low, high, unit: unitOf[dimension], text, origin };
};

/** The answer of `compare` for another program. */
export const comparisonJson = (comparison: Comparison): ComparisonJson => ({
	format: "lullgust/comparison@2",
	scenario: scenarioOf(comparison),
	isMet: comparison.best !== null,
	best: comparison.best,
	closest: comparison.closest,
	ties: comparison.ties,
	maxOffSeconds: comparison.maxOffSeconds,
	highRespiration: comparison.highRespiration,
	schedules: comparison.schedules.map(scheduleOf),
	inputs: listInputs(comparison.scenario).map(inputOf),
	warnings: comparison.warnings.map(withMessage),
});

/** The answer of `simulate` for another program. */
export const simulationJson = (
	comparison: Comparison,
	run: RunStats,
	asked: {
		readonly isMet: boolean;
		readonly durationSeconds: number;
		readonly sampleIntervalSeconds: number;
	},
): SimulationJson => ({
	format: "lullgust/simulation@2",
	scenario: scenarioOf(comparison),
	...asked,
	run,
	schedule: scheduleOf(comparison.schedules[0]!),
	warnings: comparison.warnings.map(withMessage),
});

/** What `choose --json` prints: all of `Choice` but the scenario, of which it names the inputs, and the model; typed arrays as plain ones. */
export type ChoiceJson = {
	readonly format: "lullgust/choice@2";
	readonly scenario: { readonly name: string; readonly file: string };
	readonly inputs: readonly InputJson[];
	readonly warnings: readonly Coded<ChoiceWarning>[];
} & PlainArrays<
	| Omit<Extract<Choice, { isFeasible: true }>, "scenario" | "model" | "warnings">
	| (Omit<Extract<Choice, { isFeasible: false }>, "scenario" | "model" | "warnings" | "bindingConstraint"> & {
			readonly bindingConstraint: Coded<BindingConstraint>;
	  })
>;

/** A value with its typed arrays as plain ones. */
export type PlainArrays<T> = T extends Float64Array
	? readonly number[]
	: T extends object
		? { readonly [K in keyof T]: PlainArrays<T[K]> }
		: T;

/** Makes typed arrays plain, all the way down. */
export const plainArrays = <T>(value: T): PlainArrays<T> => {
	const plain = (part: unknown): unknown => {
		if (part instanceof Float64Array) return Array.from(part);
		if (Array.isArray(part)) return part.map(plain);
		if (typeof part !== "object" || part === null) return part;
		return Object.fromEntries(Object.entries(part).map(([key, own]) => [key, plain(own)]));
	};
	return plain(value) as PlainArrays<T>;
};

/** The answer of `choose` for another program. */
export const choiceJson = (choice: Choice): ChoiceJson => {
	const { scenario, model: _, warnings, ...rest } = choice;
	return {
		format: "lullgust/choice@2",
		scenario: { name: scenario.name, file: scenario.fileName },
		...plainArrays(
			rest.isFeasible
				? { ...rest, complianceProbability: labelled(rest.complianceProbability, scenario) }
				: {
						...rest,
						bindingConstraint: {
							...rest.bindingConstraint,
							message: constraintReason(rest.bindingConstraint, "si"),
						},
					},
		),
		inputs: listInputs(scenario).map(inputOf),
		warnings: warnings.map(withMessage),
	};
};

/** The inputs with their labels, and the field test of each as a sentence. */
const labelled = (chance: FeasibleChoice["complianceProbability"], scenario: Scenario) =>
	chance && {
		...chance,
		inputs: chance.inputs.map((input) => ({
			...input,
			label: inputLabel(scenario, input.path),
			message: fieldTestWords(input.fieldTest),
		})),
	};

type WordedKeys = "fanFrom" | "confounded" | "bursts" | "recommendedTest" | "warnings";

const fanJson = (source: FanSource): Coded<FanSource> => ({ ...source, message: fanWords(source) });
const fitWarningJson = (warning: FitWarning): Coded<FitWarning> => ({
	...warning,
	message: fitWarningWords(warning),
});

/** What `fit --json` prints: all of `Fit` but the scenario and what there is a sample of, which `--csv` writes. */
export type FitJson = {
	readonly format: "lullgust/fit@2";
	readonly scenario: { readonly name: string; readonly file: string };
	readonly log: ReadLogJson;
	readonly residuals: Omit<FitResiduals, "ppm">;
	readonly fanFrom: Coded<FanSource>;
	readonly confounded: readonly (Coded<Confounded> & { readonly resolution: string })[];
	readonly bursts: readonly (FittedBurst & { readonly message: string | null })[] | null;
	readonly recommendedTest: Coded<NonNullable<Fit["recommendedTest"]>> | null;
	readonly warnings: readonly Coded<FitWarning>[];
} & Omit<Fit, "scenario" | "series" | "curve" | "residuals" | WordedKeys>;

/** The answer of `fit` for another program. */
export const fitJson = (fit: Fit): FitJson => {
	const { scenario, series, curve: _, residuals, ...rest } = fit;
	const { ppm: __, ...figures } = residuals;
	const { recommendedTest } = rest;
	return {
		format: "lullgust/fit@2",
		scenario: { name: scenario.name, file: scenario.fileName },
		log: readLogJson(series),
		residuals: figures,
		...rest,
		fanFrom: fanJson(rest.fanFrom),
		confounded: rest.confounded.map((one) => ({
			...one,
			message: confoundedReason(fit, one),
			resolution: resolutionWords(fit, one),
		})),
		bursts:
			rest.bursts?.map((one) => ({
				...one,
				message: one.reason === null ? null : outlierReason(one.reason),
			})) ?? null,
		recommendedTest:
			recommendedTest === null
				? null
				: { ...recommendedTest, message: confoundedReason(fit, recommendedTest) },
		warnings: rest.warnings.map(fitWarningJson),
	};
};

/** What `verify --json` prints: all of `Verification` but the scenario and what there is a sample of, which `--csv` writes. */
export type VerificationJson = {
	readonly format: "lullgust/verification@2";
	readonly scenario: { readonly name: string; readonly file: string };
	readonly log: ReadLogJson;
	readonly residuals: Omit<FitResiduals, "ppm">;
	readonly fanFrom: Coded<FanSource>;
	readonly checks: readonly Coded<Verification["checks"][number]>[];
	readonly noRetune: Coded<NonNullable<Verification["noRetune"]>> | null;
	readonly warnings: readonly Coded<FitWarning>[];
} & Omit<
	Verification,
	"scenario" | "series" | "curve" | "residuals" | "fanFrom" | "checks" | "noRetune" | "warnings"
>;

/** The answer of `verify` for another program. */
export const verificationJson = (verification: Verification): VerificationJson => {
	const { scenario, series, curve: _, residuals, ...rest } = verification;
	const { ppm: __, ...figures } = residuals;
	return {
		format: "lullgust/verification@2",
		scenario: { name: scenario.name, file: scenario.fileName },
		log: readLogJson(series),
		residuals: figures,
		...rest,
		fanFrom: fanJson(rest.fanFrom),
		checks: rest.checks.map((check) => ({ ...check, message: checkWords(check, verification) })),
		noRetune:
			rest.noRetune === null ? null : { ...rest.noRetune, message: noRetuneWords(rest.noRetune, "si") },
		warnings: rest.warnings.map(fitWarningJson),
	};
};

/** Text of a JSON value; NaN and infinite numbers become null. */
export const jsonText = (value: object): string => `${JSON.stringify(value, null, 2)}\n`;
