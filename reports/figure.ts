import { pack } from "./charts/pack.ts";
import { narrowStretches, type Picture } from "./charts/picture.ts";
import { PLOT_WIDTH, sawtoothRows, sawtoothSpec } from "./charts/sawtooth.ts";
import { type ChartTheme, PAGE } from "./charts/theme.ts";
import { type Html, html, trusted } from "./html.ts";
import { scrollBox } from "./page.ts";
import { compileChart, drawSvg } from "./svg.ts";

/** A chart in a page: the drawing that is there at once, and what the live view needs to take its place. */
export interface ChartFigure {
	readonly figure: Html;
	/** Id of the element that is to carry the data. */
	readonly id: string;
	readonly data: unknown;
}

/** Draws a picture for a page. `summary` says in words what it shows. */
export async function chartFigure(id: string, picture: Picture, summary: string): Promise<ChartFigure> {
	const chart = await compileChart(sawtoothSpec(picture, PAGE));
	const svg = await drawSvg(chart, sawtoothRows(picture, PLOT_WIDTH), id);
	const anyBand = picture.series.some((series) => narrowStretches(picture, series, PLOT_WIDTH).length > 0);
	const caption = [
		summary,
		anyBand && "A shaded band runs from trough to peak where cycles are too short to be drawn one by one.",
		"The strip below shows when the fan runs; a pale bar stands for bursts too close together to be told apart.",
	];
	const labelled = svg.replace("<svg ", html`<svg role="img" aria-label="${summary}" `.html);
	return {
		id,
		data: { chart, picture: pack(picture) },
		figure: html`<figure class="chart" data-chart="${id}">
${scrollBox(summary, trusted(labelled))}
<figcaption>${caption.filter((sentence) => sentence !== false).join(" ")}</figcaption>
</figure>`,
	};
}

/** Draws a picture as an SVG file of its own, in real colours. */
export const chartSvg = async (picture: Picture, theme: ChartTheme): Promise<string> =>
	drawSvg(await compileChart(sawtoothSpec(picture, theme)), sawtoothRows(picture, PLOT_WIDTH), "chart");
