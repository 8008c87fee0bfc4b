import { listInputs } from "../../lib/model/inputs.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { type Html, html } from "../page/html.ts";
import { page, scrollBox, section } from "../page/page.ts";
import {
	assumptionsSection,
	cautionsSection,
	footerLine,
	inputsSection,
	type ReportOptions,
	scenarioSection,
} from "../page/sections.ts";
import type { PieceTable } from "./fitpieces.ts";

/** What a page about several parts of logs says. */
export interface PiecesPage {
	readonly kind: string;
	readonly verdict: string;
	readonly table: PieceTable;
	/** How the table is meant. */
	readonly key: string | null;
	readonly figures: readonly Html[];
	readonly failures: readonly string[];
	readonly premises: readonly string[];
}

const tableHtml = ({ head, rows }: PieceTable): Html =>
	scrollBox(
		"Parts",
		html`<table>
<thead><tr>${head.map((text, column) => html`<th scope="col" class="${column > 2 ? "number" : ""}">${text}</th>`)}</tr></thead>
<tbody>${rows.map((row) => html`<tr>${row.map((text, column) => (column === 0 ? html`<th scope="row">${text}</th>` : html`<td class="${column > 2 ? "number" : ""}">${text}</td>`))}</tr>\n`)}</tbody>
</table>`,
	);

/** Several parts of logs in one table, on one page. */
export const piecesPage = (scenario: Scenario, content: PiecesPage, options: ReportOptions): string =>
	page({
		title: scenario.name,
		kind: content.kind,
		lead: null,
		body: [
			section(
				"verdict",
				"Part by part",
				html`<p class="verdict"><strong>${content.verdict}</strong></p>`,
				tableHtml(content.table),
				...(content.key === null ? [] : [html`<p class="key">${content.key}</p>`]),
				...content.figures,
			),
			...(content.failures.length === 0
				? []
				: [
						section(
							"failures",
							"Parts that failed",
							html`<ul>${content.failures.map((words) => html`<li>${words}</li>\n`)}</ul>`,
						),
					]),
			inputsSection(listInputs(scenario), options.units),
			assumptionsSection([], content.premises),
			cautionsSection(),
			scenarioSection(scenario),
		],
		footer: footerLine(options),
	});
