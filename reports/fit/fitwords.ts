import { dayName } from "../../lib/fit/days.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { DailyGeneration, Fit, FitDay, FittedParameter } from "../../lib/fit/fittypes.ts";
import { buildModel } from "../../lib/model/build.ts";
import { DAY } from "../../lib/time.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { upperFirst } from "../words/format.ts";
import { outlierWords, replacedWords } from "./bursts.ts";
import { confoundedReason, labelOf, listed, resolutionWords } from "./confoundedwords.ts";
import {
	isNuisance,
	percentOf,
	plainValue,
	ppmWords,
	shownValue,
	valueWords,
	withItsError,
} from "./fitvalues.ts";
import { isOtherTest, lackOfFitWords, shortcomingWords } from "./lackoffitwords.ts";
import { rateName } from "./respirationrate.ts";

/** The result of a fit in one sentence, its values, and what else matters at once. */
export interface Headline {
	readonly answer: string;
	readonly grounds: string;
	readonly more: readonly string[];
}

/** Parameters that were sought; days of respiration are one, their mean. */
export const soughtOf = ({ parameters, daily }: Fit): readonly FittedParameter[] =>
	(daily === null
		? parameters
		: [daily.mean, ...parameters.filter(({ name }) => !name.startsWith("generation"))]
	).filter(({ name, status }) => status !== "fixed" && !isNuisance(name));

/** `on 4 days`, `on 3 of 4 days` */
function daysWords(days: readonly FitDay[]): string {
	const identifiable = days.filter((day) => day.isIdentifiable).length;
	const of = identifiable === 0 || identifiable === days.length ? "" : `${identifiable} of `;
	return `on ${of}${days.length} ${days.length === 1 ? "day" : "days"}`;
}

const namesOf = ({ days }: Fit, parameters: readonly FittedParameter[]): string[] =>
	parameters.map(({ name, label }) =>
		name === "generation" && days !== null ? `CO₂ output ${daysWords(days)}` : label,
	);

/** Which test the log belongs to. */
export const testWords = ({ test, scheduleName }: Fit): string =>
	({
		log: `Log of the programmed schedule${scheduleName === null ? "" : ` “${scheduleName}”`}`,
		rise: "Rise test",
		decay: "Leak test (CO₂ decay)",
		bursts: "Counted bursts",
	})[test];

/** The result of a fit, in words for growers and researchers. */
export function headlineOf(fit: Fit, units: UnitSystem): Headline {
	if (!fit.residuals.isAdequate)
		return {
			answer: "The model does not follow this log, which determines none of the values sought",
			grounds: lackOfFitWords(fit, units).join(" "),
			more: isOtherTest(fit) ? [] : [agreementWords(fit)],
		};
	const sought = soughtOf(fit);
	const identifiable = sought.filter((one) => one.isIdentifiable && one.status === "free");
	const unidentifiable = sought.filter((one) => !one.isIdentifiable);
	const withPrior = sought.filter((one) => one.isIdentifiable && one.status === "prior");
	const answer =
		identifiable.length === 0
			? "This log determines none of the values sought"
			: `This log determines ${listed(namesOf(fit, identifiable))}`;
	const valuesOf = (of: readonly FittedParameter[]): string =>
		of.map((one) => `${one.label}: ${valueWords(one, units)}`).join("; ");
	const grounds = [
		valuesOf(identifiable) === "" ? "" : `${upperFirst(valuesOf(identifiable))}.`,
		unidentifiable.length === 0 ? "" : `It does not determine ${listed(namesOf(fit, unidentifiable), "or")}.`,
		withPrior.length === 0 ? "" : `With prior knowledge: ${valuesOf(withPrior)}.`,
	];
	return {
		answer,
		grounds: grounds.filter((sentence) => sentence !== "").join(" "),
		more: [
			...(fit.shortcoming === null ? [] : [shortcomingWords(fit.shortcoming)]),
			...lessons(fit, [...identifiable, ...withPrior], units),
			agreementWords(fit),
		],
	};
}

