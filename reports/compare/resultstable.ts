import type { Comparison } from "../../lib/compare/comparison.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { type ValueColumn, valueTable } from "../page/table.ts";
import { whole } from "../words/format.ts";
import type { EvaluatedRun } from "../words/runverdict.ts";
import { basisShort, basisWords, cropZoneName } from "../words/verdict.ts";
import { resultGroups, type SummaryRow } from "./resultrows.ts";

/** Schedules that fit side by side on paper. */
const COLUMNS = 6;
/** Columns that fit side by side on a phone. */
const PHONE_COLUMNS = 2;

/** All values, one column per schedule; the column of the best is marked in words and by a rule. */
export function resultsTable(
	comparison: Comparison,
	marked: { readonly name: string; readonly badge: string } | null,
	units: UnitSystem,
): Html {
	const { schedules } = comparison;
	const rows = resultGroups(comparison, cropZoneName(comparison), units);
	const parts = Math.ceil(schedules.length / COLUMNS);
	const columnsEach = Math.ceil(schedules.length / parts);
	const columns = schedules.map(({ name, inWords, summary }) => ({
		name,
		words: inWords,
		badge: name === marked?.name ? marked.badge : null,
		cell: (row: SummaryRow) => row.cell(summary),
	}));
	const pages = Array.from({ length: parts }, (_, page) =>
		columns.slice(page * columnsEach, (page + 1) * columnsEach),
	);
	const bases = new Set(schedules.map(({ summary }) => basisWords(summary)));
	const basis = [...bases].map((words) => {
		const names = schedules
			.filter(({ summary }) => basisWords(summary) === words)
			.map(({ name }) => `“${name}”`);
		return bases.size === 1 ? words : `${words} (${names.join(", ")})`;
	});
	return html`<p class="note">These values describe ${basis.join("; ")}.</p>
${pages.map((page, place) =>
	scrollBox(
		pages.length === 1 ? "Table of results" : `Table of results, part ${place + 1}`,
		valueTable(rows, page),
		page.length > PHONE_COLUMNS ? `Scroll sideways: there are ${page.length} schedules side by side.` : null,
	),
)}`;
}

/** The values of one run beside those of its schedule in the settled pattern. */
export function runTable(comparison: Comparison, run: EvaluatedRun, units: UnitSystem): Html {
	const { summary, inWords } = comparison.schedules[0]!;
	const basis = basisWords(summary);
	const columns: readonly ValueColumn<SummaryRow>[] = [
		{
			name: "this run",
			words: `${formatDuration(run.stats.durationSeconds)} from ${whole(run.stats.startPpm)} ppm`,
			badge: null,
			cell: (row) => row.ofRun(run),
		},
		{ name: basisShort(summary), words: inWords, badge: null, cell: (row) => row.cell(summary) },
	];
	return html`<p class="note">The first column describes this run. The second describes ${basis}.</p>
${scrollBox("Table of results", valueTable(resultGroups(comparison, cropZoneName(comparison), units), columns))}`;
}
