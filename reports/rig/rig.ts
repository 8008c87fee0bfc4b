import { NEAR_SHUT_OFF_SHARE } from "../../lib/rig/air/airfindings.ts";
import type { FanReport } from "../../lib/rig/air/fanreport.ts";
import type { RigReport } from "../../lib/rig/check.ts";
import { connectionList } from "../../lib/rig/wiring/connections.ts";
import type { RigWiring } from "../../lib/rig/wiring/rigwiring.ts";
import { SOUND_SHARE } from "../../lib/sources/fans.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { curvePlotSpec } from "../charts/curveplot.ts";
import { fanCurvePlot } from "../charts/fancurve.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { section } from "../page/page.ts";
import { keepTogether, type ReportOptions, scenarioPage, verdictBlock } from "../page/sections.ts";
import { noOperatingPointWords } from "./airwords.ts";
import { drawWiring } from "./drawing/drawing.ts";
import { WIRING_STYLE, wiringFigure } from "./drawing/figure.ts";
import { faultWords } from "./faultwords.ts";
import { VERDICT_WORDS } from "./findingnames.ts";
import { SHEET_STYLE, sheetSection } from "./rigsheets.ts";
import {
	connectionTable,
	contactTable,
	deliveryTable,
	findingTable,
	notAssessedTable,
	powerTable,
} from "./rigtables.ts";
import { RIG_CAUTIONS, RIG_PREMISES, rigHeadline } from "./rigwords.ts";
import { formatRounded, sayIn } from "./rounding.ts";
import type { CommissioningSheet } from "./sheets/sheet.ts";
import { connectionWords, remarkWords, WIRING_CAUTIONS } from "./wiringwords.ts";

export { drawWiring, type WiringDrawing } from "./drawing/drawing.ts";
export { faultWords } from "./faultwords.ts";
export { type FindingWords, findingName } from "./findingnames.ts";
export { findingWords } from "./findingwords.ts";
export { NOT_ASSESSED } from "./notassessedwords.ts";
export { sheetsPage } from "./rigsheets.ts";
export type { CommissioningSheet, SheetOptions } from "./sheets/sheet.ts";
export { commissioningSheets } from "./sheets/sheets.ts";
export { connectionWords, remarkWords, WIRING_CAUTIONS } from "./wiringwords.ts";

const list = (items: readonly string[]): Html =>
	html`<ul>${items.map((item) => html`<li>${item}</li>\n`)}</ul>`;

const caution = (items: readonly string[]): Html =>
	html`<div class="care"><strong>Caution</strong><ul class="plain">${items.map((item) => html`<li>${item}</li>\n`)}</ul></div>`;

/** What the chart shows, for those who do not see it. */
function pointWords(
	report: RigReport,
	{ operatingPoint, loadedOperatingPoint }: FanReport,
	units: UnitSystem,
): string {
	if (!operatingPoint.exists)
		return `The curves do not meet: ${noOperatingPointWords(operatingPoint.cause, report, sayIn(units))}.`;
	const meet = `The fan curve and the resistance of filter and duct meet at ${formatRounded(operatingPoint.flowM3PerS, "flow", units)} and ${formatRounded(operatingPoint.pressurePa, "pressure", units)}`;
	return loadedOperatingPoint?.exists
		? `${meet}; with a loaded filter at ${formatRounded(loadedOperatingPoint.flowM3PerS, "flow", units)}.`
		: `${meet}.`;
}

async function fanSection(report: RigReport, fan: FanReport, units: UnitSystem): Promise<Html> {
	const plot = fanCurvePlot(fan, report.scenario.fan.count, units);
	const lessFilter =
		fan.doubleFilterArea?.exists &&
		fan.operatingPoint.exists &&
		fan.operatingPoint.freeDeliveryShare >= NEAR_SHUT_OFF_SHARE
			? [
					`Twice the filter area gives ${formatRounded(fan.doubleFilterArea.flowM3PerS, "flow", units)}. Filter area is the cheapest remedy.`,
				]
			: [];
	return section(
		"fan",
		"Fan, filter and duct",
		await stillFigure(
			"fan-curve",
			(width) => curvePlotSpec(plot, PAGE, width),
			pointWords(report, fan, units),
			`Between the dotted lines, at ${SOUND_SHARE.low} and ${SOUND_SHARE.high} % of the flow at zero pressure, a fan works soundly.`,
		),
		...lessFilter.map((sentence) => html`<p>${keepTogether(sentence)}</p>`),
	);
}

