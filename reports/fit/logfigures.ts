import { curvePlotSpec } from "../charts/curveplot.ts";
import { autocorrelationPlot } from "../charts/log/autocorrelation.ts";
import { overlaySpec, someBeyond } from "../charts/log/logoverlay.ts";
import { momentWords } from "../charts/log/logtime.ts";
import { type ResidualChartData, residualSpec } from "../charts/log/residuals.ts";
import { type ChartTheme, LIGHT, PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import type { Html } from "../page/html.ts";
import { compileChart, drawSvg } from "../page/svg.ts";
import { clockOf } from "../words/logwords.ts";
import {
	closeUp,
	type Held,
	type OverlayOptions,
	overlayPicture,
	residualPicture,
	wholeLog,
} from "./logpictures.ts";

/** Widest plot of a figure [px]. */
const WIDE = 760;

const caption = (sentences: readonly (string | false)[]): string =>
	sentences.filter((sentence) => sentence !== false).join(" ");

/** The whole log with the model over it. */
export async function overlayFigure(held: Held, options: OverlayOptions): Promise<Html> {
	const window = wholeLog(held);
	const picture = (width: number) => overlayPicture(held, window, PAGE, width, options);
	const widest = picture(WIDE);
	return stillFigure(
		"overlay",
		(width) => overlaySpec(picture(width), PAGE, width),
		`The log with the ${options.word === "model" ? "model" : "prediction"} over it.`,
		caption([
			widest.logged.kind === "band" &&
				"Samples are too many for a dot each: the band runs from the lowest to the highest of neighbours.",
			held.series.log.gaps.length > 0 && "Where the log has a gap, nothing is drawn.",
			someBeyond(widest) && "Samples left out that lie beyond the plot stand at its edge.",
			"The strip below shows when the fan ran; pale bars stand for bursts too close together to be told apart.",
		]),
	);
}

/** A few cycles, sample by sample; null where the log has no cycles or hardly more. */
export async function closeUpFigure(held: Held, word: OverlayOptions["word"]): Promise<Html | null> {
	const window = closeUp(held);
	if (window === null) return null;
	return stillFigure(
		"cycles",
		(width) => overlaySpec(overlayPicture(held, window, PAGE, width, { word, chamber: true }), PAGE, width),
		`A few cycles from ${momentWords(clockOf(held.series), window.fromSeconds)} on, sample by sample.`,
		"The dashed line is what was in the chamber, between the samples too; the sensor follows it late and shows its peaks too low.",
	);
}

/** Residuals over time. */
export const residualFigure = (held: Held, allowed: ResidualChartData["allowed"]): Promise<Html> =>
	stillFigure(
		"residuals",
		(width) => residualSpec(residualPicture(held, width, allowed), PAGE, width),
		"What is left over: logged less model.",
		"Residuals that scatter around 0 without a pattern are noise; a wave or a trend in them is something that the model does not know.",
	);

/** How alike neighbouring residuals are; null where that was not worked out. */
export async function autocorrelationFigure({ residuals, series }: Held): Promise<Html | null> {
	const { autocorrelation, lag1Autocorrelation, used } = residuals;
	if (autocorrelation.length < 3) return null;
	const plot = autocorrelationPlot({
		stepSeconds: series.log.sampleIntervalSeconds,
		values: autocorrelation,
		lag1: lag1Autocorrelation,
		used,
	});
	return stillFigure(
		"autocorrelation",
		(width) => curvePlotSpec(plot, PAGE, width),
		"How much residuals are alike that lie some time apart.",
		"A reading that is like the one before it tells less than a fresh one; the errors are widened accordingly.",
	);
}

/** The log with the model over it as an SVG file for a paper or a slide. */
export async function logSvg(
	held: Held,
	word: OverlayOptions["word"],
	theme: ChartTheme = LIGHT,
): Promise<string> {
	const picture = overlayPicture(held, wholeLog(held), theme, WIDE, { word, chamber: true });
	return drawSvg(await compileChart(overlaySpec(picture, theme, WIDE)), {}, "log");
}
