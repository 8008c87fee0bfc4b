import { MIN_PIECE_SECONDS } from "../../lib/fit/days.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { curvePlotSpec } from "../charts/curveplot.ts";
import { profilePlot, regionPlot } from "../charts/log/confidenceregion.ts";
import { daysPlot, piecesPlot } from "../charts/log/respirationdays.ts";
import { type Dumbbell, dumbbells } from "../charts/section/dumbbells.ts";
import { halfMatrix } from "../charts/section/halfmatrix.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import type { Head } from "../page/head.ts";
import { type Html, html } from "../page/html.ts";
import { scenarioReport } from "../page/report.ts";
import { type Details, details, list, type Section } from "../page/section.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { upperFirst } from "../words/format.ts";
import { seriesWarningWords } from "../words/logremarks.ts";
import { burstsSection } from "./bursts.ts";
import { confoundedReason, howTo, NEXT_CAUTION, testName } from "./confoundedwords.ts";
import { foldedFigure } from "./drawings/folded.ts";
import {
	autocorrelationFigure,
	closeUpFigure,
	overlayFigure,
	residualFigure,
} from "./drawings/logfigures.ts";
import { conditionsWords, shapeWords } from "./errorwords.ts";
import { failureWords, fitPieceTable, fittedPiecesWords, MEAN_WORDS, pieceMeans } from "./fitpieces.ts";
import { fanWords, fitWarningWords } from "./fitremarks.ts";
import { changesTable, correlationTable, daysTable, estimateTable, parameterTable } from "./fittables.ts";
import { percentOf, plainValue, ppmWords, scaledValue, shownValue, unitName } from "./fitvalues.ts";
import {
	countOf,
	dailyWords,
	dayOf,
	effectiveCount,
	headlineOf,
	soughtOf,
	testWords,
	unidentifiableWords,
	writtenDayWords,
} from "./fitwords.ts";
import { lackOfFitWords } from "./lackoffitwords.ts";
import { readDetails } from "./logsection.ts";
import { piecesPage } from "./piecespage.ts";
import { hasCrop, temperatureWords } from "./temperaturewords.ts";

export { exclusionWords, noteWords, seriesWarningWords } from "../words/logremarks.ts";
export { confoundedReason, resolutionWords } from "./confoundedwords.ts";
export { logSvg } from "./drawings/logfigures.ts";
export { fanWords, fitWarningWords, outlierReason } from "./fitremarks.ts";

/** What every fit rests on. */
const PREMISES = [
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones.",
	"Air enters with the CO₂ concentration that the scenario gives for the intake, constant over the log. What is known of it and of the sensor is in the errors.",
	"All bursts deliver the same flow, and leakage is the same with the fan on and off.",
	"The sensor responds with one time constant and has the same offset at every concentration.",
	"What is held (volume, mass, intake, sensor, fixed values) is in the standard errors as well as it is known: a range or ± of the file or of the option, else a usual spread (common practice, no source).",
	"CO₂ output is constant over the log, or follows temperature and stage; with --days it differs from day to day. The temperature is that of the log where it was logged inside, else that of the scenario.",
	"Time by the clock runs without a jump from the first sample on: neither the day's warmth nor a timer follows a change of the clocks.",
];

/** What a test of counted bursts rests on beside it. */
const BURST_PREMISES = [
	"Crop and substrate were out while the bursts were counted: nothing in the chamber produced CO₂.",
	"The fan spins up and coasts down exponentially. Readings taken while it ran are excluded, so this affects only the on-time lost to spin-up.",
];

const find = ({ parameters }: Fit, name: FitName): FittedParameter | undefined =>
	parameters.find((one) => one.name === name);

/** Keeps a value and its standard error on one line. */
const unbrokenErrors = (words: string): string => keepTogether(words.replaceAll(" (SE ", "\u00a0(SE\u00a0"));

const command = (line: string): Html => html`<pre tabindex="0">${line}</pre>`;

function unidentifiableSection(fit: Fit): Section | null {
	const each = unidentifiableWords(fit);
	return each.length === 0
		? null
		: {
				id: "undetermined",
				heading: "What this log does not determine",
				words: "Not determined",
				body: list(each.map(({ what, why, wayOut }) => html`<b>${what}.</b> ${why} ${wayOut}`)),
			};
}

const residualSection = async (fit: Fit): Promise<Section> => ({
	id: "residuals",
	heading: "Residuals",
	sentence: `The root-mean-square residual is ${ppmWords(fit.residuals.rmsPpm)}.`,
	body: await residualFigure(fit, null),
});

