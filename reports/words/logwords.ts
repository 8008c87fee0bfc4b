import type { CleanSeries, Exclusion, Log, LogLayout } from "../../lib/logs/log.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { indexAtTime } from "../charts/log/logseries.ts";
import { type LogClock, momentWords, timeOfDayWords } from "../charts/log/logtime.ts";
import { countWords } from "./format.ts";

/** The clock of the log that a series is of. */
export const clockOf = ({ log }: Pick<CleanSeries, "log">): LogClock => ({
	startUtcSeconds: log.startUtcSeconds,
	zone: log.layout.zone,
});

/** `lines 87, 113, …` */
export const lineWords = (lines: readonly number[], count: number): string =>
	lines.length === 0
		? ""
		: `${count === 1 ? "line" : "lines"} ${lines.join(", ")}${count > lines.length ? ", …" : ""}`;

const DELIMITERS: Readonly<Record<LogLayout["delimiter"], string>> = {
	",": "comma",
	";": "semicolon",
	"\t": "tab",
	"|": "bar",
	" ": "space",
};

const ZONE_FROM = { file: "as the file says", option: "as given by --zone" } as const;

/** `UTC, as the file says` */
const zoneWords = ({ zone, zoneFrom }: LogLayout): string =>
	zone === null ? "no date in the file" : `${zone}, ${zoneFrom === null ? "assumed" : ZONE_FROM[zoneFrom]}`;

/** `elapsed seconds; no date in the file, first sample at 14:00` */
export const timeFormatWords = ({
	layout,
	startsAtSeconds = null,
}: Pick<Log, "layout" | "startsAtSeconds">): string =>
	`${layout.timeFormat}; ${zoneWords(layout)}${startsAtSeconds === null ? "" : `, first sample at ${timeOfDayWords(startsAtSeconds)}`}`;

/** `UTF-8, comma between values, decimal point; 2 lines before a header` */
export function layoutWords(layout: LogLayout): string {
	const { encoding, delimiter, decimal, preambleLines, headerLines } = layout;
	const header =
		headerLines === 0 ? "no header" : headerLines === 1 ? "a header" : `a header of ${headerLines} rows`;
	const before = preambleLines === 0 ? "" : `${countWords(preambleLines, "line")} before `;
	return `${encoding === "latin1" ? "Latin-1" : encoding.toUpperCase()}, ${DELIMITERS[delimiter]} between values, decimal ${decimal === "," ? "comma" : "point"}; ${before}${header}`;
}

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
		["layout", layoutWords(layout)],
		["time", timeFormatWords(log)],
		["CO₂ column", `${channel.name}${channel.place === "intake" ? " (intake)" : ""}`],
		[
			"fan column",
			fan === null ? "none that can be used" : countWords(fan.switchesSeconds.length, "switching"),
		],
		...(log.startUtcSeconds === null
			? []
			: [["from, to", `${momentWords(clock, 0)}, ${momentWords(clock, last)}`] as const]),
		["length", `${formatDuration(last)}, a reading every ${formatDuration(log.sampleIntervalSeconds)}`],
		["rows", `${countWords(log.rawRows, "data line")}, ${countWords(log.rows, "reading")} kept`],
		[
			"gaps",
			log.gaps.length === 0
				? "none"
				: `${countWords(log.gaps.length, "gap")}, the longest ${formatDuration(longest)}; not filled in`,
		],
		["excluded from the fit", left === 0 ? "nothing" : countWords(left, "reading")],
	];
}

/** Where readings are excluded: times and lines of the first time spans. */
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
	return `${each.join("; ")}${rest > 0 ? `; ${countWords(rest, "more time span")}` : ""}`;
}
