import { type CleanOptions, cleanSeries, excludeDoorOpenings } from "../logs/clean/clean.ts";

import type { CleanSeries, Log } from "../logs/log.ts";
import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Parameter } from "../statistics/leastsquares.ts";
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
import { type Estimate, estimate, type FitSamples } from "./estimate/estimate.ts";
import { derivedFigures, type Figure, figureOf, intervalOf, sumFigures } from "./estimate/figures.ts";
import { type FitPlan, kindOf, LABELS, planParameters } from "./estimate/fitplan.ts";
import { checkEnough, listInitials, searchBest } from "./estimate/fitsearch.ts";
import { isIdentifiable, warnOfSearch } from "./estimate/identifiability.ts";
import { findLackOfFit } from "./estimate/lackoffit.ts";
import { findRecoveries } from "./estimate/recovery.ts";
import type { FoundFit } from "./estimate/residualpatterns.ts";
import { computeResiduals } from "./estimate/residuals.ts";
import { type SettledTest, settleTest } from "./estimate/settle.ts";
import { findShift } from "./estimate/shiftsearch.ts";
import type {
	DerivedFigure,
	Fit,
	FitName,
	FitOptions,
	FitResiduals,
	FittedParameter,
	FitWarning,
} from "./fittypes.ts";
import { stepName, withBaselineSteps } from "./model/baselinesteps.ts";
import {
	type CropShape,
	findCropNames,
	planShape,
	withCrop,
	withCropShape,
	withTrend,
} from "./model/cropshape.ts";
import { averageOverPhases } from "./model/cycleaverage.ts";
import { createFitModel, type FitModel, predictThroughBursts } from "./model/fitmodel.ts";
import { type FanHistory, findFanHistory, findSchedule, listOnSeconds } from "./model/fitrun.ts";
import { buildLoggedChamber, type LoggedChamber } from "./model/loggedchamber.ts";
import { findBursts } from "./model/switchevents.ts";
import { meanCelsius } from "./model/temperature.ts";
import { rateOf } from "./respirationrate.ts";
import { findShortcoming } from "./shortcoming.ts";
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
export function fitSeries(scenario: Scenario, series: CleanSeries, asked: FitOptions = {}): Fit {
	const test = asked.test ?? "log";
	// How the crop changes is found on top of what else is asked for.
	const cropNames = findCropNames(asked.free);
	const { free: named, ...rest } = asked;
	const others = named?.filter((name) => name !== "flush" && !cropNames.some((one) => one === name));
	const isOnTop = others === undefined || (others.length === 0 && cropNames.length > 0);
	const options: FitOptions = isOnTop ? rest : { ...rest, free: others };
	if (test === "bursts")
		return fitBursts(scenario, series, {
			...asked,
			burstSeconds: asked.burstSeconds ?? listOnSeconds(scenario, asked),
		});
	const until = series.timesSeconds.at(-1) ?? 0;
	const chamber = buildLoggedChamber(scenario, series, options);
	const base = chamber.model;
	const run = findFanHistory(scenario, series, options);
	const days = options.days === true ? splitDays(series.log, until) : [];
	const isLog = test === "log";
	/** The chamber with a crop that changes so. */
	const cropOf = (shape: CropShape): Model => {
		const { model } = buildLoggedChamber(withCrop(scenario, shape), series, options);
		return withTrend(model, shape.get("trend") ?? 0, until);
	};

	/** A fit of the samples that count, with a shift of the baseline from each of these moments on; from the scenario's values or from those of the one before. */
	const attempt = (of: CleanSeries, stepsAt: readonly number[], before?: Attempt): Attempt => {
		const { timesSeconds, co2Ppm, excluded } = of;
		const samples: FitSamples = { timesSeconds, co2Ppm, excluded, stepSeconds: of.log.sampleIntervalSeconds };
		const modelOf = (chamber: Model) =>
			createFitModel(
				chamber,
				run.fan,
				until,
				days.map(({ fromSeconds }) => fromSeconds),
				undefined,
				timesSeconds[excluded.indexOf(0)],
			);
		const inner = modelOf(base);
		const changing = withCropShape(inner, cropNames, (shape) => modelOf(cropOf(shape)));
		const model = withBaselineSteps(
			options.averagesCycles === true ? averageOverPhases(changing, run.seek) : changing,
			stepsAt,
		);
		const planned = planParameters(scenario, chamber, of, inner, run, options, test);
		const plan: FitPlan = {
			...planned,
			parameters: [
				...planned.parameters,
				...cropNames.map((name) => planShape(scenario, name)),
				...stepsAt.map((_, k): Parameter => ({ name: stepName(k), initial: 0 })),
			],
		};
		checkEnough(plan.parameters, samples);
		const response = model.names.indexOf("response");
		const freeOf = (parameters: readonly Parameter[]) =>
			parameters.flatMap(({ fixed }, k) => (fixed === true ? [] : [k]));
		const isSought = freeOf(plan.parameters).some((k) => !NOT_SOUGHT.test(plan.parameters[k]!.name));
		const judge = (found: Estimate, parameters: readonly Parameter[]): FitResiduals =>
			computeResiduals(scenario, of, found, (accuracyPpm) =>
				isSought
					? findLackOfFit(
							{ model, samples, found, free: freeOf(parameters), planned: parameters },
							findBursts(model.switchEvents(found.least.values), until),
							found.least.values[response]!,
							accuracyPpm,
						)
					: [],
			);
		const search = (parameters: readonly Parameter[]): Estimate =>
			before === undefined
				? searchBest(
						model,
						samples,
						listInitials(parameters, base, run, samples, options),
						base,
						// A burst between two samples leaves a false minimum without any lag.
						(found) => found.least.isAtBound[response] !== true && judge(found, parameters).isAdequate,
					)
				: estimate(
						model,
						samples,
						parameters.map((one, k) => ({ ...one, initial: before.found.least.values[k] ?? one.initial })),
					);
		const settled = settleTest(plan, search, options.free === undefined ? test : "log", base.intakePpm);
		const { parameters } = settled.plan;
		return {
			...settled,
			series: of,
			stepsAt,
			model,
			samples,
			free: freeOf(parameters),
			residuals: judge(settled.found, parameters),
			isSought,
		};
	};

	const first = attempt(series, []);
	let at = first;
	for (let turn = 0; isLog && at.isSought && turn < MAX_DISTURBANCES; turn++) {
		const next = settleDisturbance(at, base, until, attempt, options);
		if (next === null) break;
		at = next;
	}
	if (at !== first) {
		// What a disturbance led astray need not find its way back alone.
		const again = attempt(at.series, at.stepsAt);
		if (again.found.noisePpm < at.found.noisePpm) at = again;
	}
	const shape: CropShape = new Map(
		cropNames.map((name) => [name, at.found.least.values[at.model.names.indexOf(name)]!]),
	);
	const learnt =
		cropNames.length === 0
			? { scenario, generationM3PerS: base.generationM3PerS }
			: { scenario: withCrop(scenario, shape), generationM3PerS: cropOf(shape).generationM3PerS };
	return reportFit(scenario, options, test, chamber, run, at, days, until, learnt);
}