/** How successive residuals resemble each other; null where that was not calculated. */
async function autocorrelationDetails(fit: Fit): Promise<Details | null> {
	const { used, rmsPpm, lag1Autocorrelation } = fit.residuals;
	const autocorrelation = await autocorrelationFigure(fit);
	return autocorrelation === null
		? null
		: {
				summary: "Independent readings",
				count: `${countOf(used)} readings are equivalent to ${effectiveCount(fit)}`,
				body: [
					html`<p>The root-mean-square residual is ${ppmWords(rmsPpm)}. Successive residuals have a lag-1 autocorrelation of ${lag1Autocorrelation.toFixed(2)}, so ${countOf(used)} readings are equivalent to ${effectiveCount(fit)} independent readings. The standard errors are corrected for this (first-order autoregression).</p>`,
					autocorrelation,
				],
			};
}

/** The pair that is hardest to separate, and how the fit worsens off each estimate. */
async function pairDetails(fit: Fit, { units }: ReportOptions): Promise<Details | null> {
	const drawn = fit.profiles.flatMap((profile) => {
		const one = find(fit, profile.name);
		return one?.standardError == null || profile.values.length === 0
			? []
			: [{ ...profile, label: one.label, value: one.value, standardError: one.standardError }];
	});
	const parts: Html[] = [];
	const pair = fit.mostCorrelatedPair;
	const [a, b] = (pair?.names ?? []).map((name) => find(fit, name));
	if (pair !== null && a !== undefined && b !== undefined) {
		const axis = ({ name, label, value, initial, lower }: FittedParameter) => ({
			title: `${label} (${unitName(name, units)})`,
			value: scaledValue(name, value, units),
			expected: scaledValue(name, initial, units),
			lowest: scaledValue(name, lower, units),
		});
		const plot = regionPlot(
			axis(a),
			axis(b),
			pair.ellipse.map(([x, y]) => [scaledValue(a.name, x, units), scaledValue(b.name, y, units)] as const),
		);
		const r = pair.correlation.toFixed(3).replace("-", "−");
		parts.push(
			html`<p>${upperFirst(a.label)} and ${b.label} have the strongest correlation (${r}). The log determines their ${pair.correlation > 0 ? "difference" : "sum"} better than either value.</p>`,
			await stillFigure(
				"pair",
				(width) => curvePlotSpec(plot, PAGE, width),
				`Joint 95 % region of ${a.label} and ${b.label}.`,
				"If the model is right, the outline contains both true values in 95 of 100 such logs. The narrower and more slanted it is, the less the log separates them.",
			),
		);
	}
	if (drawn.length > 0) {
		const plot = profilePlot(drawn);
		parts.push(
			await stillFigure(
				"profiles",
				(width) => curvePlotSpec(plot, PAGE, width),
				"Profile likelihood: rise of the weighted sum of squares when one parameter is fixed off its estimate and all others stay free.",
				"The 95 % intervals in this report end where the lines cross the dashed one. An asymmetric line gives an asymmetric interval.",
			),
		);
	}
	return parts.length === 0
		? null
		: { summary: "Joint region and profiles", count: "of correlated estimates", body: parts };
}

async function daysSection(fit: Fit, { units }: ReportOptions): Promise<Section | null> {
	const { days, daily } = fit;
	if (days === null || daily === null) return null;
	const scale = (value: number): number => scaledValue("generation", value, units);
	const { zone } = fit.series.log.layout;
	const isDated = days[0]!.date !== null;
	const plot = daysPlot({
		unit: unitName("generation", units),
		zone: isDated ? (zone ?? "UTC") : null,
		days: days.map(({ date, value, standardError }) => ({
			date,
			value: scale(value),
			standardError: standardError === null ? null : scale(standardError),
		})),
		expected: scale(daily.mean.initial),
	});
	const [low, high] = [dayOf(fit, daily.leastDay).value, dayOf(fit, daily.greatestDay).value];
	const from =
		low > 0 ? `${percentOf(high / low - 1)} above the lowest` : "above the lowest, which is zero or less";
	return {
		id: "days",
		heading: "CO₂ output, day by day",
		words: "Day by day",
		sentence: dailyWords(fit, units)
			.map((words) => `${words} The highest is ${from}.`)
			.join(" "),
		body: [
			await stillFigure(
				"days",
				(width) => curvePlotSpec(plot, PAGE, width),
				"CO₂ output on each day of the log.",
				`${isDated ? `A day runs from midnight to midnight in ${zone ?? "UTC"}, the first and last as far as the log covers them` : "A day counts 24 h from the first reading"}; a part shorter than ${formatDuration(MIN_PIECE_SECONDS)} is joined to the next day. A dot without a bar is a day without a standard error.`,
			),
			daysTable(fit, units),
			html`<p class="say">The mean weights each day by its length. Its standard error and that of the trend include the errors common to all days: flow or leakage estimated too high raises every day. The standard error of the trend comes from the readings alone; how far the crop deviates from a straight line is not in it.</p>`,
		],
		isLong: true,
	};
}

