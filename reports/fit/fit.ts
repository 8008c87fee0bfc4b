import { MIN_PIECE_SECONDS } from "../../lib/fit/days.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import type { Piece } from "../../lib/logs/pieces/piece.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { curvePlotSpec } from "../charts/curveplot.ts";
import { profilePlot, regionPlot } from "../charts/log/confidenceregion.ts";
import { daysPlot, piecesPlot } from "../charts/log/respirationdays.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { page, scrollBox, section } from "../page/page.ts";
import {
	assumptionsSection,
	cautionsSection,
	footerLine,
	inputsSection,
	type ReportOptions,
	scenarioSection,
	verdictBlock,
} from "../page/sections.ts";
import { upperFirst } from "../words/format.ts";
import { seriesWarningWords } from "../words/logremarks.ts";
import { burstsSection } from "./bursts.ts";
import { confoundedReason, howTo, NEXT_CAUTION, testName } from "./confoundedwords.ts";
import { conditionsWords, shapeWords } from "./errorwords.ts";
import { failureWords, fitPieceTable, fittedPiecesWords, MEAN_WORDS, pieceMeans } from "./fitpieces.ts";
import { fanWords, fitWarningWords } from "./fitremarks.ts";
import {
	changesTable,
	correlationTable,
	daysTable,
	estimateTable,
	FIT_STYLE,
	parameterTable,
} from "./fittables.ts";
import { percentOf, ppmWords, scaledValue, unitName } from "./fitvalues.ts";
import {
	countOf,
	dailyWords,
	dayOf,
	effectiveCount,
	type Headline,
	headlineOf,
	testWords,
	unidentifiableWords,
	writtenDayWords,
} from "./fitwords.ts";
import { lackOfFitWords } from "./lackoffitwords.ts";
import { autocorrelationFigure, closeUpFigure, overlayFigure, residualFigure } from "./logfigures.ts";
import { readSection } from "./logsection.ts";
import { piecesPage } from "./piecespage.ts";
import { hasCrop, temperatureWords } from "./temperaturewords.ts";

export { exclusionWords, noteWords, seriesWarningWords } from "../words/logremarks.ts";
export { confoundedReason, resolutionWords } from "./confoundedwords.ts";
export { fanWords, fitWarningWords, outlierReason } from "./fitremarks.ts";
export { logSvg } from "./logfigures.ts";

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
const unbrokenErrors = (headline: Headline): Headline => ({
	...headline,
	grounds: headline.grounds.replaceAll(" (SE ", "\u00a0(SE\u00a0"),
});

const command = (label: string, line: string): Html => scrollBox(label, html`<pre>${line}</pre>`);

function unidentifiableSection(fit: Fit): Html {
	const each = unidentifiableWords(fit);
	return section(
		"undetermined",
		"What this log does not determine",
		!fit.residuals.isAdequate
			? html`<p>Any value, because the model does not follow it.</p>`
			: each.length === 0
				? html`<p>It determines every value sought.</p>`
				: html`<ul>${each.map(
						({ what, why, wayOut }) => html`<li><strong>${what}.</strong> ${why} ${wayOut}</li>\n`,
					)}</ul>`,
	);
}

async function residualSection(fit: Fit): Promise<Html> {
	const { residuals } = fit;
	const autocorrelation = await autocorrelationFigure(fit);
	const { used, rmsPpm, lag1Autocorrelation } = residuals;
	return section(
		"residuals",
		"Residuals",
		await residualFigure(fit, null),
		...(autocorrelation === null
			? []
			: [
					html`<p>The root-mean-square residual is ${ppmWords(rmsPpm)}. Successive residuals have a lag-1 autocorrelation of ${lag1Autocorrelation.toFixed(2)}, so ${countOf(used)} readings are equivalent to ${effectiveCount(fit)} independent readings. The standard errors are corrected for this (first-order autoregression).</p>`,
					autocorrelation,
				]),
	);
}

async function pairSection(fit: Fit, { units }: ReportOptions): Promise<Html | null> {
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
	return parts.length === 0 ? null : section("pair", "Correlated estimates", ...parts);
}

async function daysSection(fit: Fit, { units }: ReportOptions): Promise<Html | null> {
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
	return section(
		"days",
		"CO₂ output, day by day",
		...dailyWords(fit, units).map((words) => html`<p>${words} The highest is ${from}.</p>`),
		await stillFigure(
			"days",
			(width) => curvePlotSpec(plot, PAGE, width),
			"CO₂ output on each day of the log.",
			`${isDated ? `A day runs from midnight to midnight in ${zone ?? "UTC"}, the first and last as far as the log covers them` : "A day counts 24 h from the first reading"}; a part shorter than ${formatDuration(MIN_PIECE_SECONDS)} is joined to the next day. A dot without a bar is a day without a standard error.`,
		),
		daysTable(fit, units),
		html`<p class="note">The mean weights each day by its length. Its standard error and that of the trend include the errors common to all days: flow or leakage estimated too high raises every day. The standard error of the trend comes from the readings alone; how far the crop deviates from a straight line is not in it.</p>`,
	);
}