/** The values beside those of the scenario. */
function lessons(fit: Fit, identifiable: readonly FittedParameter[], units: UnitSystem): string[] {
	const of = (name: FitName) => identifiable.find((one) => one.name === name);
	const said: string[] = [];
	const generation = of("generation");
	if (generation !== undefined)
		said.push(
			`${fit.days === null || fit.days.length < 2 ? "CO₂ output" : "The mean CO₂ output of these days"} ${againstWords(generation, units)}.${respirationRateWords(fit, units)}`,
			...dailyWords(fit, units),
		);
	const perBurst = of("per burst");
	if (perBurst !== undefined)
		said.push(...[replacedWords(fit), outlierWords(fit)].filter((words) => words !== null));
	const flow = of("flow");
	if (flow !== undefined) said.push(`Delivered flow ${againstWords(flow, units)}.`);
	const leak = of("leak");
	if (leak !== undefined)
		said.push(`Leakage ${againstWords(leak, units)}; that is ${leakPerHour(fit, leak.value)}.`);
	const offset = of("offset");
	if (offset !== undefined && Math.abs(offset.value) > 2 * (offset.standardError ?? Number.POSITIVE_INFINITY))
		said.push(
			`The sensor reads ${plainValue("offset", Math.abs(Math.round(offset.value)), units)} too ${offset.value > 0 ? "high" : "low"}.`,
		);
	const response = of("response");
	if (response !== undefined)
		said.push(
			`The sensor needs ${plainValue("response", Math.round(response.value), units)} to show 63 % of a step change, so it understates peaks.`,
		);
	const rateError = fit.parameters.find(
		({ name, status }) => name === "timerRateError" && status !== "fixed",
	);
	if (
		rateError?.isIdentifiable === true &&
		Math.abs(rateError.value) > 2 * (rateError.standardError ?? Number.POSITIVE_INFINITY)
	)
		said.push(
			`The timer runs ${percentOf(rateError.value)} ${rateError.value > 0 ? "slow" : "fast"} against the logger, ${formatDuration(Math.round(Math.abs(rateError.value) * DAY))} per day.`,
		);
	return said;
}

/** The day of a log by its number. */
export const dayOf = ({ days }: Fit, day: number): FitDay => days!.find((one) => one.day === day)!;

/** How the days differ: the lowest, the highest, and the trend. */
export function dailyWords(fit: Fit, units: UnitSystem): readonly string[] {
	const { daily } = fit;
	if (daily === null || daily.trendPerDay === null) return [];
	const on = (day: number): string => {
		const of = dayOf(fit, day);
		return `${plainValue("generation", of.value, units)} on ${dayName(of)}`;
	};
	const { value, ci95Low, ci95High } = daily.trendPerDay;
	const isPlain = ci95Low !== null && ci95High !== null && (ci95Low > 0 || ci95High < 0);
	const trend = isPlain
		? `it ${value > 0 ? "rises" : "falls"} by ${trendWords(daily.trendPerDay, units)}`
		: "there is no significant trend from day to day";
	return [`The lowest CO₂ output is ${on(daily.leastDay)}, the highest ${on(daily.greatestDay)}; ${trend}.`];
}

/** `0.12 L/h per day (SE 0.01)`, without a sign. */
const trendWords = (perDay: NonNullable<DailyGeneration["trendPerDay"]>, units: UnitSystem): string => {
	const { value, error, unit } = shownValue(
		{ name: "generation", ...perDay, value: Math.abs(perDay.value) },
		units,
	);
	return `${value} ${unit} per day${error === null ? "" : ` (SE ${error})`}`;
};

