import { type ChartSpec, compileChart, drawSvg } from "../charts/svg.ts";
import { type Html, html, trusted } from "./html.ts";
import { scrollBox } from "./page.ts";

/** Widths of the plot on a screen or paper and on a phone [px]. */
const WIDE = 760;
const NARROW = 236;
/** A drawing as an image with a name. */
const labelled = (svg: string, summary: string): Html =>
	trusted(svg.replace("<svg ", html`<svg role="img" aria-label="${summary}" `.html));

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
