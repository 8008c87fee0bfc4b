import { deliveredFlow } from "../../lib/model/fan/deliveredflow.ts";
import { listInputs } from "../../lib/model/inputs.ts";
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
import type { HeadFigure } from "../page/head.ts";
import { html } from "../page/html.ts";
import { scenarioReport } from "../page/report.ts";
import { type Details, details, list, type Section } from "../page/section.ts";
import { keepTogether, type ReportOptions } from "../page/sections.ts";
import { upperFirst } from "../words/format.ts";
import { noOperatingPointWords } from "./airwords.ts";
import { chain } from "./chain.ts";
import { drawWiring } from "./drawing/drawing.ts";
import { WIRING_STYLE, wiringFigure } from "./drawing/figure.ts";
import { faultWords } from "./faultwords.ts";
import { findingName, VERDICT_WORDS } from "./findingnames.ts";
import { STATE_OF } from "./gaugebar.ts";
import { gaugeOf } from "./gauges.ts";
import {
	checksTable,
	connectionTable,
	contactTable,
	deliveryTable,
	notAssessedTable,
	powerTable,
	reasonList,
} from "./rigtables.ts";
import { RIG_CAUTIONS, RIG_PREMISES, rigHeadline } from "./rigwords.ts";
import { formatRounded, sayIn } from "./rounding.ts";
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

async function fanSection(report: RigReport, fan: FanReport, units: UnitSystem): Promise<Section> {
	const plot = fanCurvePlot(fan, report.scenario.fan.count, units);
	const { operatingPoint, doubleFilterArea } = fan;
	const cheapest =
		doubleFilterArea?.exists &&
		operatingPoint.exists &&
		operatingPoint.freeDeliveryShare >= NEAR_SHUT_OFF_SHARE
			? `Twice the filter area gives ${formatRounded(doubleFilterArea.flowM3PerS, "flow", units)}. Filter area is the cheapest remedy.`
			: "";
	return {
		id: "fan",
		heading: "Fan, filter and duct",
		words: "Operating point",
		sentence: `The fan works where its curve meets the resistance of filter and duct: soundly between the dotted lines, at ${SOUND_SHARE.low} and ${SOUND_SHARE.high} % of the flow at zero pressure.`,
		body: [
			await stillFigure(
				"fan-curve",
				(width) => curvePlotSpec(plot, PAGE, width),
				pointWords(report, fan, units),
				keepTogether(cheapest),
			),
		],
	};
}

const burstDetails = (report: RigReport, units: UnitSystem): Details | null =>
	report.delivery.length === 0
		? null
		: {
				summary: "Air of one burst",
				count: `a useful burst lasts ${formatRounded(report.minUsefulBurstSeconds, "duration", units)} or more`,
				body: [
					report.ductVolumeM3 !== null &&
						html`<p>${keepTogether(`The duct contains ${formatRounded(report.ductVolumeM3, "volume", units)}.`)}</p>`,
					deliveryTable(report, units),
				],
			};

/** The wiring of the file or the usual one: verdict, drawing, and each wire in words. */
function wiringSection({ origin, wiring, verdict }: RigWiring): Section {
	const opening =
		origin === "standard"
			? "The file gives no wiring. This is the usual one for its parts: compare it with yours, wire by wire."
			: verdict.faults.length === 0
				? "The wiring of the file runs the fan while the timer is on, and only then."
				: `The wiring of the file has ${verdict.faults.length === 1 ? "a fault" : `${verdict.faults.length} faults`}; the drawing shows it as it is, not as it should be.`;
	const faults = verdict.faults.map((fault) => {
		const { reason, remedy } = faultWords(fault);
		return html`<strong>${VERDICT_WORDS[fault.severity]}:</strong> ${reason} ${remedy}`;
	});
	const wires = connectionList(wiring).map((one) => connectionWords(one, wiring));
	return {
		id: "wiring",
		heading: "Wiring",
		sentence: opening,
		body: [
			faults.length > 0 && list(faults),
			wiringFigure("wiring", drawWiring(wiring, verdict)),
			verdict.remarks.length > 0 && list(verdict.remarks.map(remarkWords)),
			details({
				summary: "Wire by wire",
				count: `${wires.length} wires`,
				body: [list(WIRING_CAUTIONS), connectionTable(wires)],
			}),
		],
		isLong: true,
	};
}

const RIG_STYLE = `
.gauge{width:100%;height:auto;min-width:60px;max-width:22rem}.checks .g{width:19%;padding-left:.75rem;vertical-align:middle}.checks td,.checks th{padding:.42rem .5rem}.checks th:first-child{padding-left:0;min-width:11.5rem;white-space:normal}.about{overflow-wrap:anywhere;font-size:.875rem;font-weight:400;color:var(--soft)}
.checks .grp th{padding-top:1.4rem;border-top:0;font:700 1.1875rem/1.2 var(--d)}.checks tbody th{font-weight:400}.checks .w{text-align:left}.checks .attention th,.checks .stop th{font-weight:700}
.checks .why td{border-top:0;white-space:normal;padding:0 0 .9rem}.connections{padding-left:1.6rem}.connections li{padding-left:.3rem}
@media screen and (max-width:47.5rem){.checks,.checks tbody{display:block}.checks thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.checks tr{display:grid;grid-template-columns:1fr 1fr 1fr;column-gap:.75rem;border-top:1px solid var(--rule);padding:.5rem 0}.checks tr.grp,.checks tr.why{display:block;border-top:0;padding:0}
.checks th,.checks td{border:0;padding:0!important;text-align:left;white-space:normal;font-size:.875rem}.checks .grp th{display:block;padding:1rem 0 .3rem!important}.checks tr>th{grid-column:1/-1;grid-row:1;min-width:0!important;max-width:none;font-size:.9375rem}
.checks .w{grid-column:3;grid-row:2}.checks .ok .w{display:none}.checks .g{grid-column:1/3;width:auto;padding:.2rem 0!important}.checks .ok .g{grid-column:1/-1}.checks .g:empty{display:none}.checks .gauge{max-width:none;height:14px}.checks .why td{display:block;padding-bottom:.8rem!important}
.checks .grp+tr td[data-l]:not(:empty)::before{content:attr(data-l);display:block;color:var(--soft);font:400 .8125rem/1.2 var(--d)}}
@media print{.checks td,.checks th{padding:.5mm 1mm}.checks .grp th{padding-top:1.5mm;font-size:9pt}.checks .why td{padding-bottom:1mm}#fan .chart svg{max-height:62mm}.wiring svg{max-height:78mm!important}}
`;

