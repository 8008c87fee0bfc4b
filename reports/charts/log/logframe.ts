import type { Axis } from "../axes.ts";
import { ALONE, BARE, BREAKS, linear, textMark, yChannel } from "../marks.ts";
import { bandSign, framedSpec, type LegendLine } from "../plotframe.ts";
import type { ChartSpec } from "../svg.ts";
import type { ChartTheme } from "../theme.ts";
import { loneDots, type TraceBand, type TracePoint } from "./logseries.ts";
import { type LogClock, timeTicks } from "./logtime.ts";

/** One series of a log: sample by sample, or as a band where they are too many. */
export type LogTrace =
	| { readonly kind: "points"; readonly points: readonly TracePoint[] }
	| { readonly kind: "band"; readonly band: readonly TraceBand[] };

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

/** A window of a log. */
export interface LogWindow {
	readonly clock: LogClock;
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/** The channels of a plot over the time of a log. */
interface LogChannels {
	readonly x: { readonly axis: object };
	readonly y: object;
}

const STRIP = 18;
const STRIPS_BELOW = 14;
const BAR = 9;

/** Mark of a line that breaks where a value is null. */
export const brokenLine = (color: string, strokeWidth: number, strokeDash: readonly number[] = [1, 0]) => ({
	...{ type: "line", color, strokeWidth, strokeDash, strokeJoin: "round", clip: true },
	...BREAKS,
});

/** The values of a log as dots of some size, in one path of round ends; or as a band. */
export const loggedLayer = (trace: LogTrace, color: string, size: number, { x, y }: LogChannels) =>
	trace.kind === "points"
		? {
				data: { values: loneDots(trace.points) },
				mark: { type: "line", color, strokeWidth: size, strokeCap: "round", clip: true, ...BREAKS },
				encoding: { x, y: { ...y, field: "c" } },
			}
		: {
				data: { values: trace.band },
				mark: { type: "area", color, opacity: 0.35, clip: true },
				encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" }, detail: { field: "piece" } },
			};
/** The sign of such values in the legend. */
export const loggedSign = ({ kind }: LogTrace, color: string): LegendLine["sign"] =>
	kind === "band"
		? bandSign(color)
		: {
				data: { values: [-46, -35, -24].map((px) => ({ px })) },
				mark: { type: "circle", size: 14, color, opacity: 1 },
				encoding: { x: { field: "px", type: "quantitative", scale: null } },
			};

/** A plot over the time of a log, with a legend above and strips below. */
export function logSpec(
	{ clock, fromSeconds, toSeconds }: LogWindow,
	plot: {
		readonly y: Axis;
		readonly yTitle: string;
		readonly legend: readonly LegendLine[];
		readonly strips?: readonly Strip[];
		readonly height: number;
		readonly layer: (channels: LogChannels) => readonly object[];
	},
	theme: ChartTheme,
	width: number,
): ChartSpec {
	const { strips = [], height, legend } = plot;
	const { values, labelExpr, title } = timeTicks(clock, fromSeconds, toSeconds, width);
	const below = strips.length === 0 ? 0 : strips.length * STRIP + STRIPS_BELOW - 8;
	const x = {
		type: "quantitative",
		scale: linear(fromSeconds, toSeconds),
		field: "t",
		axis: {
			...{ values, labelExpr, title, titlePadding: 8, ...BARE },
			...{ labelOverlap: true, labelFlush: false, offset: below },
		},
	};
	return framedSpec(theme, {
		width,
		height,
		legend,
		below,
		layer: [
			...plot.layer({ x, y: yChannel(plot.y, plot.yTitle, 50, 14) }),
			...strips.flatMap((strip, row) => stripLayers(strip, height + STRIPS_BELOW + row * STRIP, x, theme)),
		],
	});
}

function stripLayers({ name, color, bars }: Strip, at: number, x: object, theme: ChartTheme) {
	const y = { value: at + BAR / 2 };
	const rows = bars.flatMap(({ startSeconds, endSeconds, isMerged: merged = false }) =>
		[startSeconds, endSeconds, null].map((t) => ({ t, merged })),
	);
	return [
		{
			data: ALONE,
			mark: { type: "rule", color: theme.grid, strokeWidth: BAR },
			encoding: { x: { value: 0 }, x2: { value: { expr: "width" } }, y },
		},
		...[false, true].map((merged) => ({
			data: { values: rows.filter((row) => row.merged === merged) },
			mark: {
				...{ type: "line", color, strokeWidth: BAR, strokeCap: "butt", opacity: merged ? 0.6 : 1 },
				...BREAKS,
			},
			encoding: { x, y },
		})),
		{
			data: ALONE,
			mark: textMark(theme.soft, { text: name, align: "right" }),
			encoding: { x: { value: -6 }, y },
		},
	];
}
