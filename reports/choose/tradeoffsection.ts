import type { EvaluatedSetting, FeasibleChoice, FrontRule } from "../../lib/choose/choosetypes.ts";
import { CUBIC_FOOT } from "../../lib/units/factors.ts";
import { type TradeoffChartData, tradeoffSpec } from "../charts/choose/tradeoff.ts";
import { PAGE } from "../charts/theme.ts";
import { stillFigure } from "../page/figure.ts";
import { type Html, html } from "../page/html.ts";
import { section } from "../page/page.ts";
import type { CardOptions } from "./card.ts";
import { ALTERNATIVES, holdWords } from "./choosewords.ts";
import { listMarks } from "./settingmarks.ts";

/** Dots of the trade-off; more stand on one another. */
const DOTS = 250;

/** Water per day as a straight line of fresh air per day through two alternatives; null when they need the same air. */
function waterScale(settings: readonly EvaluatedSetting[], perM3: number): TradeoffChartData["water"] {
	const [low, high] = settings
		.toSorted((a, b) => a.summary.freshAirM3PerDay - b.summary.freshAirM3PerDay)
		.filter((_, place, all) => place === 0 || place === all.length - 1);
	if (low === undefined || high === undefined) return null;
	const air = high.summary.freshAirM3PerDay - low.summary.freshAirM3PerDay;
	const water = high.moisture.moistureLossGPerDay - low.moisture.moistureLossGPerDay;
	if (air < 1e-3 * high.summary.freshAirM3PerDay || water <= 0) return null;
	const slope = water / (air * perM3);
	return { slope, base: low.moisture.moistureLossGPerDay - slope * low.summary.freshAirM3PerDay * perM3 };
}

const FRONT_RULES: Readonly<Record<FrontRule, string>> = {
	"all settings": "",
	"shortest burst for each pause":
		" For each off-time only the shortest on-time that meets the target is compared.",
	"longest pause for each burst":
		" For each on-time only the longest off-time that meets the target is compared.",
};

/** The trade-off between fresh air, switching and ripple. */
export async function tradeoffSection(choice: FeasibleChoice, { units }: CardOptions): Promise<Html> {
	const perM3 = units === "us" ? 1 / CUBIC_FOOT : 1;
	const { front } = choice;
	const kept =
		front.length <= DOTS
			? front
			: Array.from({ length: DOTS }, (_, i) => front[Math.round((i * (front.length - 1)) / (DOTS - 1))]!);
	const alternatives = listMarks({ ...choice, chanceConstrained: null });
	const picture: TradeoffChartData = {
		points: kept.map((point) => ({
			bursts: point.burstsPerDay,
			air: point.freshAirM3PerDay * perM3,
			ripplePpm: point.ripplePpm,
		})),
		marks: alternatives.map(({ name, shape, evaluated }) => ({
			name,
			shape,
			bursts: evaluated.summary.burstsPerDay,
			air: evaluated.summary.freshAirM3PerDay * perM3,
		})),
		airUnit: units === "us" ? "ft³" : "m³",
		water: waterScale(
			alternatives.map(({ evaluated }) => evaluated),
			perM3,
		),
	};
	const count =
		front.length === 1
			? "One setting forms the trade-off: no other is better in fresh air, switching or ripple without being worse in another."
			: `${front.length.toLocaleString("en-US")} settings form the trade-off: none can improve fresh air, switching or ripple without worsening another.`;
	return section(
		"trade",
		"Trade-off: fresh air, switching, ripple",
		html`<p>${count} All ${holdWords(choice)}, and use at most 25 % more air than the setting on the card.${FRONT_RULES[choice.frontRule]}</p>`,
		await stillFigure(
			"trade",
			(width) => tradeoffSpec(picture, PAGE, width),
			"Fresh air per day against bursts per day, of settings that meet the target.",
			`A larger dot has a larger ripple.${kept.length < front.length ? ` ${DOTS} of the settings are drawn.` : ""} ${ALTERNATIVES.map(({ name, why }) => `${name}: ${why}`).join("; ")}.`,
		),
	);
}