function nextSection(fit: Fit): Section {
	const { recommendedTest, scenario } = fit;
	const of = (...body: readonly (Html | false)[]): Section => ({ id: "next", heading: "Next test", body });
	if (!fit.residuals.isAdequate) return of(html`<p>${lackOfFitWords(fit, "si").at(-1)!} Then fit again.</p>`);
	if (recommendedTest === null && unidentifiableWords(fit).length > 0)
		return of(
			html`<p>Repeat this test for longer, or with more bursts, to determine the remaining values.</p>`,
		);
	if (recommendedTest === null)
		return of(
			html`<p>No further test is needed. Write the values back, then choose the setting from measured values:</p>`,
			command(`lullgust choose ${scenario.fileName}`),
		);
	const how = howTo(recommendedTest.test);
	return {
		...of(
			how !== null && html`<p>${how}</p>`,
			how !== null && html`<p class="say">${NEXT_CAUTION}</p>`,
			html`<p>Then:</p>`,
			command(recommendedTest.command),
		),
		sentence: html`<b>${upperFirst(testName(recommendedTest.test))}.</b> ${confoundedReason(fit, recommendedTest)}`,
	};
}

/** Options that name the test of a log, as they were given. */
function testOptions({ test, curve }: Fit): string {
	if (test === "log") return "";
	const lengths = curve.bursts.map(({ startSeconds, endSeconds }) =>
		Number((endSeconds - startSeconds).toFixed(1)),
	);
	const bursts = test === "bursts" ? [...new Set(lengths)].map((seconds) => ` --burst ${seconds}s`) : [];
	return ` --test ${test}${bursts.join("")}`;
}

function writeDetails(fit: Fit): Details {
	const { changes, scenario, series } = fit;
	const day = writtenDayWords(fit);
	const summary = "What --update writes";
	return changes.length === 0
		? {
				summary,
				count: "nothing",
				body: html`<p>Nothing: only values of a model that follows the log, and that the log determines, are written back.</p>`,
			}
		: {
				summary,
				count: `${changes.length} ${changes.length === 1 ? "key" : "keys"} of ${scenario.fileName}`,
				body: [
					html`<p>Only values that this log determines go into the scenario file, with their range, the name of the log and the date. Everything else in the file stays unchanged.</p>`,
					changesTable(fit),
					day !== null && html`<p>${day}</p>`,
					html`<p class="say">± in a scenario file spans 5 to 95 %, which is 1.645 standard errors on each side.</p>`,
					command(
						`lullgust fit ${series.log.fileName}${testOptions(fit)}${fit.days === null ? "" : " --days"} --scenario ${scenario.fileName} --update ${scenario.fileName}`,
					),
				],
			};
}

/** The parts that determine something, and the means of the first two values that more than one determines. */
function piecesHead(pieces: readonly Piece<Fit>[], units: UnitSystem): Omit<Head, "what"> {
	const good = pieces.filter(
		({ result }) =>
			result?.residuals.isAdequate && soughtOf(result).some(({ isIdentifiable }) => isIdentifiable),
	).length;
	return {
		state: good === 0 ? "fails" : good === pieces.length ? "holds" : "doubt",
		word:
			good === pieces.length
				? "DETERMINED"
				: good === 0
					? "NOT DETERMINED"
					: `${good} OF ${pieces.length} PARTS`,
		answer: good === 0 ? "No part determines a value." : `Values from ${good} of ${pieces.length} parts.`,
		figures: pieceMeans(pieces)
			.filter(({ count }) => count > 1)
			.slice(0, 2)
			.map(({ parameter, value, standardError, count }) => {
				const shown = shownValue(
					{ name: parameter.name, value, standardError, ci95Low: null, ci95High: null },
					units,
				);
				return {
					value: shown.value,
					unit: shown.unit,
					name: parameter.label,
					note: `mean of ${count} parts`,
				};
			}),
	};
}

