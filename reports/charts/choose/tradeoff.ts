import { BARE, chartSpec, linear, NUMBER, titleOnTop } from "../marks.ts";
import { namedMarks } from "../namedmarks.ts";
import type { ChartSpec } from "../svg.ts";
import { type ChartTheme, legendType } from "../theme.ts";

/** Settings of the trade-off: less fresh air, fewer switching cycles, or a smaller ripple. */
export interface TradeoffChartData {
	readonly points: readonly { readonly bursts: number; readonly air: number; readonly ripplePpm: number }[];
	readonly marks: readonly {
		readonly name: string;
		readonly shape: string;
		readonly bursts: number;
		readonly air: number;
	}[];
	readonly airUnit: string;
	/** Water carried out [g per day] = base + slope · air; null: no second scale. */
	readonly water: { readonly base: number; readonly slope: number } | null;
}

const HEIGHT = 300;

const around = (values: readonly number[], least: number): [number, number] => {
	const [low, high] = [Math.min(...values), Math.max(...values)];
	const margin = Math.max((high - low) * 0.08, least);
	return [Math.max(0, low - margin), high + margin];
};

/** Fresh air and water per day against bursts per day; the size of a dot is its ripple. */
export function tradeoffSpec(picture: TradeoffChartData, theme: ChartTheme, width: number): ChartSpec {
	const { points, marks, water, airUnit } = picture;
	const all = [...points, ...marks];
	const bursts = around(
		all.map((p) => p.bursts),
		1,
	);
	const airs = all.map((p) => p.air);
	const air = around(airs, Math.max(...airs) * 0.005);
	const waters = air.map((a) => (water?.base ?? 0) + (water?.slope ?? 0) * a);
	const share = (value: number, [low, high]: readonly [number, number]): number =>
		(value - low) / (high - low);
	const color = theme.series[0];
	const upright = { labelExpr: NUMBER, tickCount: 6, ...BARE };
	return chartSpec(theme, {
		width,
		height: HEIGHT,
		resolve: { scale: { y: "independent" } },
		layer: [
			{
				layer: [
					{
						data: { values: points },
						mark: { type: "circle", color, opacity: 0.4, stroke: color, strokeWidth: 1 },
						encoding: {
							x: {
								field: "bursts",
								type: "quantitative",
								scale: linear(...bursts),
								axis: { title: "bursts per day", grid: false, tickCount: width / 80, labelFlush: false },
							},
							y: {
								field: "air",
								type: "quantitative",
								scale: linear(...air),
								axis: {
									...titleOnTop(`fresh air (${airUnit} per day)`, 46, 14),
									...upright,
									minExtent: 46,
									maxExtent: 46,
								},
							},
							size: {
								field: "ripplePpm",
								type: "quantitative",
								scale: { range: width > 500 ? [14, 260] : [8, 110] },
								legend: {
									title: "ripple (ppm)",
									tickCount: 4,
									symbolFillColor: "transparent",
									symbolStrokeColor: color,
									...legendType(theme),
								},
							},
						},
					},
					...namedMarks(
						marks.map(({ name, shape, ...mark }) => ({
							name,
							shape,
							x: share(mark.bursts, bursts) * width,
							y: HEIGHT - share(mark.air, air) * HEIGHT,
						})),
						theme,
						width,
						HEIGHT,
					),
				],
			},
			...(water === null
				? []
				: [
						{
							data: { values: [{ water: waters[0] }] },
							mark: { type: "point", opacity: 0 },
							encoding: {
								y: {
									field: "water",
									type: "quantitative",
									scale: linear(waters[0]!, waters[1]!),
									axis: {
										...titleOnTop("water out (g per day)", -52, 14),
										titleAlign: "right",
										orient: "right",
										grid: false,
										...upright,
									},
								},
							},
						},
					]),
		],
	});
}
