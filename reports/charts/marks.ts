import type { Axis } from "./axes.ts";
import type { ChartSpec } from "./svg.ts";
import { type ChartTheme, chartConfig } from "./theme.ts";

// Parts that the specs of several charts share.

/** Text of a number at a tick. */
export const NUMBER = "format(datum.value, datum.value >= 10000 ? ',d' : '~r')";
/** Typical width of a character [px]. */
export const CHARACTER = 6.3;
/** Data of a mark that stands alone. */
export const ALONE = { values: [{}] };
/** An axis without its line and ticks. */
export const BARE = { domain: false, ticks: false };
/** The shape of a mark is what its row says. */
export const shape = { field: "shape", type: "nominal", scale: null };
/** Lines break where a value is null. */
export const BREAKS = { invalid: "break-paths-show-domains" } as const;

/** A scale from one value to another, as they are. */
export const linear = (from: number, to: number) => ({ domain: [from, to], nice: false, zero: false });
/** A place that a row gives [px]. */
export const px = (field: string) => ({ field, scale: null, type: "quantitative" });

/** The title of a y axis above its upper end, so far left of and above it [px]. */
export const titleOnTop = (title: string, left: number, above: number) => ({
	title,
	titleAngle: 0,
	titleAlign: "left",
	titleAnchor: "start",
	titleX: -left,
	titleY: -above,
});

/** A y channel over an axis, values beyond it at its edge. */
export const yChannel = ({ from, to, ticks }: Axis, title: string, left: number, above: number) => ({
	type: "quantitative",
	scale: { ...linear(from, to), clamp: true },
	axis: { values: ticks, labelExpr: NUMBER, ...titleOnTop(title, left, above), ...BARE },
});
/** A text cut to so many characters. */
export const shortenText = (text: string, most: number): string =>
	text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}…`;

/** The mark of a text. */
export const textMark = (color: string, rest: object = {}) => ({
	type: "text",
	align: "left",
	baseline: "middle",
	fontSize: 12,
	color,
	...rest,
});
/** The mark of a text twice: pale and thick under dark, readable on any colour. */
export const haloed = (theme: ChartTheme, rest: object = {}) => [
	textMark(theme.halo, { ...rest, stroke: theme.halo, strokeWidth: 4, strokeJoin: "round" }),
	textMark(theme.ink, rest),
];

/** A line across the plot at a value that counts, such as the ceiling. */
export const limitRule = (theme: ChartTheme, encoding: object, strokeDash: readonly number[] = [1, 0]) => ({
	data: ALONE,
	mark: { type: "rule", color: theme.limit, strokeWidth: 1.4, strokeDash },
	encoding,
});

/** A chart of layers. */
export const chartSpec = (
	theme: ChartTheme,
	rest: { readonly width: number; readonly height: number; readonly layer: readonly object[] } & Readonly<
		Record<string, unknown>
	>,
): ChartSpec => ({ config: chartConfig(theme), padding: 4, ...rest }) as unknown as ChartSpec;
