import { MIN_PIECE_SECONDS } from "../../lib/fit/days.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { curvePlotSpec } from "../charts/curveplot.ts";
import { profilePlot, regionPlot } from "../charts/log/confidenceregion.ts";
import { daysPlot } from "../charts/log/respirationdays.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { type Details, list, type Section } from "../page/section.ts";
import type { ReportOptions } from "../page/sections.ts";
import { upperFirst } from "../words/format.ts";
import { confoundedReason, howTo, NEXT_CAUTION, testName } from "./confoundedwords.ts";
import { autocorrelationFigure, residualFigure } from "./drawings/logfigures.ts";
import { changesTable, daysTable } from "./fittables.ts";
import { percentOf, ppmWords, scaledValue, unitName } from "./fitvalues.ts";
import {
	countOf,
	dailyWords,
	dayOf,
	effectiveCount,
	unidentifiableWords,
	writtenDayWords,
} from "./fitwords.ts";
import { lackOfFitWords } from "./lackoffitwords.ts";

/** A parameter by its name. */
export const find = ({ parameters }: Fit, name: FitName): FittedParameter | undefined =>
	parameters.find((one) => one.name === name);

const command = (line: string): Html => html`<pre tabindex="0">${line}</pre>`;

export function unidentifiableSection(fit: Fit): Section | null {
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

export const residualSection = async (fit: Fit): Promise<Section> => ({
	id: "residuals",
	heading: "Residuals",
	sentence: `The root-mean-square residual is ${ppmWords(fit.residuals.rmsPpm)}.`,
	body: await residualFigure(fit, null),
});

/** How successive residuals resemble each other; null where that was not calculated. */
export async function autocorrelationDetails(fit: Fit): Promise<Details | null> {
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
export async function pairDetails(fit: Fit, { units }: ReportOptions): Promise<Details | null> {
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
			html`<p>${upperFirst(a.label)} and ${b.label} have the strongest correlation (${r}). Their ${pair.correlation > 0 ? "difference" : "sum"} is known better than either value.</p>`,
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

export async function daysSection(fit: Fit, { units }: ReportOptions): Promise<Section | null> {
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

export function nextSection(fit: Fit): Section {
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

export function writeDetails(fit: Fit): Details {
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