/** The report of several fits as one HTML file. */
export async function fitPiecesReport(
	scenario: Scenario,
	pieces: readonly Piece<Fit>[],
	options: ReportOptions,
): Promise<string> {
	const { units } = options;
	const figures: Html[] = [];
	for (const { parameter, count } of pieceMeans(pieces)) {
		if (count < 2) continue;
		const { name, label, initial } = parameter;
		const plot = piecesPlot({
			unit: unitName(name, units),
			what: upperFirst(label),
			pieces: pieces.map(({ result }) => {
				const one = result?.parameters.find((each) => each.name === name && each.isIdentifiable);
				return one === undefined
					? null
					: {
							value: scaledValue(name, one.value, units),
							standardError: one.standardError === null ? null : scaledValue(name, one.standardError, units),
						};
			}),
			expected: scaledValue(name, initial, units),
		});
		figures.push(
			await stillFigure(
				`part-${name}`,
				(width) => curvePlotSpec(plot, PAGE, width),
				`${upperFirst(label)} of each part, in the order of the table.`,
				"A part without a dot does not determine this value, or failed.",
			),
		);
	}
	return piecesPage(
		scenario,
		{
			kind: "fit",
			head: piecesHead(pieces, units),
			verdict: fittedPiecesWords(pieces, units),
			table: fitPieceTable(pieces, units),
			key: MEAN_WORDS,
			figures,
			failures: failureWords(pieces),
			premises: PREMISES,
		},
		options,
	);
}

const SHORT_NAMES: Readonly<Partial<Record<FitName, string>>> = {
	generation: "CO₂ output",
	flow: "Delivered flow",
	leak: "Leakage",
	response: "Sensor response",
};

/** The answer in at most six words: the first value that differs from the scenario's. */
function answerOf(fit: Fit, determined: readonly FittedParameter[]): string {
	if (!fit.residuals.isAdequate) return "The model does not follow.";
	if (determined.length === 0) return "The log determines no value.";
	const known = determined.filter(({ name, initial }) => SHORT_NAMES[name] !== undefined && initial > 0);
	const other = known.find((one) => Math.abs(one.value - one.initial) > 2 * (one.standardError ?? 0));
	if (other === undefined)
		return known.length === 0
			? `The log determines ${determined[0]!.label}.`
			: "No value differs from the scenario.";
	const ratio = other.value / other.initial;
	return ratio > 2
		? `${SHORT_NAMES[other.name]} ${Number(ratio.toPrecision(2))} times the scenario’s.`
		: `${SHORT_NAMES[other.name]} ${percentOf(ratio - 1).replace(" ", "\u00a0")} ${ratio > 1 ? "above" : "below"} scenario.`;
}

function headOf(fit: Fit, units: UnitSystem): Head {
	const sought = soughtOf(fit);
	const determined = fit.residuals.isAdequate ? sought.filter(({ isIdentifiable }) => isIdentifiable) : [];
	const isAll = determined.length === sought.length;
	return {
		state: determined.length === 0 ? "fails" : isAll ? "holds" : "doubt",
		word:
			determined.length === 0
				? "NOT DETERMINED"
				: isAll
					? "DETERMINED"
					: `${determined.length} OF ${sought.length} DETERMINED`,
		what: [fit.scenario.name, `${testWords(fit)}: ${fit.series.log.fileName}`],
		answer: answerOf(fit, determined),
		figures: determined.slice(0, 2).map((one) => {
			const { value, unit } = shownValue(one, units);
			return {
				value,
				unit,
				name: one.label,
				note: `scenario: ${plainValue(one.name, one.initial, units)}`,
			};
		}),
	};
}

/** What the log says of each value, as a factor of what the scenario gives. */
const dumbbellsOf = (fit: Fit, units: UnitSystem): readonly Dumbbell[] =>
	soughtOf(fit)
		.filter(({ initial, name }) => initial > 0 && name !== "offset")
		.map((one) => {
			const { value, error, unit } = shownValue(one, units);
			const of = (bound: number | null): number | null => (bound === null ? null : bound / one.initial);
			const isFound = one.isIdentifiable && fit.residuals.isAdequate;
			return {
				name: one.label,
				factor: isFound ? one.value / one.initial : null,
				low: of(one.ci95Low),
				high: of(one.ci95High),
				foundWords: isFound
					? `${value}${unit === "" ? "" : ` ${unit}`}${error === null ? "" : ` (SE ${error})`}`
					: "not determined",
				expectedWords: `scenario: ${plainValue(one.name, one.initial, units)}`,
			};
		});

