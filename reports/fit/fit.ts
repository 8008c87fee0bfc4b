import type { Fit } from "../../lib/fit/fittypes.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { dumbbells } from "../charts/section/dumbbells.ts";
import { html } from "../page/html.ts";
import { scenarioReport } from "../page/report.ts";
import { details, list } from "../page/section.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { humidityFitWords } from "../words/humidity.ts";
import { seriesWarningWords } from "../words/logremarks.ts";
import { burstsSection } from "./bursts.ts";
import { foldedFigure } from "./drawings/folded.ts";
import { halfMatrix } from "./drawings/halfmatrix.ts";
import { closeUpFigure, overlayFigure } from "./drawings/logfigures.ts";
import { conditionsWords, shapeWords } from "./errorwords.ts";
import { dumbbellsOf, headOf } from "./fithead.ts";
import { BURST_PREMISES, PREMISES } from "./fitpremises.ts";
import { fanWords, fitWarningWords } from "./fitremarks.ts";
import {
	autocorrelationDetails,
	daysSection,
	find,
	nextSection,
	pairDetails,
	residualSection,
	unidentifiableSection,
	writeDetails,
} from "./fitsections.ts";
import { correlationTable, estimateTable, parameterTable } from "./fittables.ts";
import { headlineOf } from "./fitwords.ts";
import { readDetails } from "./logsection.ts";
import { hasCrop, temperatureWords } from "./temperaturewords.ts";

export { exclusionWords, noteWords, seriesWarningWords } from "../words/logremarks.ts";
export { confoundedReason, resolutionWords } from "./confoundedwords.ts";
export { logSvg } from "./drawings/logfigures.ts";
export { fanWords, fitWarningWords, outlierReason } from "./fitremarks.ts";
export { fitPiecesReport } from "./pieces/piecesreport.ts";

/** Keeps a value and its standard error on one line. */
const unbrokenErrors = (words: string): string => keepTogether(words.replaceAll(" (SE ", "\u00a0(SE\u00a0"));

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
							html`<p class="say">${conditionsWords(fit, units)} ${shapeWords(fit)} ${temperature ?? ""} ${fit.humidity === undefined ? "" : humidityFitWords(fit.humidity, units)}</p>`,
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
