import type { Choice, FeasibleChoice, SettingCheck } from "../lib/choose/choosetypes.ts";
import type { NextAdvice } from "../lib/choose/nextstep.ts";
import type { ComparedSchedule, Comparison } from "../lib/compare/comparison.ts";
import { compareRooms } from "../lib/compare/room.ts";
import { compareSensorSwitches } from "../lib/compare/sensorswitch.ts";
import type { Fit } from "../lib/fit/fittypes.ts";
import type { Verification } from "../lib/fit/verification.ts";
import type { CleanSeries } from "../lib/logs/log.ts";
import { listInputs } from "../lib/model/inputs.ts";
import type { InputRow, Scenario } from "../lib/scenario/scenario.ts";
import type { RunStats } from "../lib/solve/simulate.ts";
import type { Dimension } from "../lib/units/dimensions.ts";
import type { UnitSystem } from "../lib/units/format.ts";
import { settingFaultWords } from "../reports/choose/checkwords.ts";
import { inputLabel } from "../reports/choose/choosewords.ts";
import { constraintReason } from "../reports/choose/constraintwords.ts";
import { fieldTestWords } from "../reports/choose/fieldtestwords.ts";
import { confoundedReason, resolutionWords } from "../reports/fit/confoundedwords.ts";
import { fanWords, fitWarningWords, outlierReason } from "../reports/fit/fitremarks.ts";
import { checkWords, noRetuneWords } from "../reports/verify/verifywords.ts";
import { exclusionWords, noteWords, seriesWarningWords } from "../reports/words/logremarks.ts";
import { nextCommand, nextStepWords } from "../reports/words/next.ts";
import { warningMessage } from "../reports/words/warnings.ts";

// What other programs read: results of the library, each code with its sentence for people beside it. Numbers are in the unit
// that their name ends in; what cannot be had is null.

/** Something told by its code and numbers, with the sentence for people. */
export const withMessage =
	<T>(words: (one: T) => string) =>
	<One extends T>(one: One): One & { readonly message: string } => ({ ...one, message: words(one) });

export const scenarioJson = ({ name, fileName }: Scenario) => ({ name, file: fileName });

