import type { ChartSpec } from "../../page/svg.ts";
import { type ChartTheme, chartConfig } from "../theme.ts";

/** What each uncertain input does to the peak [ppm], the most influential first. */
export interface SensitivityChartData {
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
/** Typical width of a character [px]. */
const CHARACTER = 6.3;

const shortenLabel = (text: string, most: number): string =>
	text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}…`;

/** A bar an input, from the figure at its low end (hollow) to that at its high end (filled). */
export function sensitivitySpec(picture: SensitivityChartData, theme: ChartTheme, width: number): ChartSpec {
	const { inputs, centralPpm, ceilingPpm, statistic } = picture;
	const height = inputs.length * ROW + 6;
	const rows = inputs.map(({ label, peakAtLowPpm, peakAtHighPpm, share }, place) => ({
		heading: shortenLabel(
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
		scale: { domain: [from - margin, to + margin], nice: false, zero: false },
		axis: {
			labelExpr: "format(datum.value, datum.value >= 10000 ? ',d' : '~r')",
			title: `${statistic} CO₂ (ppm)`,
			tickCount: width / 90,
			grid: true,
			domain: false,
			ticks: false,
		},
	};
	const y = { scale: null, type: "quantitative" };
	const line = (value: number, text: string, dash: readonly number[], up: number) => [
		{
			// From its name down, but not through the words above the bars.
			data: { values: [{ y: -4, y2: 2 }, ...rows.map(({ at }) => ({ y: at - 9, y2: at + 9 }))] },
			mark: { type: "rule", color: theme.limit, strokeWidth: 1.4, strokeDash: dash },
			encoding: { x: { ...x, datum: value }, y: { ...y, field: "y" }, y2: { field: "y2" } },
		},
		{
			data: { values: [{}] },
			mark: {
				type: "text",
				text: `${text} ${Math.round(value)}`,
				align: value > (from + to) / 2 ? "right" : "left",
				dx: value > (from + to) / 2 ? 4 : -4,
				baseline: "bottom",
				dy: up,
				fontSize: 12,
				color: theme.ink,
			},
			encoding: { x: { ...x, datum: value }, y: { value: 0 } },
		},
	];
	const color = theme.series[0];
	return {
		config: chartConfig(theme),
		padding: 4,
		width,
		height,
		layer: [
			...line(centralPpm, "central", [4, 3], -20),
			...line(ceilingPpm, "ceiling", [1, 0], -5),
			{
				data: { values: rows },
				mark: { type: "rule", color, strokeWidth: BAR, opacity: 0.45 },
				encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y: { ...y, field: "at" } },
			},
			...(["low", "high"] as const).map((end) => ({
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
				encoding: { x: { ...x, field: end }, y: { ...y, field: "at" } },
			})),
			...[true, false].map((halo) => ({
				data: { values: rows },
				mark: {
					type: "text",
					align: "left",
					baseline: "middle",
					fontSize: 12,
					...(halo
						? { color: theme.halo, stroke: theme.halo, strokeWidth: 4, strokeJoin: "round" }
						: { color: theme.ink }),
				},
				encoding: { x: { value: 0 }, y: { ...y, field: "headingY" }, text: { field: "heading" } },
			})),
		],
	} as unknown as ChartSpec;
}
