import { MIN_PIECE_SECONDS } from "../../lib/fit/days.ts";
import type { Fit, FitName, FittedParameter } from "../../lib/fit/fittypes.ts";
import { listInputs } from "../../lib/scenario/inputs.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { curvePlotSpec } from "../charts/curveplot.ts";
import { profilePlot, regionPlot } from "../charts/log/confidenceregion.ts";
import { daysPlot } from "../charts/log/respirationdays.ts";
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
import { seriesWarningWords } from "../words/logremarks.ts";
import { burstsSection } from "./bursts.ts";
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
	dailyWords,
	dayOf,
	type Headline,
	headlineOf,
	howTo,
	NEXT_CAUTION,
	testWords,
	unidentifiableWords,
	writtenDayWords,
} from "./fitwords.ts";
import { autocorrelationFigure, closeUpFigure, overlayFigure, residualFigure } from "./logfigures.ts";
import { readSection } from "./logsection.ts";
import { hasCrop, temperatureWords } from "./temperaturewords.ts";

export { exclusionWords, noteWords, seriesWarningWords } from "../words/logremarks.ts";
export { logSvg } from "./logfigures.ts";

/** What every fit rests on. */
const PREMISES = [
	"The air is well mixed at every moment, in the whole chamber or in each of its two zones.",
	"Air enters with the CO2 of the intake that the scenario has, the same for the whole log; an intake that is wrong by some ppm shows up as an offset of the sensor.",
	"All bursts deliver alike, and the leak is the same with the fan on and off.",
	"The sensor follows with one time constant, and reads too high or too low by the same amount everywhere.",
	"Values held fixed are taken as exact: their own uncertainty is not in the errors of the others.",
	"CO2 given off is constant over the log, or follows temperature and stage; day by day where that was asked for. The temperature is that of the log where it was logged inside, else that of the scenario.",
	"Time by the clock runs without a jump from the first sample on: neither the day's warmth nor a timer follows a change of the clocks.",
];

/** What a test of counted bursts rests on beside it. */
const BURST_PREMISES = [
	"Crop and substrate were out while the bursts were counted: nothing in the chamber gave off CO2.",
	"The fan speeds up and runs down exponentially; samples taken while it blew do not count, so that this matters for the on-time lost only.",
];

const find = ({ parameters }: Fit, name: FitName): FittedParameter | undefined =>
	parameters.find((one) => one.name === name);

/** A value does not break from its error. */
const unbrokenErrors = (headline: Headline): Headline => ({
	...headline,
	grounds: headline.grounds.replaceAll(" ± ", "\u00a0±\u00a0"),
});

const command = (label: string, line: string): Html => scrollBox(label, html`<pre>${line}</pre>`);

function unidentifiableSection(fit: Fit): Html {
	const each = unidentifiableWords(fit);
	return section(
		"untold",
		"What this log cannot tell",
		each.length === 0
			? html`<p>Nothing that it was asked for: each value stands on its own.</p>`
			: html`<ul>${each.map(
					({ what, why, wayOut }) => html`<li><strong>${what}.</strong> ${why} ${wayOut}</li>\n`,
				)}</ul>`,
	);
}

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

