import type { InputRow, Scenario } from "../../lib/scenario/scenario.ts";
import { sectionDefs } from "../charts/section/states.ts";
import { contentsLine, FURNITURE_SCRIPT, type Head, head } from "./head.ts";
import { embeddedJson, type Html, html } from "./html.ts";
import { shell } from "./page.ts";
import { cautions, type Details, details, list, type Section, section, titleBlock } from "./section.ts";
import {
	CAUTIONS,
	footerFields,
	inputsDetails,
	PREMISES,
	type ReportOptions,
	scenarioDetails,
} from "./sections.ts";
import { SHEET_STYLE } from "./sheetstyle.ts";

/** What a page is made of, beside the furniture; what is null is not there. */
export interface ReportContent {
	/** Of the command that made it, such as "fit". */
	readonly kind: string;
	readonly head: Head;
	/** The picture of the first screen. */
	readonly hero: Html | null;
	/** The one paragraph below it, and what else is to be known at once. */
	readonly lead: readonly (string | Html)[];
	readonly sections: readonly (Section | null | false)[];
	/** Doubts of this calculation. */
	readonly warnings: readonly string[];
	/** What every calculation of its kind rests on; default: those of a prediction. */
	readonly premises?: readonly string[];
	/** Default: those of every report. */
	readonly cautions?: readonly (readonly [name: string, words: string])[];
	/** Folded before inputs, assumptions and file. */
	readonly details?: readonly (Details | null | false)[];
	readonly data?: Readonly<Record<string, unknown>>;
	/** Beside that of every page. */
	readonly script?: string;
	readonly style?: string;
}

const there = <T extends object>(parts: readonly (T | null | false)[]): readonly T[] =>
	parts.filter((part): part is T => part !== null && part !== false);

/** A report on a scenario as one self-contained HTML file. */
export function scenarioReport(
	scenario: Scenario,
	inputs: readonly InputRow[],
	options: ReportOptions,
	content: ReportContent,
): string {
	const { kind, warnings, data = {} } = content;
	const sections = there(content.sections);
	const folded = there<Details>([
		...(content.details ?? []),
		inputsDetails(inputs, options.units),
		{
			summary: "Assumptions",
			count: warnings.length === 0 ? "of every calculation" : `${warnings.length} in this calculation`,
			body: [
				warnings.length > 0 && html`<h3>In this calculation</h3>`,
				warnings.length > 0 && list(warnings),
				warnings.length > 0 && html`<h3>In every calculation</h3>`,
				list(content.premises ?? PREMISES),
			],
		},
		scenarioDetails(scenario),
	]);
	return shell({
		title: `${scenario.name} · ${kind} · Lullgust`,
		style: SHEET_STYLE + (content.style ?? ""),
		script: FURNITURE_SCRIPT + (content.script ?? ""),
		body: html`${sectionDefs()}
<a class="skip" href="#report">Skip to the report</a>
${contentsLine(kind, [
	{ id: "answer", words: "Answer" },
	...sections.map(({ id, heading, words = heading }) => ({ id, words })),
	{ id: "cautions", words: "Cautions" },
	{ id: "details", words: "Details" },
])}
<main id="report" tabindex="-1">
${head(content.head)}
<div class="in hero">${content.hero}
${content.lead.map((words) => html`<p class="lead">${words}</p>\n`)}</div>
${sections.map((one) => html`${section(one)}\n`)}${cautions(content.cautions ?? CAUTIONS)}
${section({
	id: "details",
	heading: "Details",
	sentence: "Folded on a screen, open on paper.",
	body: folded.map(details),
	isLong: true,
})}
</main>
<footer class="in">
${titleBlock([["chamber", scenario.name], ...footerFields(scenario, kind, options)])}
</footer>
${Object.entries(data).map(
	([id, value]) => html`<script type="application/json" id="${id}">${embeddedJson(value)}</script>\n`,
)}`,
	});
}
