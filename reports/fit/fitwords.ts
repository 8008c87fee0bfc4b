import { dayName } from "../../lib/fit/days.ts";
import type { DailyGeneration, Fit, FitDay, FitName, FittedParameter } from "../../lib/fit/fittypes.ts";
import { buildModel } from "../../lib/model/build.ts";
import { DAY } from "../../lib/time.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { outlierWords, replacedWords } from "./bursts.ts";
import {
	isNuisance,
	percentOf,
	plainValue,
	ppmWords,
	shownValue,
	toItsError,
	valueWords,
} from "./fitvalues.ts";
import { rateName } from "./respirationrate.ts";

/** What a fit says in one answer, its grounds, and what else is to be known at once. */
export interface Headline {
	readonly answer: string;
	readonly grounds: string;
	readonly more: readonly string[];
}

/** Parameters that the log was asked for; days of respiration are one, their mean. */
export const soughtOf = ({ parameters, daily }: Fit): readonly FittedParameter[] =>
	(daily === null
		? parameters
		: [daily.mean, ...parameters.filter(({ name }) => !name.startsWith("generation"))]
	).filter(({ name, status }) => status !== "fixed" && !isNuisance(name));

const listed = (words: readonly string[], and = "and"): string =>
	words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${and} ${words.at(-1)}`;

/** `on 4 days`, `on 3 of 4 days` */
function daysWords(days: readonly FitDay[]): string {
	const identifiable = days.filter((day) => day.isIdentifiable).length;
	const of = identifiable === 0 || identifiable === days.length ? "" : `${identifiable} of `;
	return `on ${of}${days.length} ${days.length === 1 ? "day" : "days"}`;
}

const namesOf = ({ days }: Fit, parameters: readonly FittedParameter[]): string[] =>
	parameters.map(({ name, label }) =>
		name === "generation" && days !== null ? `the CO2 given off ${daysWords(days)}` : `the ${label}`,
	);

/** What the log was said to be of. */
export const testWords = ({ test, scheduleName }: Fit): string =>
	({
		log: `Log of the programmed schedule${scheduleName === null ? "" : ` “${scheduleName}”`}`,
		rise: "Closed-chamber rise test",
		decay: "Decay test",
		bursts: "Test of counted bursts",
	})[test];

/** What the log taught, in a grower's and a researcher's words. */
export function headlineOf(fit: Fit, units: UnitSystem): Headline {
	const sought = soughtOf(fit);
	const identifiable = sought.filter((one) => one.isIdentifiable && one.status === "free");
	const unidentifiable = sought.filter((one) => !one.isIdentifiable);
	const withPrior = sought.filter((one) => one.isIdentifiable && one.status === "prior");
	const answer =
		identifiable.length === 0
			? "This log tells nothing that it was asked for"
			: `This log tells ${listed(namesOf(fit, identifiable))}`;
	const valuesOf = (of: readonly FittedParameter[]): string =>
		of.map((one) => `${one.label}: ${valueWords(one, units)}`).join("; ");
	const grounds = [
		valuesOf(identifiable) === "" ? "" : `${upperFirst(valuesOf(identifiable))}.`,
		unidentifiable.length === 0 ? "" : `It does not tell ${listed(namesOf(fit, unidentifiable), "or")}.`,
		withPrior.length === 0 ? "" : `With what was known before: ${valuesOf(withPrior)}.`,
	];
	return {
		answer,
		grounds: grounds.filter((sentence) => sentence !== "").join(" "),
		more: [
			...lackOfFitWords(fit),
			...lessons(fit, [...identifiable, ...withPrior], units),
			agreementWords(fit),
		],
	};
}

/** Says so where the model does not follow the log as closely as the sensor can show. */
export function lackOfFitWords({ residuals }: Fit): readonly string[] {
	const { rmsPpm, accuracyPpm, isAdequate } = residuals;
	if (isAdequate) return [];
	const how =
		rmsPpm > accuracyPpm
			? `they differ by more than the sensor's accuracy of ${ppmWords(accuracyPpm)}`
			: `it explains less than half of what moves in it (they differ by ${ppmWords(rmsPpm)})`;
	return [
		`But the model does not follow this log: ${how}, so something happened that the model does not know, such as another schedule, another test, an open door or another crop. Do not rely on these values before that is found.`,
	];
}

