import { type CleanOptions, cleanSeries } from "../logs/clean/clean.ts";

import type { CleanSeries, Log } from "../logs/log.ts";
import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { studentQuantile } from "../statistics/student.ts";
import { findConfounded, recommendTest } from "./advice.ts";
import { findChangeCorrelations, listChanges, writtenAs } from "./changes.ts";
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
import { budgetErrors, type ErrorBudget } from "./estimate/errorbudget.ts";
import type { FitSamples } from "./estimate/estimate.ts";
import { derivedFigures, type Figure, figureOf, intervalOf, sumFigures } from "./estimate/figures.ts";
import { type FitPlan, kindOf, LABELS, planParameters } from "./estimate/fitplan.ts";
import { checkEnough, listInitials, searchBest } from "./estimate/fitsearch.ts";
import { isIdentifiable, warnOfSearch } from "./estimate/identifiability.ts";
import { computeResiduals } from "./estimate/residuals.ts";
import { type SettledTest, settleTest } from "./estimate/settle.ts";
import type { DerivedFigure, Fit, FitName, FitOptions, FittedParameter, FitWarning } from "./fittypes.ts";
import { createFitModel, type FitModel, predictThroughBursts } from "./model/fitmodel.ts";
import { type FanHistory, findFanHistory, findSchedule, listOnSeconds } from "./model/fitrun.ts";
import { buildLoggedChamber, type LoggedChamber } from "./model/loggedchamber.ts";
import { findBursts } from "./model/switchevents.ts";
import { meanCelsius } from "./model/temperature.ts";
import { rateOf } from "./respirationrate.ts";
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
	const plan = planParameters(scenario, chamber, series, model, run, options, test);
	checkEnough(plan.parameters, samples);
	const search = (parameters: FitPlan["parameters"]) =>
		searchBest(model, samples, listInitials(parameters, base, run, samples, options));
	const settled = settleTest(plan, search, options.free === undefined ? test : "log", base.intakePpm);
	return reportFit(scenario, series, options, test, chamber, run, model, settled, days, until);
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
	{ plan, found, riseShape, warnings }: SettledTest,
	days: readonly LogDay[],
	until: number,
): Fit {
	const { least } = found;
	const { parameters: planned, held } = plan;
	const t = studentQuantile(0.975, Math.max(least.degreesOfFreedom, 1));
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
	const celsius = meanCelsius(temperature);
	const budgetOf = (figures: readonly Figure[]): ErrorBudget =>
		budgetErrors(
			found,
			planned,
			held,
			figures.map(({ reported }) => reported),
		);
	const figures = planned.map(({ name, prior }, k) => {
		const kind = kindOf(name);
		return figureOf(
			kind === "offset" && test !== "log" ? "background" : kind,
			k,
			least.values[k]!,
			planned.length,
			held,
			prior,
		);
	});
	const statusOf = ({ name, fixed, prior }: FitPlan["parameters"][number]): FittedParameter["status"] =>
		fixed === true || (name === "offset" && plan.isOffsetHeld)
			? "fixed"
			: prior === undefined
				? "free"
				: "prior";
	const derived = planned.flatMap((one, k) =>
		derivedFigures(
			kindOf(one.name),
			figures[k]!,
			{ status: statusOf(one), initial: one.initial },
			scenario,
			base,
			celsius,
			held,
		).map((figure) => ({ ...figure, of: k })),
	);
	const budget = budgetOf([...figures, ...derived]);
	const interval = (place: number, value: number) => intervalOf(budget, place, value, least.degreesOfFreedom);
	const blank = { standardError: null, ci95Low: null, ci95High: null, shares: [] };
	const parameters = planned.map((parameter, k): FittedParameter => {
		const isBackground = parameter.name === "offset" && test !== "log";
		const name = isBackground ? "background" : (parameter.name as FitName);
		const [label, dimension] = labelOf(name, base) ?? [`CO₂ output on ${dayName(days[k]!)}`, "flow" as const];
		const beside = isBackground ? base.intakePpm : 0;
		const status = statusOf(parameter);
		const isOpen = status === "fixed" || unidentifiable.has(k);
		const value = figures[k]!.value;
		const own = isOpen ? blank : interval(k, value);
		const { standardError } = own;
		const profile = standardError === null ? undefined : profiles.find((one) => one.name === parameter.name);
		const lower = parameter.lower ?? Number.NEGATIVE_INFINITY;
		/** A profile shows noise and priors; what is held goes beside it. */
		const widened = (end: number | null | undefined, plain: number | null): number | null =>
			end == null || plain === null
				? plain
				: value +
					Math.sign(plain - value) *
						Math.hypot(
							end - least.values[k]!,
							t * Math.sqrt(Math.max(standardError! ** 2 - found.standardErrors[k]! ** 2, 0)),
						);
		const low = widened(profile?.ci95Low, own.ci95Low);
		const high = widened(profile?.ci95High, own.ci95High);
		return {
			name,
			label,
			dimension,
			value: value + beside,
			standardError,
			ci95Low: low === null ? null : Math.max(low, lower) + beside,
			ci95High: high === null ? null : high + beside,
			initial: parameter.initial + beside,
			lower: lower + beside,
			upper: (parameter.upper ?? Number.POSITIVE_INFINITY) + beside,
			status,
			isAtBound: least.isAtBound[k]!,
			isIdentifiable: isIdentifiable(name, value, standardError, figures[k]!.priorSd, {
				volumeM3: base.volumeM3,
				stepSeconds: series.log.sampleIntervalSeconds,
			}),
			shares: own.shares,
			alsoAs: derived.flatMap(({ of, quantity, value }, place): DerivedFigure[] =>
				of === k ? [{ quantity, value, ...(isOpen ? blank : interval(planned.length + place, value)) }] : [],
			),
		};
	});
	const free = parameters.flatMap(({ status }, k) => (status === "fixed" ? [] : [k]));
	const among = (matrix: readonly (readonly number[])[]) =>
		free.map((i) =>
			free.map((j) => (i === j ? 1 : matrix[i]![j]! / Math.sqrt(matrix[i]![i]! * matrix[j]![j]!))),
		);
	const fitDays = days.length === 0 ? null : listFitDays(days, parameters, series.log.startUtcSeconds);
	const daily =
		fitDays === null
			? null
			: summarizeDays(fitDays, parameters, (weights) => {
					const sum = sumFigures(figures, weights);
					const one = {
						status: "free" as const,
						initial: weights.reduce((to, weight, k) => to + weight * parameters[k]!.initial, 0),
					};
					const also = derivedFigures("generation", sum, one, scenario, base, celsius, held);
					const of = budgetOf([sum, ...also]);
					const at = (place: number, value: number) => intervalOf(of, place, value, least.degreesOfFreedom);
					return {
						value: sum.value,
						...at(0, sum.value),
						alsoAs: also.map(({ quantity, value }, k) => ({ quantity, value, ...at(k + 1, value) })),
					};
				});
	const fit = {
		kind: "fit" as const,
		test,
		scenario,
		series,
		scheduleName: run.scheduleName,
		fanFrom: run.fanFrom,
		parameters,
		free: free.map((k) => parameters[k]!.name),
		correlation: among(budget.covariance),
		mostCorrelatedPair: confidenceEllipse(parameters, free, least.correlation, budget.covariance, t),
		profiles,
		riseShape,
		conditions: {
			celsius,
			pascal: scenario.chamber.pressure.value,
			humidity: scenario.chamber.humidity.value,
		},
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
	const respirationRate = rateOf(daily?.mean ?? parameters.find(({ name }) => name === "generation"));
	const renamed = nameWrittenDay(daily);
	// What the log itself leaves together: a volume that is not known makes all errors alike, but parts none from another.
	const confounded = findConfounded({ ...fit, correlation: among(least.covariance) }, least.unidentifiable);
	// A model that misses the log by more than the sensor can err has learnt nothing worth keeping.
	const renamedParameters = parameters.map((one) => ({ ...one, name: renamed(one.name) }));
	const changes = !fit.residuals.isAdequate
		? []
		: markDay(
				listChanges(scenario, renamedParameters, celsius, {
					names: Object.keys(options.fix ?? {}),
					assumedM3PerS: base.generationM3PerS,
				}),
				fitDays,
				daily,
			);
	/** The figure that a changed value is written from. */
	const placeOf = (name: FitName): number => {
		const k = renamedParameters.findIndex((one) => one.name === name);
		const as = writtenAs(scenario, name);
		const also = derived.findIndex(({ of, quantity }) => of === k && quantity === as);
		return also < 0 ? k : planned.length + also;
	};
	return {
		...fit,
		respirationRate,
		temperature,
		confounded,
		recommendedTest: recommendTest(fit, confounded),
		changes,
		changeCorrelations: findChangeCorrelations(changes, placeOf, budget, held),
		warnings: [
			...warnings,
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
