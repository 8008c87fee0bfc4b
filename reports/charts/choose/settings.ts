import { power } from "../../../lib/power.ts";
import { timeUnit } from "../axes.ts";
import { ALONE, BREAKS, chartSpec, textMark, titleOnTop } from "../marks.ts";
import { haloWord, namedMarks } from "../namedmarks.ts";
import type { ChartSpec } from "../svg.ts";
import { type ChartTheme, legendType } from "../theme.ts";

/** What the map of all settings shows. */
export interface SettingsChartData {
	/** Edges of the cells [s], ascending, one more than there are cells. */
	readonly onEdges: readonly number[];
	readonly offEdges: readonly number[];
	/** Of on cell i and off cell j at i · (number of off cells) + j [ppm]. */
	readonly ppm: ArrayLike<number>;
	readonly statistic: string;
	readonly intakePpm: number;
	readonly ceilingPpm: number;
	readonly longestCycleSeconds: number;
	/** Shortest on-time that meets the target, by off-time; NaN where none does. */
	readonly boundary: { readonly offSeconds: ArrayLike<number>; readonly onSeconds: ArrayLike<number> };
	/** Longest possible off-time, with any fan [s]; null: there is none. */
	readonly maxOffSeconds: number | null;
	readonly marks: readonly {
		readonly name: string;
		readonly shape: string;
		readonly onSeconds: number;
		readonly offSeconds: number;
	}[];
}

const HEIGHT = 380;
/** Points of the contour; more show no more. */
const CONTOUR_POINTS = 240;

/** From here on an axis is better logarithmic. */
const isWideRange = (edges: readonly number[]): boolean => edges.at(-1)! / edges[0]! > 20;

/** Cells between two times: evenly apart in the logarithm where the span is wide, else evenly apart. */
export function cellEdges(lowSeconds: number, highSeconds: number, cells: number): readonly number[] {
	const wide = lowSeconds > 0 && isWideRange([lowSeconds, highSeconds]);
	return Array.from({ length: cells + 1 }, (_, i) =>
		wide
			? lowSeconds * power(highSeconds / lowSeconds, i / cells)
			: lowSeconds + ((highSeconds - lowSeconds) * i) / cells,
	);
}

/** Times that stand for the cells between such edges. */
export const cellCentres = (edges: readonly number[]): readonly number[] =>
	edges
		.slice(1)
		.map((high, i) => (isWideRange(edges) ? Math.sqrt(high * edges[i]!) : (high + edges[i]!) / 2));

/** Limits between the colours [ppm]: quarters of the way from the supply air to the ceiling, and beyond it ever wider. */
export function colourLimits(intakePpm: number, ceilingPpm: number): readonly number[] {
	const way = Math.max(ceilingPpm - intakePpm, ceilingPpm / 10);
	const round = (ppm: number): number => Number(ppm.toPrecision(2));
	const under = [0.25, 0.5, 0.75].map((share) => round(ceilingPpm - way * (1 - share)));
	const over = [1.5, 2.5, 5, 10].map((share) => round(ceilingPpm + way * (share - 1)));
	return [
		...new Set([...under.filter((x) => x < ceilingPpm), ceilingPpm, ...over.filter((x) => x > ceilingPpm)]),
	];
}

/** A little beyond an edge, to which the next rectangle is painted: else the seams show where the drawing is scaled. */
const overlapping = (edges: readonly number[], edge: number): number =>
	edge === edges.length - 1 ? edges[edge]! : edges[edge]! + 0.2 * (edges[edge + 1]! - edges[edge]!);

