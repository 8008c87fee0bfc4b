import type { Choice, FeasibleChoice, InfeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { type Html, html } from "../page/html.ts";
import { section } from "../page/page.ts";
import { scenarioPage, verdictBlock } from "../page/sections.ts";
import { factsTable } from "../page/table.ts";
import { formatPpm } from "../words/format.ts";
import { warningMessage } from "../words/warnings.ts";
import { CARD_STYLE, type CardOptions, cardPanel } from "./card.ts";
import { chanceSections } from "./chancesections.ts";
import { alternativesTable, closestTable } from "./choosetables.ts";
import { choiceVerdict, feasibilityLimitRows, moistureWords, quietWords } from "./choosewords.ts";
import { constraintSummary, remedies } from "./constraintwords.ts";
import { mapSection } from "./mapsection.ts";
import { tradeoffSection } from "./tradeoffsection.ts";

export { type CardOptions, cardPage } from "./card.ts";

async function feasibleBody(choice: FeasibleChoice, options: CardOptions): Promise<(Html | null)[]> {
	const { units } = options;
	const { recommended, complianceProbability, quiet, searchErrorPpm } = choice;
	return [
		section("verdict", "Verdict", verdictBlock(choiceVerdict(choice, units))),
		section(
			"card",
			"The setting card",
			cardPanel(choice, options),
			html`<p class="note">For an A6 sheet of its own: lullgust choose ${choice.scenario.fileName}${choice.chanceConstrained?.evaluated != null && ` --confidence ${choice.chanceConstrained.reliabilityPercent}`} --card card.html</p>`,
		),
		await mapSection(choice),
		await tradeoffSection(choice, options),
		section(
			"alternatives",
			"Alternatives",
			html`<p class="note">Each is evaluated by the full model with exactly these digits.${searchErrorPpm === 0 ? "" : ` The faster search differs by ${formatPpm(Math.abs(searchErrorPpm)).replace(/^0 /, "under 1 ")} at the best setting.`}</p>`,
			alternativesTable(choice, units),
		),
		...(complianceProbability === null
			? [
					section(
						"chance",
						"Chance of meeting the target",
						html`<p>No input has a range or an uncertainty, or no random draws were asked for, so the chance is not known.</p>`,
					),
				]
			: await chanceSections(complianceProbability, choice)),
		section("moisture", "Moisture loss", html`<p>${moistureWords(recommended, units)}</p>`),
		quiet &&
			section(
				"quiet",
				"Quiet hours",
				html`<p>${quietWords(quiet, units)}</p>`,
				html`<p class="note">This needs a timer that knows the time of day, or someone who changes the setting each evening and morning.</p>`,
			),
	];
}

async function infeasibleBody(choice: InfeasibleChoice, { units }: CardOptions): Promise<(Html | null)[]> {
	const { closest } = choice;
	return [
		section("verdict", "Verdict", verdictBlock(choiceVerdict(choice, units))),
		section(
			"why",
			"Why no setting works, and what helps",
			html`<p><strong>${constraintSummary(choice.bindingConstraint, units)}.</strong></p>`,
			html`<ul>${remedies(choice.bindingConstraint).map((remedy) => html`<li>${remedy}</li>\n`)}</ul>`,
		),
		closest &&
			section(
				"closest",
				"The closest setting",
				closestTable(closest, units),
				html`<p>${moistureWords(closest, units)}</p>`,
			),
		await mapSection(choice),
	];
}

/** The report of a choice as one HTML file. */
export async function chooseReport(choice: Choice, options: CardOptions): Promise<string> {
	const { scenario, feasibilityLimits: limits, warnings } = choice;
	return scenarioPage(scenario, options, {
		kind: "Choice of the timer setting",
		lead: scenario.notes,
		body: [
			...(choice.isFeasible ? await feasibleBody(choice, options) : await infeasibleBody(choice, options)),
			section(
				"limits",
				"Limits of chamber, timer and fan",
				factsTable(
					"Limits",
					feasibilityLimitRows(limits, options.units, choice.isFeasible ? choice.activeLimits : []),
				),
			),
		],
		warnings: warnings.map(warningMessage),
		style: CARD_STYLE,
	});
}
