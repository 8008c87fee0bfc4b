import type { RigReport } from "../../lib/rig/check.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox, shell } from "../page/page.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { STYLE } from "../page/style.ts";
import { formatRounded } from "./rounding.ts";
import type { CommissioningSheet } from "./sheets/sheet.ts";

const list = (kind: string, items: readonly string[]): Html =>
	html`<ul class="${kind}">${items.map((item) => html`<li>${keepTogether(item)}</li>\n`)}</ul>`;

/** Cells that hold nothing are room to write. */
const recordTable = ({ columns, rows }: CommissioningSheet["record"], title: string): Html =>
	scrollBox(
		`To fill in, ${title}`,
		html`<table class="record${rows.length > 6 && " dense"}"><caption>To fill in</caption>
<thead><tr>${columns.map((name) => (name === "" ? html`<td></td>` : html`<th scope="col">${name}</th>`))}</tr></thead>
<tbody>${rows.map(
			([head, ...cells]) =>
				html`<tr><th scope="row">${head ?? ""}</th>${cells.map((cell) => html`<td class="${cell === "" ? "blank" : "filled"}">${cell}</td>`)}</tr>\n`,
		)}</tbody></table>`,
	);

/** One sheet. */
export function sheetSection(one: CommissioningSheet, { scenario }: RigReport, units: UnitSystem): Html {
	const { id, title, reason, duration, tools, steps, expected, record, acceptance, troubles, cautions } = one;
	// What stands in the table already is not told twice.
	const figures = expected
		.filter(({ label }) => !record.rows.some(([head]) => head === label))
		.map(({ label, value, dimension }) => `${label}: ${formatRounded(value, dimension, units)}`);
	return html`<section class="sheet" aria-labelledby="${id}">
<h3 id="${id}"><span class="count">${id}</span> ${title}</h3>
<p class="who"><span>${scenario.name}</span><span>Date</span><span>By</span></p>
<p class="why">${reason}</p>
<p class="facts"><strong>Time:</strong> ${keepTogether(duration)}.${tools.length > 0 && html` <strong>Tools:</strong> ${keepTogether(tools.join("; "))}.`}</p>
${cautions.length > 0 && html`<div class="care"><strong>Caution</strong>${list("plain", cautions)}</div>`}
<ol class="steps">${steps.map((step) => html`<li>${keepTogether(step)}</li>\n`)}</ol>
${figures.length > 0 && html`<p class="facts"><strong>Expected:</strong> ${keepTogether(figures.join("; "))}.</p>`}
${record.rows.length > 0 && recordTable(record, title)}
<div class="pair">
${acceptance.length > 0 && html`<div><h4>Accept</h4>${list("accept", acceptance)}</div>`}
${
	troubles.length > 0 &&
	html`<div><h4>What can go wrong</h4><ul class="troubles">${troubles.map(({ sign, cause }) => html`<li><strong>${sign}:</strong> ${cause}</li>\n`)}</ul></div>`
}
</div>
${one.command !== null && scrollBox(`Command, ${title}`, html`<pre>${one.command}</pre>`)}
${one.enter !== null && html`<p class="facts"><strong>Into the file:</strong> ${one.enter}</p>`}
</section>`;
}

export const SHEET_STYLE = `
.count{display:inline-block;min-width:1.9em;color:var(--accent)}
.sheet{margin:2.5rem 0;padding:1.25rem;background:var(--panel);border:1px solid var(--line);border-radius:6px}
.sheet h3{font-size:1.15rem;margin:0 0 .4rem}
.sheet h4{font-size:.9375rem;margin:.6rem 0 .2rem}
.sheet p,.sheet ol,.sheet ul{max-width:none}
.who{display:flex;flex-wrap:wrap;gap:.5rem 1.5rem;color:var(--soft);font-size:.875rem}
.who span{flex:1 1 8rem;border-bottom:1px solid var(--soft);padding-bottom:.2rem;overflow-wrap:anywhere}
.who span:first-child{flex:2 1 12rem;border-color:transparent}
.why{color:var(--soft)}
.care{border-left:4px solid var(--limit);padding:.1rem 0 .1rem .8rem;margin:.7rem 0;font-size:.9375rem}
.sheet .plain,.sheet .troubles{padding-left:1.1rem;margin:.15rem 0}
.sheet .plain li,.sheet .troubles li,.sheet .accept li{margin:.15rem 0}
.accept{list-style:none;padding:0}
.accept li{padding-left:1.6rem;position:relative}
.accept li::before,.tick{content:"";position:absolute;left:0;top:.3em;width:.85rem;height:.85rem;border:1.5px solid var(--soft);border-radius:2px}
.steps{padding-left:1.5rem}
.record caption{text-align:left;font-weight:600;padding-bottom:.2rem}
.record th,.record td{border:1px solid var(--line);padding:.35rem .5rem}
.record th:first-child,.record td:first-child{padding-left:.5rem}
.record tbody td{height:2.1rem;min-width:3.2rem}
.record tbody th{min-width:4.5rem}
.pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(18rem,100%),1fr));gap:0 2rem}
.sheet pre{background:var(--paper)}
@media (min-width:40.01rem){.record tbody th,.record .filled{width:1%;white-space:nowrap}}
@media (max-width:40rem){.sheet{padding:1rem .75rem;margin-left:-.75rem;margin-right:-.75rem}}
@media print{
.sheet{border:0;border-top:1px solid var(--line);border-radius:0;padding:.5rem 0 0;margin:1rem 0 0}
.sheet p,.care,.record,.pair>div,.sheet pre{break-inside:avoid}
.who,.why,.sheet .facts,.sheet h4,.sheet .care{break-after:avoid}
.sheet .facts:last-child{break-before:avoid;break-after:auto}
.sheet h3{font-size:13pt;margin-top:0}
.sheet h4{font-size:9pt;margin:.4rem 0 .1rem}
.sheet p,.sheet li{font-size:8.5pt;line-height:1.3}
.sheet p{margin:.3rem 0}
.sheet li{margin:.1rem 0}
.sheet .steps li{margin:.2rem 0}
.care{font-size:8.5pt;margin:.3rem 0}
.sheet .scroll{margin:.3rem 0}
.record{width:100%}
.record tbody td{height:9mm;padding:.1rem .4rem}
.dense tbody td{height:5.8mm}
.record thead th,.record tbody th{padding:.1rem .4rem}
.pair{grid-template-columns:2fr 3fr}
.sheet pre{font-size:8.5pt;border:1px solid var(--line);padding:.3rem .5rem}
}
`;

const SHEETS_ONLY = `
main.sheets{padding-top:1.5rem;padding-bottom:3rem}
@media print{
main.sheets{padding:0}
main.sheets .sheet{break-before:page;border:0;padding:0;margin:0}
main.sheets .sheet:first-of-type{break-before:auto}
}
`;

/** The sheets alone, a page each. */
export const sheetsPage = (
	sheets: readonly CommissioningSheet[],
	report: RigReport,
	{ units, version }: ReportOptions,
): string =>
	shell({
		title: `${report.scenario.name} · Commissioning sheets · Lullgust`,
		style: STYLE + SHEET_STYLE + SHEETS_ONLY,
		script: null,
		body: html`<main class="sheets">
<h1 class="unseen">Commissioning sheets, ${report.scenario.name}</h1>
<h2 class="unseen">Sheets</h2>
${sheets.map((one) => html`${sheetSection(one, report, units)}\n`)}
<p class="note">Made by Lullgust ${version}. Estimates by common practice: no safety device, and local codes come first.</p>
</main>
`,
	});
