import { burstCount } from "../../lib/model/schedule/inwords.ts";
import type { PowerReport, RigItem, RigReport } from "../../lib/rig/rigtypes.ts";
import type { UnitSystem } from "../../lib/units/units.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { unbroken } from "../page/sections.ts";
import { itemName, lost, months, powerRows, rounded, VERDICT_WORDS } from "./rigwords.ts";

const WIDER = "The table is wider than the screen";

const itemRow = (item: RigItem): Html =>
	html`<tr class="${item.verdict}"><th scope="row"><span class="mark">${VERDICT_WORDS[item.verdict]}</span>${itemName(item)}</th><td>${unbroken(item.says)}${item.remedy !== null && html`<span class="remedy">${item.verdict === "ok" ? "" : "→ "}${unbroken(item.remedy)}</span>`}<span class="words">${unbroken(item.why)}</span></td></tr>\n`;

/** Everything that was checked, worst first, with reason and remedy. */
export const itemTable = (items: readonly RigItem[]): Html =>
	html`<table class="items">
<thead><tr><th scope="col">verdict</th><th scope="col">what was found, what to do, and why</th></tr></thead>
<tbody>${items.map(itemRow)}</tbody>
</table>`;

/** What each schedule's bursts deliver. */
export const deliveryTable = ({ delivery, ductVolumeM3 }: RigReport, units: UnitSystem): Html =>
	scrollBox(
		"Delivery of a burst",
		html`<table class="small delivery">
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">shortest burst</th><th scope="col" class="number">flow × time</th><th scope="col" class="number">delivered</th><th scope="col" class="number">lost</th>${ductVolumeM3 !== null && html`<th scope="col" class="number">fresh, behind the duct's own air</th>`}</tr></thead>
<tbody>${delivery.map(
			(one) =>
				html`<tr><th scope="row">${one.name}<span class="words">${one.inWords}</span></th><td class="number">${rounded(one.onSeconds, "duration", units)}</td><td class="number">${rounded(one.idealM3, "volume", units)}</td><td class="number">${rounded(one.airM3, "volume", units)}</td><td class="number">${lost(one.lossShare)}</td>${ductVolumeM3 !== null && html`<td class="number">${rounded(one.freshM3, "volume", units)}</td>`}</tr>\n`,
		)}</tbody>
</table>`,
		WIDER,
	);

export const powerTable = (report: RigReport, power: PowerReport, units: UnitSystem): Html =>
	html`<table class="small power">
<thead><tr><th scope="col">current and drop</th><th scope="col" class="number">value</th><th scope="col">remark</th></tr></thead>
<tbody>${powerRows(report, power, units).map(
		([name, value, remark]) =>
			html`<tr><th scope="row">${name}</th><td class="number">${value}</td><td>${remark}</td></tr>\n`,
	)}</tbody>
</table>`;

export const contactTable = (contact: NonNullable<RigReport["contact"]>): Html =>
	html`<table class="small">
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">operations a month</th><th scope="col" class="number">the contact lasts</th></tr></thead>
<tbody>${contact.map(
		({ name, operationsPerMonth, months: own, cautiousMonths }) =>
			html`<tr><th scope="row">${name}</th><td class="number">${burstCount(operationsPerMonth)}</td><td class="number">${months(own)}${cautiousMonths !== null && html`<span class="words">${months(cautiousMonths)} by a cautious figure</span>`}</td></tr>\n`,
	)}</tbody>
</table>`;

/** Each wire as one would make it, with a box to tick. */
export const connectionTable = (words: readonly string[]): Html =>
	html`<ol class="connections">${words.map((line) => html`<li><span class="tick"></span>${line}</li>\n`)}</ol>`;

export const notAskedTable = ({ notAsked }: RigReport): Html =>
	html`<table class="small notasked">
<thead><tr><th scope="col">key</th><th scope="col">so this was not judged</th><th scope="col">how to come by it</th></tr></thead>
<tbody>${notAsked.map(
		({ path, says, measure }) =>
			html`<tr><th scope="row"><span class="path">${path}</span></th><td>${says}</td><td>${measure}</td></tr>\n`,
	)}</tbody>
</table>`;
