import type { Choice, EvaluatedSetting, FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import {
	ALTERNATIVES,
	complianceWords,
	contactLifeWords,
	feasibilityLimitRows,
	firstTestWords,
	linkedInputsWords,
	moistureWords,
	quietWords,
} from "../../reports/choose/choosewords.ts";
import { constraintSummary, remedies } from "../../reports/choose/constraintwords.ts";
import { table, wrap } from "./print.ts";
import { settingCard } from "./settingcard.ts";

const row = (name: string, evaluated: EvaluatedSetting, units: UnitSystem): string[] => {
	const { setting, summary, moisture, contactMonths } = evaluated;
	return [
		name,
		`${setting.on.display} ${setting.on.unit}`,
		`${setting.off.display} ${setting.off.unit}`,
		String(Math.round(summary.peakPpm)),
		String(Math.round(summary.ripplePpm)),
		formatQuantity(summary.freshAirM3PerDay, "volume", units),
		`${Math.round(moisture.moistureLossGPerDay)} g`,
		burstCount(summary.burstsPerDay),
		contactLifeWords(contactMonths),
	];
};

const settings = (rows: readonly string[][]): string =>
	table(
		["setting", "on", "off", "peak", "ripple", "fresh air", "water", "bursts", "contact"],
		[["", "", "", "ppm", "ppm", "per day", "per day", "per day", "life"], ...rows],
		[1, 2, 3, 4, 5, 6, 7, 8],
	);

/** The alternatives, and the setting for the certainty that was asked for, in a table for people. */
const alternativesTable = ({ alternatives, chanceConstrained }: FeasibleChoice, units: UnitSystem): string =>
	settings([
		...ALTERNATIVES.map(({ key, name }) => row(name, alternatives[key], units)),
		...(chanceConstrained?.evaluated == null
			? []
			: [row(`${chanceConstrained.reliabilityPercent} % chance`, chanceConstrained.evaluated, units)]),
	]);

/** All that follows the verdict. */
export function choiceText(choice: Choice, units: UnitSystem, columns: number): string {
	const paragraph = (text: string) => `\n${wrap(text, columns)}`;
	const limits = `\n${table(["limits of chamber, timer and fan", ""], feasibilityLimitRows(choice.feasibilityLimits, units), [])}`;
	if (!choice.isFeasible) {
		const help = remedies(choice.bindingConstraint).map((remedy) => wrap(`- ${remedy}`, columns, "  "));
		const closest = choice.closest === null ? "" : `\n${settings([row("closest", choice.closest, units)])}`;
		return `${paragraph(`${constraintSummary(choice.bindingConstraint, units)}.`)}${help.join("")}${closest}${limits}`;
	}
	const { recommended, complianceProbability, quiet } = choice;
	const linked = linkedInputsWords(choice);
	const first =
		complianceProbability === null ? null : firstTestWords(complianceProbability, choice.scenario);
	return [
		`\n${settingCard(choice, units, columns)}`,
		`\n${alternativesTable(choice, units)}`,
		complianceProbability === null
			? ""
			: paragraph(complianceWords(complianceProbability, recommended.summary)),
		linked === null ? "" : wrap(linked, columns),
		first === null ? "" : wrap(first, columns),
		paragraph(moistureWords(recommended, units)),
		quiet === null ? "" : paragraph(quietWords(quiet, units)),
		limits,
	].join("");
}

/** The trade-off as CSV in SI, a line a setting. */
export function frontCsv(choice: Choice): string {
	const head = "on_seconds,off_seconds,fresh_air_m3_per_day,bursts_per_day,ripple_ppm,peak_ppm\n";
	if (!choice.isFeasible) return head;
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
