import { co2Axis } from "../axes.ts";
import { ALONE, co2Channel, limitRule, textMark } from "../marks.ts";
import type { ChartTheme } from "../theme.ts";
import { type Frame, momentRule } from "./frame.ts";
import { type ChartData, extremes } from "./picture.ts";

/** A line that the CO2 is held against, named at the right end; `shift` moves the name [px]. */
const limit = (
	name: string,
	ppm: number,
	dash: readonly number[],
	shift: number,
	y: object,
	theme: ChartTheme,
) => [
	limitRule(theme, { y: { ...y, datum: ppm } }, dash),
	{
		data: ALONE,
		mark: textMark(theme.ink, { text: [name, `${Math.round(ppm)} ppm`], dx: 6, dy: shift - 6 }),
		encoding: { x: { value: { expr: "width" } }, y: { ...y, datum: ppm } },
	},
];

/** A remark above the right end of the plot, about what does not fit in it. */
const overTheTop = (text: string, line: number, theme: ChartTheme) => ({
	data: ALONE,
	mark: textMark(theme.ink, {
		text: `▲ ${text}`,
		align: "right",
		baseline: "bottom",
		dy: -6 - 16 * line,
		limit: { expr: line === 0 ? "width - 40" : "width" },
	}),
	encoding: { x: { value: { expr: "width" } }, y: { value: 0 } },
});

/** CO2 of all series over time: lines, bands where cycles are too short for a line, ceiling and floor. */
export function co2Plot(picture: ChartData, frame: Frame, theme: ChartTheme, width: number) {
	const { series, ceilingPpm, floorPpm, zone } = picture;
	const ends = series.map(({ co2Ppm }) => extremes(co2Ppm));
	const axis = co2Axis(ends, ceilingPpm, floorPpm);
	// More schedules cross each other more: they get more height [px].
	const height = Math.min(460, 280 + 30 * Math.max(0, series.length - 2));

	const x = {
		field: "t",
		type: "quantitative",
		scale: frame.timeScale,
		axis: { values: frame.ticks, grid: true, labels: false, ticks: false, domain: false, title: null },
	};
	const y = co2Channel(axis, zone === null ? "CO₂ (ppm)" : `CO₂ where the crop stands: ${zone} (ppm)`);
	const { color, dash: strokeDash } = frame;
	const detail = { field: "piece" };

	// The names of ceiling and floor take two lines each: closer rules push them apart.
	const between = floorPpm === null ? height : ((ceilingPpm - floorPpm) / (axis.to - axis.from)) * height;
	const apart = Math.max(0, (32 - between) / 2);
	const beyond = series.flatMap(({ name }, place) => {
		const high = ends[place]!.high;
		return high > axis.to ? [`${name} rises to ${Math.round(high)} ppm`] : [];
	});

	return {
		width,
		height,
		layer: [
			...(beyond.length === 0 ? [] : [overTheTop(beyond.join("; "), zone === null ? 0 : 1, theme)]),
			{
				data: { name: "band" },
				mark: { type: "area", opacity: 0.22, clip: true },
				encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" }, color, detail },
			},
			...["low", "high"].map((edge) => ({
				data: { name: "band" },
				mark: { type: "line", strokeWidth: 1.4, clip: true },
				encoding: { x, y: { ...y, field: edge }, color, strokeDash, detail },
			})),
			{
				data: { name: "line" },
				mark: { type: "line", strokeWidth: 1.8, strokeJoin: "round", clip: true },
				encoding: { x, y: { ...y, field: "c" }, color, strokeDash, detail },
			},
			...limit("ceiling", ceilingPpm, [1, 0], -apart, y, theme),
			...(floorPpm === null ? [] : limit("floor", floorPpm, [4, 3], apart, y, theme)),
			momentRule(theme, x),
			{
				data: { name: "moment" },
				mark: { type: "point", filled: true, size: 46, stroke: theme.ink, strokeWidth: 1, opacity: 1 },
				encoding: { x, y: { ...y, field: "c" }, color },
			},
		],
	};
}