/** What that means beside what the scenario says. */
function lessons(fit: Fit, identifiable: readonly FittedParameter[], units: UnitSystem): string[] {
	const of = (name: FitName) => identifiable.find((one) => one.name === name);
	const said: string[] = [];
	const generation = of("generation");
	if (generation !== undefined)
		said.push(
			`${fit.days === null || fit.days.length < 2 ? "The" : "On the mean of these days the"} crop gives off ${againstWords(generation, units)}.${respirationRateWords(fit, units)}`,
			...dailyWords(fit, units),
		);
	const perBurst = of("per burst");
	if (perBurst !== undefined)
		said.push(...[replacedWords(fit), outlierWords(fit)].filter((words) => words !== null));
	const flow = of("flow");
	if (flow !== undefined) said.push(`The fan really delivers ${againstWords(flow, units)}.`);
	const leak = of("leak");
	if (leak !== undefined)
		said.push(`The leak is ${againstWords(leak, units)}; that is ${leakPerHour(fit, leak.value)}.`);
	const offset = of("offset");
	if (offset !== undefined && Math.abs(offset.value) > 2 * (offset.standardError ?? Number.POSITIVE_INFINITY))
		said.push(
			`The sensor reads ${plainValue("offset", Math.abs(Math.round(offset.value)), units)} too ${offset.value > 0 ? "high" : "low"}.`,
		);
	const response = of("response");
	if (response !== undefined)
		said.push(
			`The sensor takes ${plainValue("response", Math.round(response.value), units)} to follow 63 % of a change, so it shows peaks too low.`,
		);
	const rateError = fit.parameters.find(
		({ name, status }) => name === "timerRateError" && status !== "fixed",
	);
	if (
		rateError?.isIdentifiable === true &&
		Math.abs(rateError.value) > 2 * (rateError.standardError ?? Number.POSITIVE_INFINITY)
	)
		said.push(
			`The timer runs ${percentOf(rateError.value)} ${rateError.value > 0 ? "slow" : "fast"} against the logger, ${formatDuration(Math.round(Math.abs(rateError.value) * DAY))} a day.`,
		);
	return said;
}

/** The day of a log by its number. */
export const dayOf = ({ days }: Fit, day: number): FitDay => days!.find((one) => one.day === day)!;

/** How the days differ: the least, the greatest, and whether they rise or fall. */
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
		: "no rise or fall from day to day is to be seen";
	return [`Least is ${on(daily.leastDay)}, most ${on(daily.greatestDay)}; ${trend}.`];
}

/** `0.12 ± 0.01 L/h a day`, without a sign. */
const trendWords = (perDay: NonNullable<DailyGeneration["trendPerDay"]>, units: UnitSystem): string => {
	const { value, error, unit } = shownValue(
		{ name: "generation", ...perDay, value: Math.abs(perDay.value) },
		units,
	);
	return `${value}${error === null ? "" : ` ± ${error}`} ${unit} a day`;
};

/** Which day's respiration is written back, or that none is; null where there are no days, or nothing is written at all. */
export function writtenDayWords(fit: Fit): string | null {
	const { daily, changes } = fit;
	if (daily === null || changes.length === 0 || daily.mean.status === "fixed") return null;
	if (daily.writtenDay === null) return "No rate is written, for the log tells that of no day.";
	if (!changes.some(({ part }) => part !== undefined)) return null;
	const day = dayOf(fit, daily.writtenDay);
	return day.isWhole
		? `The rate is that of ${dayName(day)}, the last whole day that the log tells: what the crop breathes now.`
		: `The rate is that of ${dayName(day)}, the longest that the log tells, for it has no whole day.`;
}

