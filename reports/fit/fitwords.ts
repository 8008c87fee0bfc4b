import { dayName } from "../../lib/fit/days.ts";
import type { DailyRespiration, Fit, FitDay, FitName, FittedParameter } from "../../lib/fit/fittypes.ts";
import { buildModel } from "../../lib/model/build.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/units.ts";
import { replacedWords, strangeWords } from "./bursts.ts";
import {
	isHelper,
	percentOf,
	plainValue,
	ppmWords,
	shownValue,
	toItsError,
	valueWords,
} from "./fitvalues.ts";

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
		: [daily.mean, ...parameters.filter(({ name }) => !name.startsWith("respiration"))]
	).filter(({ name, status }) => status !== "fixed" && !isHelper(name));

const listed = (words: readonly string[], and = "and"): string =>
	words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} ${and} ${words.at(-1)}`;

/** `on 4 days`, `on 3 of 4 days` */
function daysWords(days: readonly FitDay[]): string {
	const told = days.filter((day) => day.told).length;
	const of = told === 0 || told === days.length ? "" : `${told} of `;
	return `on ${of}${days.length} ${days.length === 1 ? "day" : "days"}`;
}

const namesOf = ({ days }: Fit, parameters: readonly FittedParameter[]): string[] =>
	parameters.map(({ name, label }) =>
		name === "respiration" && days !== null ? `the CO2 given off ${daysWords(days)}` : `the ${label}`,
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
	const told = sought.filter((one) => one.told && one.status === "free");
	const untold = sought.filter((one) => !one.told);
	const helped = sought.filter((one) => one.told && one.status === "prior");
	const answer =
		told.length === 0
			? "This log tells nothing that it was asked for"
			: `This log tells ${listed(namesOf(fit, told))}`;
	const valuesOf = (of: readonly FittedParameter[]): string =>
		of.map((one) => `${one.label}: ${valueWords(one, units)}`).join("; ");
	const grounds = [
		valuesOf(told) === "" ? "" : `${upperFirst(valuesOf(told))}.`,
		untold.length === 0 ? "" : `It does not tell ${listed(namesOf(fit, untold), "or")}.`,
		helped.length === 0 ? "" : `With what was known before: ${valuesOf(helped)}.`,
	];
	return {
		answer,
		grounds: grounds.filter((sentence) => sentence !== "").join(" "),
		more: [...misfitWords(fit), ...lessons(fit, [...told, ...helped], units), agreementWords(fit)],
	};
}

/** Says so where the model does not follow the log as closely as the sensor can show. */
export function misfitWords({ residuals }: Fit): readonly string[] {
	const { rmsPpm, accuracyPpm, follows } = residuals;
	if (follows) return [];
	const how =
		rmsPpm > accuracyPpm
			? `they differ by more than the sensor's accuracy of ${ppmWords(accuracyPpm)}`
			: `it explains less than half of what moves in it (they differ by ${ppmWords(rmsPpm)})`;
	return [
		`But the model does not follow this log: ${how}, so something happened that the model does not know, such as another schedule, another test, an open door or another crop. Do not rely on these values before that is found.`,
	];
}

/** What that means beside what the scenario says. */
function lessons(fit: Fit, told: readonly FittedParameter[], units: UnitSystem): string[] {
	const of = (name: FitName) => told.find((one) => one.name === name);
	const said: string[] = [];
	const respiration = of("respiration");
	if (respiration !== undefined)
		said.push(
			`${fit.days === null || fit.days.length < 2 ? "The" : "On the mean of these days the"} crop gives off ${againstWords(respiration, units)}.${rateWords(fit)}`,
			...dailyWords(fit, units),
		);
	const perBurst = of("per burst");
	if (perBurst !== undefined)
		said.push(...[replacedWords(fit), strangeWords(fit)].filter((words) => words !== null));
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
	const lag = of("lag");
	if (lag !== undefined)
		said.push(
			`The sensor takes ${plainValue("lag", Math.round(lag.value), units)} to follow 63 % of a change, so it shows peaks too low.`,
		);
	const drift = fit.parameters.find(({ name, status }) => name === "drift" && status !== "fixed");
	if (drift?.told === true && Math.abs(drift.value) > 2 * (drift.standardError ?? Number.POSITIVE_INFINITY))
		said.push(
			`The timer runs ${percentOf(drift.value)} ${drift.value > 0 ? "slow" : "fast"} against the logger, ${formatDuration(Math.round(Math.abs(drift.value) * 86_400))} a day.`,
		);
	return said;
}

/** The day of a log by its number. */
export const dayOf = ({ days }: Fit, day: number): FitDay => days!.find((one) => one.day === day)!;

