import { curvePlotSpec } from "../../charts/curveplot.ts";
import { autocorrelationPlot } from "../../charts/log/autocorrelation.ts";
import { overlaySpec, someBeyond } from "../../charts/log/logoverlay.ts";
import { momentWords } from "../../charts/log/logtime.ts";
import { type ResidualChartData, residualSpec } from "../../charts/log/residuals.ts";
import { compileChart, drawSvg } from "../../charts/svg.ts";
import { type ChartTheme, LIGHT, PAGE } from "../../charts/theme.ts";
import { stillFigure } from "../../page/figure.ts";
import type { Html } from "../../page/html.ts";
import { clockOf } from "../../words/logwords.ts";
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
				"There are too many readings for a dot each: the band spans the lowest to the highest of neighbouring readings.",
			held.series.log.gaps.length > 0 && "Gaps in the log are left blank.",
			someBeyond(widest) && "Excluded samples that lie beyond the plot stand at its edge.",
			"The strip below shows when the fan ran; pale bars are bursts too close together to draw one by one.",
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
		"The dashed line is the predicted CO₂ in the chamber, between the readings too. The sensor follows with a delay and understates the peaks.",
	);
}

/** Residuals over time. */
export const residualFigure = (held: Held, allowed: ResidualChartData["allowed"]): Promise<Html> =>
	stillFigure(
		"residuals",
		(width) => residualSpec(residualPicture(held, width, allowed), PAGE, width),
		"Residuals: log minus model.",
		"Residuals that scatter around 0 without a pattern are noise. A wave or a trend in them is an effect that the model lacks.",
	);

/** Autocorrelation of the residuals; null where it was not calculated. */
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
		"Autocorrelation of the residuals.",
		"A reading that resembles the one before it adds less information; the standard errors are larger accordingly.",
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
