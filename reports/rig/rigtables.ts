import { burstCount, inWords } from "../../lib/model/schedule/inwords.ts";
import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { PowerReport } from "../../lib/rig/power/powerreport.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { glyph } from "../charts/section/states.ts";
import { type Html, html } from "../page/html.ts";
import { list } from "../page/section.ts";
import { keepTogether } from "../page/sections.ts";
import { below, stackTable } from "../page/table.ts";
import { findingName, VERDICT_WORDS } from "./findingnames.ts";
import { findingWords } from "./findingwords.ts";
import { gaugeBar, STATE_OF } from "./gaugebar.ts";
import { gaugeOf } from "./gauges.ts";
import { NOT_ASSESSED } from "./notassessedwords.ts";
import { formatLoss, formatMonths, powerRows } from "./rigwords.ts";
import { formatRounded, sayIn } from "./rounding.ts";

const GROUPS: readonly { readonly name: string; readonly codes: readonly RigFinding["code"][] }[] = [
	{ name: "Air", codes: ["fan", "measured flow", "filter", "open duct", "burst", "ceiling"] },
	{
		name: "Current",
		codes: ["mains", "voltage", "supply", "start", "class 2", "wire", "drop", "fuse", "contact"],
	},
	{ name: "Wiring", codes: ["wiring", "wiring and file"] },
	{ name: "Time", codes: ["contact life", "pulse", "power-up"] },
];

function checkRow(found: RigFinding, report: RigReport, units: UnitSystem): Html {
	const { verdict, about } = found;
	const gauge = gaugeOf(found, sayIn(units));
	const { finding, remedy } = findingWords(found, report, units);
	const isOk = verdict === "ok";
	return html`<tr role="row" class="${verdict}"><th role="rowheader" scope="row">${findingName({ ...found, about: null })}${about !== null && html` <span class="about">${about.replaceAll("-", " ")}</span>`}</th><td role="cell" class="g">${
		gauge !== null &&
		html`<svg class="gauge" viewBox="0 0 250 20" preserveAspectRatio="none" aria-hidden="true">${gaugeBar(gauge, verdict, { left: 0, top: 3, width: 250, height: 14 })}</svg>`
	}</td><td role="cell" data-l="found">${gauge?.foundWords ?? ""}</td><td role="cell" data-l="limit">${gauge?.limitWords ?? ""}</td><td role="cell" data-l="to spare">${gauge?.spareWords ?? ""}</td><td role="cell" class="w">${isOk ? html`<span class="unseen">OK</span>` : glyph(STATE_OF[verdict], verdict)}</td></tr>
${!isOk && html`<tr role="row" class="why"><td role="cell" colspan="6"><b>${keepTogether(finding)}</b>${remedy !== null && ` ${keepTogether(remedy)}`}</td></tr>\n`}`;
}

/** Everything that was checked, by subject: how near its limit it is, and what to do where that is needed. */
export const checksTable = (report: RigReport, units: UnitSystem): Html =>
	html`<table role="table" class="checks">
<thead role="rowgroup"><tr role="row"><th role="columnheader" scope="col">check</th><th role="columnheader" scope="col" class="g">how near the limit</th><th role="columnheader" scope="col">found</th><th role="columnheader" scope="col">limit</th><th role="columnheader" scope="col">to spare</th><th role="columnheader" scope="col"><span class="unseen">verdict</span></th></tr></thead>
${GROUPS.flatMap(({ name, codes }) => {
	const own = report.findings.filter(({ code }) => codes.includes(code));
	const isShown = (found: RigFinding): boolean =>
		found.verdict !== "ok" || gaugeOf(found, sayIn(units)) !== null;
	const others = own.filter((found) => !isShown(found)).map(findingName);
	return own.length === 0
		? []
		: html`<tbody role="rowgroup"><tr role="row" class="grp"><th role="rowheader" scope="rowgroup" colspan="6">${name}</th></tr>\n${own.filter(isShown).map((found) => checkRow(found, report, units))}${others.length > 0 && html`<tr role="row" class="why"><td role="cell" colspan="6">OK${own.some(isShown) && ", too"}: ${others.join("; ")}.</td></tr>\n`}</tbody>\n`;
})}</table>`;

/** What was found, why it matters and what to do, check by check. */
export const reasonList = (report: RigReport, units: UnitSystem): Html =>
	list(
		report.findings.map((found) => {
			const { finding, reason, remedy } = findingWords(found, report, units);
			// What needs attention stands in the table of the checks, with its remedy.
			const said =
				found.verdict === "ok" &&
				html` ${keepTogether(finding)}${remedy !== null && ` ${keepTogether(remedy)}`}`;
			return html`<b>${VERDICT_WORDS[found.verdict]} ${findingName(found)}.</b>${said} <i>${keepTogether(reason)}</i>`;
		}),
	);

/** What each schedule's bursts deliver. */
export function deliveryTable({ scenario, delivery, ductVolumeM3 }: RigReport, units: UnitSystem): Html {
	const schedules = new Map(scenario.schedules.map(({ name, schedule }) => [name, inWords(schedule)]));
	const duct = ductVolumeM3 !== null;
	return stackTable(
		[
			"schedule",
			"shortest burst",
			"flow × time",
			"delivered",
			"lost",
			...(duct ? ["fresh air after the duct's"] : []),
		],
		delivery.map((one) => [
			below(one.name, schedules.get(one.name)!),
			formatRounded(one.onSeconds, "duration", units),
			formatRounded(one.idealM3, "volume", units),
			formatRounded(one.airM3, "volume", units),
			formatLoss(one.lossShare),
			...(duct ? [formatRounded(one.freshM3, "volume", units)] : []),
		]),
	);
}

export const powerTable = (report: RigReport, power: PowerReport, units: UnitSystem): Html =>
	stackTable(["current and voltage", "value", "remark"], powerRows(report, power, units), [2]);

export const contactTable = (contact: NonNullable<RigReport["contactLife"]>): Html =>
	stackTable(
		["schedule", "operations per month", "contact life"],
		contact.map(({ name, operationsPerMonth, months, cautiousMonths }) => [
			name,
			burstCount(operationsPerMonth),
			cautiousMonths === null
				? formatMonths(months)
				: below(formatMonths(months), `${formatMonths(cautiousMonths)} by a cautious estimate`),
		]),
	);

/** Each wire as one would make it, with a box to tick. */
export const connectionTable = (words: readonly string[]): Html =>
	html`<ol class="connections">${words.map((line) => html`<li><span class="tick"></span>${line}</li>\n`)}</ol>`;

export const notAssessedTable = ({ notAssessed }: RigReport): Html =>
	stackTable(
		["key", "not assessed", "where to find it"],
		notAssessed.map((path) => [
			html`<span class="path">${path}</span>`,
			NOT_ASSESSED[path].subject,
			NOT_ASSESSED[path].measure,
		]),
		[1, 2],
	);