/** The report of a fit as one HTML file. */
export async function fitReport(fit: Fit, options: ReportOptions): Promise<string> {
	const { scenario, series, warnings, termination, parameters, free, correlation } = fit;
	const { units } = options;
	const headline = headlineOf(fit, units);
	const folded =
		fit.test === "log"
			? foldedFigure({
					id: "folded",
					word: "model",
					held: fit,
					ceilingPpm: scenario.target.ceiling.value,
					intakePpm: scenario.intake.co2.value,
					responseSeconds: find(fit, "response")?.value ?? scenario.sensor?.response.value ?? 0,
					offsetPpm: find(fit, "offset")?.value ?? 0,
				})
			: null;
	const overlay = await overlayFigure(fit, { word: "model", chamber: true });
	const close = await closeUpFigure(fit, "model");
	const temperature = hasCrop(fit) ? temperatureWords(fit, units) : null;
	const factors = dumbbellsOf(fit, units);
	const { estimates, others, shares } = estimateTable(fit, units);
	const labels = free.map((name) => parameters.find((one) => one.name === name)?.label ?? name);
	const hasMatrix = free.length > 1 && correlation.length > 1;
	return scenarioReport(scenario, listInputs(scenario), options, {
		kind: "fit",
		head: headOf(fit, units),
		hero: folded ?? overlay,
		lead: [html`<b>${headline.answer}.</b> ${unbrokenErrors(headline.grounds)}`],
		sections: [
			factors.length > 0 && {
				id: "found",
				heading: "Found, and the scenario",
				words: "Found",
				sentence: html`Dot: found, with its 95 % interval. Ring: what the scenario gives. <b>Right of the line: more than given.</b>`,
				body: dumbbells("found", factors, "scenario"),
			},
			await daysSection(fit, options),
			fit.bursts !== null && burstsSection(fit),
			await residualSection(fit),
			unidentifiableSection(fit),
			hasMatrix && {
				id: "together",
				heading: "Correlated estimates",
				words: "Correlations",
				sentence:
					"A full square: this log cannot separate the two. Hatched: when one is estimated too high, the other is too low.",
				body: halfMatrix("matrix", labels, correlation),
			},
			nextSection(fit),
			{
				id: "values",
				heading: "Values",
				sentence: `SE is one standard error, corrected for autocorrelation. If the model is right, 95 of 100 such intervals contain the true value. “–” means that there is no standard error.`,
				body: [
					html`<p>${unbrokenErrors(headline.more.join(" "))} Fan: ${fanWords(fit.fanFrom)}.</p>`,
					details({
						summary: "Table of the estimates",
						count: "SE, 95 % interval, scenario",
						body: [
							estimates,
							html`<p class="say">${conditionsWords(fit, units)} ${shapeWords(fit)} ${temperature ?? ""}</p>`,
						],
					}),
				],
				isLong: true,
			},
		],
		details: [
			others !== null && { summary: "The same in other units", count: "amounts and rates", body: others },
			shares.length > 0 && {
				summary: "Where the errors come from",
				count: "shares of the variance",
				body: list(shares),
			},
			folded !== null && {
				summary: "The log over time",
				count: "every reading, with the model",
				body: overlay,
			},
			close !== null && {
				summary: `A few ${fit.bursts === null ? "cycles" : "bursts"}`,
				count: "sample by sample",
				body: close,
			},
			{
				summary: "All parameters",
				count: `${parameters.length}, with limits and status`,
				body: [
					parameterTable(fit, units),
					html`<p>The search stopped after ${termination.iterations} ${termination.iterations === 1 ? "iteration" : "iterations"}: ${termination.reason}.${parameters.some(({ status }) => status === "prior") && " A prior is knowledge from elsewhere, such as the sensor's stated accuracy, used together with the log."}</p>`,
				],
			},
			hasMatrix && {
				summary: "All correlations",
				count: `${free.length} values`,
				body: correlationTable(fit),
			},
			await pairDetails(fit, options),
			await autocorrelationDetails(fit),
			writeDetails(fit),
			readDetails(series),
		],
		warnings: [...series.warnings.map(seriesWarningWords), ...warnings.map(fitWarningWords)],
		premises: fit.bursts === null ? PREMISES : [...PREMISES, ...BURST_PREMISES],
	});
}