/** Which day's respiration is written back, or that none is; null where there are no days, or nothing is written at all. */
export function writtenDayWords(fit: Fit): string | null {
	const { daily, changes } = fit;
	if (daily === null || changes.length === 0 || daily.mean.status === "fixed") return null;
	if (daily.writtenDay === null) return "No rate is written, because the log determines it on no day.";
	if (!changes.some(({ part }) => part !== undefined)) return null;
	const day = dayOf(fit, daily.writtenDay);
	return day.isWhole
		? `The rate is that of ${dayName(day)}, the last whole day that the log determines.`
		: `The rate is that of ${dayName(day)}, the longest that the log determines; no day is whole.`;
}

/** The rate as the scenario writes it, with its error. */
function respirationRateWords(fit: Fit, units: UnitSystem): string {
	const { respirationRate } = fit;
	if (respirationRate === null) return "";
	const { standardError } = respirationRate;
	const error = standardError === null ? null : standardError * 3.6e9;
	return ` The ${rateName(fit, units)} is ${withItsError(respirationRate.value * 3.6e9, error, 1, " mg/(kg·h)")}.`;
}

/** A value agrees with the scenario's when its error is no larger than this share; beyond it the two cannot be told apart. */
const MAX_AGREEMENT_SHARE = 0.1;

/** `is 1.3 times the scenario's value (1.852 L/h)`, or that it agrees within its error, or cannot be told apart. */
function againstWords({ name, value, initial, standardError }: FittedParameter, units: UnitSystem): string {
	const expected = `the scenario's value (${plainValue(name, initial, units)})`;
	if (!(initial > 0)) return `is ${plainValue(name, value, units)}; the scenario has none`;
	const error = standardError ?? 0;
	if (Math.abs(value - initial) <= 2 * error)
		return error <= MAX_AGREEMENT_SHARE * initial
			? `agrees with ${expected} within the error`
			: 2 * error < value
				? `cannot be told apart from ${expected}; the 95 % interval reaches ${percentOf((2 * error) / value)} either way`
				: `cannot be told apart from ${expected}; it is at most ${plainValue(name, value + 2 * error, units)} (95 %)`;
	const ratio = value / initial;
	return ratio >= 1.15 || ratio <= 0.85
		? `is ${Number(ratio.toPrecision(2))} times ${expected}`
		: `is ${percentOf(ratio - 1)} ${ratio > 1 ? "above" : "below"} ${expected}`;
}

/** Leakage in air changes per hour. */
export const leakPerHour = ({ scenario }: Pick<Fit, "scenario">, m3PerS: number): string =>
	`${Number(((m3PerS * 3600) / buildModel(scenario).volumeM3).toPrecision(2))} air changes per hour`;

/** `2880`, `10,000` */
export const countOf = (count: number): string =>
	count < 10_000 ? String(count) : count.toLocaleString("en-US");

export const effectiveCount = ({ residuals }: Pick<Fit, "residuals">): string =>
	countOf(Math.max(1, Math.round(residuals.effectiveSampleSize)));

const agreementWords = (fit: Fit): string =>
	`The root-mean-square residual is ${ppmWords(fit.residuals.rmsPpm)} over ${countOf(fit.residuals.used)} readings, equivalent to ${effectiveCount(fit)} independent readings.`;

/** What cannot be determined, why, and what would help. */
export function unidentifiableWords(
	fit: Fit,
): readonly { readonly what: string; readonly why: string; readonly wayOut: string | null }[] {
	if (!fit.residuals.isAdequate) return [];
	const named = new Set(fit.confounded.flatMap(({ names }) => names));
	const isOpen = (name: FitName) =>
		!fit.parameters.some((one) => one.name === name && one.isIdentifiable && one.status !== "fixed");
	return [
		...fit.confounded.map((one) => ({
			what: upperFirst(listed(one.names.filter(isOpen).map((name) => labelOf(fit, name)))),
			why: confoundedReason(fit, one),
			wayOut: resolutionWords(fit, one),
		})),
		...soughtOf(fit)
			.filter(({ name, isIdentifiable }) => !isIdentifiable && !named.has(name))
			.map((one) => ({
				what: upperFirst(one.label),
				why: "Its standard error is too large for its value.",
				wayOut: null,
			})),
	];
}
