import type { FanReport, RigFinding, RigReport, RigWiring } from "../../lib/rig/rigtypes.ts";
import { connectionList, WIRING_CAUTIONS } from "../../lib/rig/wiring/connections.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import {
	findingName,
	formatLoss,
	formatMonths,
	formatRounded,
	powerRows,
	RIG_CAUTIONS,
	rigHeadline,
	VERDICT_WORDS,
} from "../../reports/rig/rigwords.ts";
import { table, wrap } from "./print.ts";

const INDENT = "        ";

/** The answer in a few sentences. */
export const rigLine = (report: RigReport, units: UnitSystem): string => {
	const { answer, grounds, more } = rigHeadline(report, units);
	return [`${answer}.`, grounds, ...more].join(" ");
};

function itemText(item: RigFinding, columns: number): string {
	const { verdict, finding, reason, remedy } = item;
	return [
		`${VERDICT_WORDS[verdict].padEnd(INDENT.length)}${findingName(item)}\n`,
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
		["operating point", "flow", "pressure", "of free flow"],
		[
			["catalogue", formatRounded(catalogueM3PerS, "flow", units), "", ""],
			...at(
				loadedOperatingPoint === null ? "filter and duct as given" : "filter clean, duct as given",
				operatingPoint,
			),
			...at("filter loaded to twice its drop", loadedOperatingPoint),
			...at("filter of twice the area", doubleFilterArea),
		],
		[1, 2, 3],
	);
}

function wiringText({ origin, wiring, verdict }: RigWiring, columns: number): string {
	const opening =
		origin === "standard"
			? "Wiring: none is given. The usual one for these parts, wire by wire:"
			: `Wiring as given: ${verdict.codes.join(", ")}. Wire by wire:`;
	const wires = connectionList(wiring).map(({ words }, place) =>
		wrap(`${String(place + 1).padStart(3)}  ${words}`, columns, "     "),
	);
	const remarks = verdict.remarks.map(({ text }) => wrap(`  ${text}`, columns, "  "));
	const cautions = WIRING_CAUTIONS.map((caution) => wrap(`  ${caution}`, columns, "  "));
	return [`${opening}\n`, ...wires, ...remarks, ...cautions].join("");
}

/** Verdicts first, then the figures behind them, no wider than `columns`. */
export function rigText(report: RigReport, units: UnitSystem, columns: number): string {
	const { findings, fan, delivery, power, contactLife, wiring, notAssessed } = report;
	const duct = report.ductVolumeM3 !== null;
	const parts = [findings.map((item) => itemText(item, columns)).join("")];
	if (fan !== null) parts.push(fanText(fan, units));
	if (delivery.length > 0)
		parts.push(
			table(
				[
					"delivery of a burst",
					"burst",
					"flow × time",
					"delivered",
					"lost",
					...(duct ? ["behind the duct's air"] : []),
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
				["current and drop", "value", "remark"],
				powerRows(report, power, units).map((row) => [...row]),
				[1],
				columns,
			),
		);
	if (contactLife !== null && contactLife.length > 0)
		parts.push(
			table(
				["contact", "operations a month", "lasts"],
				contactLife.map((one) => [
					one.name,
					String(Math.round(one.operationsPerMonth)),
					one.cautiousMonths === null
						? formatMonths(one.months)
						: `${formatMonths(one.months)}, ${formatMonths(one.cautiousMonths)} by a cautious figure`,
				]),
				[1],
				columns,
			),
		);
	if (wiring !== null) parts.push(wiringText(wiring, columns));
	if (notAssessed.length > 0)
		parts.push(
			`Not judged, for the file does not say:\n${notAssessed
				.map(({ path, subject, measure }) => wrap(`  ${path}: ${subject} (${measure})`, columns, "    "))
				.join("")}`,
		);
	parts.push(RIG_CAUTIONS.map((caution) => wrap(`caution: ${caution}`, columns, "  ")).join(""));
	return parts.join("\n");
}
