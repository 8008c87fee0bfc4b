import type { CleanSeries } from "../../lib/logs/log.ts";
import type { ChannelSummary, LogSummary } from "../../lib/logs/logsummary.ts";
import { countLeftOut } from "../../lib/logs/notes.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { momentWords } from "../../reports/charts/log/logtime.ts";
import { countWords } from "../../reports/words/format.ts";
import { exclusionWords, noteWords, seriesWarningWords } from "../../reports/words/logremarks.ts";
import { layoutWords, lineWords, timeFormatWords, whereWords } from "../../reports/words/logwords.ts";
import { exclusionJson, noteJson, seriesWarningJson } from "../json.ts";
import { table, wrap } from "./print.ts";

/** How a log was read. */
export interface LogRead {
	readonly summary: LogSummary;
	/** The chamber's CO2 as a fit would take it; null where the file is too long for its samples to be kept. */
	readonly series: CleanSeries | null;
}

/** What `read --json` prints; times in seconds since the first reading, CO2 in ppm, temperature in °C, humidity from 0 to 1. */
export const logJson = ({ summary, series }: LogRead) => ({
	format: "lullgust/log@2",
	...summary,
	notes: summary.notes.map(noteJson),
	/** Lines that are no samples, by reason. */
	leftOut: countLeftOut(summary.notes),
	/** What a fit would exclude; null where the readings were not kept. */
	exclusions: series?.exclusions.map(exclusionJson) ?? null,
	warnings: series?.warnings.map(seriesWarningJson) ?? [],
});

const MAX_GAPS = 5;

/** A value of a channel in the unit that people read. */
function shown({ kind }: ChannelSummary, value: number | null): string {
	if (value === null) return "–";
	switch (kind) {
		case "co2":
			return `${Number(value.toFixed(1))} ppm`;
		case "temperature":
			return `${value.toFixed(1)} °C`;
		case "humidity":
			return `${(100 * value).toFixed(1)} %`;
		case "fan":
			return value === 0 ? "off" : "on";
	}
}

const KINDS: Readonly<Record<ChannelSummary["kind"], string>> = {
	co2: "CO₂",
	fan: "fan",
	temperature: "temperature",
	humidity: "humidity",
};

function channelTable({ channels }: LogSummary): string {
	return table(
		["column", "name", "content", "unit in the file", "readings", "min", "median", "max"],
		channels.map((channel) => [
			String(channel.column + 1),
			channel.name,
			channel.place === null ? KINDS[channel.kind] : `${KINDS[channel.kind]}, ${channel.place}`,
			channel.unit === null || channel.unit === "share" ? "–" : channel.unit,
			channel.count.toLocaleString("en-US"),
			shown(channel, channel.min),
			shown(channel, channel.median),
			shown(channel, channel.max),
		]),
		[0, 4, 5, 6, 7],
	);
}

/** `, left out 2 lines: 1 malformed row, 1 stray time` */
function leftOutWords(notes: LogSummary["notes"]): string {
	const counts = Object.entries(countLeftOut(notes));
	const all = counts.reduce((sum, [, count]) => sum + count, 0);
	return all === 0
		? ""
		: `, left out ${countWords(all, "line")}: ${counts.map(([reason, count]) => countWords(count, reason)).join(", ")}`;
}

/** The reading of a log for people. */
export function logText({ summary, series }: LogRead, columns: number): string {
	const { fileName, layout, rawRows, rows, sampleIntervalSeconds, durationSeconds } = summary;
	const { gaps, gapCount, notes } = summary;
	const clock = { startUtcSeconds: summary.startUtcSeconds, zone: layout.zone };
	const when =
		clock.startUtcSeconds === null
			? ""
			: `, from ${momentWords(clock, 0)} to ${momentWords(clock, durationSeconds)}`;
	const every = sampleIntervalSeconds === 0 ? "" : `, one every ${formatDuration(sampleIntervalSeconds)}`;
	const item = (text: string): string => wrap(`- ${text}`, columns, "  ");
	const gapItems = gaps
		.slice(0, MAX_GAPS)
		.map((gap) => item(`${formatDuration(gap.lengthSeconds)} after ${momentWords(clock, gap.fromSeconds)}`));
	const met = notes.filter(({ kind }) => kind !== "gap");
	const lines = [
		`${fileName}: ${countWords(rows, "CO₂ reading")}${every}, over ${formatDuration(durationSeconds)}${when}.`,
		`Layout: ${layoutWords(layout)}; ${countWords(rawRows, "data line")}${leftOutWords(notes)}.`,
		`Time: ${timeFormatWords(summary)}.`,
	];
	return [
		...lines.map((line) => wrap(line, columns)),
		`\n${channelTable(summary)}`,
		...(gapCount === 0 ? [] : ["\nGaps (not filled in)\n", ...gapItems]),
		...(gapCount > MAX_GAPS ? [item(`and ${gapCount - MAX_GAPS} more`)] : []),
		...(met.length === 0 ? [] : ["\nNotes on the file\n"]),
		...met.map((note) =>
			item(`${noteWords(note)}${note.lines.length === 0 ? "" : ` (${lineWords(note.lines, note.count)})`}`),
		),
		"\nExcluded from a fit\n",
		...exclusionItems(series).map(item),
		...(series?.warnings ?? []).map((warning) => item(`warning: ${seriesWarningWords(warning)}`)),
	].join("");
}

function exclusionItems(series: CleanSeries | null): readonly string[] {
	if (series === null)
		return ["not determined: the file is too long to keep its readings; a fit reads it whole"];
	if (series.exclusions.length === 0) return ["nothing"];
	return series.exclusions.map(
		(one) =>
			`${one.reason}, ${countWords(one.count, "reading")}: ${exclusionWords(one)}; at ${whereWords(one, series, 3)}`,
	);
}
