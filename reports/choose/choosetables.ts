import type { EvaluatedSetting, FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { whole, yesNo } from "../compare/cells.ts";
import { type Html, html } from "../page/html.ts";
import { scrollBox } from "../page/page.ts";
import { ALTERNATIVES, chanceShare, contactLifeWords, formatGrams, wholePercent } from "./choosewords.ts";

interface Column {
	readonly name: string;
	readonly badge: string | null;
	readonly evaluated: EvaluatedSetting;
}

const ROWS: readonly {
	readonly label: string;
	readonly unit: string;
	readonly cell: (evaluated: EvaluatedSetting, units: UnitSystem) => string;
}[] = [
	{ label: "ON display", unit: "", cell: ({ setting: { on } }) => `${on.display} ${on.unit}` },
	{ label: "OFF display", unit: "", cell: ({ setting: { off } }) => `${off.display} ${off.unit}` },
	{ label: "peak", unit: "ppm", cell: ({ summary }) => whole(summary.peakPpm) },
	{ label: "mean", unit: "ppm", cell: ({ summary }) => whole(summary.meanPpm) },
	{ label: "worst hour, mean", unit: "ppm", cell: ({ summary }) => whole(summary.maxHourlyMeanPpm) },
	{ label: "ripple", unit: "ppm", cell: ({ summary }) => whole(summary.ripplePpm) },
	{
		label: "meets the target",
		unit: "",
		cell: ({ summary }) => yesNo(summary.criterion.isMet),
	},
	{
		label: "fresh air",
		unit: "per day",
		cell: ({ summary }, units) => formatQuantity(summary.freshAirM3PerDay, "volume", units),
	},
	{
		label: "water carried out",
		unit: "per day",
		cell: ({ moisture }) => formatGrams(moisture.moistureLossGPerDay),
	},
	{
		label: "water to add",
		unit: "per day",
		cell: ({ moisture }) => formatGrams(moisture.humidificationGPerDay),
	},
	{
		label: "relative humidity after a burst",
		unit: "",
		cell: ({ moisture }) => wholePercent(moisture.relativeHumidityAfterBurst),
	},
	{
		label: "bursts",
		unit: "per day",
		cell: ({ summary }) => burstCount(summary.burstsPerDay),
	},
	{
		label: "switching cycles",
		unit: "per month",
		cell: ({ operationsPerMonth }) => whole(operationsPerMonth),
	},
	{ label: "contact life", unit: "", cell: ({ contactMonths }) => contactLifeWords(contactMonths) },
	{ label: "chance of meeting the target", unit: "", cell: ({ probability }) => chanceShare(probability) },
];

const settingsTable = (label: string, columns: readonly Column[], units: UnitSystem): Html => {
	const best = (badge: string | null, ...classes: string[]): string =>
		[...classes, ...(badge === null ? [] : ["best"])].join(" ");
	return scrollBox(
		label,
		html`<table class="figures">
<thead><tr><th scope="col">value</th>${columns.map(
			({ name, badge, evaluated }) =>
				html`<th scope="col" class="${best(badge)}">${badge !== null && html`<span class="badge">${badge}</span>`}${name}<span class="words">${evaluated.inWords}</span></th>`,
		)}</tr></thead>
<tbody>${ROWS.map(
			({ label, unit, cell }) =>
				html`<tr><th scope="row">${label}${unit !== "" && html` <span class="unit">${unit}</span>`}</th>${columns.map(
					({ badge, evaluated }) => html`<td class="${best(badge, "number")}">${cell(evaluated, units)}</td>`,
				)}</tr>\n`,
		)}</tbody>
</table>`,
		columns.length > 2 ? "Scroll sideways: a column for each setting." : null,
	);
};

/** The three alternatives side by side, and the setting for the certainty that was asked for. */
export const alternativesTable = (
	{ alternatives, chanceConstrained }: FeasibleChoice,
	units: UnitSystem,
): Html => {
	const onCard = "✓ on the card";
	const reliable = chanceConstrained?.evaluated ?? null;
	return settingsTable(
		"Results of the alternatives",
		[
			...ALTERNATIVES.map(({ key, name }, place) => ({
				name,
				badge: place === 0 && reliable === null ? onCard : null,
				evaluated: alternatives[key],
			})),
			...(chanceConstrained === null || reliable === null
				? []
				: [
						{
							name: `${chanceConstrained.reliabilityPercent} % chance`,
							badge: onCard,
							evaluated: reliable,
						},
					]),
		],
		units,
	);
};

/** The setting with the smallest violation. */
export const closestTable = (closest: EvaluatedSetting, units: UnitSystem): Html =>
	settingsTable(
		"Values of the closest setting",
		[{ name: "closest", badge: "misses the target", evaluated: closest }],
		units,
	);

/** Two columns: what, and how much. */
export const factsTable = (label: string, rows: readonly (readonly [string, string])[]): Html =>
	scrollBox(
		label,
		html`<table>
<tbody>${rows.map(([what, value]) => html`<tr><th scope="row">${what}</th><td>${value}</td></tr>\n`)}</tbody>
</table>`,
	);