async function leftOverSection(fit: Fit): Promise<Html> {
	const { residuals } = fit;
	const autocorrelation = await autocorrelationFigure(fit);
	const { used, effectiveSampleSize, rmsPpm, lag1Autocorrelation } = residuals;
	return section(
		"left",
		"What is left over",
		await residualFigure(fit, null),
		...(autocorrelation === null
			? []
			: [
					html`<p>The root mean square is ${ppmWords(rmsPpm)}. Neighbouring residuals are correlated by ${lag1Autocorrelation.toFixed(2)}, so ${used.toLocaleString("en-US")} samples are worth ${Math.max(1, Math.round(effectiveSampleSize)).toLocaleString("en-US")} independent ones, and every error here is counted from those (first-order autoregression).</p>`,
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
			html`<p>${upperFirst(a.label)} and ${b.label} are the two that hang together most (correlation ${r}): the log tells their ${pair.correlation > 0 ? "difference" : "sum"} better than either.</p>`,
			await stillFigure(
				"pair",
				(width) => curvePlotSpec(plot, PAGE, width),
				`${upperFirst(a.label)} and ${b.label} together.`,
				"The outline holds both true values in 95 of 100 such logs. The narrower and the more slanted it is, the less the log parts them.",
			),
		);
	}
	if (drawn.length > 0) {
		const plot = profilePlot(drawn);
		parts.push(
			await stillFigure(
				"profiles",
				(width) => curvePlotSpec(plot, PAGE, width),
				"How fast the fit worsens when one parameter is held off the value found and all others are free.",
				"The 95 % intervals in this report are where the lines cross the dashed one. A line that leans is an interval that is longer on one side.",
			),
		);
	}
	return parts.length === 0 ? null : section("pair", "What hangs together", ...parts);
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
		low > 0 ? `${percentOf(high / low - 1)} more than on the least` : "more than can be said as a share";
	return section(
		"days",
		"What the crop gives off, day by day",
		...dailyWords(fit, units).map((words) => html`<p>${words} On the greatest day it is ${from}.</p>`),
		await stillFigure(
			"days",
			(width) => curvePlotSpec(plot, PAGE, width),
			"CO2 given off on each day of the log.",
			`${isDated ? `A day runs from midnight to midnight in ${zone ?? "UTC"}, the first and the last as far as the log goes` : "A day counts 24 h from the first sample"}; less than ${formatDuration(MIN_PIECE_SECONDS)} of a day counts with the day beside it. A dot without a bar is a day whose error cannot be had.`,
		),
		daysTable(fit, units),
		html`<p class="note">The mean weighs each day by its length, and its error and that of the rise have the days' common errors in them: a flow or leak that is read too high makes all days too high. The error of the rise is that of the readings; how far the crop itself strays from a straight line is not in it.</p>`,
	);
}

function nextSection(fit: Fit): Html {
	const { recommendedTest, scenario } = fit;
	if (recommendedTest === null && unidentifiableWords(fit).length > 0)
		return section(
			"next",
			"The next test",
			html`<p>The same once more, longer or with more bursts, narrows what this log leaves open.</p>`,
		);
	if (recommendedTest === null)
		return section(
			"next",
			"The next test",
			html`<p>None is needed for what was asked. With the values written back, the setting can be chosen from measured figures:</p>`,
			command("Command that chooses", `lullgust choose ${scenario.fileName}`),
		);
	const how = howTo(recommendedTest.test);
	return section(
		"next",
		"The next test",
		html`<p><strong>${upperFirst(recommendedTest.test)}.</strong> ${upperFirst(recommendedTest.why)}.</p>`,
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
			html`<p>Nothing: only what a log tells is written back.</p>`,
		);
	return section(
		"write",
		"What --update writes",
		html`<p>Only what this log tells goes into the scenario file, with its spread, the name of the log and the day; everything else in the file stays as it is, to the letter.</p>`,
		changesTable(fit),
		...(day === null ? [] : [html`<p>${day}</p>`]),
		html`<p class="note">A spread in a scenario file is read as its 5 % and 95 % ends, so it is 1.645 standard errors.</p>`,
		command(
			"Command that writes back",
			`lullgust fit ${series.log.fileName}${testOptions(fit)}${fit.days === null ? "" : " --days"} --scenario ${scenario.fileName} --update ${scenario.fileName}`,
		),
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
		kind: "What a log tells",
		lead: `${testWords(fit)}: ${fit.series.log.fileName}. Fan: ${fit.fanFrom}.`,
		body: [
			section(
				"verdict",
				"What was learnt",
				verdictBlock(unbrokenErrors(headlineOf(fit, units))),
				estimateTable(fit, units),
				html`<p class="key">± is one standard error, with the likeness of neighbouring readings counted in; in 95 of 100 such logs the true value lies within the 95 % interval, as far as the model is right. “–” stands where no error can be had.</p>`,
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
			await leftOverSection(fit),
			section(
				"parameters",
				"All parameters",
				parameterTable(fit, units),
				html`<p class="note">The search stopped after ${termination.iterations} ${termination.iterations === 1 ? "step" : "steps"}: ${termination.reason}.${parameters.some(({ status }) => status === "prior") && " A prior is knowledge from elsewhere, such as the sensor's stated accuracy, that counts beside the log."}</p>`,
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
				[...fit.series.warnings.map(seriesWarningWords), ...warnings],
				fit.bursts === null ? PREMISES : [...PREMISES, ...BURST_PREMISES],
			),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
		style: FIT_STYLE,
	});
}
