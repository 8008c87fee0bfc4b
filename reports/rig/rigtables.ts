import { burstCount, inWords } from "../../lib/model/schedule/inwords.ts";
import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { PowerReport } from "../../lib/rig/power/powerreport.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { keepTogether } from "../page/sections.ts";
import { findingName, VERDICT_WORDS } from "./findingnames.ts";
import { findingWords } from "./findingwords.ts";
import { NOT_ASSESSED } from "./notassessedwords.ts";
import { formatLoss, formatMonths, powerRows } from "./rigwords.ts";
import { formatRounded } from "./rounding.ts";

const WIDER = "The table is wider than the screen";

function findingRow(found: RigFinding, report: RigReport, units: UnitSystem): Html {
	const { finding, reason, remedy } = findingWords(found, report, units);
	const arrow = found.verdict === "ok" ? "" : "→ ";
	return html`<tr class="${found.verdict}"><th scope="row"><span class="mark">${VERDICT_WORDS[found.verdict]}</span>${findingName(found)}</th><td>${keepTogether(finding)}${remedy !== null && html`<span class="remedy">${arrow}${keepTogether(remedy)}</span>`}<span class="words">${keepTogether(reason)}</span></td></tr>\n`;
}

/** Everything that was checked, worst first, with reason and remedy. */
export const findingTable = (report: RigReport, units: UnitSystem): Html =>
	html`<table class="items">
<thead><tr><th scope="col">verdict</th><th scope="col">finding, remedy and reason</th></tr></thead>
<tbody>${report.findings.map((found) => findingRow(found, report, units))}</tbody>
</table>`;

/** What each schedule's bursts deliver. */
export function deliveryTable({ scenario, delivery, ductVolumeM3 }: RigReport, units: UnitSystem): Html {
	const schedules = new Map(scenario.schedules.map(({ name, schedule }) => [name, inWords(schedule)]));
	return scrollBox(
		"Delivery of a burst",
		html`<table class="small delivery">
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">shortest burst</th><th scope="col" class="number">flow × time</th><th scope="col" class="number">delivered</th><th scope="col" class="number">lost</th>${ductVolumeM3 !== null && html`<th scope="col" class="number">fresh air after the duct's</th>`}</tr></thead>
<tbody>${delivery.map(
			(one) =>
				html`<tr><th scope="row">${one.name}<span class="words">${schedules.get(one.name)!}</span></th><td class="number">${formatRounded(one.onSeconds, "duration", units)}</td><td class="number">${formatRounded(one.idealM3, "volume", units)}</td><td class="number">${formatRounded(one.airM3, "volume", units)}</td><td class="number">${formatLoss(one.lossShare)}</td>${ductVolumeM3 !== null && html`<td class="number">${formatRounded(one.freshM3, "volume", units)}</td>`}</tr>\n`,
		)}</tbody>
</table>`,
		WIDER,
	);
}

export const powerTable = (report: RigReport, power: PowerReport, units: UnitSystem): Html =>
	html`<table class="small power">
<thead><tr><th scope="col">current and voltage</th><th scope="col" class="number">value</th><th scope="col">remark</th></tr></thead>
<tbody>${powerRows(report, power, units).map(
		([name, value, remark]) =>
			html`<tr><th scope="row">${name}</th><td class="number">${value}</td><td>${remark}</td></tr>\n`,
	)}</tbody>
</table>`;

export const contactTable = (contact: NonNullable<RigReport["contactLife"]>): Html =>
	html`<table class="small">
<thead><tr><th scope="col">schedule</th><th scope="col" class="number">operations per month</th><th scope="col" class="number">contact life</th></tr></thead>
<tbody>${contact.map(
		({ name, operationsPerMonth, months: own, cautiousMonths }) =>
			html`<tr><th scope="row">${name}</th><td class="number">${burstCount(operationsPerMonth)}</td><td class="number">${formatMonths(own)}${cautiousMonths !== null && html`<span class="words">${formatMonths(cautiousMonths)} by a cautious estimate</span>`}</td></tr>\n`,
	)}</tbody>
</table>`;

/** Each wire as one would make it, with a box to tick. */
export const connectionTable = (words: readonly string[]): Html =>
	html`<ol class="connections">${words.map((line) => html`<li><span class="tick"></span>${line}</li>\n`)}</ol>`;

export const notAssessedTable = ({ notAssessed }: RigReport): Html =>
	html`<table class="small notasked">
<thead><tr><th scope="col">key</th><th scope="col">not assessed</th><th scope="col">where to find it</th></tr></thead>
<tbody>${notAssessed.map(
		(path) =>
			html`<tr><th scope="row"><span class="path">${path}</span></th><td>${NOT_ASSESSED[path].subject}</td><td>${NOT_ASSESSED[path].measure}</td></tr>\n`,
	)}</tbody>
</table>`;
