import { dayName } from "../../lib/fit/days.ts";
import type { Fit, FitCurve, FitResiduals, FittedParameter } from "../../lib/fit/fittypes.ts";
import { type CleanSeries, exclusionReasons } from "../../lib/logs/log.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { shownBursts } from "../../reports/fit/bursts.ts";
import { howTo, NEXT_CAUTION, testName } from "../../reports/fit/confoundedwords.ts";
import { alsoShown, conditionsWords, shapeWords, sharesWords } from "../../reports/fit/errorwords.ts";
import { isNuisance, plainValue, type ShownValue, shownValue } from "../../reports/fit/fitvalues.ts";
import { headlineOf, soughtOf, unidentifiableWords, writtenDayWords } from "../../reports/fit/fitwords.ts";
import { shownRate } from "../../reports/fit/respirationrate.ts";
import { hasCrop, temperatureWords } from "../../reports/fit/temperaturewords.ts";
import { countWords } from "../../reports/words/format.ts";
import { humidityFitWords } from "../../reports/words/humidity.ts";
import { noteWords } from "../../reports/words/logremarks.ts";
import { lineWords, whereWords } from "../../reports/words/logwords.ts";
import { calledAs } from "../calledas.ts";
import { table, wrap } from "./print.ts";

const row = (one: FittedParameter, units: UnitSystem): string[] => {
	const { value, error, percent, interval, unit } = shownValue(one, units);
	return [
		one.label,
		`${value}${unit === "" ? "" : ` ${unit}`}`,
		error ?? "–",
		percent ?? "",
		interval ?? "–",
		plainValue(one.name, one.initial, units),
		one.status === "fixed"
			? "fixed"
			: one.isIdentifiable
				? one.status === "prior"
					? "with prior"
					: "yes"
				: "no",
	];
};

/** A row, under it the same in other units. */
const rowsOf = (one: FittedParameter, fit: Fit, units: UnitSystem): string[][] => {
	const own = row(one, units);
	const under = (label: string, { value, error, percent, interval }: ShownValue, scenario: string) => [
		`  ${label}`,
		value,
		error ?? "–",
		percent ?? "",
		interval ?? "–",
		scenario,
		own.at(-1)!,
	];
	if (one.status === "fixed") return [own];
	const rate = one.name === "generation" ? shownRate(fit, one, units) : null;
	return [
		own,
		...alsoShown(one).map(({ shown }) => under(shown.unit, shown, "")),
		...(rate === null ? [] : [under(`${rate.shown.unit} ${rate.condition}`, rate.shown, rate.scenario)]),
	];
};

/** Where the error of each value comes from. */
const budgetText = (fit: Fit, units: UnitSystem, columns: number): string =>
	[
		...soughtOf(fit).flatMap((one) => {
			const rate = shownRate(fit, one, units);
			return [
				{ label: one.label, words: sharesWords(one.shares) },
				...(rate === null ? [] : [{ label: rate.shown.unit, words: sharesWords(rate.shares) }]),
			];
		}),
	]
		.flatMap(({ label, words }) => (words === null ? [] : [wrap(`- ${label}: ${words}`, columns, "  ")]))
		.join("");

/** The parameters in a table for people, days of respiration under their mean; starts are left out. */
const parameterText = (fit: Fit, units: UnitSystem): string => {
	const { parameters, days, daily } = fit;
	return table(
		["parameter", "value", "SE", "", "95 %", "scenario", "determined"],
		[
			...(daily === null || daily.mean.status === "fixed"
				? []
				: [{ ...daily.mean, label: "CO₂ output, mean" }]),
			...parameters
				.filter(
					(one) =>
						!isNuisance(one.name) ||
						(one.status !== "fixed" && one.name !== "initialCo2" && one.name !== "initialReading"),
				)
				.map((one, k) => {
					const day = days?.[k];
					return day === undefined ? one : { ...one, label: `  ${dayName(day)}` };
				}),
		].flatMap((one) => rowsOf(one, fit, units)),
		[1, 2, 3, 4, 5],
	);
};

/** A terminal narrower than this has no room for the readings beside the CO2 of the air. */
const MIN_COLUMNS_FOR_READ = 88;

/** Bursts in a table for people, excluded ones with the reason below. */
function burstText(fit: Fit, columns: number): string {
	const bursts = shownBursts(fit);
	const read = columns >= MIN_COLUMNS_FOR_READ;
	const head = [
		"",
		"began",
		"length",
		"CO₂ ppm",
		...(read ? ["reading"] : []),
		"replaced",
		"air changes",
		"SE",
		"deviation",
	];
	return [
		table(
			head,
			bursts.map((one) => [
				`${one.number}${one.reason === null ? "" : " *"}`,
				one.began,
				one.length,
				`${one.before} → ${one.after}`,
				...(read ? [`${one.readBefore} → ${one.readAfter}`] : []),
				one.replacedFraction,
				one.airChanges,
				one.error,
				one.deviation,
			]),
			head.map((_, column) => column).slice(1),
		),
		...bursts
			.filter(({ reason }) => reason !== null)
			.map(({ number, reason }) => wrap(`* ${number} is excluded: ${reason}`, columns, "  ")),
		wrap(
			`CO₂ is that of the air, predicted by the model${read ? "; reading: before a burst, and once the sensor has responded" : ""}. Deviation: from the air changes that all counted bursts give for this length. SE: standard error.`,
			columns,
		),
	].join("");
}

