import type { ChartSpec } from "../page/svg.ts";
import { boxAround, haloWord, namedMarks, ringMark, type Spot, wordBox } from "./namedmarks.ts";
import { type ChartTheme, chartConfig, strokeOf } from "./theme.ts";

/** An axis with its scale, in the unit that its title names. */
export interface PlotAxis {
	readonly title: string;
	readonly from: number;
	readonly to: number;
	readonly isLog?: boolean;
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
	readonly isDotted?: boolean;
}

/** A straight line across the plot; one along x is named in the legend, one along y at its upper end. */
export interface PlotRule {
	readonly along: "x" | "y";
	/** Where it stands on the other axis. */
	readonly at: number;
	readonly name: string;
	readonly dash: readonly number[];
}

/** A place of note, marked by a shape and named; a name may be "". */
export interface PlotMark extends PlotPoint {
	readonly name: string;
	readonly shape: string;
}

/** Curves over two plain axes. */
export interface CurvePlot {
	readonly x: PlotAxis;
	readonly y: PlotAxis;
	readonly curves: readonly PlotCurve[];
	readonly rules?: readonly PlotRule[];
	readonly marks?: readonly PlotMark[];
	/** Words in the plot, that start or end at a place of it. */
	readonly words?: readonly (PlotPoint & { readonly text: string; readonly align: "left" | "right" })[];
}

const NUMBER = "format(datum.value, datum.value >= 10000 ? ',d' : '~r')";
/** Around the plot, for the words of the axes [px]. */
const MARGIN = { left: 58, right: 22, bottom: 44 };
/** Typical width of a character [px]. */
const CHARACTER = 6.3;
const LEGEND_LINE = 18;
/** From the top of the plot up to the middle of the lowest line of the legend [px]. */
const LEGEND_ABOVE = 38;
/** Half a mark [px]. */
const RING = 7;
/** Wider plots than this have room for names [px]. */
const MIN_ROOMY_WIDTH = 500;
/** From one spot of a line to the next, where names look what they cover [px]. */
const SPOT = 5;
/** Longest name of a mark [characters]. */
const MAX_NAME_LENGTH = 26;

/** Height of the plot by its width [px]. */
const heightOf = (width: number): number => (width > MIN_ROOMY_WIDTH ? 300 : 240);

/** Place on an axis as a share of its length, from its lower end. */
export const axisFraction = ({ from, to, isLog = false }: PlotAxis, value: number): number =>
	isLog ? Math.log(value / from) / Math.log(to / from) : (value - from) / (to - from);

const inside = (axis: PlotAxis, value: number): boolean =>
	axisFraction(axis, value) >= 0 && axisFraction(axis, value) <= 1;

