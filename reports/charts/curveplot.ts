import type { ChartSpec } from "../svg.ts";
import { haloWord, namedMarks, ringMark } from "./namedmarks.ts";
import { type ChartTheme, chartConfig, strokeOf } from "./theme.ts";

/** An axis with its scale, in the unit that its title names. */
export interface PlotAxis {
	readonly title: string;
	readonly from: number;
	readonly to: number;
	readonly log?: boolean;
	readonly ticks: readonly number[];
	/** Vega expression of a tick's text. Default: the number. */
	readonly tickText?: string;
}

export interface PlotPoint {
	readonly x: number;
	readonly y: number;
}

/** A line, or loose dots, with its name in the legend; the colour and dash are those of the series at its place. */
export interface PlotCurve {
	readonly name: string;
	readonly place: number;
	readonly points: readonly PlotPoint[];
	readonly dots?: boolean;
}

/** A straight line across the plot; one along x is named in the legend, one along y at its upper end. */
export interface PlotRule {
	readonly along: "x" | "y";
	/** Where it stands on the other axis. */
	readonly at: number;
	readonly name: string;
	readonly dash: readonly number[];
}

/** Curves over two plain axes. */
export interface CurvePlot {
	readonly x: PlotAxis;
	readonly y: PlotAxis;
	readonly curves: readonly PlotCurve[];
	readonly rules?: readonly PlotRule[];
	/** Places of note, marked by a shape and named; a name may be "". */
	readonly marks?: readonly (PlotPoint & { readonly name: string; readonly shape: string })[];
	/** Words in the plot, at a place of it. */
	readonly words?: readonly (PlotPoint & { readonly text: string })[];
}

const NUMBER = "format(datum.value, datum.value >= 10000 ? ',d' : '~r')";
/** Around the plot, for the words of the axes [px]. */
const MARGIN = { left: 58, right: 22, bottom: 44 };
/** Typical width of a character [px]. */
const CHARACTER = 6.3;
const LEGEND_LINE = 18;
/** From the top of the plot up to the middle of the lowest line of the legend [px]. */
const LEGEND_ABOVE = 38;
/** Longest name of a mark [characters]. */
const LONGEST_NAME = 26;

/** Height of the plot by its width [px]. */
const heightOf = (width: number): number => (width > 500 ? 300 : 240);

/** Place on an axis as a share of its length, from its lower end. */
export const share = ({ from, to, log = false }: PlotAxis, value: number): number =>
	log ? Math.log(value / from) / Math.log(to / from) : (value - from) / (to - from);

const inside = (axis: PlotAxis, value: number): boolean => share(axis, value) >= 0 && share(axis, value) <= 1;

/** Curves with a legend above, rules, and named marks. */
export function curvePlotSpec(plot: CurvePlot, theme: ChartTheme, width: number): ChartSpec {
	const height = heightOf(width);
	const { curves, rules = [], marks = [], words = [] } = plot;
	const px = ({ x, y }: PlotPoint) => ({
		x: share(plot.x, x) * width,
		y: (1 - share(plot.y, y)) * height,
	});
	const lines = [...curves, ...rules.filter((rule) => rule.along === "x")];
	const fits = ({ x, y }: PlotPoint): boolean => inside(plot.x, x) && inside(plot.y, y);
	const common = ({ from, to, log, ticks, title, tickText }: PlotAxis) => ({
		scale: log
			? { type: "log", domain: [from, to], nice: false }
			: { domain: [from, to], nice: false, zero: false },
		axis: {
			values: ticks,
			labelExpr: tickText ?? NUMBER,
			title,
			domain: false,
			ticks: false,
			labelFlush: false,
		},
	});
	const base = { x: common(plot.x), y: common(plot.y) };
	const x = {
		type: "quantitative",
		...base.x,
		axis: { ...base.x.axis, labelOverlap: true, titlePadding: 8 },
	};
	const y = {
		type: "quantitative",
		...base.y,
		axis: {
			...base.y.axis,
			titleAngle: 0,
			titleAlign: "left",
			titleAnchor: "start",
			titleX: -50,
			titleY: -14,
		},
	};
	return {
		config: chartConfig(theme),
		// Widths of words are only guessed where there is no browser: the room for them is laid down.
		autosize: "none",
		padding: {
			left: MARGIN.left,
			right: MARGIN.right,
			top: LEGEND_ABOVE + LEGEND_LINE * (lines.length - 1) + 14,
			bottom: MARGIN.bottom,
		},
		width,
		height,
		layer: [
			...curves.map(({ points, place, dots = false }) => ({
				data: { values: dots ? points.filter(fits) : points },
				mark: dots
					? { type: "circle", size: 26, color: strokeOf(theme, place).color, opacity: 0.55 }
					: {
							type: "line",
							strokeWidth: 2,
							strokeJoin: "round",
							color: strokeOf(theme, place).color,
							strokeDash: strokeOf(theme, place).dash,
							clip: true,
							// In the order of the points, for a curve may turn back.
							order: null,
						},
				encoding: { x: { ...x, field: "x" }, y: { ...y, field: "y" } },
			})),
			...rules.flatMap((rule) => ruleLayers(rule, plot, theme, { x, y, width })),
			...words.filter(fits).flatMap((word) => haloWord(word.text, px(word).x, px(word).y, theme)),
			...namelessMarks(
				marks
					.filter((mark) => fits(mark) && mark.name === "")
					.map((mark) => ({ ...px(mark), shape: mark.shape })),
				theme,
			),
			...namedMarks(
				marks
					.filter((mark) => fits(mark) && mark.name !== "")
					.map((mark) => ({ ...px(mark), shape: mark.shape, name: shortened(mark.name, LONGEST_NAME) })),
				theme,
				width,
				height,
			),
			...legend(lines, theme, width),
		],
	} as unknown as ChartSpec;
}

