import { co2Axis, timeAxis, timeUnit } from "../axes.ts";
import { chartSpec, co2Channel, limitRule, linear, px, textMark } from "../marks.ts";
import type { ChartSpec } from "../svg.ts";
import type { ChartTheme } from "../theme.ts";

/** The sawtooth over draws of the uncertain inputs: quantiles over time [s], [ppm]. */
interface BandChartData {
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
		scale: linear(0, lastSeconds),
		axis: {
			values: timeAxis(0, lastSeconds, unit).ticks.map((tick) => tick * unit.seconds),
			labelExpr: `format(datum.value / ${unit.seconds}, '~r')`,
			title: `time from the end of a pause (${unit.symbol})`,
			grid: true,
			labelOverlap: true,
			labelFlush: false,
		},
	};
	const y = co2Channel(axis, "CO₂ (ppm)");
	const atEnd = (value: number): number =>
		HEIGHT * (1 - (Math.max(axis.from, Math.min(axis.to, value)) - axis.from) / (axis.to - axis.from));
	// Names at the right end, from top to bottom, no closer than a line.
	const ends = [p95Ppm, p50Ppm, p05Ppm].map((values) => values.at(-1) ?? 0);
	const names = [
		{ text: "ceiling", y: atEnd(ceilingPpm) },
		...(floorPpm === null ? [] : [{ text: "floor", y: atEnd(floorPpm) }]),
		...["95 %", "50 %", "5 %"].map((text, i) => ({ text, y: atEnd(ends[i]!) })),
	].sort((a, b) => a.y - b.y);
	for (let i = 1; i < names.length; i++) names[i]!.y = Math.max(names[i]!.y, names[i - 1]!.y + 15);
	const color = theme.series[0];
	return chartSpec(theme, {
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
			limitRule(theme, { y: { ...y, datum: ceilingPpm } }),
			...(floorPpm === null ? [] : [limitRule(theme, { y: { ...y, datum: floorPpm } }, [4, 3])]),
			{
				data: { values: names },
				mark: textMark(theme.ink, { dx: 6 }),
				encoding: { x: { value: width }, y: px("y"), text: { field: "text" } },
			},
		],
	});
}
