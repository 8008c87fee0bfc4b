import { type CleanOptions, cleanSeries } from "../logs/clean/clean.ts";

import type { CleanSeries, Log } from "../logs/log.ts";
import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { studentQuantile } from "../statistics/student.ts";
import { findConfounded, recommendTest } from "./advice.ts";
import { findChangeCorrelations, listChanges } from "./changes.ts";
import {
	dayName,
	type LogDay,
	listFitDays,
	markDay,
	nameWrittenDay,
	splitDays,
	summarizeDays,
} from "./days.ts";
import { computeProfile, confidenceEllipse } from "./estimate/confidenceregions.ts";
import type { Estimate, FitSamples } from "./estimate/estimate.ts";
import { LABELS, planParameters } from "./estimate/fitplan.ts";
import { checkEnough, listInitials, searchBest } from "./estimate/fitsearch.ts";
import { isIdentifiable, warnOfSearch } from "./estimate/identifiability.ts";
import { computeResiduals } from "./estimate/residuals.ts";
import type { Fit, FitName, FitOptions, FittedParameter, FitWarning } from "./fittypes.ts";
import { createFitModel, type FitModel, predictThroughBursts } from "./model/fitmodel.ts";
import { type FanHistory, findFanHistory, findSchedule, listOnSeconds } from "./model/fitrun.ts";
import { buildLoggedChamber, type LoggedChamber } from "./model/loggedchamber.ts";
import { findBursts } from "./model/switchevents.ts";
import { meanCelsius } from "./model/temperature.ts";
import { computeRespirationRate } from "./respirationrate.ts";
import { fitBursts } from "./tests/fieldtests.ts";

/**
 * Estimates the values of a scenario from a log of CO2: CO2 output, delivered flow, leakage, sensor response, each with its standard error.
 *
 * @param scenario as `parseScenario` gives it
 * @param log as `readLog` gives it
 * @param options which test was run, what is free or fixed, which schedule ran
 * @returns estimates with standard errors and 95 % intervals [m3/s], [s], [ppm], what cannot be determined, and changes to write back
 * @throws InputError when the log holds too few readings, when it is not clear which schedule ran, or for an option that makes no sense
 *
 * Source: this project; generalised least squares with first-order autoregressive residuals.
 * @example
 * const times = Array.from({ length: 121 }, (_, minute) => minute);
 * const log = readLog(["minutes,CO2 (ppm)", ...times.map((t) => `${t},${500 + 5 * t}`)].join("\n"));
 * fitLog(parseScenario(starterScenario()), log, { test: "rise" }).parameters.length > 0 // => true
 */
export function fitLog(scenario: Scenario, log: Log, options: FitOptions = {}): Fit {
	return fitSeries(scenario, cleanSeries(log, chooseCleaning(scenario, options)), options);
}

/** How a log is cleaned for these options: what is kept, which channel, and the bursts that are no door openings. */
export function chooseCleaning(
	scenario: Scenario,
	options: Pick<FitOptions, "keep" | "column" | "warmUpSeconds" | "schedule" | "test" | "fanState">,
): CleanOptions {
	const { schedule } = findSchedule(scenario, options.schedule, options.test);
	return {
		...(options.keep === undefined ? {} : { keep: options.keep }),
		...(options.column === undefined ? {} : { column: options.column }),
		...(options.warmUpSeconds === undefined ? {} : { warmUpSeconds: options.warmUpSeconds }),
		...(schedule?.kind === "cycle" ? { schedule } : {}),
		fanState: options.fanState,
		isAperiodic: schedule?.kind === "daily" || schedule?.kind === "switches",
	};
}

/** As `fitLog`, for a series that is cleaned already. */
export function fitSeries(scenario: Scenario, series: CleanSeries, options: FitOptions = {}): Fit {
	const test = options.test ?? "log";
	if (test === "bursts")
		return fitBursts(scenario, series, {
			...options,
			burstSeconds: options.burstSeconds ?? listOnSeconds(scenario, options),
		});
	const { timesSeconds, co2Ppm, excluded } = series;
	const samples: FitSamples = {
		timesSeconds,
		co2Ppm,
		excluded,
		stepSeconds: series.log.sampleIntervalSeconds,
	};
	const until = timesSeconds.at(-1) ?? 0;
	const chamber = buildLoggedChamber(scenario, series, options);
	const base = chamber.model;
	const run = findFanHistory(scenario, series, options);
	const days = options.days === true ? splitDays(series.log, until) : [];
	const model = createFitModel(
		base,
		run.fan,
		until,
		days.map(({ fromSeconds }) => fromSeconds),
		undefined,
		timesSeconds[excluded.indexOf(0)],
	);
	const first = planParameters(scenario, base, series, model, run, options, test);
	checkEnough(first, samples);
	const found = searchBest(model, samples, listInitials(first, base, run, samples, options));
	return reportFit(scenario, series, options, test, chamber, run, model, found, days, until);
}

/** Of a source that varies what is found is its mean. */
const labelOf = (name: FitName, { source }: Model): (typeof LABELS)[string] | undefined => {
	const known = LABELS[name];
	return known === undefined || name !== "generation" || source === undefined
		? known
		: [`mean ${known[0]}`, known[1]];
};

