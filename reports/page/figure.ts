import { pack } from "../charts/sawtooth/pack.ts";
import { type ChartData, narrowSpans } from "../charts/sawtooth/picture.ts";
import { PLOT_WIDTH, sawtoothRows, sawtoothSpec } from "../charts/sawtooth/sawtooth.ts";
import { type ChartSpec, compileChart, drawSvg } from "../charts/svg.ts";
import { type ChartTheme, PAGE } from "../charts/theme.ts";
import { type Html, html, trusted } from "./html.ts";
import { scrollBox } from "./page.ts";

/** A chart in a page: the drawing that is there at once, and what the live view needs to take its place. */
interface ChartFigure {
	readonly figure: Html;
	/** Id of the element that is to carry the data. */
	readonly id: string;
	readonly data: unknown;
}

/** Widths of the plot on a screen or paper and on a phone [px]. */
const WIDE = 760;
const NARROW = 236;
/** Narrowest plot that a live chart draws [px]. */
const MIN_WIDTH = 200;

/** A drawing as an image with a name. */
const labelled = (svg: string, summary: string): Html =>
	trusted(svg.replace("<svg ", html`<svg role="img" aria-label="${summary}" `.html));

/** Draws a picture for a page. `summary` says in words what it shows. */
export async function chartFigure(id: string, picture: ChartData, summary: string): Promise<ChartFigure> {
	const chart = await compileChart(sawtoothSpec(picture, PAGE));
	const svg = await drawSvg(chart, sawtoothRows(picture, PLOT_WIDTH), id);
	// A phone draws bands where a desk does not.
	const anyBand = picture.series.some((series) => narrowSpans(picture, series, MIN_WIDTH).length > 0);
	const caption = [
		summary,
		anyBand && "Where cycles are too short to be drawn one by one, a shaded band runs from trough to peak.",
		"The strip below shows when the fan runs; a pale bar stands for bursts too close together to be seen one by one.",
	];
	return {
		id,
		data: { chart, picture: pack(picture) },
		figure: html`<figure class="chart" data-chart="${id}">
${scrollBox(summary, labelled(svg, summary))}
<figcaption>${caption.filter((sentence) => sentence !== false).join(" ")}</figcaption>
</figure>`,
	};
}

/** Draws a picture as an SVG file of its own, in real colours. */
export const chartSvg = async (picture: ChartData, theme: ChartTheme): Promise<string> =>
	drawSvg(await compileChart(sawtoothSpec(picture, theme)), sawtoothRows(picture, PLOT_WIDTH), "chart");

/**
 * A chart that needs no script: drawn once for screen and paper and once for a phone, of which the page shows one.
 * `summary` says in words what it shows, `caption` how to read it.
 */
export async function stillFigure(
	id: string,
	spec: (width: number) => ChartSpec,
	summary: string,
	caption: string,
): Promise<Html> {
	const [wide, narrow] = await Promise.all(
		(
			[
				["wide", WIDE],
				["narrow", NARROW],
			] as const
		).map(async ([name, width]) => drawSvg(await compileChart(spec(width)), {}, `${id}-${name}`)),
	);
	return drawnFigure(wide ?? "", narrow ?? "", summary, caption);
}

/** Two drawings of one thing, for screen and paper and for a phone, of which the page shows one. */
export const drawnFigure = (
	wide: string,
	narrow: string,
	summary: string,
	caption: string,
): Html => html`<figure class="chart">
<div class="wide">${scrollBox(summary, labelled(wide, summary))}</div>
<div class="narrow">${scrollBox(summary, labelled(narrow, summary))}</div>
<figcaption>${summary} ${caption}</figcaption>
</figure>`;
