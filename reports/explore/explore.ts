import type { Scenario } from "../../lib/scenario/scenario.ts";
import { READING_SCRIPT, READING_STYLE } from "../charts/section/readingline.ts";
import { sectionDefs } from "../charts/section/states.ts";
import { contentsLine, FURNITURE_SCRIPT } from "../page/head.ts";
import { embeddedJson, html } from "../page/html.ts";
import { shell } from "../page/page.ts";
import { cautions, details, list, section, titleBlock } from "../page/section.ts";
import { CAUTIONS, footerFields, PREMISES, type ReportOptions } from "../page/sections.ts";
import { SHEET_STYLE } from "../page/sheetstyle.ts";
import { createExplorer, cyclesOf, firstState } from "./explored.ts";
import { exploreScript } from "./script.ts";
import { EXPLORE_STYLE } from "./style.ts";
import { exploreBody, shareBody } from "./view/markup.ts";

/** The live page of a scenario as one HTML file: the model inside, controls to move it by. */
export async function exploreReport(scenario: Scenario, options: ReportOptions): Promise<string> {
	const { text, fileName, name } = scenario;
	const base = firstState(scenario, options.units);
	const cycles = cyclesOf(scenario);
	const explored = createExplorer(text, fileName).explore(base);
	const data = {
		scenario: { text, fileName, base, cycles },
		readings: null,
	};
	return shell({
		title: `${name} · Live page · Lullgust`,
		style: SHEET_STYLE + READING_STYLE + EXPLORE_STYLE,
		script: FURNITURE_SCRIPT + READING_SCRIPT + (await exploreScript()),
		body: html`${sectionDefs()}
<a class="skip" href="#report">Skip to the report</a>
${contentsLine("explore", [
	{ id: "answer", words: "Answer" },
	{ id: "settings", words: "Map" },
	{ id: "controls", words: "Controls" },
	{ id: "numbers", words: "Results" },
	{ id: "share", words: "Take it along" },
	{ id: "cautions", words: "Cautions" },
])}
<main id="report" tabindex="-1">
${exploreBody(explored, cycles)}
${section({ id: "share", heading: "Take it along", body: shareBody() })}
${section({ id: "doubts", heading: "In this calculation", body: html`<ul id="warnings"></ul>` })}
${cautions(CAUTIONS)}
<section class="in" id="details" aria-label="Details">
${details({ summary: "Assumptions", count: "of every calculation", body: list(PREMISES) })}
</section>
</main>
<footer class="in">
${titleBlock([["chamber", name], ...footerFields(scenario, "explore", options)])}
</footer>
${Object.entries(data).map(
	([id, value]) => html`<script type="application/json" id="${id}">${embeddedJson(value)}</script>\n`,
)}`,
	});
}
