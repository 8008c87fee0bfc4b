import type { FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { CUBIC_FOOT } from "../../lib/units/factors.ts";
import { frontierDrawings } from "../charts/choose/frontier.ts";
import { html } from "../page/html.ts";
import type { Section } from "../page/section.ts";
import { whole } from "../words/format.ts";
import type { CardOptions } from "./card.ts";
import { ALTERNATIVES, holdWords } from "./choosewords.ts";
import { listMarks } from "./settingmarks.ts";

/** The trade-off between fresh air, switching and ripple; null where one setting is better in all. */
export function tradeoffSection(choice: FeasibleChoice, { units }: CardOptions): Section | null {
	const { front } = choice;
	if (front.length < 2) return null;
	const perM3 = units === "us" ? 1 / CUBIC_FOOT : 1;
	const unit = units === "us" ? "ft³" : "m³";
	const marks = listMarks({ ...choice, chanceConstrained: null }).map(({ name, evaluated: { summary } }) => ({
		name,
		note: `${summary.burstsPerDay.toFixed(0)} a day, ripple ${whole(summary.ripplePpm)} ppm`,
		bursts: summary.burstsPerDay,
		air: summary.freshAirM3PerDay * perM3,
	}));
	const rule =
		choice.frontRule === "all settings"
			? ""
			: choice.frontRule === "longest pause for each burst"
				? " For each on-time only the longest off-time that meets the target is compared."
				: " For each off-time only the shortest on-time that meets the target is compared.";
	return {
		id: "trade",
		heading: "Fresh air against switching",
		words: "Trade-off",
		sentence: `${front.length.toLocaleString("en-US")} settings form the trade-off: none can improve fresh air, switching or ripple without worsening another. All ${holdWords(choice)}, and use at most 25 % more air than the setting on the card.${rule}`,
		body: html`<figure>${frontierDrawings({
			id: "trade-d",
			title: "Least fresh air per day by bursts per day, of settings that meet the target",
			desc: `Marked: ${ALTERNATIVES.map(({ name, why }) => `${name}, ${why}`).join("; ")}.`,
			points: front.map((point) => ({ bursts: point.burstsPerDay, air: point.freshAirM3PerDay * perM3 })),
			marks,
			unit,
		})}</figure>`,
	};
}
