import type { CleanSeries } from "../logs/log.ts";
import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Parameter } from "../statistics/leastsquares.ts";
import { studentQuantile } from "../statistics/student.ts";
import { findConfounded, recommendTest } from "./advice.ts";
import { findChangeCorrelations, listChanges, writtenAs } from "./changes.ts";
import { dayName, type LogDay, listFitDays, markDay, nameWrittenDay, summarizeDays } from "./days.ts";
import { computeProfile, confidenceEllipse } from "./estimate/confidenceregions.ts";
import { budgetErrors, correlationOf, type ErrorBudget } from "./estimate/errorbudget.ts";
import type { Estimate } from "./estimate/estimate.ts";
import {
	conditionsOf,
	derivedFigures,
	type Figure,
	figureOf,
	intervalOf,
	sumFigures,
} from "./estimate/figures.ts";
import { type FitPlan, kindOf, LABELS } from "./estimate/fitplan.ts";
import { isIdentifiable, warnOfSearch } from "./estimate/identifiability.ts";
import type { FoundFit, ResidualPatterns } from "./estimate/residualpatterns.ts";
import type { SettledTest } from "./estimate/settle.ts";
import type { FitWarning } from "./findings.ts";
import type { FitName, FitOptions } from "./fitoptions.ts";
import type { DerivedFigure, Fit, FitResiduals, FittedParameter } from "./fittypes.ts";
import { stepName } from "./model/baselinesteps.ts";
import { type FitModel, predictThroughBursts } from "./model/fitmodel.ts";
import type { FanHistory } from "./model/fitrun.ts";
import type { LoggedChamber } from "./model/loggedchamber.ts";
import { findBursts } from "./model/switchevents.ts";
import { meanCelsius } from "./model/temperature.ts";
import { rateOf } from "./respirationrate.ts";
import { findShortcoming } from "./shortcoming.ts";

/** What was found, and whether it follows the log. */
export interface Judged {
	readonly found: Estimate;
	readonly free: FoundFit["free"];
	/** null where nothing but starts and clock is found. */
	readonly patterns: ResidualPatterns | null;
	readonly residuals: FitResiduals;
}

/** A fit, and what it was made of. */
export interface Attempt extends SettledTest, Judged, FoundFit {
	readonly series: CleanSeries;
	readonly stepsAt: readonly number[];
	readonly model: FitModel;
	readonly found: Estimate;
}

/** Of a source that varies what is found is its mean. */
const labelOf = (name: FitName, { source }: Model): (typeof LABELS)[string] | undefined => {
	const known = LABELS[name];
	return known === undefined || name !== "generation" || source === undefined
		? known
		: [`mean ${known[0]}`, known[1]];
};

const NOT_PROFILED = /^(initialCo2|initialReading|generation of .*)$/;

/** What was found, with errors, profiles, what is not determined, advice and changes. */
export function reportFit(
	scenario: Scenario,
	options: FitOptions,
	given: readonly string[],
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
		const isOffset = parameter.name === "offset";
		const isBackground = isOffset && test !== "log";
		const name = isBackground ? "background" : (parameter.name as FitName);
		const [label, dimension] =
			labelOf(name, base) ??
			(days[k] === undefined
				? (["baseline step", "concentration difference"] as const)
				: ([`CO₂ output on ${dayName(days[k])}`, "flow"] as const));
		const beside = isBackground ? base.intakePpm : 0;
		const status = statusOf(parameter);
		const isOpen = status === "fixed" || unidentifiable.has(k);
		// A share of what is found of the background would go to an offset that was given.
		const value = isOffset && plan.isOffsetHeld ? parameter.initial : figures[k]!.value;
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
	const correlation = correlationOf(budget.covariance);
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
		correlation: free.map((i) => free.map((j) => correlation[i]![j]!)),
		mostCorrelatedPair: confidenceEllipse(parameters, free, budget.covariance, t),
		profiles,
		riseShape,
		conditions: conditionsOf(scenario, celsius),
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
	// Of a model that does not follow the log nothing is told, and no next test can be named.
	const { isAdequate } = residuals;
	const confounded = isAdequate ? findConfounded(fit, least.unidentifiable) : [];
	const renamedParameters = parameters.map((one) => ({ ...one, name: renamed(one.name) }));
	const changes = !isAdequate
		? []
		: markDay(
				listChanges(learnt.scenario, renamedParameters, celsius, {
					names: given,
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
		recommendedTest: isAdequate ? recommendTest(fit, confounded) : null,
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
