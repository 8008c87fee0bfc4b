import type { CleanSeries } from "../../lib/logs/log.ts";
import { clocksChanged } from "../charts/log/logtime.ts";
import { html } from "../page/html.ts";
import type { Details } from "../page/section.ts";
import { below, stackTable } from "../page/table.ts";
import { exclusionWords, noteWords } from "../words/logremarks.ts";
import { clockOf, lineWords, readFacts, whereWords } from "../words/logwords.ts";
import { countOf } from "./fitwords.ts";

/** What was read, what was dropped and why, with line numbers. */
export function readDetails(series: CleanSeries): Details {
	const { log, exclusions, timesSeconds } = series;
	const excluded = exclusions.reduce((sum, { count }) => sum + count, 0);
	return {
		summary: "The log, and what is excluded",
		count: `${log.fileName}, ${excluded === 0 ? "no reading excluded" : `${countOf(excluded)} readings excluded`}`,
		body: [
			stackTable(["log", "as read"], readFacts(series), [1]),
			clocksChanged(clockOf(series), timesSeconds.at(-1) ?? 0) &&
				html`<p>The clocks changed within this log. The time axis of a chart keeps the clock of its first reading.</p>`,
			log.notes.length > 0 &&
				stackTable(
					["note", "rows", "where"],
					log.notes.map((note) => [
						below(note.kind, noteWords(note)),
						countOf(note.count),
						lineWords(note.lines, note.count),
					]),
					[2],
				),
			exclusions.length > 0 &&
				stackTable(
					["excluded as", "readings", "where"],
					exclusions.map((one) => [
						below(one.reason, exclusionWords(one)),
						countOf(one.count),
						whereWords(one, series),
					]),
					[2],
				),
			exclusions.length === 0
				? html`<p>No reading is excluded.</p>`
				: html`<p>Excluded readings are marked in the chart of the log and take no part in the fit. To include them, use --keep with the reason. Gaps are never filled in.</p>`,
		],
	};
}
