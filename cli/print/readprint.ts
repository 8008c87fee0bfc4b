import type { CleanSeries, Exclusion, LogLayout } from "../../lib/logs/log.ts";
import type { ChannelSummary, LogSummary } from "../../lib/logs/logsummary.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { momentWords } from "../../reports/charts/log/logtime.ts";
import { lineWords, whereWords } from "../../reports/fit/logwords.ts";
import { table, wrap } from "./print.ts";

/** How a log was read. */
export interface LogRead {
	readonly summary: LogSummary;
	/** The chamber's CO2 as a fit would take it; null where the file is too long for its samples to be kept. */
	readonly series: CleanSeries | null;
}

/** What `read --json` prints; times in seconds since the first sample, CO2 in ppm, temperature in °C, humidity from 0 to 1. */
export type LogJson = { readonly format: "lullgust/log@1" } & LogSummary & {
		/** What a fit would leave out; null where the samples were not kept. */
		readonly exclusions: readonly Exclusion[] | null;
		readonly warnings: readonly string[];
	};

/** The reading of a log for another program. */
export const logJson = ({ summary, series }: LogRead): LogJson => ({
	format: "lullgust/log@1",
	...summary,
	exclusions: series?.exclusions ?? null,
	warnings: series?.warnings ?? [],
});

const DELIMITERS: Readonly<Record<LogLayout["delimiter"], string>> = {
	",": "comma",
	";": "semicolon",
	"\t": "tab",
	"|": "bar",
	" ": "blank",
};
const MAX_GAPS = 5;

const count = (many: number, one: string): string =>
	`${many.toLocaleString("en-US")} ${one}${many === 1 ? "" : "s"}`;

function layoutLines({ layout, rawRows }: LogSummary): string[] {
	const { encoding, delimiter, decimal, preambleLines, headerLines, timeFormat, zone, zoneFrom } = layout;
	const zoneWords =
		zone === null
			? "no date in the file"
			: `${zone}, ${zoneFrom === "file" ? "as the file says" : zoneFrom === "option" ? "as told" : "assumed"}`;
	return [
		`Layout: ${encoding === "latin1" ? "Latin-1" : encoding.toUpperCase()}, ${DELIMITERS[delimiter]} between the values, decimal ${decimal === "," ? "comma" : "point"}; ${preambleLines === 0 ? "" : `${count(preambleLines, "line")} before `}${headerLines === 0 ? "no header" : headerLines === 1 ? "a header" : `a header of ${headerLines} rows`}; ${count(rawRows, "data line")}.`,
		`Time: ${timeFormat}; ${zoneWords}.`,
	];
}

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
	co2: "CO2",
	fan: "fan",
	temperature: "temperature",
	humidity: "humidity",
};

function channelTable({ channels }: LogSummary): string {
	return table(
		["column", "named", "holds", "samples", "min", "median", "max"],
		channels.map((channel) => [
			String(channel.column + 1),
			channel.name,
			channel.place === null ? KINDS[channel.kind] : `${KINDS[channel.kind]}, ${channel.place}`,
			channel.count.toLocaleString("en-US"),
			shown(channel, channel.min),
			shown(channel, channel.median),
			shown(channel, channel.max),
		]),
		[0, 3, 4, 5, 6],
	);
}

/** The reading of a log for people. */
export function logText({ summary, series }: LogRead, columns: number): string {
	const { fileName, rows, sampleIntervalSeconds, durationSeconds, gaps, gapCount, notes } = summary;
	const clock = { startUtcSeconds: summary.startUtcSeconds, zone: summary.layout.zone };
	const when =
		clock.startUtcSeconds === null
			? ""
			: `, from ${momentWords(clock, 0)} to ${momentWords(clock, durationSeconds)}`;
	const every = sampleIntervalSeconds === 0 ? "" : `, one every ${formatDuration(sampleIntervalSeconds)}`;
	const item = (text: string): string => wrap(`- ${text}`, columns, "  ");
	const gapItems = gaps
		.slice(0, MAX_GAPS)
		.map((gap) => item(`${formatDuration(gap.lengthSeconds)} after ${momentWords(clock, gap.fromSeconds)}`));
	const exclusions = series?.exclusions ?? [];
	const met = notes.filter(({ kind }) => kind !== "gap");
	return [
		wrap(
			`${fileName}: ${count(rows, "sample")} of CO2${every}, over ${formatDuration(durationSeconds)}${when}.`,
			columns,
		),
		...layoutLines(summary).map((line) => wrap(line, columns)),
		`\n${channelTable(summary)}`,
		...(gapCount === 0 ? [] : ["\nGaps, not filled\n", ...gapItems]),
		...(gapCount > MAX_GAPS ? [item(`and ${gapCount - MAX_GAPS} more`)] : []),
		...(met.length === 0
			? []
			: [
					"\nMet in the file\n",
					...met.map(({ message, lines, count }) =>
						item(`${message}${lines.length === 0 ? "" : ` (${lineWords(lines, count)})`}`),
					),
				]),
		"\nWhat a fit would leave out\n",
		...(series === null
			? [item("not judged: the file is too long for its samples to be kept; a fit reads it whole")]
			: exclusions.length === 0
				? [item("nothing")]
				: exclusions.map((one) =>
						item(
							`${one.reason}, ${count(one.count, "sample")}: ${one.rule}; at ${whereWords(one, series, 3)}`,
						),
					)),
		...(series?.warnings ?? []).map((warning) => item(`warning: ${warning}`)),
	].join("");
}
