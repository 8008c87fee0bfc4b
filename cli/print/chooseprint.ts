import type { Choice, EvaluatedSetting, FeasibleChoice, SettingCheck } from "../../lib/choose/choosetypes.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import {
	ALTERNATIVES,
	chanceShare,
	complianceWords,
	contactLifeWords,
	disturbanceWords,
	feasibilityLimitRows,
	firstTestWords,
	holdWords,
	linkedInputsWords,
	moistureWords,
	quietWords,
} from "../../reports/choose/choosewords.ts";
import { constraintSummary, remedies } from "../../reports/choose/constraintwords.ts";
import { table, wrap } from "./print.ts";
import { settingCard } from "./settingcard.ts";

const row = (
	name: string,
	evaluated: Omit<EvaluatedSetting, "setting"> & Pick<SettingCheck, "setting">,
	units: UnitSystem,
): string[] => {
	const { setting, schedule, summary, moisture, contactMonths } = evaluated;
	return [
		name,
		setting === null ? formatDuration(schedule.onSeconds) : `${setting.on.display} ${setting.on.unit}`,
		setting === null ? formatDuration(schedule.offSeconds) : `${setting.off.display} ${setting.off.unit}`,
		String(Math.round(summary.peakPpm)),
		String(Math.round(summary.ripplePpm)),
		formatQuantity(summary.freshAirM3PerDay, "volume", units),
		`${Math.round(moisture.moistureLossGPerDay)} g`,
		burstCount(summary.burstsPerDay),
		contactLifeWords(contactMonths),
		chanceShare(evaluated.probability),
	];
};

const settings = (rows: readonly string[][]): string =>
	table(
		["setting", "on", "off", "peak", "ripple", "fresh air", "water", "bursts", "contact", "chance"],
		[["", "", "", "ppm", "ppm", "per day", "per day", "per day", "life", ""], ...rows],
		[1, 2, 3, 4, 5, 6, 7, 8, 9],
	);

/** The alternatives, and beside those that have the chance asked for the one for central values, in a table for people. */
const alternativesTable = (choice: FeasibleChoice, units: UnitSystem): string =>
	`Settings that ${holdWords(choice).replace(" a ", " ").replace(" chance", "")}:\n${settings([
		...ALTERNATIVES.map(({ key, name }) => row(name, choice.alternatives[key], units)),
		...(choice.chanceConstrained?.evaluated == null ? [] : [row("central values", choice.best, units)]),
	])}`;

/** All that follows the verdict. */
export function choiceText(choice: Choice, units: UnitSystem, columns: number): string {
	const paragraph = (text: string) => `\n${wrap(text, columns)}`;
	const limits = `\n${table(["limits of chamber, timer and fan", ""], feasibilityLimitRows(choice.feasibilityLimits, units, choice.isFeasible ? choice.activeLimits : []), [])}`;
	if (!choice.isFeasible) {
		const help = remedies(choice.bindingConstraint).map((remedy) => wrap(`- ${remedy}`, columns, "  "));
		const closest = choice.closest === null ? "" : `\n${settings([row("closest", choice.closest, units)])}`;
		return `${paragraph(`${constraintSummary(choice.bindingConstraint, units)}.`)}${help.join("")}${closest}${limits}`;
	}
	const { recommended, complianceProbability, quiet } = choice;
	const linked = linkedInputsWords(choice);
	const first = firstTestWords(choice);
	const happens = complianceProbability === null ? null : disturbanceWords(complianceProbability);
	return [
		`\n${settingCard(choice, units, columns)}`,
		`\n${alternativesTable(choice, units)}`,
		complianceProbability === null
			? ""
			: paragraph(complianceWords(complianceProbability, recommended.summary)),
		linked === null ? "" : wrap(linked, columns),
		first === null ? "" : wrap(first, columns),
		happens === null ? "" : wrap(happens, columns),
		paragraph(moistureWords(recommended, units)),
		quiet === null ? "" : paragraph(quietWords(quiet, units)),
		limits,
	].join("");
}

/** All that follows the verdict on one pair of times. */
export function checkText(check: SettingCheck, units: UnitSystem, columns: number): string {
	const { complianceProbability, summary, better } = check;
	const happens = complianceProbability && disturbanceWords(complianceProbability);
	return [
		`\n${settings([row("keyed in", check, units), ...(better === null ? [] : [row("better", better, units)])])}`,
		complianceProbability === null
			? ""
			: `\n${wrap(complianceWords(complianceProbability, summary), columns)}`,
		happens === null ? "" : wrap(happens, columns),
		`\n${wrap(moistureWords(check, units), columns)}`,
	].join("");
}

const FRONT_COLUMNS = {
	on_seconds: "onSeconds",
	off_seconds: "offSeconds",
	fresh_air_m3_per_day: "freshAirM3PerDay",
	bursts_per_day: "burstsPerDay",
	ripple_ppm: "ripplePpm",
	peak_ppm: "peakPpm",
} as const;

/** The trade-off as CSV in SI, a line a setting. */
export function frontCsv(choice: Choice): string {
	const keys = Object.values(FRONT_COLUMNS);
	const rows = choice.isFeasible ? choice.front.map((point) => keys.map((key) => point[key])) : [];
	return [Object.keys(FRONT_COLUMNS), ...rows].map((row) => `${row.join(",")}\n`).join("");
}
