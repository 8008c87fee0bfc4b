import type { CleanSeries, LogNote } from "../../lib/logs/log.ts";
import { clocksChanged } from "../charts/log/logtime.ts";
import { factsTable } from "../choose/choosetables.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox, section } from "../page/page.ts";
import { clockOf, lineWords, readFacts, whereWords } from "./logwords.ts";

const notesTable = (notes: readonly LogNote[]): Html =>
	scrollBox(
		"What the reader met",
		html`<table>
<thead><tr><th scope="col">met while reading</th><th scope="col" class="number">rows</th><th scope="col">where</th></tr></thead>
<tbody>${notes.map(
			({ kind, count, lines, message }) =>
				html`<tr><th scope="row">${kind}<span class="words">${message}</span></th><td class="number">${count.toLocaleString("en-US")}</td><td>${lineWords(lines, count)}</td></tr>\n`,
		)}</tbody>
</table>`,
	);

const exclusionsTable = (series: CleanSeries): Html =>
	scrollBox(
		"What was left out",
		html`<table>
<thead><tr><th scope="col">left out because</th><th scope="col" class="number">samples</th><th scope="col">where</th></tr></thead>
<tbody>${series.exclusions.map(
			(one) =>
				html`<tr><th scope="row">${one.reason}<span class="words">${one.rule}</span></th><td class="number">${one.count.toLocaleString("en-US")}</td><td>${whereWords(one, series)}</td></tr>\n`,
		)}</tbody>
</table>`,
	);

/** What was read, what was dropped and why, with line numbers. */
export function readSection(series: CleanSeries): Html {
	const { log, exclusions, timesSeconds } = series;
	return section(
		"read",
		"What was read, and what was left out",
		factsTable("The log", readFacts(series)),
		...(clocksChanged(clockOf(series), timesSeconds.at(-1) ?? 0)
			? [
					html`<p class="note">The clocks changed within this log: times of day in this report are those of its first sample.</p>`,
				]
			: []),
		...(log.notes.length === 0 ? [] : [notesTable(log.notes)]),
		...(exclusions.length === 0
			? [html`<p>No sample was left out.</p>`]
			: [
					exclusionsTable(series),
					html`<p class="note">Samples that were left out are marked in the picture above and take no part in the fit; --keep with one of these reasons takes them in again. A gap is never filled.</p>`,
				]),
	);
}