/** What is excluded from a log, one line per reason. */
export function leftOutText(series: CleanSeries, columns: number): string {
	const { exclusions, log } = series;
	// What is missing is among what is excluded.
	const met = log.notes.filter(({ kind }) => kind !== "missing value");
	return [
		...exclusions.map(
			(one) =>
				`excluded, ${one.reason}: ${countWords(one.count, "reading")}, at ${whereWords(one, series, 2)}`,
		),
		...met.map(
			(note) =>
				`read: ${noteWords(note)}${note.lines.length === 0 ? "" : ` (${lineWords(note.lines, note.count)})`}`,
		),
	]
		.map((line) => wrap(line, columns, "  "))
		.join("");
}

/** The result of a fit in a paragraph. */
export function fitHeadline(fit: Fit, units: UnitSystem): string {
	const { answer, grounds, more } = headlineOf(fit, units);
	return [`${answer}.`, grounds, ...more].filter((part) => part !== "").join(" ");
}

/** A command as it is typed here. */
const typed = (command: string): string => command.replace(/^lullgust/, calledAs());

/** All that follows the headline. */
export function fitText(fit: Fit, units: UnitSystem, columns: number): string {
	const paragraph = (text: string) => wrap(text, columns);
	const unidentifiable = unidentifiableWords(fit);
	const budget = budgetText(fit, units, columns);
	const shape = shapeWords(fit);
	const temperature = hasCrop(fit) ? temperatureWords(fit, units) : null;
	const left = leftOutText(fit.series, columns);
	const { recommendedTest, changes, changeCorrelations } = fit;
	const day = writtenDayWords(fit);
	const how = recommendedTest === null ? null : howTo(recommendedTest.test);
	return [
		`\n${parameterText(fit, units)}`,
		paragraph(
			"SE is one standard error, corrected for autocorrelation, with what is known of the values that were held.",
		),
		...(budget === "" ? [] : [`\nWhere the errors come from (shares of the variance)\n${budget}`]),
		paragraph(conditionsWords(fit, units)),
		...(shape === null ? [] : [paragraph(shape)]),
		...(temperature === null ? [] : [paragraph(temperature)]),
		...(fit.humidity === undefined ? [] : [paragraph(humidityFitWords(fit.humidity, units))]),
		...(fit.bursts === null ? [] : [`\n${burstText(fit, columns)}`]),
		...(unidentifiable.length === 0
			? []
			: [
					"\nWhat this log does not determine\n",
					...unidentifiable.map(({ what, why, wayOut }) =>
						wrap(`- ${what}. ${why}${wayOut === null ? "" : ` ${wayOut}`}`, columns, "  "),
					),
				]),
		...(left === "" ? [] : [`\n${left}`]),
		...(recommendedTest === null
			? []
			: [
					`\n${paragraph(`Next test: ${testName(recommendedTest.test)}.${how === null ? "" : ` ${how} ${NEXT_CAUTION}`}`)}`,
					`  ${typed(recommendedTest.command)}\n`,
				]),
		...(changes.length === 0
			? []
			: [
					`\n${paragraph("For the scenario file (--update writes it; ± spans 5 to 95 %, which is 1.645 standard errors):")}`,
					...changes.map(({ path, text }) => `  ${path}: ${text}\n`),
					...(changeCorrelations === null
						? []
						: [`  correlations: of the errors of ${changeCorrelations.between.length} values\n`]),
					...(day === null ? [] : [paragraph(day)]),
				]),
	].join("");
}

/** A log with the model over it in pieces, a line a sample, so that a month at 1 s never stands in memory as text. */
export function* curveCsv({
	series,
	curve,
	residuals,
}: {
	readonly series: CleanSeries;
	readonly curve: FitCurve;
	readonly residuals: FitResiduals;
}): Generator<string> {
	const { startUtcSeconds } = series.log;
	const { timesSeconds, loggedPpm, sensorPpm, chamberPpm, excluded, bursts } = curve;
	const ppm = (value: number): string => (Number.isNaN(value) ? "" : value.toFixed(2));
	yield `time_s,${startUtcSeconds === null ? "" : "utc,"}logged_ppm,sensor_model_ppm,chamber_model_ppm,residual_ppm,excluded,fan_s\n`;
	const rowsAPiece = 4096;
	let burst = 0;
	let before = timesSeconds[0] ?? 0;
	for (let from = 0; from < timesSeconds.length; from += rowsAPiece) {
		let piece = "";
		for (let i = from; i < Math.min(from + rowsAPiece, timesSeconds.length); i++) {
			const time = timesSeconds[i]!;
			// A burst is shorter than a step: a state at the sample would miss it.
			let fanSeconds = 0;
			for (; burst < bursts.length && bursts[burst]!.startSeconds < time; burst++) {
				const { startSeconds, endSeconds } = bursts[burst]!;
				fanSeconds += Math.min(endSeconds, time) - Math.max(startSeconds, before);
				if (endSeconds > time) break;
			}
			before = time;
			const utc =
				startUtcSeconds === null ? "" : `${new Date(1000 * (startUtcSeconds + time)).toISOString()},`;
			piece += `${Number(time.toFixed(3))},${utc}${ppm(loggedPpm[i]!)},${ppm(sensorPpm[i]!)},${ppm(chamberPpm[i]!)},${ppm(residuals.ppm[i]!)},${exclusionReasons[excluded[i]! - 1] ?? ""},${Number(fanSeconds.toFixed(3))}\n`;
		}
		yield piece;
	}
}
