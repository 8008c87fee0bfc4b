import type { Summary } from "../lib/solve/summary.ts";
import type { ComparedSchedule, Comparison } from "../lib/study/compare.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../lib/units.ts";
import { verdictOf } from "../reports/verdict.ts";
import { table } from "./print.ts";

/** The answer in one sentence or two. */
export const verdictLine = (comparison: Comparison, units: UnitSystem): string => {
	const { answer, grounds } = verdictOf(comparison, units);
	return `${answer}. ${grounds}`;
};

/** Tenths of a second say something only below a minute. */
const coarse = (seconds: number): number => (seconds < 60 ? seconds : Math.round(seconds));

/** The figures of each schedule in a table for people. */
export function figuresTable(schedules: readonly ComparedSchedule[], units: UnitSystem): string {
	const head = [
		"schedule",
		"peak",
		"mean",
		"trough",
		"ripple",
		"above ceiling",
		"fresh air",
		"bursts",
		"holds",
	];
	const below = ["", "ppm", "ppm", "ppm", "ppm", "per hour", "a day", "a day", ""];
	const rows = schedules.map(({ name, summary }) => [
		name,
		...[summary.peakPpm, summary.meanPpm, summary.troughPpm, summary.ripplePpm].map((x) =>
			String(Math.round(x)),
		),
		formatDuration(coarse(summary.aboveCeilingSecondsPerHour)),
		formatQuantity(summary.freshAirM3PerDay, "volume", units),
		String(Math.round(summary.burstsPerDay * 10) / 10),
		summary.judged.within ? "yes" : "no",
	]);
	return table(head, [below, ...rows], [1, 2, 3, 4, 5, 6, 7]);
}

const csvColumns: readonly (readonly [string, (summary: Summary) => string | number | boolean | null])[] = [
	["holds", (s) => s.judged.within],
	["judged_on", (s) => s.judged.on],
	["judged_ppm", (s) => s.judged.valuePpm],
	["ceiling_ppm", (s) => s.judged.ceilingPpm],
	["floor_ppm", (s) => s.judged.floorPpm],
	["peak_ppm", (s) => s.peakPpm],
	["mean_ppm", (s) => s.meanPpm],
	["trough_ppm", (s) => s.troughPpm],
	["ripple_ppm", (s) => s.ripplePpm],
	["worst_hour_mean_ppm", (s) => s.worstHourMeanPpm],
	["above_ceiling_s_per_h", (s) => s.aboveCeilingSecondsPerHour],
	["above_ceiling_percent", (s) => s.aboveCeilingPercent],
	["below_floor_s_per_h", (s) => s.belowFloorSecondsPerHour],
	["below_floor_percent", (s) => s.belowFloorPercent],
	["first_above_s", (s) => s.firstAboveSeconds],
	["settle_s", (s) => s.settleSeconds],
	["bursts_per_day", (s) => s.burstsPerDay],
	["air_changes_per_burst", (s) => s.airChangesPerBurst],
	["replaced_per_burst", (s) => s.replacedPerBurst],
	["air_changes_per_hour", (s) => s.airChangesPerHour],
	["fresh_air_m3_per_day", (s) => s.freshAirM3PerDay],
	["leak_m3_per_day", (s) => s.leakM3PerDay],
	["continuous_ppm", (s) => s.continuousPpm],
	["mean_penalty_ppm", (s) => s.meanPenaltyPpm],
	["peak_penalty_ppm", (s) => s.peakPenaltyPpm],
	["sensor_peak_ppm", (s) => s.sensor?.peakPpm ?? null],
	["sensor_mean_ppm", (s) => s.sensor?.meanPpm ?? null],
	["sensor_trough_ppm", (s) => s.sensor?.troughPpm ?? null],
	["zone", (s) => s.zone],
	["basis", (s) => s.basis],
	["window_from_s", (s) => s.windowFromSeconds],
	["window_s", (s) => s.windowSeconds],
];

/** A cell of a CSV file; a text that a spreadsheet would take for a formula is kept a text. */
function cell(value: string | number | boolean | null): string {
	if (value === null || (typeof value === "number" && !Number.isFinite(value))) return "";
	if (typeof value !== "string") return String(value);
	const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
	return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** One line a schedule with all figures, in SI; empty where a figure cannot be had. */
export function comparisonCsv(comparison: Comparison): string {
	const lines = [["schedule", "in_words", ...csvColumns.map(([name]) => name)].join(",")];
	for (const { name, inWords, summary } of comparison.schedules)
		lines.push([cell(name), cell(inWords), ...csvColumns.map(([, pick]) => cell(pick(summary)))].join(","));
	return `${lines.join("\n")}\n`;
}
