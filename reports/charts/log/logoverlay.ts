import { type Axis, co2Axis } from "../axes.ts";
import { haloed, limitRule, shape } from "../marks.ts";
import { haloWord } from "../namedmarks.ts";
import { lineSign, MIN_ROOMY_WIDTH, shapeSign } from "../plotframe.ts";
import type { ChartSpec } from "../svg.ts";
import type { ChartTheme } from "../theme.ts";
import {
	brokenLine,
	type LogTrace,
	type LogWindow,
	loggedLayer,
	loggedSign,
	logSpec,
	type Strip,
} from "./logframe.ts";

/** Samples that are excluded for one reason. */
interface ExcludedPoints {
	readonly text: string;
	readonly points: readonly { readonly t: number; readonly c: number }[];
}

/** A window of a log with the model over it. */
export interface OverlayChartData extends LogWindow {
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
	/** Where the sensor shifts its baseline. */
	readonly shifts: readonly { readonly t: number; readonly text: string }[];
	/** Lines across the plot, such as the ceiling. */
	readonly rules: readonly { readonly name: string; readonly ppm: number }[];
}

const EXCLUSION_SHAPES = [
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
	const ends =
		trace.kind === "points" ? trace.points.map(({ c }) => [c, c]) : trace.band.map((b) => [b.low, b.high]);
	for (const [least, most] of ends) {
		if (least == null || most == null || Number.isNaN(least) || Number.isNaN(most)) continue;
		low = Math.min(low, least);
		high = Math.max(high, most);
	}
	return { low, high };
};

/** Axis over what is used; samples that are excluded may lie beyond it, but no farther than that. */
function axisOf({ logged, sensor, chamber, rules }: OverlayChartData): Axis {
	const all = [logged, sensor, ...(chamber === null ? [] : [chamber])]
		.map(extremes)
		.filter(({ low }) => Number.isFinite(low));
	const low = Math.min(...all.map((one) => one.low), ...rules.map(({ ppm }) => ppm));
	const high = Math.max(...all.map((one) => one.high), ...rules.map(({ ppm }) => ppm));
	return Number.isFinite(low) ? co2Axis([{ low, high }], high, low) : co2Axis([{ low: 0, high: 1 }], 1, 0);
}

/** How a sample is drawn that is excluded. */
const excludedMark = (theme: ChartTheme) =>
	({
		type: "point",
		filled: true,
		fill: theme.halo,
		stroke: theme.ink,
		strokeWidth: 1.5,
		size: 42,
		opacity: 1,
	}) as const;

const CHAMBER_DASH = [5, 3];

/** The log as dots or a band, the model as a line or two, what is excluded by shape, and the bursts below. */
export function overlaySpec(picture: OverlayChartData, theme: ChartTheme, width: number): ChartSpec {
	const { logged, sensor, chamber, strips, shifts, rules } = picture;
	const axis = axisOf(picture);
	const height = width > MIN_ROOMY_WIDTH ? 300 : 240;
	const [loggedColor, sensorColor, chamberColor] = theme.series as [string, string, string];
	const excluded = picture.excludedPoints.map((one, i) => ({
		...one,
		shape: EXCLUSION_SHAPES[i % EXCLUSION_SHAPES.length]!,
	}));
	const legend = [
		{ text: picture.loggedText, sign: loggedSign(logged, loggedColor) },
		{ text: picture.sensorText, sign: lineSign(sensorColor) },
		...(chamber === null ? [] : [{ text: picture.chamberText, sign: lineSign(chamberColor, CHAMBER_DASH) }]),
		...excluded.map(({ text, shape }) => ({ text, sign: shapeSign(shape, excludedMark(theme)) })),
	];
	const place = (ppm: number): number => height * (1 - (ppm - axis.from) / (axis.to - axis.from));
	const inside = (ppm: number): number => Math.max(axis.from, Math.min(axis.to, ppm));
	const plot = { y: axis, yTitle: "CO₂ (ppm)", legend, strips, height };
	return logSpec(
		picture,
		{
			...plot,
			layer({ x, y }) {
				const lineLayers = (trace: LogTrace, mark: (thin: number) => object) =>
					trace.kind === "points"
						? [{ data: { values: trace.points }, mark: mark(1), encoding: { x, y: { ...y, field: "c" } } }]
						: ["low", "high"].map((edge) => ({
								data: { values: trace.band },
								mark: mark(0.75),
								encoding: { x, y: { ...y, field: edge }, detail: { field: "piece" } },
							}));
				const size = logged.kind === "points" && logged.points.length > width / 2 ? 2.4 : 4;
				return [
					loggedLayer(logged, loggedColor, size, { x, y }),
					...(chamber === null
						? []
						: lineLayers(chamber, (thin) => brokenLine(chamberColor, 1.4 * thin, CHAMBER_DASH))),
					...lineLayers(sensor, (thin) => brokenLine(sensorColor, 1.6 * thin)),
					...excluded.map(({ points, shape: own }) => ({
						data: { values: points.map(({ t, c }) => ({ t, c: inside(c), shape: own })) },
						mark: excludedMark(theme),
						encoding: { x, y: { ...y, field: "c" }, shape },
					})),
					...shifts.flatMap(({ t, text }) => [
						{
							data: { values: [{ t }] },
							mark: { type: "rule", color: theme.ink, strokeDash: [2, 2] },
							encoding: { x },
						},
						...haloed(theme, { text, align: "left", dx: 4 }).map((mark) => ({
							data: { values: [{ t }] },
							mark,
							encoding: { x, y: { value: 8 } },
						})),
					]),
					...rules.flatMap(({ name, ppm }) => [
						limitRule(theme, { y: { ...y, datum: ppm } }),
						...haloWord(`${name}, ${Math.round(ppm)} ppm`, width - 4, place(ppm) - 9, theme, "right"),
					]),
				];
			},
		},
		theme,
		width,
	);
}

/** Whether some samples that are excluded lie beyond the plot, at whose edge they stand. */
export function someBeyond(picture: OverlayChartData): boolean {
	const { from, to } = axisOf(picture);
	return picture.excludedPoints.some(({ points }) => points.some(({ c }) => c < from || c > to));
}
