import { plainAxis } from "../axes.ts";
import type { CurvePlot } from "../curveplot.ts";
import { MONTH_NAMES } from "./logtime.ts";

/** What the crop gives off, day by day, in the reader's unit. */
export interface DaysChartData {
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
	const ends = days.flatMap(({ value, standardError }) => [
		value - Z * (standardError ?? 0),
		value + Z * (standardError ?? 0),
	]);
	const high = Math.max(expected, ...ends);
	const x = { from: 0.5, to: days.length + 0.5 };
	const step = Math.max(1, Math.ceil(days.length / 14));
	return {
		x: {
			title: zone === null ? "day of the log" : `day, ${zone}`,
			...x,
			...(zone === null
				? {}
				: {
						tickText: `[${days.map(({ date }) => `'${shortDate(date)}'`).join(",")}][datum.value - 1]`,
					}),
			ticks: days.map((_, k) => k + 1).filter((day) => (day - 1) % step === 0),
		},
		y: { title: `CO₂ output (${unit})`, ...plainAxis(Math.min(0, ...ends), 1.06 * high, 5) },
		curves: [
			{
				name: "95 % interval",
				place: 0,
				points: days.flatMap(({ value, standardError }, k) =>
					standardError === null
						? []
						: [
								{ x: k + 1, y: value - Z * standardError },
								{ x: k + 1, y: value + Z * standardError },
								{ x: k + 1, y: Number.NaN },
							],
				),
			},
		],
		rules: [{ along: "x", at: expected, name: "the scenario has", dash: [4, 3] }],
		marks: days.map(({ value }, k) => ({ x: k + 1, y: value, name: "", shape: "circle" })),
	};
}
