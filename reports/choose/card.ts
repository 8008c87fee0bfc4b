import type { FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import type { DisplayValue } from "../../lib/model/schedule/timer.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { shell } from "../page/page.ts";
import { STYLE } from "../page/style.ts";
import { htmlTable } from "../page/table.ts";
import { formatPpm } from "../words/format.ts";
import { judgedPhrase, targetPhrase } from "../words/verdict.ts";
import {
	cardCompliance,
	ENTRY_ERROR_CHECK,
	ENTRY_ERROR_WORDS,
	entryErrorName,
	entryErrorSign,
	powerUpWords,
} from "./choosewords.ts";

/** What a card is told beside the choice. */
export interface CardOptions {
	readonly units: UnitSystem;
	readonly version: string;
	/** Day on which it is made, as it is to stand there: "2026-03-14". */
	readonly date: string;
}

export const CARD_CAUTION =
	"An estimate, no safety device: proof is a CO₂ logger at crop height. Guard the blades and unplug before you reach in: the timer starts without warning. Stay behind a listed plug-in adapter; local codes come first.";

/** The digits, each in a box of its own, so that none is lost and the point is visible. */
const digitBoxes = ({ display, unit }: DisplayValue): Html =>
	html`<span class="digits" role="img" aria-label="${display} ${unit}">${[...display].map((sign) =>
		sign === "." ? html`<span class="point"></span>` : html`<span class="digit">${sign}</span>`,
	)}<span class="display-unit">${unit}</span></span>`;

/** One time as the display shows it, with what the fan does in it. */
export const timerSettingPanel = (
	name: "ON" | "OFF",
	fan: string,
	displayValue: DisplayValue,
): Html => html`<div class="timer-time ${name.toLowerCase()}">
<p class="which"><strong>${name}</strong> ${fan}</p>
<p class="shown">${digitBoxes(displayValue)}</p>
<p class="range">range ${displayValue.range}</p>
</div>`;

/** Times that break only after their comma. */
const keepTimesTogether = (times: string): string => times.replaceAll(/(?<!,) /g, "\u00a0");

/** The panel to print and hang beside the timer, at most A6. */
export function cardPanel(choice: FeasibleChoice, options: CardOptions): Html {
	const { recommended, entryErrors, scenario } = choice;
	const { units, date } = options;
	const { setting, summary, inWords } = recommended;
	const compliance = cardCompliance(choice);
	return html`<article class="card" aria-label="Setting card">
<p class="card-head"><strong>Timer setting</strong> <span>${date}</span></p>
<p class="card-name">${scenario.name}</p>
${timerSettingPanel("ON", "fan on", setting.on)}
${timerSettingPanel("OFF", "fan off", setting.off)}
<p class="card-facts">${inWords}. Meant to keep ${targetPhrase(summary)}. With exactly these digits the model gives ${judgedPhrase(summary)}${summary.criterion.statistic !== "peak" && ` (peak ${formatPpm(summary.peakPpm)})`}, with ${formatQuantity(summary.freshAirM3PerDay, "volume", units)} of fresh air per day.${compliance !== null && ` ${compliance}`}</p>
<p>${powerUpWords(scenario.timer?.powerUp ?? null, setting)}</p>
${
	entryErrors.length > 0 &&
	html`<p class="card-check"><strong>${ENTRY_ERROR_CHECK}</strong> ${ENTRY_ERROR_WORDS}</p>
${htmlTable(
	"mistakes",
	["mistake", "what you see", "peak, ppm", "air per day"],
	entryErrors.map((one) => [
		entryErrorName(one),
		keepTimesTogether(entryErrorSign(one)),
		Math.round(one.peakPpm),
		formatQuantity(one.freshAirM3PerDay, "volume", units),
	]),
	[2, 3],
)}`
}
<p class="card-caution">${CARD_CAUTION}</p>
</article>`;
}

/** Sizes in em, so that screen and paper differ in one number: 8 pt would make the card as wide as A6. */
export const CARD_STYLE = `
.card{width:37.2em;max-width:100%;font-size:15px;line-height:1.3;padding:1.5em 1.9em;margin:1.25rem 0;background:var(--sheet);border:1px solid var(--rule);border-radius:6px}
.card p{margin:.42em 0;max-width:none}
.card-head{display:flex;justify-content:space-between;gap:1em;font-size:1.15em}
.card .card-head{margin-top:0}
.card .card-name{margin-top:0;color:var(--soft);overflow-wrap:anywhere;max-height:2.6em;overflow:hidden}
.timer-time{display:grid;grid-template-columns:7.4em 1fr;align-items:center;border:2px solid var(--ink);border-radius:5px;margin:.6em 0;overflow:hidden}
.timer-time .which{grid-row:1/3;align-self:stretch;margin:0;padding:.6em .7em;display:flex;flex-direction:column;justify-content:center}
.timer-time .which strong{font-size:1.9em;line-height:1.1}
.timer-time.on .which{background:var(--ink);color:var(--sheet)}
.timer-time.off .which{border-right:2px solid var(--ink)}
.timer-time .shown{margin:0;padding:.65em .8em 0}
.timer-time .range{margin:0;padding:.35em .8em .6em;font-size:.92em}
.digits{display:inline-flex;align-items:flex-end;gap:.12em;font:600 2.9em/1 ui-monospace,SFMono-Regular,Menlo,"DejaVu Sans Mono",monospace}
.digit{border:1px solid var(--soft);border-radius:.08em;padding:.08em .14em}
.point{width:.24em;height:.24em;border-radius:50%;background:currentColor;margin:0 .04em .04em}
.display-unit{font-size:.5em;padding:0 0 .2em .45em}
.card .mistakes{font-size:.92em;margin:.3em 0}
.card .mistakes th,.card .mistakes td{padding:.2em .5em .2em 0}
.card .mistakes .number{padding-right:0;padding-left:.5em}
.card .mistakes tbody th{white-space:nowrap}
.card .mistakes tbody tr:last-child>*{border-bottom:0}
.card .card-caution{font-size:.92em;color:var(--soft);border-top:1px solid var(--rule);padding-top:.45em;margin-bottom:0}
@media (max-width:40rem){
.card .mistakes tbody th{white-space:normal}
.card{font-size:14px;padding:1em}
.timer-time{grid-template-columns:5.6em 1fr}
.timer-time .which{padding:.6em .5em}
.digits{font-size:2.4em}
}
@media print{
.card{width:105mm;max-width:105mm;font-size:7.3pt;padding:2.4mm 6mm;break-inside:avoid;border:1px dashed #888;border-radius:0;print-color-adjust:exact}
.card .mistakes{font-size:.92em}
.card .mistakes th,.card .mistakes td{padding-top:.07em;padding-bottom:.07em}
.timer-time{grid-template-columns:7.4em 1fr}
.digits{font-size:2.9em}
}
`;

/** On a sheet of its own the card is the sheet. */
const ALONE = `
main.alone{max-width:37.2em;padding:1rem;font-size:15px}
@page{size:105mm 148mm;margin:0}
@media print{main.alone{padding:0;max-width:105mm}main.alone .card{border:0;margin:0}}
`;

/** The card as an HTML file of its own, for an A6 sheet. */
export const cardPage = (choice: FeasibleChoice, options: CardOptions): string =>
	shell({
		title: `Setting card · ${choice.scenario.name} · Lullgust ${options.version}`,
		style: STYLE + CARD_STYLE + ALONE,
		script: null,
		body: html`<main class="alone">
<h1 class="unseen">Setting card</h1>
${cardPanel(choice, options)}
</main>
`,
	});
