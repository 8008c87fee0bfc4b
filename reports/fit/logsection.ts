import type { CleanSeries, LogNote } from "../../lib/logs/log.ts";
import { clocksChanged } from "../charts/log/logtime.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox, section } from "../page/page.ts";
import { factsTable } from "../page/table.ts";
import { exclusionWords, noteWords } from "../words/logremarks.ts";
import { clockOf, lineWords, readFacts, whereWords } from "../words/logwords.ts";

const notesTable = (notes: readonly LogNote[]): Html =>
	scrollBox(
		"Notes on the file",
		html`<table>
<thead><tr><th scope="col">note</th><th scope="col" class="number">rows</th><th scope="col">where</th></tr></thead>
<tbody>${notes.map(
			(note) =>
				html`<tr><th scope="row">${note.kind}<span class="words">${noteWords(note)}</span></th><td class="number">${note.count.toLocaleString("en-US")}</td><td>${lineWords(note.lines, note.count)}</td></tr>\n`,
		)}</tbody>
</table>`,
	);

const exclusionsTable = (series: CleanSeries): Html =>
	scrollBox(
		"Excluded readings",
		html`<table>
<thead><tr><th scope="col">excluded as</th><th scope="col" class="number">readings</th><th scope="col">where</th></tr></thead>
<tbody>${series.exclusions.map(
			(one) =>
				html`<tr><th scope="row">${one.reason}<span class="words">${exclusionWords(one)}</span></th><td class="number">${one.count.toLocaleString("en-US")}</td><td>${whereWords(one, series)}</td></tr>\n`,
		)}</tbody>
</table>`,
	);

/** What was read, what was dropped and why, with line numbers. */
export function readSection(series: CleanSeries): Html {
	const { log, exclusions, timesSeconds } = series;
	return section(
		"read",
		"The log, and what is excluded",
		factsTable("The log", readFacts(series)),
		...(clocksChanged(clockOf(series), timesSeconds.at(-1) ?? 0)
			? [
					html`<p class="note">The clocks changed within this log. The time axis of a chart keeps the clock of its first reading.</p>`,
				]
			: []),
		...(log.notes.length === 0 ? [] : [notesTable(log.notes)]),
		...(exclusions.length === 0
			? [html`<p>No reading is excluded.</p>`]
			: [
					exclusionsTable(series),
					html`<p class="note">Excluded readings are marked in the chart above and take no part in the fit. To include them, use --keep with the reason. Gaps are never filled in.</p>`,
				]),
	);
}
