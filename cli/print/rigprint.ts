import type { FanReport } from "../../lib/rig/air/fanreport.ts";
import type { RigFinding, RigReport } from "../../lib/rig/check.ts";
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
		`${VERDICT_WORDS[verdict].padEnd(INDENT.length)}${findingName(found)}\n`,
		INDENT + wrap(finding, columns, INDENT),
		...(remedy === null ? [] : [INDENT + wrap(`${verdict === "ok" ? "" : "→ "}${remedy}`, columns, INDENT)]),
		...(verdict === "ok" ? [] : [INDENT + wrap(reason, columns, INDENT)]),
	].join("");
}

function fanText(
	{ operatingPoint, loadedOperatingPoint, doubleFilterArea, catalogueM3PerS }: FanReport,
	units: UnitSystem,
): string {
	const at = (name: string, found: FanReport["loadedOperatingPoint"]): string[][] =>
		found === null
			? []
			: found.exists
				? [
						[
							name,
							formatRounded(found.flowM3PerS, "flow", units),
							formatRounded(found.pressurePa, "pressure", units),
							formatRounded(found.freeDeliveryShare, "fraction", units),
						],
					]
				: [[name, "none", "", ""]];
	return table(
		["operating point", "flow", "pressure", "of flow at zero pressure"],
		[
			["catalogue", formatRounded(catalogueM3PerS, "flow", units), "", ""],
			...at(
				loadedOperatingPoint === null ? "filter and duct as given" : "filter clean, duct as given",
				operatingPoint,
			),
			...at("filter at twice its pressure drop", loadedOperatingPoint),
			...at("filter of twice the area", doubleFilterArea),
		],
		[1, 2, 3],
	);
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
	return [`${opening}\n`, ...wires, ...remarks, ...cautions].join("");
}

/** Verdicts first, then the figures behind them, no wider than `columns`. */
export function rigText(report: RigReport, units: UnitSystem, columns: number): string {
	const { findings, fan, delivery, power, contactLife, wiring, notAssessed } = report;
	const duct = report.ductVolumeM3 !== null;
	const parts = [findings.map((found) => findingText(found, report, units, columns)).join("")];
	if (fan !== null) parts.push(fanText(fan, units));
	if (delivery.length > 0)
		parts.push(
			table(
				[
					"air of one burst",
					"burst",
					"flow × time",
					"delivered",
					"lost",
					...(duct ? ["fresh after the duct's"] : []),
				],
				delivery.map((one) => [
					one.name,
					formatRounded(one.onSeconds, "duration", units),
					formatRounded(one.idealM3, "volume", units),
					formatRounded(one.airM3, "volume", units),
					formatLoss(one.lossShare),
					...(duct ? [formatRounded(one.freshM3, "volume", units)] : []),
				]),
				[1, 2, 3, 4, 5],
			),
		);
	if (power !== null)
		parts.push(
			table(
				["current and voltage", "value", "remark"],
				powerRows(report, power, units).map((row) => [...row]),
				[1],
				columns,
			),
		);
	if (contactLife !== null && contactLife.length > 0)
		parts.push(
			table(
				["contact", "operations per month", "lasts"],
				contactLife.map((one) => [
					one.name,
					String(Math.round(one.operationsPerMonth)),
					one.cautiousMonths === null
						? formatMonths(one.months)
						: `${formatMonths(one.months)}, ${formatMonths(one.cautiousMonths)} by a cautious estimate`,
				]),
				[1],
				columns,
			),
		);
	if (wiring !== null) parts.push(wiringText(wiring, columns));
	if (notAssessed.length > 0)
		parts.push(
			`Not assessed, because the file does not give the values:\n${notAssessed
				.map((path) => {
					const { subject, measure } = NOT_ASSESSED[path];
					return wrap(`  ${path}: ${subject} (${measure})`, columns, "    ");
				})
				.join("")}`,
		);
	parts.push(RIG_CAUTIONS.map((caution) => wrap(`caution: ${caution}`, columns, "  ")).join(""));
	return parts.join("\n");
}
