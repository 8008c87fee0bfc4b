import type { OperatingPoint } from "../../lib/model/fan/fancurve.ts";
import type { FanReport } from "../../lib/rig/air/fanreport.ts";
import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
import type { NotAssessedPath } from "../../lib/rig/notassessed.ts";
import type { ContactLife } from "../../lib/rig/power/contact.ts";
import { connectionList } from "../../lib/rig/wiring/connections.ts";
import type { RigWiring } from "../../lib/rig/wiring/rigwiring.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { findingName, VERDICT_WORDS } from "../../reports/rig/findingnames.ts";
import { findingWords } from "../../reports/rig/findingwords.ts";
import { NOT_ASSESSED } from "../../reports/rig/notassessedwords.ts";
import {
	formatLoss,
	formatMonths,
	powerRows,
	RIG_CAUTIONS,
	rigHeadline,
} from "../../reports/rig/rigwords.ts";
import { formatRounded } from "../../reports/rig/rounding.ts";
import { connectionWords, remarkWords, WIRING_CAUTIONS } from "../../reports/rig/wiringwords.ts";
import { table, wrap } from "./print.ts";

const INDENT = " ".repeat(12);

/** The answer in a few sentences. */
export const rigLine = (report: RigReport, units: UnitSystem): string => {
	const { answer, grounds, more } = rigHeadline(report, units);
	return [`${answer}.`, grounds, ...more].join(" ");
};

function findingText(found: RigFinding, report: RigReport, units: UnitSystem, columns: number): string {
	const { verdict } = found;
	const { finding, reason, remedy } = findingWords(found, report, units);
	return [
		VERDICT_WORDS[verdict].padEnd(INDENT.length) + wrap(findingName(found), columns, INDENT),
		INDENT + wrap(finding, columns, INDENT),
		...(remedy === null ? [] : [INDENT + wrap(`${verdict === "ok" ? "" : "→ "}${remedy}`, columns, INDENT)]),
		...(verdict === "ok" ? [] : [INDENT + wrap(reason, columns, INDENT)]),
	].join("");
}

function fanText(fan: FanReport, units: UnitSystem, columns: number): string {
	const { operatingPoint, loadedOperatingPoint: loaded, doubleFilterArea, catalogueM3PerS } = fan;
	const row = (name: string, point: OperatingPoint | null): string[][] => {
		if (point === null) return [];
		if (!point.exists) return [[name, "none", "", ""]];
		const { flowM3PerS, pressurePa, freeDeliveryShare } = point;
		return [
			[
				name,
				formatRounded(flowM3PerS, "flow", units),
				formatRounded(pressurePa, "pressure", units),
				formatRounded(freeDeliveryShare, "fraction", units),
			],
		];
	};
	const rows = [
		["catalogue", formatRounded(catalogueM3PerS, "flow", units), "", ""],
		...row(loaded === null ? "filter and duct as given" : "filter clean, duct as given", operatingPoint),
		...row("filter at twice its pressure drop", loaded),
		...row("filter of twice the area", doubleFilterArea),
	];
	return table(["operating point", "flow", "pressure", "of flow at zero pressure"], rows, [1, 2, 3], columns);
}

function wiringText({ origin, wiring, verdict }: RigWiring, columns: number): string {
	const opening =
		origin === "standard"
			? "Wiring: the file gives none. The usual one for these parts, wire by wire:"
			: `Wiring as given: ${verdict.codes.join(", ")}. Wire by wire:`;
	const wires = connectionList(wiring).map((one, place) =>
		wrap(`${String(place + 1).padStart(3)}  ${connectionWords(one, wiring)}`, columns, "     "),
	);
	const remarks = verdict.remarks.map((remark) => wrap(`  ${remarkWords(remark)}`, columns, "  "));
	const cautions = WIRING_CAUTIONS.map((caution) => wrap(`  ${caution}`, columns, "  "));
	return [wrap(opening, columns), ...wires, ...remarks, ...cautions].join("");
}

function deliveryText({ delivery, ductVolumeM3 }: RigReport, units: UnitSystem, columns: number): string {
	const fresh = (text: string): string[] => (ductVolumeM3 === null ? [] : [text]);
	const rows = delivery.map(({ name, onSeconds, idealM3, airM3, lossShare, freshM3 }) => [
		name,
		formatRounded(onSeconds, "duration", units),
		formatRounded(idealM3, "volume", units),
		formatRounded(airM3, "volume", units),
		formatLoss(lossShare),
		...fresh(formatRounded(freshM3, "volume", units)),
	]);
	const head = [
		"air of one burst",
		"burst",
		"flow × time",
		"delivered",
		"lost",
		...fresh("fresh after the duct's"),
	];
	return table(head, rows, [1, 2, 3, 4, 5], columns);
}

const contactText = (lives: readonly ContactLife[], columns: number): string =>
	table(
		["contact", "operations per month", "lasts"],
		lives.map(({ name, operationsPerMonth, months, cautiousMonths: cautious }) => [
			name,
			String(Math.round(operationsPerMonth)),
			formatMonths(months) + (cautious === null ? "" : `, ${formatMonths(cautious)} by a cautious estimate`),
		]),
		[1],
		columns,
	);

const notAssessedText = (paths: readonly NotAssessedPath[], columns: number): string =>
	[
		wrap("Not assessed, because the file does not give the values:", columns),
		...paths.map((path) => {
			const { subject, measure } = NOT_ASSESSED[path];
			return wrap(`  ${path}: ${subject} (${measure})`, columns, "    ");
		}),
	].join("");

/** Verdicts first, then the figures behind them, no wider than `columns`. */
export function rigText(report: RigReport, units: UnitSystem, columns: number): string {
	const { findings, fan, delivery, power, contactLife, wiring, notAssessed } = report;
	const powerHead = ["current and voltage", "value", "remark"];
	return [
		findings.map((found) => findingText(found, report, units, columns)).join(""),
		fan && fanText(fan, units, columns),
		delivery.length > 0 && deliveryText(report, units, columns),
		power && table(powerHead, powerRows(report, power, units), [1], columns),
		contactLife !== null && contactLife.length > 0 && contactText(contactLife, columns),
		wiring && wiringText(wiring, columns),
		notAssessed.length > 0 && notAssessedText(notAssessed, columns),
		RIG_CAUTIONS.map((caution) => wrap(`caution: ${caution}`, columns, "  ")).join(""),
	]
		.filter((part) => part)
		.join("\n");
}