/** Cells side by side in one colour as one rectangle: a tenth of the marks. */
function mergeCells(picture: SettingsChartData, limits: readonly number[]) {
	const { onEdges, offEdges, ppm, longestCycleSeconds } = picture;
	const [on, off] = [cellCentres(onEdges), cellCentres(offEdges)];
	return on.flatMap((onSeconds, i) => {
		const row: { from: number; to: number; step: number }[] = [];
		off.forEach((offSeconds, j) => {
			if (onSeconds + offSeconds > longestCycleSeconds * 1.001) return;
			const value = ppm[i * off.length + j]!;
			const step = limits.filter((limit) => value > limit).length;
			const last = row.at(-1);
			if (last?.step === step && last.to === j) last.to = j + 1;
			else row.push({ from: j, to: j + 1, step });
		});
		return row.map(({ from, to, step }) => ({
			x: offEdges[from]!,
			x2: overlapping(offEdges, to),
			y: onEdges[i]!,
			y2: overlapping(onEdges, i + 1),
			step,
		}));
	});
}

const TICKS = [
	0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 14_400, 28_800, 86_400,
	172_800, 604_800,
];

/** A time axis in words: on a logarithmic one seconds, minutes and hours stand side by side. */
function timeScale(edges: readonly number[], lengthPx: number) {
	const [from, to] = [edges[0]!, edges.at(-1)!];
	const wide = isWideRange(edges);
	const toPx = (t: number): number => {
		const at = wide ? Math.log(t / from) / Math.log(to / from) : (t - from) / (to - from);
		return Math.max(0, Math.min(1, at)) * lengthPx;
	};
	const { seconds, symbol } = timeUnit(to);
	const values: number[] = [];
	// No closer than 34 px.
	for (const t of TICKS)
		if (t >= from && t <= to && (values.length === 0 || toPx(t) - toPx(values.at(-1)!) >= 34)) values.push(t);
	return {
		toPx,
		scale: {
			domain: [from, to],
			nice: false,
			clamp: true,
			...(wide ? { type: "log" } : { type: "linear", zero: false }),
		},
		axis: {
			...(wide ? { values } : { tickCount: 6 }),
			grid: false,
			labelExpr: wide
				? "datum.value < 60 ? format(datum.value, '~r') + ' s' : datum.value < 3600 ? format(datum.value / 60, '~r') + ' min' : format(datum.value / 3600, '~r') + ' h'"
				: `format(datum.value / ${seconds}, '~r') + ' ${symbol}'`,
		},
	};
}

/** The contour in as many points as a plot can show, broken where no on-time holds. */
function drawBoundary(
	{ boundary, offEdges, onEdges }: SettingsChartData,
	toPx: (t: number) => number,
	width: number,
) {
	const { offSeconds, onSeconds } = boundary;
	const kept: { off: number; on: number | null }[] = [];
	let lastPx = Number.NEGATIVE_INFINITY;
	for (let j = 0; j < offSeconds.length; j++) {
		const [off, on] = [offSeconds[j]!, onSeconds[j]!];
		const ends = !(onSeconds[j + 1]! >= 0) || !(onSeconds[j - 1]! >= 0);
		if (off < offEdges[0]! || off > offEdges.at(-1)!) continue;
		if (!Number.isFinite(on) || on > onEdges.at(-1)!) {
			if (kept.at(-1)?.on != null) kept.push({ off, on: null });
		} else if (ends || toPx(off) - lastPx >= width / CONTOUR_POINTS) {
			kept.push({ off, on: Math.max(on, onEdges[0]!) });
			lastPx = toPx(off);
		}
	}
	return kept;
}

