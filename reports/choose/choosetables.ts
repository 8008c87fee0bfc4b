import type { EvaluatedSetting, FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import type { Html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { valueTable } from "../page/table.ts";
import { formatGrams, whole, yesNo } from "../words/format.ts";
import { ALTERNATIVES, chanceShare, contactLifeWords, holdWords, wholePercent } from "./choosewords.ts";

interface SettingColumn {
	readonly name: string;
	readonly badge: string | null;
	readonly evaluated: EvaluatedSetting;
}

const ROWS: readonly (readonly [
	label: string,
	unit: string,
	cell: (evaluated: EvaluatedSetting, units: UnitSystem) => string,
])[] = [
	["ON display", "", ({ setting: { on } }) => `${on.display} ${on.unit}`],
	["OFF display", "", ({ setting: { off } }) => `${off.display} ${off.unit}`],
	["peak", "ppm", ({ summary }) => whole(summary.peakPpm)],
	["mean", "ppm", ({ summary }) => whole(summary.meanPpm)],
	["worst hour, mean", "ppm", ({ summary }) => whole(summary.maxHourlyMeanPpm)],
	["ripple", "ppm", ({ summary }) => whole(summary.ripplePpm)],
	["meets the target", "", ({ summary }) => yesNo(summary.criterion.isMet)],
	["fresh air", "per day", ({ summary }, units) => formatQuantity(summary.freshAirM3PerDay, "volume", units)],
	["water carried out", "per day", ({ moisture }) => formatGrams(moisture.moistureLossGPerDay)],
	["water to add", "per day", ({ moisture }) => formatGrams(moisture.humidificationGPerDay)],
	[
		"relative humidity after a burst",
		"",
		({ moisture }) => wholePercent(moisture.relativeHumidityAfterBurst),
	],
	["bursts", "per day", ({ summary }) => burstCount(summary.burstsPerDay)],
	["switching cycles", "per month", ({ operationsPerMonth }) => whole(operationsPerMonth)],
	["contact life", "", ({ contactMonths }) => contactLifeWords(contactMonths)],
	["chance of meeting the target", "", ({ probability }) => chanceShare(probability)],
];

const settingsTable = (label: string, columns: readonly SettingColumn[], units: UnitSystem): Html =>
	scrollBox(
		label,
		valueTable(
			[{ heading: null, rows: ROWS.map(([label, unit, cell]) => ({ label, unit, cell })) }],
			columns.map(({ name, badge, evaluated }) => ({
				name,
				words: evaluated.inWords,
				badge,
				cell: (row) => row.cell(evaluated, units),
			})),
		),
		columns.length > 2 ? "Scroll sideways: a column for each setting." : null,
	);

/** The three alternatives side by side, and beside those that have the chance asked for the one for central values. */
export function alternativesTable(choice: FeasibleChoice, units: UnitSystem): Html {
	const { alternatives, chanceConstrained, best } = choice;
	const columns: SettingColumn[] = ALTERNATIVES.map(({ key, name }) => ({
		name,
		badge: key === "leastAir" ? "✓ on the card" : null,
		evaluated: alternatives[key],
	}));
	if (chanceConstrained?.evaluated != null)
		columns.push({ name: "central values", badge: null, evaluated: best });
	return settingsTable(`Settings that ${holdWords(choice)}`, columns, units);
}

/** The setting with the smallest violation. */
export const closestTable = (evaluated: EvaluatedSetting, units: UnitSystem): Html =>
	settingsTable(
		"Values of the closest setting",
		[{ name: "closest", badge: "misses the target", evaluated }],
		units,
	);