/** How the days differ: the least, the greatest, and whether they rise or fall. */
export function dailyWords(fit: Fit, units: UnitSystem): readonly string[] {
	const { daily } = fit;
	if (daily === null || daily.perDay === null) return [];
	const on = (day: number): string => {
		const of = dayOf(fit, day);
		return `${plainValue("respiration", of.value, units)} on ${dayName(of)}`;
	};
	const { value, low, high } = daily.perDay;
	const isPlain = low !== null && high !== null && (low > 0 || high < 0);
	const trend = isPlain
		? `it ${value > 0 ? "rises" : "falls"} by ${trendWords(daily.perDay, units)}`
		: "no rise or fall from day to day is to be seen";
	return [`Least is ${on(daily.least)}, most ${on(daily.greatest)}; ${trend}.`];
}

/** `0.12 ± 0.01 L/h a day`, without a sign. */
const trendWords = (perDay: NonNullable<DailyRespiration["perDay"]>, units: UnitSystem): string => {
	const { value, error, unit } = shownValue(
		{ name: "respiration", ...perDay, value: Math.abs(perDay.value) },
		units,
	);
	return `${value}${error === null ? "" : ` ± ${error}`} ${unit} a day`;
};

/** Which day's respiration is written back, or that none is; null where there are no days, or nothing is written at all. */
export function writtenDayWords(fit: Fit): string | null {
	const { daily, changes } = fit;
	if (daily === null || changes.length === 0 || daily.mean.status === "fixed") return null;
	if (daily.written === null) return "No rate is written, for the log tells that of no day.";
	if (!changes.some(({ part }) => part !== undefined)) return null;
	const day = dayOf(fit, daily.written);
	return day.whole
		? `The rate is that of ${dayName(day)}, the last whole day that the log tells: what the crop breathes now.`
		: `The rate is that of ${dayName(day)}, the longest that the log tells, for it has no whole day.`;
}

/** The rate as the scenario writes it, with its error. */
function rateWords({ rate, scenario }: Fit): string {
	if (rate === null) return "";
	const { standardError } = rate;
	const error = standardError === null ? null : standardError * 3.6e9;
	const whose = scenario.substrate.length > 1 ? ` of ${scenario.substrate[0]!.species}` : "";
	const spread = error === null ? "" : ` ± ${toItsError(error, error, 1)}`;
	return ` As a rate${whose} that is ${toItsError(rate.value * 3.6e9, error, 1)}${spread} mg/(kg·h).`;
}

/** `1.3 times as much as the scenario has (1.852 L/h)`, or within its error as much. */
function againstWords({ name, value, start, standardError }: FittedParameter, units: UnitSystem): string {
	const expected = plainValue(name, start, units);
	if (!(start > 0)) return `${plainValue(name, value, units)}, where the scenario has none`;
	if (Math.abs(value - start) <= 2 * (standardError ?? 0))
		return `as much as the scenario has (${expected}), within its error`;
	const ratio = value / start;
	return ratio >= 1.15 || ratio <= 0.85
		? `${Number(ratio.toPrecision(2))} times as much as the scenario has (${expected})`
		: `${percentOf(ratio - 1)} ${ratio > 1 ? "more" : "less"} than the scenario has (${expected})`;
}

/** A leak in air changes an hour. */
export const leakPerHour = ({ scenario }: Pick<Fit, "scenario">, m3PerS: number): string =>
	`${Number(((m3PerS * 3600) / buildModel(scenario).volumeM3).toPrecision(2))} air changes an hour`;

const agreementWords = ({ residuals }: Fit): string =>
	`Log and model differ by ${ppmWords(residuals.rmsPpm)} root mean square over ${residuals.used.toLocaleString("en-US")} samples, which are worth ${Math.max(1, Math.round(residuals.worth)).toLocaleString("en-US")} independent ones.`;

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What cannot be told, why, and how it could be. */
export function untoldWords(
	fit: Fit,
): readonly { readonly what: string; readonly why: string; readonly wayOut: string | null }[] {
	const label = (name: FitName): string => fit.parameters.find((one) => one.name === name)?.label ?? name;
	const named = new Set(fit.confounded.flatMap(({ names }) => names));
	return [
		...fit.confounded.map(({ names, why, partedBy }) => ({
			what: upperFirst(listed(names.map(label))),
			why: `${upperFirst(why)}.`,
			// A command that breaks off needs no full stop.
			wayOut: `${names.length > 1 ? "To part them" : "To tell it"}: ${partedBy}${partedBy.endsWith("…") ? "" : "."}`,
		})),
		...soughtOf(fit)
			.filter(({ name, told }) => !told && !named.has(name))
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
