import { plainAxis } from "../axes.ts";
import type { CurvePlot } from "../curveplot.ts";
import { MONTH_NAMES } from "./logtime.ts";

/** What the crop gives off, day by day, in the reader's unit. */
interface DaysChartData {
	readonly unit: string;
	/** In which the days begin at midnight; null where the log has no dates. */
	readonly zone: string | null;
	readonly days: readonly {
		/** `2026-03-10`; null where the log has no dates. */
		readonly date: string | null;
		readonly value: number;
		readonly standardError: number | null;
	}[];
	/** What the scenario has. */
	readonly expected: number;
}

/** 95 % of a normal distribution, in standard deviations. */
const Z = 1.96;

/** `10 Mar` */
function shortDate(date: string | null): string {
	if (date === null) return "";
	const [, month, day] = date.split("-").map(Number);
	return `${day} ${MONTH_NAMES[month! - 1]}`;
}

/** A dot a day with the 95 % interval as a bar, and what the scenario has as a line. */
export function daysPlot({ unit, zone, days, expected }: DaysChartData): CurvePlot {
	const plot = piecesPlot({ unit, what: "CO₂ output", pieces: days, expected });
	const dates = days.map(({ date }) => `'${shortDate(date)}'`).join(",");
	return {
		...plot,
		x: {
			...plot.x,
			title: zone === null ? "day of the log" : `day, ${zone}`,
			...(zone === null ? {} : { tickText: `[${dates}][datum.value - 1]` }),
		},
	};
}

/** Estimates of one value, piece by piece, in the reader's unit. */
interface PiecesChartData extends Pick<DaysChartData, "unit" | "expected"> {
	readonly what: string;
	/** null where there is none. */
	readonly pieces: readonly (Pick<DaysChartData["days"][number], "value" | "standardError"> | null)[];
}

/** A dot a piece with the 95 % interval as a bar, and what the scenario has as a line. */
export function piecesPlot({ unit, what, pieces, expected }: PiecesChartData): CurvePlot {
	const known = pieces.flatMap((piece, k) =>
		piece === null
			? []
			: [
					{
						x: k + 1,
						value: piece.value,
						reach: Z * (piece.standardError ?? 0),
						isBar: piece.standardError !== null,
					},
				],
	);
	const ends = known.flatMap(({ value, reach }) => [value - reach, value + reach]);
	const high = Math.max(expected, ...ends);
	const step = Math.max(1, Math.ceil(pieces.length / 14));
	return {
		x: {
			title: "part",
			from: 0.5,
			to: pieces.length + 0.5,
			ticks: pieces.map((_, k) => k + 1).filter((one) => (one - 1) % step === 0),
		},
		y: { title: `${what} (${unit})`, ...plainAxis(Math.min(0, ...ends), 1.06 * high, 5) },
		curves: [
			{
				name: "95 % interval",
				place: 0,
				points: known.flatMap(({ x, value, reach, isBar }) =>
					isBar
						? [
								{ x, y: value - reach },
								{ x, y: value + reach },
								{ x, y: Number.NaN },
							]
						: [],
				),
			},
		],
		rules: [{ along: "x", at: expected, name: "the scenario has", dash: [4, 3] }],
		marks: known.map(({ x, value }) => ({ x, y: value, name: "", shape: "circle" })),
	};
}
