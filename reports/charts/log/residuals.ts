import type { ChartSpec } from "../../page/svg.ts";
import { co2Axis } from "../axes.ts";
import type { ChartTheme } from "../theme.ts";
import { brokenLine, dotted, type LegendLine, logFrame } from "./logframe.ts";
import type { LogTrace } from "./logoverlay.ts";
import { loneDots } from "./logseries.ts";
import type { LogClock } from "./logtime.ts";

/** What is left over between log and model, over the time of the log. */
export interface ResidualChartData {
	readonly clock: LogClock;
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** Logged less model [ppm]. */
	readonly residual: LogTrace;
	/** Half the width of a band around 0, with what it stands for; null: none. */
	readonly allowed: { readonly ppm: number; readonly text: string } | null;
}

/** Logged less model, dot by dot or as a band with its mean. */
export function residualSpec(picture: ResidualChartData, theme: ChartTheme, width: number): ChartSpec {
	const { clock, fromSeconds, toSeconds, residual, allowed } = picture;
	const reach = Math.max(
		1,
		allowed?.ppm ?? 0,
		...(residual.kind === "points"
			? residual.points.map(({ c }) => Math.abs(c ?? 0))
			: residual.band.flatMap(({ low, high }) => [Math.abs(low), Math.abs(high)])),
	);
	const yAxis = co2Axis([{ low: -reach, high: reach }], reach, -reach);
	const [color, middle] = theme.series as [string, string];
	const legend: LegendLine[] = [
		...(residual.kind === "points"
			? [{ how: "dots", color, text: "each sample" } as const]
			: [
					{ how: "band", color, text: "lowest to highest of neighbouring samples" } as const,
					{ how: "line", color: middle, text: "their mean" } as const,
				]),
		...(allowed === null
			? []
			: [{ how: "line", color: theme.soft, dash: [4, 3], text: allowed.text } as const]),
	];
	const { x, y, frame, furniture } = logFrame(
		{
			clock,
			fromSeconds,
			toSeconds,
			y: yAxis,
			yTitle: "log minus model (ppm)",
			legend,
			strips: [],
			height: width > 500 ? 200 : 170,
		},
		theme,
		width,
	);
	const rule = (ppm: number, mark: object) => ({
		data: { values: [{}] },
		mark: { type: "rule", ...mark },
		encoding: { y: { ...y, datum: ppm } },
	});
	return {
		...frame,
		layer: [
			...(residual.kind === "points"
				? [
						{
							data: { values: loneDots(residual.points) },
							mark: dotted(color, residual.points.length > width / 2 ? 2.2 : 3.6),
							encoding: { x, y: { ...y, field: "c" } },
						},
					]
				: [
						{
							data: { values: residual.band },
							mark: { type: "area", color, opacity: 0.35, clip: true },
							encoding: { x, y: { ...y, field: "low" }, y2: { field: "high" }, detail: { field: "piece" } },
						},
						{
							data: { values: residual.band },
							mark: brokenLine(middle, 1.4),
							encoding: { x, y: { ...y, field: "mean" }, detail: { field: "piece" } },
						},
					]),
			rule(0, { color: theme.limit, strokeWidth: 1.4 }),
			...(allowed === null
				? []
				: [allowed.ppm, -allowed.ppm].map((ppm) =>
						rule(ppm, { color: theme.soft, strokeWidth: 1.4, strokeDash: [4, 3] }),
					)),
			...furniture,
		],
	} as unknown as ChartSpec;
}