/** Starts matter to nobody, and days are too many. */
const NOT_PROFILED = /^(initialCo2|initialReading|generation of .*)$/;

function reportFit(
	scenario: Scenario,
	series: CleanSeries,
	options: FitOptions,
	test: "log" | "rise" | "decay",
	{ model: base, temperature }: LoggedChamber,
	run: FanHistory,
	model: FitModel,
	found: Estimate,
	days: readonly LogDay[],
	until: number,
): Fit {
	const { least } = found;
	const t = studentQuantile(0.975, Math.max(least.degreesOfFreedom, 1));
	const planned = planParameters(scenario, base, series, model, run, options, test);
	const profiles =
		options.profile === true
			? planned.flatMap(({ name, fixed }, k) =>
					fixed === true || NOT_PROFILED.test(name) || least.standardErrors[k] === null
						? []
						: [computeProfile(name as FitName, k, planned, found, t)],
				)
			: [];
	const from = series.timesSeconds[series.excluded.indexOf(0)] ?? 0;
	const bursts = findBursts(model.switchEvents(least.values), until);
	const unidentifiable = new Set(least.unidentifiable.flat());
	const parameters = planned.map((parameter, k): FittedParameter => {
		const name = parameter.name as FitName;
		const [label, dimension] = labelOf(name, base) ?? [`CO₂ output on ${dayName(days[k]!)}`, "flow" as const];
		const value = least.values[k]!;
		const standardError = parameter.fixed === true || unidentifiable.has(k) ? null : found.standardErrors[k]!;
		const profile = profiles.find((one) => one.name === name);
		const reach = standardError === null ? null : t * standardError;
		const lower = parameter.lower ?? Number.NEGATIVE_INFINITY;
		return {
			name,
			label,
			dimension,
			value,
			standardError,
			ci95Low: profile?.ci95Low ?? (reach === null ? null : Math.max(value - reach, lower)),
			ci95High: profile?.ci95High ?? (reach === null ? null : value + reach),
			initial: parameter.initial,
			lower,
			upper: parameter.upper ?? Number.POSITIVE_INFINITY,
			status: parameter.fixed === true ? "fixed" : parameter.prior === undefined ? "free" : "prior",
			isAtBound: least.isAtBound[k]!,
			isIdentifiable: isIdentifiable(name, value, standardError, parameter.prior, {
				volumeM3: base.volumeM3,
				stepSeconds: series.log.sampleIntervalSeconds,
			}),
		};
	});
	const free = parameters.flatMap(({ status }, k) => (status === "fixed" ? [] : [k]));
	const correlation = free.map((i) => free.map((j) => least.correlation[i]![j]!));
	const fitDays =
		days.length === 0 ? null : listFitDays(days, parameters, scenario, series.log.startUtcSeconds);
	const daily = fitDays === null ? null : summarizeDays(fitDays, parameters, found, t);
	const fit = {
		kind: "fit" as const,
		test,
		scenario,
		series,
		scheduleName: run.scheduleName,
		fanFrom: run.fanFrom,
		parameters,
		free: free.map((k) => parameters[k]!.name),
		correlation,
		mostCorrelatedPair: confidenceEllipse(parameters, free, found, t),
		profiles,
		residuals: computeResiduals(scenario, series, found),
		curve: {
			timesSeconds: series.timesSeconds,
			loggedPpm: series.co2Ppm,
			sensorPpm: found.readingPpm,
			chamberPpm: found.chamberPpm,
			excluded: series.excluded,
			bursts,
			throughBursts: predictThroughBursts(
				model,
				least.values,
				bursts.filter(({ startSeconds }) => startSeconds >= from),
			),
		},
		bursts: null,
		days: fitDays,
		daily,
		termination: {
			reason: least.termination === "iteration limit" ? ("iteration limit" as const) : least.termination,
			iterations: least.iterations,
		},
	};
	const respiration = daily?.mean ?? parameters.find(({ name }) => name === "generation");
	const respirationRate = respiration === undefined ? null : computeRespirationRate(scenario, respiration);
	const renamed = nameWrittenDay(daily);
	const confounded = findConfounded(fit, least.unidentifiable);
	// A model that misses the log by more than the sensor can err has learnt nothing worth keeping.
	const renamedParameters = parameters.map((one) => ({ ...one, name: renamed(one.name) }));
	const changes = !fit.residuals.isAdequate
		? []
		: markDay(
				listChanges(scenario, renamedParameters, respirationRate, meanCelsius(temperature), {
					names: Object.keys(options.fix ?? {}),
					assumedM3PerS: base.generationM3PerS,
				}),
				fitDays,
				daily,
			);
	return {
		...fit,
		respirationRate,
		temperature,
		confounded,
		recommendedTest: recommendTest(fit, confounded),
		changes,
		changeCorrelations: findChangeCorrelations({ ...fit, free: fit.free.map(renamed), changes }),
		warnings: [
			...(fit.residuals.isAdequate ? [] : [{ code: "inadequate model" as const }]),
			...warnOfBounds(parameters),
			...warnOfSearch(found),
		],
	};
}

const warnOfBounds = (parameters: readonly FittedParameter[]): FitWarning[] =>
	parameters.flatMap(({ name, label, isAtBound, status }) =>
		isAtBound && status !== "fixed" ? [{ code: "at bound" as const, name, label }] : [],
	);
