import { co2Axis } from "../axes.ts";
import type { ChartTheme } from "../theme.ts";
import { type Frame, momentRule } from "./frame.ts";
import type { ChartData, Series } from "./picture.ts";

const extremesOf = ({ co2Ppm }: Series) => {
	let low = Number.POSITIVE_INFINITY;
	let high = Number.NEGATIVE_INFINITY;
	for (let i = 0; i < co2Ppm.length; i++) {
		low = Math.min(low, co2Ppm[i] ?? low);
		high = Math.max(high, co2Ppm[i] ?? high);
	}
	return { low, high };
};

/** A line that the CO2 is held against, named at the right end; `shift` moves the name [px]. */
const limit = (
	name: string,
	ppm: number,
	dash: readonly number[],
	shift: number,
	y: object,
	theme: ChartTheme,
) => [
	{
		data: { values: [{}] },
		mark: { type: "rule", color: theme.limit, strokeWidth: 1.4, strokeDash: dash },
		encoding: { y: { ...y, datum: ppm } },
	},
	{
		data: { values: [{}] },
		mark: {
			type: "text",
			text: [name, `${Math.round(ppm)} ppm`],
			align: "left",
			baseline: "middle",
			dx: 6,
			dy: shift - 6,
			fontSize: 12,
			color: theme.ink,
		},
		encoding: { x: { value: { expr: "width" } }, y: { ...y, datum: ppm } },
	},
];

/** A remark above the right end of the plot, about what does not fit in it. */
const overTheTop = (text: string, line: number, theme: ChartTheme) => ({
	data: { values: [{}] },
	mark: {
		type: "text",
		text: `▲ ${text}`,
		align: "right",
		baseline: "bottom",
		dy: -6 - 16 * line,
		fontSize: 12,
		color: theme.ink,
		limit: { expr: line === 0 ? "width - 40" : "width" },
	},
	encoding: { x: { value: { expr: "width" } }, y: { value: 0 } },
});

/** CO2 of all series over time: lines, bands where cycles are too short for a line, ceiling and floor. */
export function co2Plot(picture: ChartData, frame: Frame, theme: ChartTheme, width: number) {
	const { series, ceilingPpm, floorPpm, zone } = picture;
	const extremes = series.map(extremesOf);
	const axis = co2Axis(extremes, ceilingPpm, floorPpm);
	// More schedules cross each other more: they get more height [px].
	const height = Math.min(460, 280 + 30 * Math.max(0, series.length - 2));

	const x = {
		field: "t",
		type: "quantitative",
		scale: frame.timeScale,
		axis: { values: frame.ticks, grid: true, labels: false, ticks: false, domain: false, title: null },
	};
	const y = {
		type: "quantitative",
		scale: { domain: [axis.from, axis.to], nice: false, zero: false, clamp: true },
		axis: {
			values: axis.ticks,
			labelExpr: "format(datum.value, datum.value >= 10000 ? ',d' : '~r')",
			title: zone === null ? "CO₂ (ppm)" : `CO₂ where the crop stands: ${zone} (ppm)`,
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
	const { color, dash: strokeDash } = frame;
	const detail = { field: "piece" };

	// The names of ceiling and floor take two lines each: closer rules push them apart.
	const between = floorPpm === null ? height : ((ceilingPpm - floorPpm) / (axis.to - axis.from)) * height;
	const apart = Math.max(0, (32 - between) / 2);
	const beyond = series.flatMap(({ name }, place) => {
		const high = extremes[place]?.high ?? 0;
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
