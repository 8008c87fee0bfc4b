import type { ChartSpec } from "../../page/svg.ts";
import { co2Axis, timeAxis, timeUnit } from "../axes.ts";
import { type ChartTheme, chartConfig } from "../theme.ts";

/** The sawtooth over draws of the uncertain inputs: quantiles over time [s], [ppm]. */
export interface BandChartData {
	readonly timesSeconds: readonly number[];
	readonly p05Ppm: readonly number[];
	readonly p50Ppm: readonly number[];
	readonly p95Ppm: readonly number[];
	readonly ceilingPpm: number;
	readonly floorPpm: number | null;
}

const HEIGHT = 300;

/** Two cycles: the band of 90 % of the draws, the median, the ceiling. */
export function bandSpec(picture: BandChartData, theme: ChartTheme, width: number): ChartSpec {
	const { timesSeconds, p05Ppm, p50Ppm, p95Ppm, ceilingPpm, floorPpm } = picture;
	const lastSeconds = timesSeconds.at(-1) ?? 1;
	const unit = timeUnit(lastSeconds);
	const [low, high] = [Math.min(...p05Ppm), Math.max(...p95Ppm)];
	const axis = co2Axis([{ low, high }], ceilingPpm, floorPpm);
	const rows = timesSeconds.map((t, i) => ({ t, low: p05Ppm[i], middle: p50Ppm[i], high: p95Ppm[i] }));
	const x = {
		field: "t",
		type: "quantitative",
		scale: { domain: [0, lastSeconds], nice: false, zero: false },
		axis: {
			values: timeAxis(0, lastSeconds, unit).ticks.map((tick) => tick * unit.seconds),
			labelExpr: `format(datum.value / ${unit.seconds}, '~r')`,
			title: `time from the end of a pause (${unit.symbol})`,
			grid: true,
			labelOverlap: true,
			labelFlush: false,
		},
	};
	const y = {
		type: "quantitative",
		scale: { domain: [axis.from, axis.to], nice: false, zero: false, clamp: true },
		axis: {
			values: axis.ticks,
			labelExpr: "format(datum.value, datum.value >= 10000 ? ',d' : '~r')",
			title: "CO₂ (ppm)",
			titleAngle: 0,
			titleAlign: "left",
			titleAnchor: "start",
			titleX: -44,
			titleY: -12,
			domain: false,
			ticks: false,
			minExtent: 44,
			maxExtent: 44,
		},
	};
	const atEnd = (value: number): number =>
		HEIGHT * (1 - (Math.max(axis.from, Math.min(axis.to, value)) - axis.from) / (axis.to - axis.from));
	// Names at the right end, from top to bottom, no closer than a line.
	const names = [
		{ text: "ceiling", y: atEnd(ceilingPpm) },
		...(floorPpm === null ? [] : [{ text: "floor", y: atEnd(floorPpm) }]),
		{ text: "95 %", y: atEnd(p95Ppm.at(-1) ?? 0) },
		{ text: "50 %", y: atEnd(p50Ppm.at(-1) ?? 0) },
		{ text: "5 %", y: atEnd(p05Ppm.at(-1) ?? 0) },
	].sort((a, b) => a.y - b.y);
	for (let i = 1; i < names.length; i++) names[i]!.y = Math.max(names[i]!.y, names[i - 1]!.y + 15);
	const rule = (value: number, strokeDash: readonly number[]) => ({
		data: { values: [{}] },
		mark: { type: "rule", color: theme.limit, strokeWidth: 1.4, strokeDash },
		encoding: { y: { ...y, datum: value } },
	});
	const color = theme.series[0];
	return {
		config: chartConfig(theme),
		padding: 4,
		width,
		height: HEIGHT,
		data: { values: rows },
		layer: [
			{
				mark: { type: "area", color, opacity: 0.22, clip: true },
				encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" } },
			},
			...["low", "high"].map((field) => ({
				mark: { type: "line", color, strokeWidth: 1, strokeDash: [4, 3], clip: true },
				encoding: { x, y: { ...y, field } },
			})),
			{
				mark: { type: "line", color, strokeWidth: 2, clip: true },
				encoding: { x, y: { ...y, field: "middle" } },
			},
			rule(ceilingPpm, [1, 0]),
			...(floorPpm === null ? [] : [rule(floorPpm, [4, 3])]),
			{
				data: { values: names },
				mark: { type: "text", align: "left", baseline: "middle", dx: 6, fontSize: 12, color: theme.ink },
				encoding: {
					x: { value: width },
					y: { field: "y", scale: null, type: "quantitative" },
					text: { field: "text" },
				},
			},
		],
	} as unknown as ChartSpec;
}