const UNITS: Readonly<Record<Dimension, string>> = {
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
	"mass flow": "kg/s",
	"heat transmittance": "W/(m2 K)",
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

/** The inputs of a scenario: path as in the file, value and the ends of its range in `unit`, text as its author wrote it, origin. */
export const inputsJson = (scenario: Scenario) =>
	listInputs(scenario).map(({ path, quantity }: InputRow) => {
		const { value, low, high, dimension, text, origin } = quantity;
		return { path, value, low, high, unit: UNITS[dimension], text, origin };
	});

const scheduleJson = ({ name, schedule, inWords, summary, water }: ComparedSchedule) => ({
	name,
	schedule,
	inWords,
	...summary,
	water,
});

/** What `compare --json` prints. */
export const comparisonJson = ({ scenario, schedules, warnings, ...comparison }: Comparison) => ({
	format: "lullgust/comparison@2",
	scenario: scenarioJson(scenario),
	/** At least one schedule meets the target. */
	isMet: comparison.best !== null,
	best: comparison.best,
	closest: comparison.closest,
	ties: comparison.ties,
	maxOffSeconds: comparison.maxOffSeconds,
	highRespiration: comparison.highRespiration,
	schedules: schedules.map(scheduleJson),
	...(scenario.sensorSwitches.length === 0 ? {} : { sensorSwitches: compareSensorSwitches(scenario) }),
	...(scenario.intake.room === null ? {} : { room: compareRooms(scenario) }),
	inputs: inputsJson(scenario),
	warnings: warnings.map(withMessage(warningMessage)),
});
export type ComparisonJson = ReturnType<typeof comparisonJson>;

/** What `simulate --json` prints; the curve itself is what `--csv` writes, and no value here depends on its interval. */
export const simulationJson = (
	{ scenario, schedules, warnings }: Comparison,
	run: RunStats,
	/** Whether this run meets the target, its length, its start and the interval of the CSV. */
	asked: {
		readonly isMet: boolean;
		readonly durationSeconds: number;
		readonly sampleIntervalSeconds: number;
		/** Time of day of the start [s after midnight]. */
		readonly startsAtSeconds: number;
	},
) => ({
	format: "lullgust/simulation@2",
	scenario: scenarioJson(scenario),
	...asked,
	run,
	schedule: scheduleJson(schedules[0]!),
	warnings: warnings.map(withMessage(warningMessage)),
});

/** What `choose --json` prints: all of `Choice` but the scenario, of which it names the inputs, and the model. */
export const choiceJson = ({ scenario, model: _, warnings, ...choice }: Choice) => ({
	format: "lullgust/choice@4",
	scenario: scenarioJson(scenario),
	...(choice.isFeasible
		? { ...choice, complianceProbability: labelled(choice.complianceProbability, scenario) }
		: { ...choice, bindingConstraint: inSi(constraintReason)(choice.bindingConstraint) }),
	inputs: inputsJson(scenario),
	warnings: warnings.map(withMessage(warningMessage)),
});

/** What `next --json` prints. */
export const nextJson = ({ scenario, step, ...advice }: NextAdvice, path: string) => ({
	format: "lullgust/next@1",
	scenario: scenarioJson(scenario),
	...advice,
	step: {
		...step,
		command: nextCommand({ ...advice, scenario, step }, path),
		message: nextStepWords({ ...advice, scenario, step }, "si"),
	},
});

/** What `choose --on --off --json` prints. */
export const checkJson = ({ scenario, warnings, complianceProbability, ...check }: SettingCheck) => ({
	format: "lullgust/setting@2",
	scenario: scenarioJson(scenario),
	...check,
	faults: check.faults.map(withMessage(settingFaultWords)),
	complianceProbability: labelled(complianceProbability, scenario),
	inputs: inputsJson(scenario),
	warnings: warnings.map(withMessage(warningMessage)),
});

const inSi = <T>(words: (one: T, units: UnitSystem) => string) => withMessage((one: T) => words(one, "si"));

/** The inputs with their labels, and the field test of each as a sentence. */
const labelled = (chance: FeasibleChoice["complianceProbability"], scenario: Scenario) =>
	chance && {
		...chance,
		inputs: chance.inputs.map((input) => ({
			...input,
			label: inputLabel(scenario, input.path),
			message: input.fieldTest && fieldTestWords(input.fieldTest),
		})),
	};

export const noteJson = withMessage(noteWords);
export const exclusionJson = withMessage(exclusionWords);
export const seriesWarningJson = withMessage(seriesWarningWords);

/** How a log was read and cleaned, and the CO2 column that was used; its readings are what `--csv` writes. */
const readLogJson = ({ log, channel, exclusions, warnings }: CleanSeries) => {
	const { fileName, layout, startUtcSeconds, startsAtSeconds = null } = log;
	const { sampleIntervalSeconds, rawRows, rows, gaps, notes } = log;
	return {
		...{ fileName, layout, startUtcSeconds, startsAtSeconds, sampleIntervalSeconds, rawRows, rows, gaps },
		column: channel.name,
		notes: notes.map(noteJson),
		exclusions: exclusions.map(exclusionJson),
		warnings: warnings.map(seriesWarningJson),
	};
};

/** What a fit and a verification have in common: all but the scenario and what there is a sample of, which `--csv` writes. */
const loggedJson = <T extends Fit | Verification>({ scenario, series, curve: _, residuals, ...rest }: T) => {
	const { ppm: __, ...figures } = residuals;
	return {
		scenario: scenarioJson(scenario),
		log: readLogJson(series),
		residuals: figures,
		...rest,
		fanFrom: withMessage(fanWords)(rest.fanFrom),
		warnings: rest.warnings.map(withMessage(fitWarningWords)),
	};
};

/** What `fit --json` prints. */
export const fitJson = (fit: Fit) => {
	const withReason = withMessage((one: Parameters<typeof confoundedReason>[1]) => confoundedReason(fit, one));
	return {
		format: "lullgust/fit@3",
		...loggedJson(fit),
		confounded: fit.confounded.map((one) => ({ ...withReason(one), resolution: resolutionWords(fit, one) })),
		bursts:
			fit.bursts?.map((one) => ({
				...one,
				message: one.reason === null ? null : outlierReason(one.reason),
			})) ?? null,
		recommendedTest: fit.recommendedTest && withReason(fit.recommendedTest),
	};
};

/** What `verify --json` prints. */
export const verificationJson = (verification: Verification) => ({
	format: "lullgust/verification@2",
	...loggedJson(verification),
	checks: verification.checks.map((check) => ({ ...check, message: checkWords(check, verification) })),
	noRetune: verification.noRetune && inSi(noRetuneWords)(verification.noRetune),
});

/** Text of a JSON value; typed arrays become plain ones, NaN and infinite numbers null. */
export const jsonText = (value: object): string =>
	`${JSON.stringify(value, (_, part) => (part instanceof Float64Array ? Array.from(part) : part), 2)}\n`;
