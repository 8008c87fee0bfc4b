import {
	ALONE,
	BARE,
	CHARACTER,
	chartSpec,
	haloed,
	linear,
	NUMBER,
	px,
	shortenText,
	textMark,
} from "../marks.ts";
import type { ChartSpec } from "../svg.ts";
import type { ChartTheme } from "../theme.ts";

/** What each uncertain input does to the peak [ppm], the most influential first. */
interface SensitivityChartData {
	readonly inputs: readonly {
		readonly label: string;
		readonly peakAtLowPpm: number;
		readonly peakAtHighPpm: number;
		/** [0..1] */
		readonly share: number;
	}[];
	readonly centralPpm: number;
	readonly ceilingPpm: number;
	readonly statistic: string;
}

const ROW = 40;
const BAR = 9;
/** A bar an input, from the figure at its low end (hollow) to that at its high end (filled). */
export function sensitivitySpec(picture: SensitivityChartData, theme: ChartTheme, width: number): ChartSpec {
	const { inputs, centralPpm, ceilingPpm, statistic } = picture;
	const height = inputs.length * ROW + 6;
	const rows = inputs.map(({ label, peakAtLowPpm, peakAtHighPpm, share }, place) => ({
		heading: shortenText(
			`${share < 0.005 ? "< 1" : Math.round(share * 100)} %  ${label}`,
			Math.floor((width + 20) / CHARACTER),
		),
		headingY: place * ROW + 10,
		at: place * ROW + 27,
		low: peakAtLowPpm,
		high: peakAtHighPpm,
	}));
	const all = [centralPpm, ceilingPpm, ...inputs.flatMap((i) => [i.peakAtLowPpm, i.peakAtHighPpm])];
	const [from, to] = [Math.min(...all), Math.max(...all)];
	const margin = Math.max((to - from) * 0.06, 5);
	const x = {
		type: "quantitative",
		scale: linear(from - margin, to + margin),
		axis: { labelExpr: NUMBER, title: `${statistic} CO₂ (ppm)`, tickCount: width / 90, grid: true, ...BARE },
	};
	const line = (value: number, text: string, strokeDash: readonly number[], dy: number) => {
		const isOnRight = value > (from + to) / 2;
		const [align, dx] = isOnRight ? ["right", 4] : ["left", -4];
		return [
			{
				// From its name down, but not through the words above the bars.
				data: { values: [{ y: -4, y2: 2 }, ...rows.map(({ at }) => ({ y: at - 9, y2: at + 9 }))] },
				mark: { type: "rule", color: theme.limit, strokeWidth: 1.4, strokeDash },
				encoding: { x: { ...x, datum: value }, y: px("y"), y2: { field: "y2" } },
			},
			{
				data: ALONE,
				mark: textMark(theme.ink, {
					text: `${text} ${Math.round(value)}`,
					align,
					dx,
					baseline: "bottom",
					dy,
				}),
				encoding: { x: { ...x, datum: value }, y: { value: 0 } },
			},
		];
	};
	const color = theme.series[0];
	return chartSpec(theme, {
		width,
		height,
		layer: [
			...line(centralPpm, "central", [4, 3], -20),
			...line(ceilingPpm, "ceiling", [1, 0], -5),
			{
				data: { values: rows },
				mark: { type: "rule", color, strokeWidth: BAR, opacity: 0.45 },
				encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y: px("at") },
			},
			...["low", "high"].map((end) => ({
				data: { values: rows },
				mark: {
					type: "point",
					shape: "circle",
					filled: true,
					size: 70,
					fill: end === "low" ? theme.halo : color,
					stroke: color,
					strokeWidth: 2,
					opacity: 1,
				},
				encoding: { x: { ...x, field: end }, y: px("at") },
			})),
			...haloed(theme).map((mark) => ({
				data: { values: rows },
				mark,
				encoding: { x: { value: 0 }, y: px("headingY"), text: { field: "heading" } },
			})),
		],
	});
}
