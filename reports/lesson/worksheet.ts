import type { Worksheet } from "../../lib/lesson/worksheet.ts";
import { type Html, html } from "../page/html.ts";
import { shell } from "../page/page.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { STYLE } from "../page/style.ts";
import { answerText, FORMULAS, givenRows, questionText, workingText } from "./worksheetwords.ts";

/** Signs that stand for a number are slanted; a power is raised. */
const formula = (text: string): Html => {
	const [before, power, after] = text.split(/e\^\((−n)\)/);
	return power === undefined ? html`${text}` : html`${before!}e<sup>${power}</sup>${after ?? ""}`;
};

const questionsSection = (
	worksheet: Worksheet,
): Html => html`<section class="sheet" aria-labelledby="sheet-${worksheet.seed}">
<h2 id="sheet-${worksheet.seed}">Sheet ${worksheet.seed}: bursts of air</h2>
<p class="who"><span>Name</span><span>Date</span></p>
<p>A fan on a timer airs a chamber in which mushrooms grow. The chamber has no leakage, its air is well mixed, and its fan is at full speed at once. All numbers are invented. Use the back of the sheet for your working.</p>
<div class="facts">
<table><caption>Given</caption>
<tbody>${givenRows(worksheet).map(
	({ symbol, what, value }) =>
		html`<tr><th scope="row">${what}</th><td>${symbol}</td><td class="number">${value}</td></tr>\n`,
)}</tbody></table>
<table><caption>You may use</caption>
<tbody>${FORMULAS.map(([what, words]) => html`<tr><th scope="row">${what}</th><td>${formula(words)}</td></tr>\n`)}</tbody></table>
</div>
<ol class="questions">
${worksheet.questions.map((one) => html`<li>${keepTogether(questionText(one, worksheet))}</li>\n`)}</ol>
</section>`;

const answersSection = (
	worksheet: Worksheet,
): Html => html`<section class="answers" aria-labelledby="key-${worksheet.seed}">
<h2 id="key-${worksheet.seed}">Answers to sheet ${worksheet.seed}</h2>
<ol>
${worksheet.questions.map(
	(question) =>
		html`<li><strong>${question.answers
			.map((_, place) => answerText(question, place))
			.map(({ what, shown }) => `${what}: ${shown}`)
			.join("; ")}</strong>. ${workingText(question, worksheet)
			.split(/(e\^\(−n\))/)
			.map((part) => (part === "e^(−n)" ? html`e<sup>−n</sup>` : part))}</li>\n`,
)}</ol>
</section>`;

const WORKSHEET_STYLE = `
main.sheets{padding-top:2rem;padding-bottom:3rem}
.sheet,.answers{margin-bottom:4rem}
.sheet h2,.answers h2{margin-top:0}
.who{display:flex;gap:2rem;max-width:none}
.who span{flex:1;border-bottom:1px solid var(--soft);padding-bottom:.2rem;color:var(--soft);font-size:.875rem}
.who span:last-child{flex:0 0 10rem}
.facts{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(20rem,100%),1fr));gap:1rem 2.5rem;align-items:start;margin:1rem 0}
.facts caption{text-align:left;font-weight:600;padding-bottom:.2rem}
.facts td{white-space:nowrap}
.questions li{padding-bottom:3.2rem;border-bottom:1px dotted var(--line);margin:.7rem 0}
.sheets ol{padding-left:1.6rem;max-width:68ch}
.answers li{margin:.45rem 0}
@media (max-width:40rem){.facts td{white-space:normal}}
@media print{
main.sheets{padding-top:0}
.sheet{break-after:page;margin:0}
.answers{margin:0 0 1.5rem;break-inside:avoid}
.facts{grid-template-columns:4fr 5fr;gap:1rem 1.5rem;margin:.5rem 0}
.sheet p,.note{max-width:none}
.sheets ol{max-width:none}
.questions li{padding-bottom:9mm;margin:.3rem 0;break-inside:avoid}
.questions li:last-child{border-bottom:0}
}
`;

/** Worksheets to print: a page each, then the answers. */
export const worksheetPage = (worksheets: readonly Worksheet[], { version }: ReportOptions): string =>
	shell({
		title: "Worksheet: bursts of air · Lullgust",
		style: STYLE + WORKSHEET_STYLE,
		script: null,
		body: html`<main class="sheets">
<h1 class="unseen">Worksheet</h1>
${worksheets.map((one) => html`${questionsSection(one)}\n`)}
${worksheets.map((one) => html`${answersSection(one)}\n`)}
<p class="note">Made by Lullgust ${version}. The same sheet number gives the same questions.</p>
</main>
`,
	});