/** Doors and shifts of the baseline are looked for so often; more shifts are a sensor that drifts. */
const MAX_DISTURBANCES = 5;
const MAX_STEPS = 2;

/** A fit, and what it was made of. */
interface Attempt extends SettledTest, FoundFit {
	readonly series: CleanSeries;
	readonly stepsAt: readonly number[];
	readonly model: FitModel;
	readonly found: Estimate;
	readonly residuals: FitResiduals;
	readonly isSought: boolean;
}

/** The fit once more, without doors until the chamber has recovered from them, or with a shift of the baseline; null where there is nothing more to be seen. */
function settleDisturbance(
	before: Attempt,
	base: Model,
	until: number,
	attempt: (of: CleanSeries, stepsAt: readonly number[], before: Attempt) => Attempt,
	{ keep = [] }: FitOptions,
): Attempt | null {
	const { series, stepsAt, model, found } = before;
	const value = (name: FitName) => found.least.values[model.names.indexOf(name)]!;
	if (!keep.includes("door opening")) {
		const onSeconds = findBursts(model.switchEvents(found.least.values), until).reduce(
			(sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds,
			0,
		);
		const air = value("leak") + ((base.mixingEfficiency ?? 1) * value("flow") * onSeconds) / until;
		const doors = findRecoveries(series, found.readingPpm, {
			airChangesPerS: air / base.volumeM3,
			responseSeconds: value("response"),
		});
		const without = excludeDoorOpenings(series, doors);
		if (without.excluded.some((code, i) => code !== series.excluded[i]))
			return attempt(without, stepsAt, before);
	}
	if (keep.includes("baseline step") || stepsAt.length >= MAX_STEPS) return null;
	const shift = findShift(before);
	if (shift === null) return null;
	const next = attempt(series, [...stepsAt, series.timesSeconds[shift]!], before);
	return next.found.noisePpm < found.noisePpm ? next : null;
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

/** Starts and clock are found in any log; whether a model follows is asked where more is. */
const NOT_SOUGHT = /^(initialCo2|initialReading|phase|timerRateError|switchShift|offShift)$/;

function reportFit(
	scenario: Scenario,
	options: FitOptions,
	test: "log" | "rise" | "decay",
	{ model: base, temperature }: LoggedChamber,
	run: FanHistory,
	{ series, stepsAt, model, plan, found, riseShape, warnings, residuals }: Attempt,
	days: readonly LogDay[],
	until: number,
	/** The scenario with what was found of how the crop changes, and what it then has for the mean over the log. */
	learnt: { readonly scenario: Scenario; readonly generationM3PerS: number },
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
	/** What the scenario has for the CO2 output with the crop as it was found to change. */
	const assumedOf = ({ name, initial }: Parameter): number =>
		name === "generation" && base.generationM3PerS > 0 ? learnt.generationM3PerS : initial;
	const derived = planned.flatMap((one, k) =>
		derivedFigures(
			kindOf(one.name),
			figures[k]!,
			{ status: statusOf(one), initial: assumedOf(one) },
			learnt.scenario,
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
		const [label, dimension] =
			labelOf(name, base) ??
			(days[k] === undefined
				? (["baseline step", "concentration difference"] as const)
				: ([`CO₂ output on ${dayName(days[k])}`, "flow"] as const));
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
			isIdentifiable:
				residuals.isAdequate &&
				isIdentifiable(name, value, standardError, figures[k]!.priorSd, {
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
			: summarizeDays(
					fitDays,
					parameters,
					(weights) => {
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
					},
					residuals.isAdequate,
				);
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
		residuals,
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
	const ofLog = { ...fit, correlation: among(least.covariance) };
	// Of a model that does not follow the log nothing is told, and no next test can be named.
	const { isAdequate } = residuals;
	const confounded = isAdequate ? findConfounded(ofLog, least.unidentifiable) : [];
	const renamedParameters = parameters.map((one) => ({ ...one, name: renamed(one.name) }));
	const changes = !isAdequate
		? []
		: markDay(
				listChanges(learnt.scenario, renamedParameters, celsius, {
					names: Object.keys(options.fix ?? {}),
					assumedM3PerS: learnt.generationM3PerS,
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
		shortcoming: findShortcoming(fit, base.intakePpm),
		recommendedTest: isAdequate ? recommendTest(ofLog, confounded) : null,
		changes,
		changeCorrelations: findChangeCorrelations(changes, placeOf, budget, held),
		warnings: [
			...warnings,
			...(isAdequate ? [] : [{ code: "inadequate model" as const }]),
			...stepsAt.map((atSeconds, k) => {
				const { value: ppm, standardError } = parameters.find(({ name }) => name === stepName(k))!;
				return { code: "baseline step" as const, atSeconds, ppm, standardError };
			}),
			...warnOfBounds(parameters),
			...warnOfSearch(found),
		],
	};
}

const warnOfBounds = (parameters: readonly FittedParameter[]): FitWarning[] =>
	parameters.flatMap(({ name, label, isAtBound, status }) =>
		isAtBound && status !== "fixed" ? [{ code: "at bound" as const, name, label }] : [],
	);
