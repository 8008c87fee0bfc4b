import type { CleanSeries, Exclusion, Log } from "../../lib/logs/log.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { indexAtTime } from "../charts/log/logseries.ts";
import { type LogClock, momentWords } from "../charts/log/logtime.ts";

/** The clock of the log that a series is of. */
export const clockOf = ({ log }: Pick<CleanSeries, "log">): LogClock => ({
	startUtcSeconds: log.startUtcSeconds,
	zone: log.layout.zone,
});

const many = (count: number, one: string, more = `${one}s`): string =>
	`${count.toLocaleString("en-US")} ${count === 1 ? one : more}`;

/** `lines 87, 113, …` */
export const lineWords = (lines: readonly number[], count: number): string =>
	lines.length === 0
		? ""
		: `${count === 1 ? "line" : "lines"} ${lines.join(", ")}${count > lines.length ? ", …" : ""}`;

const DELIMITERS: Readonly<Record<string, string>> = {
	",": "comma",
	";": "semicolon",
	"\t": "tab",
	"|": "bar",
	" ": "blank",
};

const zoneWords = ({ zone, zoneFrom }: Log["layout"]): string =>
	zone === null
		? "no date in the file"
		: `${zone}, ${zoneFrom === "file" ? "as the file says" : zoneFrom === "option" ? "as told" : "assumed"}`;

/** How a log was understood, what is in it, in two columns. */
export function readFacts(series: CleanSeries): readonly (readonly [string, string])[] {
	const { log, channel, timesSeconds, excluded, fan } = series;
	const clock = clockOf(series);
	const last = timesSeconds.at(-1) ?? 0;
	const left = excluded.reduce((count, code) => count + (code === 0 ? 0 : 1), 0);
	const longest = log.gaps.reduce((most, { lengthSeconds }) => Math.max(most, lengthSeconds), 0);
	const { layout } = log;
	return [
		["file", log.fileName],
		[
			"layout",
			`${layout.encoding.toUpperCase()}, ${DELIMITERS[layout.delimiter]} between values, decimal ${layout.decimal === "," ? "comma" : "point"}, ${many(layout.preambleLines, "line")} before a header of ${layout.headerLines}`,
		],
		["time", `${layout.timeFormat}; ${zoneWords(layout)}`],
		["CO2 column", `${channel.name}${channel.place === "intake" ? " (intake)" : ""}`],
		[
			"fan column",
			fan === null ? "none to go by" : `${many(fan.switchesSeconds.length, "switch", "switches")}`,
		],
		...(log.startUtcSeconds === null
			? []
			: [["from, to", `${momentWords(clock, 0)}, ${momentWords(clock, last)}`] as const]),
		["length", `${formatDuration(last)}, a sample every ${formatDuration(log.sampleIntervalSeconds)}`],
		["rows", `${many(log.rawRows, "data line")}, ${many(log.rows, "sample")} kept`],
		[
			"gaps",
			log.gaps.length === 0
				? "none"
				: `${many(log.gaps.length, "gap")}, the longest ${formatDuration(longest)}; none is filled`,
		],
		["left out of the fit", left === 0 ? "nothing" : many(left, "sample")],
	];
}

/** Where samples were left out: times and lines of the first stretches. */
export function whereWords({ intervals }: Exclusion, series: CleanSeries, most = 3): string {
	const { timesSeconds, lines } = series.log;
	const clock = clockOf(series);
	const each = intervals.slice(0, most).map(({ fromSeconds, toSeconds }) => {
		const [first, last] = [
			lines[indexAtTime(timesSeconds, fromSeconds)],
			lines[Math.min(indexAtTime(timesSeconds, toSeconds), lines.length - 1)],
		];
		const rows = first === last ? `line ${first}` : `lines ${first} to ${last}`;
		return `${momentWords(clock, fromSeconds)} (${rows})`;
	});
	const rest = intervals.length - each.length;
	return `${each.join("; ")}${rest > 0 ? `; ${many(rest, "more stretch", "more stretches")}` : ""}`;
}
