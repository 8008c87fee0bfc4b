import { pack } from "./charts/pack.ts";
import { isBand, type Picture } from "./charts/picture.ts";
import { PLOT_WIDTH, sawtoothRows, sawtoothSpec } from "./charts/sawtooth.ts";
import { PAGE } from "./charts/theme.ts";
import { type Html, html, trusted } from "./html.ts";
import { scrollBox } from "./page.ts";
import { compileChart, drawSvg } from "./svg.ts";

/** A chart in a page: the drawing that is there at once, and what the live view needs to take its place. */
export interface ChartFigure {
	readonly figure: Html;
	readonly id: string;
	readonly data: unknown;
}

/** Draws a picture for a page. `summary` says in words what it shows. */
export async function chartFigure(id: string, picture: Picture, summary: string): Promise<ChartFigure> {
	const chart = await compileChart(sawtoothSpec(picture, PAGE));
	const svg = await drawSvg(chart, sawtoothRows(picture, PLOT_WIDTH), id);
	const bands = picture.series.filter((series) => isBand(picture, series, PLOT_WIDTH));
	const caption = [
		summary,
		...(bands.length > 0
			? ["A shaded band runs from trough to peak where the cycles are too short to be drawn one by one."]
			: []),
		"The strip below shows when each fan runs; a pale bar stands for bursts too close together to be told apart.",
	].join(" ");
	const labelled = svg.replace("<svg ", html`<svg role="img" aria-label="${summary}" `.html);
	return {
		id,
		data: { chart, picture: pack(picture) },
		figure: html`<figure class="chart" data-chart="${id}">
${scrollBox(summary, trusted(labelled))}
<figcaption>${caption}</figcaption>
</figure>`,
	};
}