/** Curves with a legend above, rules, and named marks. */
export function curvePlotSpec(plot: CurvePlot, theme: ChartTheme, width: number): ChartSpec {
	const height = heightOf(width);
	const { curves, rules = [], marks = [], words = [] } = plot;
	const px = ({ x, y }: PlotPoint) => ({
		x: axisFraction(plot.x, x) * width,
		y: (1 - axisFraction(plot.y, y)) * height,
	});
	const fits = ({ x, y }: PlotPoint): boolean => inside(plot.x, x) && inside(plot.y, y);
	const shown = marks.filter(fits);
	// Where there is no room for names in the plot, the legend has them.
	const named = shown.filter(({ name }) => name !== "" && width > MIN_ROOMY_WIDTH);
	const lines = [
		...curves,
		...rules.filter((rule) => rule.along === "x"),
		...(width > MIN_ROOMY_WIDTH ? [] : shown.filter(({ name }) => name !== "")),
	];
	const common = ({ from, to, isLog, ticks, title, tickText }: PlotAxis) => ({
		scale: isLog
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
			...curves.map(({ points, place, isDotted = false }) => ({
				data: { values: isDotted ? points.filter(fits) : points },
				mark: isDotted
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
			...words
				.filter(fits)
				.flatMap((word) => haloWord(word.text, px(word).x, px(word).y, theme, { align: word.align })),
			...namelessMarks(
				shown.filter((mark) => !named.includes(mark)).map((mark) => ({ ...px(mark), shape: mark.shape })),
				theme,
			),
			...namedMarks(
				named.map((mark) => ({
					...px(mark),
					shape: mark.shape,
					name: shortenName(mark.name, MAX_NAME_LENGTH),
				})),
				theme,
				width,
				height,
				{
					lines: [
						...curves.flatMap(({ points, isDotted = false }) =>
							isDotted ? points.filter(fits).map(px) : spotsAlong(points.map(px), width, height),
						),
						...rules.flatMap(({ along, at }) =>
							spotsAlong(rulePx(plot, along, at, width, height), width, height),
						),
					],
					words: [
						...words.filter(fits).map((word) => wordBox(word.text, px(word), word.align)),
						...shown.filter((mark) => !named.includes(mark)).map((mark) => boxAround(px(mark), RING)),
						...rules
							.filter(({ along, at }) => along === "y" && inside(plot.x, at))
							.map((rule) => {
								const { x: from, align } = ruleWord(axisFraction(plot.x, rule.at), width);
								return wordBox(rule.name, { x: from, y: RULE_WORD }, align);
							}),
					],
				},
			),
			...legend(lines, theme, width),
		],
	} as unknown as ChartSpec;
}

const shortenName = (name: string, most: number): string =>
	name.length <= most ? name : `${name.slice(0, most - 1).trimEnd()}…`;

/** Height of the name of a rule in the plot [px]. */
const RULE_WORD = 9;

/** Where the name of an upright rule stands: on the side where there is more room. */
const ruleWord = (place: number, width: number): { readonly x: number; readonly align: "left" | "right" } =>
	place > 0.5 ? { x: place * width - 6, align: "right" } : { x: place * width + 6, align: "left" };

const rulePx = (
	plot: CurvePlot,
	along: PlotRule["along"],
	at: number,
	width: number,
	height: number,
): Spot[] =>
	along === "x"
		? [0, width].map((x) => ({ x, y: (1 - axisFraction(plot.y, at)) * height }))
		: [0, height].map((y) => ({ x: axisFraction(plot.x, at) * width, y }));

/** Spots some px apart along the part of a line that lies in the plot. */
function spotsAlong(points: readonly Spot[], width: number, height: number): Spot[] {
	const spots: Spot[] = [];
	points.forEach((to, i) => {
		const from = points[i - 1];
		if (from === undefined) return;
		// Far outside, a line that leaves the plot is not followed.
		const steps = Math.min(200, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / SPOT));
		for (let k = 0; k < steps; k++)
			spots.push({ x: from.x + ((to.x - from.x) * k) / steps, y: from.y + ((to.y - from.y) * k) / steps });
	});
	return spots.filter(({ x, y }) => x >= 0 && x <= width && y >= 0 && y <= height);
}

function ruleLayers(
	{ along, at, name, dash }: PlotRule,
	plot: CurvePlot,
	theme: ChartTheme,
	frame: { readonly x: object; readonly y: object; readonly width: number },
) {
	const across = along === "x" ? plot.y : plot.x;
	if (!inside(across, at)) return [];
	const { x: from, align } = ruleWord(axisFraction(across, at), frame.width);
	const word = along === "x" ? [] : haloWord(name, from, RULE_WORD, theme, { align });
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
function legend(lines: readonly (PlotCurve | PlotRule | PlotMark)[], theme: ChartTheme, width: number) {
	return lines.flatMap((line, row) => {
		const y = { value: -LEGEND_ABOVE - LEGEND_LINE * (lines.length - 1 - row) };
		const dots = "isDotted" in line && line.isDotted === true;
		const { color, dash } =
			"place" in line
				? strokeOf(theme, line.place)
				: { color: theme.limit, dash: "dash" in line ? line.dash : [1, 0] };
		return [
			"shape" in line
				? {
						data: { values: [{ shape: line.shape }] },
						mark: { ...ringMark(theme), size: 70 },
						encoding: {
							x: { value: -35 },
							y,
							shape: { field: "shape", type: "nominal", scale: null },
						},
					}
				: dots
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
					text: shortenName(line.name, Math.floor((width + MARGIN.right + 10) / CHARACTER)),
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