function nextSection(fit: Fit): Html {
	const { recommendedTest, scenario } = fit;
	if (!fit.residuals.isAdequate)
		return section("next", "Next test", html`<p>${lackOfFitWords(fit, "si").at(-1)!} Then fit again.</p>`);
	if (recommendedTest === null && unidentifiableWords(fit).length > 0)
		return section(
			"next",
			"Next test",
			html`<p>Repeat this test for longer, or with more bursts, to determine the remaining values.</p>`,
		);
	if (recommendedTest === null)
		return section(
			"next",
			"Next test",
			html`<p>No further test is needed. Write the values back, then choose the setting from measured values:</p>`,
			command("Command that chooses", `lullgust choose ${scenario.fileName}`),
		);
	const how = howTo(recommendedTest.test);
	return section(
		"next",
		"Next test",
		html`<p><strong>${upperFirst(testName(recommendedTest.test))}.</strong> ${confoundedReason(fit, recommendedTest)}</p>`,
		...(how === null ? [] : [html`<p>${how}</p>`, html`<p class="note">${NEXT_CAUTION}</p>`]),
		html`<p>Then:</p>`,
		command("Command that reads the next test", recommendedTest.command),
	);
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

function writeSection(fit: Fit): Html {
	const { changes, scenario, series } = fit;
	const day = writtenDayWords(fit);
	if (changes.length === 0)
		return section(
			"write",
			"What --update writes",
			html`<p>Nothing: only values of a model that follows the log, and that the log determines, are written back.</p>`,
		);
	return section(
		"write",
		"What --update writes",
		html`<p>Only values that this log determines go into the scenario file, with their range, the name of the log and the date. Everything else in the file stays unchanged.</p>`,
		changesTable(fit),
		...(day === null ? [] : [html`<p>${day}</p>`]),
		html`<p class="note">± in a scenario file spans 5 to 95 %, which is 1.645 standard errors on each side.</p>`,
		command(
			"Command that writes back",
			`lullgust fit ${series.log.fileName}${testOptions(fit)}${fit.days === null ? "" : " --days"} --scenario ${scenario.fileName} --update ${scenario.fileName}`,
		),
	);
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
			kind: "Fit to several parts",
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

/** The report of a fit as one HTML file. */
export async function fitReport(fit: Fit, options: ReportOptions): Promise<string> {
	const { scenario, warnings, termination, parameters } = fit;
	const { units } = options;
	const close = await closeUpFigure(fit, "model");
	const pair = await pairSection(fit, options);
	const days = await daysSection(fit, options);
	const temperature = hasCrop(fit) ? temperatureWords(fit, units) : null;
	return page({
		title: scenario.name,
		kind: "Fit to a log",
		lead: `${testWords(fit)}: ${fit.series.log.fileName}. Fan: ${fanWords(fit.fanFrom)}.`,
		body: [
			section(
				"verdict",
				"Estimates",
				verdictBlock(unbrokenErrors(headlineOf(fit, units))),
				estimateTable(fit, units),
				html`<p class="key">SE is one standard error, corrected for autocorrelation. If the model is right, 95 of 100 such intervals contain the true value. “–” means that there is no standard error. “Error from” gives shares of the variance. ${conditionsWords(fit, units)} ${shapeWords(fit)}</p>`,
				...(temperature === null ? [] : [html`<p class="key">${temperature}</p>`]),
			),
			unidentifiableSection(fit),
			section(
				"log",
				"The log and the model",
				await overlayFigure(fit, { word: "model", chamber: true }),
				...(close === null ? [] : [html`<h3>A few ${fit.bursts === null ? "cycles" : "bursts"}</h3>`, close]),
			),
			...(days === null ? [] : [days]),
			...(fit.bursts === null ? [] : [burstsSection(fit)]),
			await residualSection(fit),
			section(
				"parameters",
				"All parameters",
				parameterTable(fit, units),
				html`<p class="note">The search stopped after ${termination.iterations} ${termination.iterations === 1 ? "iteration" : "iterations"}: ${termination.reason}.${parameters.some(({ status }) => status === "prior") && " A prior is knowledge from elsewhere, such as the sensor's stated accuracy, used together with the log."}</p>`,
				...(fit.free.length > 1 && fit.correlation.length > 1
					? [html`<h3>Correlations</h3>`, correlationTable(fit)]
					: []),
			),
			...(pair === null ? [] : [pair]),
			nextSection(fit),
			writeSection(fit),
			readSection(fit.series),
			inputsSection(listInputs(scenario), units),
			assumptionsSection(
				[...fit.series.warnings.map(seriesWarningWords), ...warnings.map(fitWarningWords)],
				fit.bursts === null ? PREMISES : [...PREMISES, ...BURST_PREMISES],
			),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		style: FIT_STYLE,
	});
}
