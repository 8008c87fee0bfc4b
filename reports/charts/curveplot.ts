import { BARE, limitRule, linear, NUMBER, px as pxField, shape, shortenText, titleOnTop } from "./marks.ts";
import { boxAround, haloWord, namedMarks, ringMark, type Spot, wordBox } from "./namedmarks.ts";
import { dotSign, framedSpec, type LegendLine, lineSign, MIN_ROOMY_WIDTH, shapeSign } from "./plotframe.ts";
import type { ChartSpec } from "./svg.ts";
import { type ChartTheme, strokeOf } from "./theme.ts";

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
interface PlotCurve {
	readonly name: string;
	readonly place: number;
	readonly points: readonly PlotPoint[];
	readonly isDotted?: boolean;
}

/** A straight line across the plot; one along x is named in the legend, one along y at its upper end. */
interface PlotRule {
	readonly along: "x" | "y";
	/** Where it stands on the other axis. */
	readonly at: number;
	readonly name: string;
	readonly dash: readonly number[];
}

/** A place of note, marked by a shape and named; a name may be "". */
interface PlotMark extends PlotPoint {
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

/** Half a mark [px]. */
const RING = 7;
/** From one spot of a line to the next, where names look what they cover [px]. */
const SPOT = 5;
/** Longest name of a mark [characters]. */
const MAX_NAME_LENGTH = 26;

/** Place on an axis as a share of its length, from its lower end. */
const axisFraction = ({ from, to, isLog = false }: PlotAxis, value: number): number =>
	isLog ? Math.log(value / from) / Math.log(to / from) : (value - from) / (to - from);

const inside = (axis: PlotAxis, value: number): boolean =>
	axisFraction(axis, value) >= 0 && axisFraction(axis, value) <= 1;

/** Curves with a legend above, rules, and named marks. */
export function curvePlotSpec(plot: CurvePlot, theme: ChartTheme, width: number): ChartSpec {
	const isRoomy = width > MIN_ROOMY_WIDTH;
	const height = isRoomy ? 300 : 240;
	const { curves, rules = [], marks = [] } = plot;
	const px = ({ x, y }: PlotPoint): Spot => ({
		x: axisFraction(plot.x, x) * width,
		y: (1 - axisFraction(plot.y, y)) * height,
	});
	const fits = ({ x, y }: PlotPoint): boolean => inside(plot.x, x) && inside(plot.y, y);
	const words = (plot.words ?? []).filter(fits);
	const shown = marks.filter(fits);
	// Where there is no room for names in the plot, the legend has them.
	const isNamed = ({ name }: PlotMark): boolean => name !== "" && isRoomy;
	const named = shown.filter(isNamed);
	const nameless = shown.filter((mark) => !isNamed(mark));
	const [x, y] = [channel(plot.x), channel(plot.y)];
	Object.assign(x.axis, { labelOverlap: true, titlePadding: 8 });
	Object.assign(y.axis, titleOnTop(plot.y.title, 50, 14));

	/** An upright rule has its name in the plot, on the side where there is more room. */
	const upright = rules
		.filter(({ along, at }) => along === "y" && inside(plot.x, at))
		.map(({ name, at }) => {
			const place = axisFraction(plot.x, at) * width;
			return place > width / 2
				? ({ name, x: place - 6, y: RULE_WORD, align: "right" } as const)
				: ({ name, x: place + 6, y: RULE_WORD, align: "left" } as const);
		});
	const ruleSpots = ({ along, at }: PlotRule): Spot[] =>
		along === "x"
			? [0, width].map((x) => ({ x, y: (1 - axisFraction(plot.y, at)) * height }))
			: [0, height].map((y) => ({ x: axisFraction(plot.x, at) * width, y }));
	const clear = {
		lines: [
			...curves.flatMap(({ points, isDotted = false }) =>
				isDotted ? points.filter(fits).map(px) : spotsAlong(points.map(px), width, height),
			),
			...rules.flatMap((rule) => spotsAlong(ruleSpots(rule), width, height)),
		],
		words: [
			...words.map((word) => wordBox(word.text, px(word), word.align)),
			...nameless.map((mark) => boxAround(px(mark), RING)),
			...upright.map(({ name, align, ...at }) => wordBox(name, at, align)),
		],
	};
	const legend: LegendLine[] = [
		...curves.map(({ name, place, isDotted = false }) => {
			const { color, dash } = strokeOf(theme, place);
			return { text: name, sign: isDotted ? dotSign({ ...DOT, color }) : lineSign(color, dash) };
		}),
		...rules
			.filter(({ along }) => along === "x")
			.map(({ name, dash }) => ({ text: name, sign: lineSign(theme.limit, dash, 1.4) })),
		...(isRoomy ? [] : shown.filter(({ name }) => name !== "")).map((mark) => ({
			text: mark.name,
			sign: shapeSign(mark.shape, { ...ringMark(theme), size: 70 }),
		})),
	];
	return framedSpec(theme, {
		width,
		height,
		legend,
		layer: [
			...curves.map(({ points, place, isDotted = false }) => {
				const { color, dash } = strokeOf(theme, place);
				return {
					data: { values: isDotted ? points.filter(fits) : points },
					mark: isDotted
						? { type: "circle", ...DOT, color }
						: // In the order of the points, for a curve may turn back.
							{ ...LINE, color, strokeDash: dash, order: null },
					encoding: { x: { ...x, field: "x" }, y: { ...y, field: "y" } },
				};
			}),
			...rules
				.filter(({ along, at }) => inside(along === "x" ? plot.y : plot.x, at))
				.map(({ along, at, dash }) =>
					limitRule(theme, along === "x" ? { y: { ...y, datum: at } } : { x: { ...x, datum: at } }, dash),
				),
			...upright.flatMap(({ name, x, y, align }) => haloWord(name, x, y, theme, align)),
			...words.flatMap((word) => haloWord(word.text, px(word).x, px(word).y, theme, word.align)),
			...(nameless.length === 0
				? []
				: [
						{
							data: { values: nameless.map((mark) => ({ ...px(mark), shape: mark.shape })) },
							mark: ringMark(theme),
							encoding: { x: pxField("x"), y: pxField("y"), shape },
						},
					]),
			...namedMarks(
				named.map((mark) => ({
					...px(mark),
					shape: mark.shape,
					name: shortenText(mark.name, MAX_NAME_LENGTH),
				})),
				theme,
				width,
				height,
				clear,
			),
		],
	});
}

const DOT = { size: 26, opacity: 0.55 };
const LINE = { type: "line", strokeWidth: 2, strokeJoin: "round", clip: true };
/** Height of the name of a rule in the plot [px]. */
const RULE_WORD = 9;

/** The channel of an axis. */
const channel = ({ from, to, isLog, ticks, title, tickText }: PlotAxis) => ({
	type: "quantitative",
	scale: isLog ? { type: "log", domain: [from, to], nice: false } : linear(from, to),
	axis: { values: ticks, labelExpr: tickText ?? NUMBER, title, ...BARE, labelFlush: false },
});

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
