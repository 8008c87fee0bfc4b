import type { Choice, FeasibleChoice, JudgedSetting } from "../../lib/choose/choosetypes.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/units.ts";
import {
	boundRows,
	boundWords,
	contactLife,
	firstTestWords,
	moistureWords,
	oddsWords,
	PICKS,
	quietWords,
	remedies,
	togetherWords,
} from "../../reports/choose/choosewords.ts";
import { table, wrap } from "./print.ts";
import { settingCard } from "./settingcard.ts";

const row = (name: string, judged: JudgedSetting, units: UnitSystem): string[] => {
	const { setting, summary, moisture, contactMonths } = judged;
	return [
		name,
		`${setting.on.display} ${setting.on.unit}`,
		`${setting.off.display} ${setting.off.unit}`,
		String(Math.round(summary.peakPpm)),
		String(Math.round(summary.ripplePpm)),
		formatQuantity(summary.freshAirM3PerDay, "volume", units),
		`${Math.round(moisture.waterOutGPerDay)} g`,
		burstCount(summary.burstsPerDay),
		contactLife(contactMonths),
	];
};

const settings = (rows: readonly string[][]): string =>
	table(
		["setting", "on", "off", "peak", "ripple", "fresh air", "water", "bursts", "contact"],
		[["", "", "", "ppm", "ppm", "a day", "a day", "a day", "lasts"], ...rows],
		[1, 2, 3, 4, 5, 6, 7, 8],
	);

/** The picks, and the setting for the confidence that was asked for, in a table for people. */
const picksTable = ({ picks, robust }: FeasibleChoice, units: UnitSystem): string =>
	settings([
		...PICKS.map(({ key, name }) => row(name, picks[key], units)),
		...(robust?.judged == null ? [] : [row(`${robust.confidence} % confidence`, robust.judged, units)]),
	]);

/** All that follows the verdict. */
export function choiceText(choice: Choice, units: UnitSystem, columns: number): string {
	const paragraph = (text: string) => `\n${wrap(text, columns)}`;
	const bounds = `\n${table(["what is possible at all", ""], boundRows(choice.bounds, units), [])}`;
	if (!choice.feasible) {
		const help = remedies(choice).map((remedy) => wrap(`- ${remedy}`, columns, "  "));
		const nearest =
			choice.nearest === null ? "" : `\n${settings([row("misses least", choice.nearest, units)])}`;
		return `${paragraph(`${boundWords(choice.bound)}.`)}${help.join("")}${nearest}${bounds}`;
	}
	const { recommended, odds, quiet } = choice;
	const together = togetherWords(choice);
	const first = odds === null ? null : firstTestWords(odds);
	return [
		`\n${settingCard(choice, units, columns)}`,
		`\n${picksTable(choice, units)}`,
		odds === null ? "" : paragraph(oddsWords(odds, recommended.summary)),
		together === null ? "" : wrap(together, columns),
		first === null ? "" : wrap(first, columns),
		paragraph(moistureWords(recommended, units)),
		quiet === null ? "" : paragraph(quietWords(quiet, units)),
		bounds,
	].join("");
}

/** The trade-off as CSV in SI, a line a setting. */
export function frontCsv(choice: Choice): string {
	const head = "on_s,off_s,fresh_air_m3_per_day,bursts_per_day,ripple_ppm,peak_ppm\n";
	if (!choice.feasible) return head;
	return (
		head +
		choice.front
			.map((point) =>
				[
					point.onSeconds,
					point.offSeconds,
					point.freshAirM3PerDay,
					point.burstsPerDay,
					point.ripplePpm,
					point.peakPpm,
				].join(","),
			)
			.map((line) => `${line}\n`)
			.join("")
	);
}