/** The wiring of the file or the usual one: verdict, drawing, and each wire in words. */
function wiringSection({ origin, wiring, verdict }: RigWiring): Html {
	const opening =
		origin === "standard"
			? "The file gives no wiring. This is the usual one for its parts: compare it with yours, wire by wire."
			: verdict.faults.length === 0
				? "The wiring of the file runs the fan while the timer is on, and only then."
				: `The wiring of the file has ${verdict.faults.length === 1 ? "a fault" : `${verdict.faults.length} faults`}; the drawing shows it as it is, not as it should be.`;
	const faults = verdict.faults.map((fault) => {
		const { reason, remedy } = faultWords(fault);
		return html`<li><strong>${VERDICT_WORDS[fault.severity]}:</strong> ${reason} ${remedy}</li>\n`;
	});
	return section(
		"wiring",
		"Wiring",
		html`<p>${opening}</p>`,
		...(faults.length > 0 ? [html`<ul>${faults}</ul>`] : []),
		wiringFigure("wiring", drawWiring(wiring, verdict)),
		...(verdict.remarks.length > 0 ? [list(verdict.remarks.map(remarkWords))] : []),
		html`<h3>Wire by wire</h3>`,
		caution(WIRING_CAUTIONS),
		connectionTable(connectionList(wiring).map((one) => connectionWords(one, wiring))),
	);
}

const RIG_STYLE = `
.items tbody th{width:24%;min-width:8.5rem;font-weight:600}
.items .mark{display:block;font-size:.86em}
.items .ok .mark{color:var(--accent)}
.items .remedy{display:block;margin-top:.2rem;font-weight:600}
.items .ok .remedy{font-weight:400}
.items .words{margin-top:.2rem}
.connections{padding-left:1.6rem;list-style-position:outside}
.connections li{position:relative;padding-left:1.7rem}
.connections .tick{left:.3rem}
.small thead th{vertical-align:bottom}
.delivery thead th{min-width:4.5rem}
.delivery tbody th{min-width:9.5rem}
.power td:last-child{width:45%}
.power td.number{white-space:nowrap}
@media (max-width:40rem){.items,.items tbody,.items tr,.items tbody th,.items td{display:block;width:auto}.items thead{position:absolute;left:-9999px}.items tbody th{border:0;padding:.6rem 0 0}.items tbody td{padding:.1rem 0 .6rem}}
@media print{.items tr{break-inside:avoid}.care{break-inside:avoid}}
`;

/** The rig as one HTML file: verdicts, fan, power, wiring, and the commissioning sheets. */
export async function rigReport(
	report: RigReport,
	sheets: readonly CommissioningSheet[],
	options: ReportOptions,
): Promise<string> {
	const { units } = options;
	const { scenario, fan, delivery, power, contactLife, wiring, notAssessed } = report;
	return scenarioPage(scenario, options, {
		kind: "The rig",
		lead: scenario.notes,
		body: [
			section("verdict", "Verdict", verdictBlock(rigHeadline(report, units)), findingTable(report, units)),
			fan && (await fanSection(report, fan, units)),
			...(delivery.length === 0
				? []
				: [
						section(
							"delivery",
							"Air of one burst",
							html`<p>A useful burst lasts ${formatRounded(report.minUsefulBurstSeconds, "duration", units)} or more.${report.ductVolumeM3 !== null && keepTogether(` The duct contains ${formatRounded(report.ductVolumeM3, "volume", units)}.`)}</p>`,
							deliveryTable(report, units),
						),
					]),
			power && section("power", "Current, voltage and energy", powerTable(report, power, units)),
			contactLife === null || contactLife.length === 0
				? null
				: section("contact", "Contact life", contactTable(contactLife)),
			wiring && wiringSection(wiring),
			...(notAssessed.length === 0
				? []
				: [
						section(
							"not-assessed",
							"Not assessed",
							html`<p>The file does not give these values, so what hangs on them was not assessed.</p>`,
							notAssessedTable(report),
						),
					]),
			section(
				"sheets",
				"Commissioning sheets",
				html`<p>Work through them in this order before the crop goes in. The command lullgust rig ${scenario.fileName} --sheets sheets.html writes one per page, to hand out.</p>`,
				caution(RIG_CAUTIONS),
				...sheets.map((one) => sheetSection(one, report, units)),
			),
		],
		warnings: [],
		premises: RIG_PREMISES,
		style: SHEET_STYLE + WIRING_STYLE + RIG_STYLE,
	});
}