const NUMBERS = [
	"no",
	"one",
	"two",
	"three",
	"four",
	"five",
	"six",
	"seven",
	"eight",
	"nine",
	"ten",
	"eleven",
	"twelve",
];
const numberWord = (count: number): string => NUMBERS[count] ?? String(count);

/** The answer in at most six words. */
function answerOf({ verdict, findings }: RigReport): string {
	const count = (wanted: string): number => findings.filter((found) => found.verdict === wanted).length;
	const [stop, attention] = [count("stop"), count("attention")];
	if (verdict === "ok") return "No faults found in this rig.";
	const need = `${numberWord(attention)} ${attention === 1 ? "needs" : "need"} attention`;
	if (verdict === "attention") return upperFirst(`${need}.`);
	return upperFirst(`${numberWord(stop)} stop${attention > 0 ? `, ${need}` : ", do not switch on"}.`);
}

/** The air that arrives, and the worst that was found. */
function figuresOf(report: RigReport, units: UnitSystem): readonly HeadFigure[] {
	const { scenario, fan, findings } = report;
	const [value, unit] = splitUnit(formatRounded(deliveredFlow(scenario).value, "flow", units));
	const worst = findings
		.map((found) => ({ found, gauge: gaugeOf(found, sayIn(units)) }))
		.find(({ gauge }) => gauge !== null);
	return [
		...(worst?.gauge == null
			? []
			: [
					toFigure(
						worst.gauge.foundWords,
						// Beside its value the name of the check would read "1699 ppm ceiling".
						worst.found.code === "ceiling"
							? `CO₂, ${worst.found.statistic}`
							: findingName({ ...worst.found, about: null }),
						`limit ${worst.gauge.limitWords}`,
					),
				]),
		{
			value: fan !== null && !fan.operatingPoint.exists && scenario.fan.flow === null ? "none" : value,
			unit,
			name: "delivered",
			note:
				fan === null
					? "as the file gives it"
					: `of ${formatRounded(fan.catalogueM3PerS, "flow", units)} in the catalogue`,
		},
	];
}

const splitUnit = (text: string): readonly [value: string, unit: string] => {
	const place = text.indexOf(" ");
	return place < 0 ? [text, ""] : [text.slice(0, place), text.slice(place + 1)];
};
const toFigure = (text: string, name: string, note: string): HeadFigure => {
	const [value, unit] = splitUnit(text);
	return { value, unit, name, note };
};

/** The rig as one HTML file: verdicts, fan, bursts, wiring, and all figures. */
export async function rigReport(report: RigReport, options: ReportOptions): Promise<string> {
	const { units } = options;
	const { scenario, fan, power, contactLife, wiring, notAssessed, findings, verdict } = report;
	const headline = rigHeadline(report, units);
	return scenarioReport(scenario, listInputs(scenario), options, {
		kind: "rig",
		head: {
			state: STATE_OF[verdict],
			word: verdict.toUpperCase(),
			what: [scenario.name, "what fan, filter, power and wiring can do"],
			answer: answerOf(report),
			figures: figuresOf(report, units),
		},
		hero: chain("chain", report, units),
		lead: [
			html`<b>${headline.answer}.</b> ${keepTogether(headline.grounds)} ${headline.more.map(keepTogether).join(" ")}`,
		],
		sections: [
			{
				id: "checks",
				heading: `${upperFirst(numberWord(findings.length))} checks`,
				words: "Checks",
				sentence:
					"The black bar is the limit, and what was found runs towards it. Only what needs attention has a word.",
				body: checksTable(report, units),
				isLong: true,
			},
			fan && (await fanSection(report, fan, units)),
			wiring && wiringSection(wiring),
		],
		details: [
			{
				summary: "Commissioning sheets",
				count: "to work through before the crop goes in",
				body: [
					html`<p>The command <code>lullgust rig ${scenario.fileName} --sheets sheets.html</code> writes them, one per page, to hand out.</p>`,
					list(RIG_CAUTIONS),
				],
			},
			{
				summary: "Findings, reasons and remedies",
				count: `${findings.length} checks`,
				body: reasonList(report, units),
			},
			burstDetails(report, units),
			power && {
				summary: "Current, voltage and energy",
				count: "all values",
				body: powerTable(report, power, units),
			},
			contactLife !== null &&
				contactLife.length > 0 && {
					summary: "Contact life",
					count: `${contactLife.length} schedules`,
					body: contactTable(contactLife),
				},
			notAssessed.length > 0 && {
				summary: "Not assessed",
				count: `${notAssessed.length} values that the file does not give`,
				body: notAssessedTable(report),
			},
		],
		warnings: [],
		premises: RIG_PREMISES,
		style: WIRING_STYLE + RIG_STYLE,
	});
}
