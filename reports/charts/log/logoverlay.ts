import type { ChartSpec } from "../../page/svg.ts";
import { type Axis, co2Axis } from "../axes.ts";
import { haloWord } from "../namedmarks.ts";
import type { ChartTheme } from "../theme.ts";
import { brokenLine, dotted, type LegendLine, logFrame, type Strip, shapeStyle } from "./logframe.ts";
import { loneDots, type TraceBand, type TracePoint } from "./logseries.ts";
import type { LogClock } from "./logtime.ts";

/** One series of a log: sample by sample, or as a band where they are too many. */
export type LogTrace =
	| { readonly kind: "points"; readonly points: readonly TracePoint[] }
	| { readonly kind: "band"; readonly band: readonly TraceBand[] };

/** Samples that were left out for one reason. */
export interface ExcludedPoints {
	readonly text: string;
	readonly points: readonly { readonly t: number; readonly c: number }[];
}

/** A window of a log with the model over it. */
export interface OverlayChartData {
	readonly clock: LogClock;
	readonly fromSeconds: number;
	readonly toSeconds: number;
	readonly logged: LogTrace;
	readonly loggedText: string;
	/** What the sensor should show. */
	readonly sensor: LogTrace;
	readonly sensorText: string;
	/** CO2 in the chamber; null where it is not drawn. */
	readonly chamber: LogTrace | null;
	readonly chamberText: string;
	readonly excludedPoints: readonly ExcludedPoints[];
	readonly strips: readonly Strip[];
	/** Lines across the plot, such as the ceiling. */
	readonly rules: readonly { readonly name: string; readonly ppm: number }[];
}

export const EXCLUSION_SHAPES = [
	"cross",
	"diamond",
	"triangle-up",
	"square",
	"triangle-down",
	"circle",
	"triangle-left",
];

const extremes = (trace: LogTrace): { low: number; high: number } => {
	let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
	const take = (value: number | null): void => {
		if (value === null || Number.isNaN(value)) return;
		low = Math.min(low, value);
		high = Math.max(high, value);
	};
	if (trace.kind === "points") for (const { c } of trace.points) take(c);
	else
		for (const band of trace.band) {
			take(band.low);
			take(band.high);
		}
	return { low, high };
};

/** Axis over what is used; samples that were left out may lie beyond it, but no farther than that. */
function axisOf({ logged, sensor, chamber, rules }: OverlayChartData): Axis {
	const all = [logged, sensor, ...(chamber === null ? [] : [chamber])]
		.map(extremes)
		.filter(({ low }) => Number.isFinite(low));
	const low = Math.min(...all.map((one) => one.low), ...rules.map(({ ppm }) => ppm));
	const high = Math.max(...all.map((one) => one.high), ...rules.map(({ ppm }) => ppm));
	return Number.isFinite(low) ? co2Axis([{ low, high }], high, low) : co2Axis([{ low: 0, high: 1 }], 1, 0);
}

/** The log as dots or a band, the model as a line or two, what was left out by shape, and the bursts below. */
export function overlaySpec(picture: OverlayChartData, theme: ChartTheme, width: number): ChartSpec {
	const { clock, fromSeconds, toSeconds, logged, sensor, chamber, excludedPoints, strips, rules } = picture;
	const yAxis = axisOf(picture);
	const height = width > 500 ? 300 : 240;
	const [loggedColor, sensorColor, chamberColor] = theme.series as [string, string, string];
	const legend: LegendLine[] = [
		{ how: logged.kind === "band" ? "band" : "dots", color: loggedColor, text: picture.loggedText },
		{ how: "line", color: sensorColor, text: picture.sensorText },
		...(chamber === null
			? []
			: [
					{
						how: "line",
						color: chamberColor,
						dash: CHAMBER_DASH,
						text: picture.chamberText,
					} as const,
				]),
		...excludedPoints.map(
			({ text }, place) =>
				({
					how: "shape",
					color: theme.ink,
					shape: EXCLUSION_SHAPES[place % EXCLUSION_SHAPES.length]!,
					text,
				}) as const,
		),
	];
	const { x, y, frame, furniture } = logFrame(
		{ clock, fromSeconds, toSeconds, y: yAxis, yTitle: "CO₂ (ppm)", legend, strips, height },
		theme,
		width,
	);
	const lineLayers = (
		trace: LogTrace,
		color: string,
		strokeWidth: number,
		dash: readonly number[] = [1, 0],
	) =>
		trace.kind === "points"
			? [
					{
						data: { values: trace.points },
						mark: brokenLine(color, strokeWidth, dash),
						encoding: { x, y: { ...y, field: "c" } },
					},
				]
			: ["low", "high"].map((edge) => ({
					data: { values: trace.band },
					mark: brokenLine(color, strokeWidth * 0.75, dash),
					encoding: { x, y: { ...y, field: edge }, detail: { field: "piece" } },
				}));
	const place = (ppm: number): number => height * (1 - (ppm - yAxis.from) / (yAxis.to - yAxis.from));
	const inside = (ppm: number): number => Math.max(yAxis.from, Math.min(yAxis.to, ppm));
	return {
		...frame,
		layer: [
			...(logged.kind === "band"
				? [
						{
							data: { values: logged.band },
							mark: {
								type: "area",
								color: loggedColor,
								opacity: 0.35,
								clip: true,
							},
							encoding: {
								x,
								y: { ...y, field: "low" },
								y2: { field: "high" },
								detail: { field: "piece" },
							},
						},
					]
				: [
						{
							data: { values: loneDots(logged.points) },
							mark: dotted(loggedColor, logged.points.length > width / 2 ? 2.4 : 4),
							encoding: { x, y: { ...y, field: "c" } },
						},
					]),
			...(chamber === null ? [] : lineLayers(chamber, chamberColor, 1.4, CHAMBER_DASH)),
			...lineLayers(sensor, sensorColor, 1.6),
			...excludedPoints.map(({ points }, i) => ({
				data: {
					values: points.map(({ t, c }) => ({
						t,
						c: inside(c),
						shape: EXCLUSION_SHAPES[i % EXCLUSION_SHAPES.length],
					})),
				},
				mark: { type: "point", ...shapeStyle(theme.ink, theme) },
				encoding: { x, y: { ...y, field: "c" }, shape: { field: "shape", type: "nominal", scale: null } },
			})),
			...rules.flatMap(({ name, ppm }) => [
				{
					data: { values: [{}] },
					mark: { type: "rule", color: theme.limit, strokeWidth: 1.4 },
					encoding: { y: { ...y, datum: ppm } },
				},
				...haloWord(`${name}, ${Math.round(ppm)} ppm`, width - 4, place(ppm) - 9, theme, { align: "right" }),
			]),
			...furniture,
		],
	} as unknown as ChartSpec;
}

const CHAMBER_DASH = [5, 3];

/** Whether some samples that were left out lie beyond the plot, at whose edge they stand. */
export function someBeyond(picture: OverlayChartData): boolean {
	const { from, to } = axisOf(picture);
	return picture.excludedPoints.some(({ points }) => points.some(({ c }) => c < from || c > to));
}