/** Every setting of the timer: the judged CO2 as colour, the ceiling as a contour, the longest possible off-time as a dashed line. */
export function settingsSpec(picture: SettingsChartData, theme: ChartTheme, width: number): ChartSpec {
	const { onEdges, offEdges, ceilingPpm, marks, statistic } = picture;
	const isRoomy = width > 500;
	const limits = colourLimits(picture.intakePpm, ceilingPpm);
	const names = [...limits.map((limit) => `to ${limit}`), `over ${limits.at(-1)}`];
	const horizontal = timeScale(offEdges, width);
	const vertical = timeScale(onEdges, HEIGHT);
	const offPx = horizontal.toPx;
	const onPx = (t: number): number => HEIGHT - vertical.toPx(t);
	const x = {
		type: "quantitative",
		scale: horizontal.scale,
		axis: { ...horizontal.axis, title: "off-time" },
	};
	const y = {
		type: "quantitative",
		scale: vertical.scale,
		axis: { ...vertical.axis, ...titleOnTop("on-time", 46, 14), minExtent: 46, maxExtent: 46 },
	};
	// Fill and stroke share their legend, or there would be two.
	const byStep = {
		field: "step",
		type: "ordinal",
		scale: { domain: names.map((_, i) => i), range: theme.ramp.slice(0, names.length) },
		legend: {
			title: `${statistic} CO₂ (ppm)`,
			columns: isRoomy ? 5 : 3,
			symbolType: "square",
			symbolSize: 220,
			columnPadding: isRoomy ? 16 : 4,
			symbolStrokeWidth: 0,
			symbolOpacity: 1,
			labelExpr: `${JSON.stringify(names)}[datum.value]`,
			offset: 12,
			...legendType(theme),
		},
	};
	const line = drawBoundary(picture, offPx, width);
	const stroke = (color: string, strokeWidth: number) => ({
		data: { values: line },
		mark: { type: "line", interpolate: "linear", color, strokeWidth, ...BREAKS, clip: true },
		encoding: { x: { ...x, field: "off" }, y: { ...y, field: "on" }, order: { field: "off" } },
	});
	const end = line.findLast(({ on }) => on !== null);
	return chartSpec(theme, {
		width,
		height: HEIGHT,
		layer: [
			{
				data: { values: mergeCells(picture, limits) },
				mark: { type: "rect", strokeWidth: 0 },
				encoding: {
					x: { ...x, field: "x" },
					x2: { field: "x2" },
					y: { ...y, field: "y" },
					y2: { field: "y2" },
					stroke: byStep,
					color: byStep,
				},
			},
			...(line.length === 0 ? [] : [stroke(theme.halo, 5), stroke(theme.limit, 2)]),
			...(end === undefined
				? []
				: haloWord(
						isRoomy ? `${ceilingPpm} ppm: ceiling met above this line` : `${ceilingPpm} ppm`,
						Math.max(offPx(end.off), isRoomy ? 215 : 70) - 8,
						Math.max(onPx(end.on!) - 16, 12),
						theme,
						"right",
					)),
			...offTimeLimit(picture, offPx, theme, width),
			...namedMarks(
				marks.map(({ name, shape, onSeconds, offSeconds }) => ({
					name,
					shape,
					x: offPx(offSeconds),
					y: onPx(onSeconds),
				})),
				theme,
				width,
				HEIGHT,
			),
		],
	});
}

/** The longest possible off-time as a dashed line with its name above; nothing where it is beyond the map. */
function offTimeLimit(
	{ maxOffSeconds, offEdges }: SettingsChartData,
	toPx: (t: number) => number,
	theme: ChartTheme,
	width: number,
): readonly object[] {
	if (maxOffSeconds === null || maxOffSeconds >= offEdges.at(-1)!) return [];
	const x = { value: toPx(maxOffSeconds) };
	const [text, align, dx] =
		x.value > width * 0.6
			? ["longest possible off-time ▼", "right", 5]
			: ["▼ longest possible off-time", "left", -5];
	return [
		...[
			{ color: theme.halo, strokeWidth: 5, strokeDash: [1, 0] },
			{ color: theme.limit, strokeWidth: 2, strokeDash: [6, 4] },
		].map((look) => ({ data: ALONE, mark: { type: "rule", ...look }, encoding: { x } })),
		{
			data: ALONE,
			mark: textMark(theme.ink, { text, align, baseline: "bottom", dx, dy: -5 }),
			encoding: { x, y: { value: 0 } },
		},
	];
}
