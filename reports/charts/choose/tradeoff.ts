import type { ChartSpec } from "../../page/svg.ts";
import { type NamedMark, namedMarks } from "../namedmarks.ts";
import { type ChartTheme, chartConfig } from "../theme.ts";

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
const NUMBER = "format(datum.value, datum.value >= 10000 ? ',d' : '~r')";

const around = (values: readonly number[], least: number): [number, number] => {
	const [low, high] = [Math.min(...values), Math.max(...values)];
	const margin = Math.max((high - low) * 0.08, least);
	return [Math.max(0, low - margin), high + margin];
};

/** Fresh air and water per day against bursts per day; the size of a dot is its ripple. */
export function tradeoffSpec(picture: TradeoffChartData, theme: ChartTheme, width: number): ChartSpec {
	const { points, marks, water, airUnit } = picture;
	const bursts = around(
		[...points, ...marks].map((p) => p.bursts),
		1,
	);
	const airs = [...points, ...marks].map((p) => p.air);
	const air = around(airs, Math.max(...airs) * 0.005);
	const scale = (domain: readonly number[]) => ({ domain, nice: false, zero: false });
	const px = (value: number, [low, high]: [number, number], length: number): number =>
		((value - low) / (high - low)) * length;
	const title = { titleAngle: 0, titleY: -14, titleAnchor: "start" };
	const named = marks.map(
		({ name, shape, ...mark }): NamedMark => ({
			name,
			shape,
			x: px(mark.bursts, bursts, width),
			y: HEIGHT - px(mark.air, air, HEIGHT),
		}),
	);
	return {
		config: chartConfig(theme),
		padding: 4,
		width,
		height: HEIGHT,
		resolve: { scale: { y: "independent" } },
		layer: [
			{
				layer: [
					{
						data: { values: points },
						mark: {
							type: "circle",
							color: theme.series[0],
							opacity: 0.4,
							stroke: theme.series[0],
							strokeWidth: 1,
						},
						encoding: {
							x: {
								field: "bursts",
								type: "quantitative",
								scale: scale(bursts),
								axis: { title: "bursts per day", grid: false, tickCount: width / 80, labelFlush: false },
							},
							y: {
								field: "air",
								type: "quantitative",
								scale: scale(air),
								axis: {
									...title,
									title: `fresh air (${airUnit} per day)`,
									titleAlign: "left",
									titleX: -46,
									labelExpr: NUMBER,
									tickCount: 6,
									minExtent: 46,
									maxExtent: 46,
									domain: false,
									ticks: false,
								},
							},
							size: {
								field: "ripplePpm",
								type: "quantitative",
								scale: { range: width > 500 ? [14, 260] : [8, 110] },
								legend: {
									title: "ripple (ppm)",
									orient: "bottom",
									direction: "horizontal",
									tickCount: 4,
									symbolFillColor: "transparent",
									symbolStrokeColor: theme.series[0],
									labelColor: theme.ink,
									labelFontSize: 12,
									titleColor: theme.soft,
									titleFontSize: 12,
									titleFontWeight: "normal",
								},
							},
						},
					},
					...namedMarks(named, theme, width, HEIGHT),
				],
			},
			...(water === null
				? []
				: [
						{
							data: { values: [{ water: water.base + water.slope * air[0] }] },
							mark: { type: "point", opacity: 0 },
							encoding: {
								y: {
									field: "water",
									type: "quantitative",
									scale: scale(air.map((a) => water.base + water.slope * a)),
									axis: {
										...title,
										title: "water out (g per day)",
										titleAlign: "right",
										titleX: 52,
										orient: "right",
										labelExpr: NUMBER,
										grid: false,
										tickCount: 6,
										domain: false,
										ticks: false,
									},
								},
							},
						},
					]),
		],
	} as unknown as ChartSpec;
}