/** The rate as the scenario writes it, with its error. */
function respirationRateWords(fit: Fit, units: UnitSystem): string {
	const { respirationRate } = fit;
	if (respirationRate === null) return "";
	const { standardError } = respirationRate;
	const error = standardError === null ? null : standardError * 3.6e9;
	const spread = error === null ? "" : ` ± ${toItsError(error, error, 1)}`;
	return ` As a ${rateName(fit, units)} that is ${toItsError(respirationRate.value * 3.6e9, error, 1)}${spread} mg/(kg·h).`;
}

/** `1.3 times as much as the scenario has (1.852 L/h)`, or within its error as much. */
function againstWords({ name, value, initial, standardError }: FittedParameter, units: UnitSystem): string {
	const expected = plainValue(name, initial, units);
	if (!(initial > 0)) return `${plainValue(name, value, units)}, where the scenario has none`;
	if (Math.abs(value - initial) <= 2 * (standardError ?? 0))
		return `as much as the scenario has (${expected}), within its error`;
	const ratio = value / initial;
	return ratio >= 1.15 || ratio <= 0.85
		? `${Number(ratio.toPrecision(2))} times as much as the scenario has (${expected})`
		: `${percentOf(ratio - 1)} ${ratio > 1 ? "more" : "less"} than the scenario has (${expected})`;
}

/** A leak in air changes an hour. */
export const leakPerHour = ({ scenario }: Pick<Fit, "scenario">, m3PerS: number): string =>
	`${Number(((m3PerS * 3600) / buildModel(scenario).volumeM3).toPrecision(2))} air changes an hour`;

const agreementWords = ({ residuals }: Fit): string =>
	`Log and model differ by ${ppmWords(residuals.rmsPpm)} root mean square over ${residuals.used.toLocaleString("en-US")} samples, which are worth ${Math.max(1, Math.round(residuals.effectiveSampleSize)).toLocaleString("en-US")} independent ones.`;

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What cannot be told, why, and how it could be. */
export function unidentifiableWords(
	fit: Fit,
): readonly { readonly what: string; readonly why: string; readonly wayOut: string | null }[] {
	const label = (name: FitName): string => fit.parameters.find((one) => one.name === name)?.label ?? name;
	const named = new Set(fit.confounded.flatMap(({ names }) => names));
	return [
		...fit.confounded.map(({ names, why, resolvedBy }) => ({
			what: upperFirst(listed(names.map(label))),
			why: `${upperFirst(why)}.`,
			// A command that breaks off needs no full stop.
			wayOut: `${names.length > 1 ? "To part them" : "To tell it"}: ${resolvedBy}${resolvedBy.endsWith("…") ? "" : "."}`,
		})),
		...soughtOf(fit)
			.filter(({ name, isIdentifiable }) => !isIdentifiable && !named.has(name))
			.map((one) => ({
				what: upperFirst(one.label),
				why: "Its error is too large for its value.",
				wayOut: null,
			})),
	];
}

/** How the test that comes next is done; common practice, no source. */
const HOW: Readonly<Record<string, string>> = {
	"leak decay":
		"Take crop and substrate out, raise the CO2 in the empty chamber to 2000 or 3000 ppm (a little from a bottle or a few breaths), stir, leave the fan off, and log for one to three hours, until the excess over the room has fallen by a third.",
	"counted bursts":
		"Raise the CO2 in the empty chamber above 3000 ppm, give five bursts of the real on-time by hand, and wait three to five times the sensor's response after each; then the same with three times the on-time.",
	"bursts of a second length":
		"Repeat the test in the same log with bursts of three times the length, as many of them.",
	"closed-chamber rise":
		"With the crop inside, blow the chamber through with fresh air, switch the fan off, and log for 15 to 60 minutes, until 2000 to 3000 ppm; once by day and once by night.",
};

/** Steps of a test by its name; null for one that explains itself. */
export const howTo = (test: string): string | null => HOW[test] ?? null;

export const NEXT_CAUTION =
	"Dose CO2 only in small amounts, in a room with a window open and a CO2 alarm, and never dry ice in a closed vessel.";
