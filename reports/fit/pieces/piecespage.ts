import { listInputs } from "../../../lib/model/inputs.ts";
import type { Scenario } from "../../../lib/scenario/scenario.ts";
import type { Head } from "../../page/head.ts";
import { type Html, html } from "../../page/html.ts";
import { scenarioReport } from "../../page/report.ts";
import { list } from "../../page/section.ts";
import type { ReportOptions } from "../../page/sections.ts";
import { stackTable } from "../../page/table.ts";
import type { PieceTable } from "./fitpieces.ts";

/** What a page about several parts of logs says. */
export interface PiecesPage {
	readonly kind: string;
	readonly head: Omit<Head, "what">;
	readonly verdict: string;
	readonly table: PieceTable;
	/** How the table is meant. */
	readonly key: string | null;
	readonly figures: readonly Html[];
	readonly failures: readonly string[];
	readonly premises: readonly string[];
}

/** Several parts of logs in one table, on one page. */
export const piecesPage = (scenario: Scenario, content: PiecesPage, options: ReportOptions): string =>
	scenarioReport(scenario, listInputs(scenario), options, {
		kind: content.kind,
		head: { ...content.head, what: [scenario.name, `${content.table.rows.length} parts of logs`] },
		hero: null,
		lead: [content.verdict],
		sections: [
			{
				id: "parts",
				heading: "Part by part",
				body: [
					stackTable(content.table.head, content.table.rows),
					content.key !== null && html`<p class="say">${content.key}</p>`,
					...content.figures,
				],
				isLong: true,
			},
			content.failures.length > 0 && {
				id: "failures",
				heading: "Parts that failed",
				body: list(content.failures),
			},
		],
		warnings: [],
		premises: content.premises,
	});
