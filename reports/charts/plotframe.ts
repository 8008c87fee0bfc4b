import { ALONE, CHARACTER, chartSpec, shape, shortenText, textMark } from "./marks.ts";
import type { ChartTheme } from "./theme.ts";

/** Wider plots than this have room for names [px]. */
export const MIN_ROOMY_WIDTH = 500;

/** Around the plot, for the words of the axes [px]. */
const MARGIN = { left: 58, right: 22, bottom: 44 };
const LEGEND_LINE = 18;
/** From the top of the plot up to the middle of the lowest line of the legend [px]. */
const LEGEND_ABOVE = 38;
const SIGN = { x: { value: -50 }, x2: { value: -20 } };
const MIDDLE = { value: -35 };

/** One line of a legend: what it is, and how it is drawn, at the height of its line. */
export interface LegendLine {
	readonly text: string;
	readonly sign: { readonly mark: object; readonly data?: object; readonly encoding: object };
}

export const lineSign = (color: string, strokeDash: readonly number[] = [1, 0], strokeWidth = 2.2) => ({
	mark: { type: "rule", color, strokeWidth, strokeDash },
	encoding: SIGN,
});
export const bandSign = (color: string) => ({
	mark: { type: "rule", color, strokeWidth: 10, opacity: 0.35 },
	encoding: SIGN,
});
export const dotSign = (mark: object) => ({ mark: { type: "circle", ...mark }, encoding: { x: MIDDLE } });
export const shapeSign = (of: string, mark: object) => ({
	data: { values: [{ shape: of }] },
	mark,
	encoding: { x: MIDDLE, shape },
});

/** A plot with a legend above, a line each; `below` is more room at the foot [px]. */
export function framedSpec(
	theme: ChartTheme,
	{
		width,
		height,
		legend,
		layer,
		below = 0,
	}: {
		readonly width: number;
		readonly height: number;
		readonly legend: readonly LegendLine[];
		readonly layer: readonly object[];
		readonly below?: number;
	},
) {
	const room = Math.floor((width + MARGIN.right + 10) / CHARACTER);
	return chartSpec(theme, {
		// Widths of words are only guessed where there is no browser: the room for them is laid down.
		autosize: "none",
		padding: {
			left: MARGIN.left,
			right: MARGIN.right,
			top: LEGEND_ABOVE + LEGEND_LINE * (legend.length - 1) + 14,
			bottom: MARGIN.bottom + below,
		},
		width,
		height,
		layer: [
			...layer,
			...legend.flatMap(({ text, sign }, row) => {
				const y = { value: -LEGEND_ABOVE - LEGEND_LINE * (legend.length - 1 - row) };
				return [
					{ data: ALONE, ...sign, encoding: { ...sign.encoding, y } },
					{
						data: ALONE,
						mark: textMark(theme.ink, { text: shortenText(text, room) }),
						encoding: { x: { value: -12 }, y },
					},
				];
			}),
		],
	});
}
