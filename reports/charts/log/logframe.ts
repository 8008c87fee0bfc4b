import type { Axis } from "../axes.ts";
import { type ChartTheme, chartConfig } from "../theme.ts";
import { type LogClock, timeTicks } from "./logtime.ts";

/** One line of a legend: how it is drawn, and what it is. */
export interface LegendLine {
	readonly how: "dots" | "line" | "band" | "shape";
	readonly color: string;
	readonly dash?: readonly number[];
	readonly shape?: string;
	readonly text: string;
}

/** Bars below a plot, with a name at their left. */
export interface Strip {
	readonly name: string;
	readonly color: string;
	readonly bars: readonly {
		readonly startSeconds: number;
		readonly endSeconds: number;
		readonly isMerged?: boolean;
	}[];
}

/** A plot over the time of a log. */
export interface LogPlot {
	readonly clock: LogClock;
	readonly fromSeconds: number;
	readonly toSeconds: number;
	readonly y: Axis;
	readonly yTitle: string;
	readonly legend: readonly LegendLine[];
	readonly strips: readonly Strip[];
	/** Height of the plot [px]. */
	readonly height: number;
}

/** Around the plot, for the words of the axes [px]. */
const MARGIN = { left: 58, right: 22, bottom: 44 };
const STRIP = 18;
const STRIPS_BELOW = 14;
const BAR = 9;
const LEGEND_LINE = 18;
/** From the top of the plot up to the middle of the lowest line of the legend [px]. */
const LEGEND_ABOVE = 38;
/** Typical width of a character [px]. */
const CHARACTER = 6.3;
export const NUMBER_FORMAT = "format(datum.value, datum.value >= 10000 ? ',d' : '~r')";

const broken = { invalid: "break-paths-show-domains" } as const;

/** Mark of a line that breaks where a value is null. */
export const brokenLine = (color: string, strokeWidth: number, strokeDash: readonly number[] = [1, 0]) => ({
	type: "line",
	color,
	strokeWidth,
	strokeDash,
	strokeJoin: "round",
	clip: true,
	...broken,
});

/** Mark of dots in one path: a line of lone points with round ends. */
export const dotted = (color: string, size: number) => ({
	type: "line",
	color,
	strokeWidth: size,
	strokeCap: "round",
	clip: true,
	...broken,
});

/** The axes of a plot over the time of a log, and what stands around it, for layers of its own. */
export function logFrame(plot: LogPlot, theme: ChartTheme, width: number) {
	const { clock, fromSeconds, toSeconds, y: yAxis, yTitle, legend, strips, height } = plot;
	const ticks = timeTicks(clock, fromSeconds, toSeconds, width);
	const below = strips.length === 0 ? 0 : strips.length * STRIP + STRIPS_BELOW - 8;
	const time = {
		type: "quantitative",
		scale: { domain: [fromSeconds, toSeconds], nice: false, zero: false },
	};
	const x = {
		...time,
		field: "t",
		axis: {
			values: ticks.values,
			labelExpr: ticks.labelExpr,
			title: ticks.title,
			titlePadding: 8,
			domain: false,
			ticks: false,
			labelOverlap: true,
			labelFlush: false,
			offset: below,
		},
	};
	const y = {
		type: "quantitative",
		scale: { domain: [yAxis.from, yAxis.to], nice: false, zero: false, clamp: true },
		axis: {
			values: yAxis.ticks,
			labelExpr: NUMBER_FORMAT,
			title: yTitle,
			domain: false,
			ticks: false,
			titleAngle: 0,
			titleAlign: "left",
			titleAnchor: "start",
			titleX: -50,
			titleY: -14,
		},
	};
	const frame = {
		config: chartConfig(theme),
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
	};
	return {
		x,
		y,
		frame,
		furniture: [
			...strips.flatMap((strip, row) => stripLayers(strip, height + STRIPS_BELOW + row * STRIP, x, theme)),
			...legend.flatMap((line, row) =>
				legendLayers(line, -LEGEND_ABOVE - LEGEND_LINE * (legend.length - 1 - row), theme, width),
			),
		],
	};
}

function stripLayers({ name, color, bars }: Strip, at: number, x: object, theme: ChartTheme) {
	const y = { value: at + BAR / 2 };
	const rows = bars.flatMap(({ startSeconds, endSeconds, isMerged = false }) => [
		{ t: startSeconds, merged: isMerged },
		{ t: endSeconds, merged: isMerged },
		{ t: null, merged: isMerged },
	]);
	return [
		{
			data: { values: [{}] },
			mark: { type: "rule", color: theme.grid, strokeWidth: BAR },
			encoding: { x: { value: 0 }, x2: { value: { expr: "width" } }, y },
		},
		...[false, true].map((merged) => ({
			data: { values: rows.filter((row) => row.merged === merged) },
			mark: {
				type: "line",
				color,
				strokeWidth: BAR,
				strokeCap: "butt",
				opacity: merged ? 0.6 : 1,
				...broken,
			},
			encoding: { x, y },
		})),
		{
			data: { values: [{}] },
			mark: { type: "text", text: name, align: "right", baseline: "middle", fontSize: 12, color: theme.soft },
			encoding: { x: { value: -6 }, y },
		},
	];
}

function legendLayers(line: LegendLine, at: number, theme: ChartTheme, width: number) {
	const { how, color, dash = [1, 0], shape = "circle", text } = line;
	const y = { value: at };
	const room = Math.floor((width + MARGIN.right + 10) / CHARACTER);
	const from = { value: -50 };
	const to = { value: -20 };
	const values = [{}];
	const sign = {
		line: {
			data: { values },
			mark: { type: "rule", color, strokeWidth: 2.2, strokeDash: dash },
			encoding: { x: from, x2: to, y },
		},
		band: {
			data: { values },
			mark: { type: "rule", color, strokeWidth: 10, opacity: 0.35 },
			encoding: { x: from, x2: to, y },
		},
		dots: {
			data: { values: [-46, -35, -24].map((px) => ({ px })) },
			mark: { type: "circle", size: 14, color, opacity: 1 },
			encoding: { x: { field: "px", type: "quantitative", scale: null }, y },
		},
		shape: {
			data: { values: [{ shape }] },
			mark: { type: "point", ...shapeStyle(color, theme) },
			encoding: { x: { value: -35 }, y, shape: { field: "shape", type: "nominal", scale: null } },
		},
	}[how];
	return [
		sign,
		{
			data: { values },
			mark: {
				type: "text",
				text: text.length <= room ? text : `${text.slice(0, room - 1).trimEnd()}…`,
				align: "left",
				baseline: "middle",
				fontSize: 12,
				color: theme.ink,
			},
			encoding: { x: { value: -12 }, y },
		},
	];
}

/** How a sample is drawn that was left out. */
export const shapeStyle = (color: string, theme: ChartTheme) => ({
	filled: true,
	fill: theme.halo,
	stroke: color,
	strokeWidth: 1.5,
	size: 42,
	opacity: 1,
});