const shortened = (name: string, most: number): string =>
	name.length <= most ? name : `${name.slice(0, most - 1).trimEnd()}…`;

function ruleLayers(
	{ along, at, name, dash }: PlotRule,
	plot: CurvePlot,
	theme: ChartTheme,
	frame: { readonly x: object; readonly y: object; readonly width: number },
) {
	const across = along === "x" ? plot.y : plot.x;
	if (!inside(across, at)) return [];
	const place = share(across, at);
	const late = place > 0.5;
	const word =
		along === "x"
			? []
			: haloWord(name, place * frame.width + (late ? -6 : 6), 9, theme, { align: late ? "right" : "left" });
	return [
		{
			data: { values: [{}] },
			mark: { type: "rule", color: theme.limit, strokeWidth: 1.4, strokeDash: dash },
			encoding: along === "x" ? { y: { ...frame.y, datum: at } } : { x: { ...frame.x, datum: at } },
		},
		...word,
	];
}

/** Marks that say nothing but where they are. */
function namelessMarks(
	marks: readonly { readonly x: number; readonly y: number; readonly shape: string }[],
	theme: ChartTheme,
) {
	const at = (field: string) => ({ field, scale: null, type: "quantitative" });
	return marks.length === 0
		? []
		: [
				{
					data: { values: marks },
					mark: ringMark(theme),
					encoding: { x: at("x"), y: at("y"), shape: { field: "shape", type: "nominal", scale: null } },
				},
			];
}

/** A line for each: its stroke and its name, above the plot. */
function legend(lines: readonly (PlotCurve | PlotRule)[], theme: ChartTheme, width: number) {
	return lines.flatMap((line, row) => {
		const y = { value: -LEGEND_ABOVE - LEGEND_LINE * (lines.length - 1 - row) };
		const { color, dash } =
			"place" in line ? strokeOf(theme, line.place) : { color: theme.limit, dash: line.dash };
		const dots = "dots" in line && line.dots === true;
		return [
			dots
				? {
						data: { values: [{}] },
						mark: { type: "circle", size: 26, color, opacity: 0.55 },
						encoding: { x: { value: -35 }, y },
					}
				: {
						data: { values: [{}] },
						mark: { type: "rule", color, strokeWidth: "place" in line ? 2.2 : 1.4, strokeDash: dash },
						encoding: { x: { value: -50 }, x2: { value: -20 }, y },
					},
			{
				data: { values: [{}] },
				mark: {
					type: "text",
					text: shortened(line.name, Math.floor((width + MARGIN.right + 10) / CHARACTER)),
					align: "left",
					baseline: "middle",
					fontSize: 12,
					color: theme.ink,
				},
				encoding: { x: { value: -12 }, y },
			},
		];
	});
}
