import type { Choice, FeasibleChoice, InfeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { comparisonCurves } from "../../lib/compare/curves.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import type { DisplayValue } from "../../lib/model/schedule/timer.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { chamberDrawing, type Hero, heroDrawings } from "../charts/section/hero.ts";
import { readingsOf } from "../charts/section/reading.ts";
import { READING_SCRIPT, READING_STYLE, readingLine } from "../charts/section/readingline.ts";
import { judgedFigure } from "../compare/comparewords.ts";
import { heroOf } from "../compare/herodata.ts";
import type { Head, HeadFigure } from "../page/head.ts";
import { html } from "../page/html.ts";
import { type ReportContent, scenarioReport } from "../page/report.ts";
import { keepTogether } from "../page/sections.ts";
import { factsTable } from "../page/table.ts";
import { formatPpm, whole } from "../words/format.ts";
import { warningMessage } from "../words/warnings.ts";
import { CARD_STYLE, type CardOptions, cardPanel } from "./card.ts";
import { chanceDetails, decidesSection } from "./chancesections.ts";
import { alternativesTable, closestTable } from "./choosetables.ts";
import { choiceVerdict, feasibilityLimitRows, moistureWords, quietWords } from "./choosewords.ts";
import { constraintSummary, remedies } from "./constraintwords.ts";
import { mapSection } from "./mapsection.ts";
import { chanceState, PAIR_STYLE, pairSection } from "./pair.ts";
import { tradeoffSection } from "./tradeoffsection.ts";

export { type CardOptions, cardPage } from "./card.ts";

type Parts = Pick<ReportContent, "head" | "hero" | "lead" | "sections"> & {
	readonly details: NonNullable<ReportContent["details"]>;
	readonly shown: Hero | null;
};

const question = ({ scenario }: Choice): Head["what"] => [
	scenario.name,
	`what to set the timer to, for a ceiling of ${whole(scenario.target.ceiling.value)} ppm on the ${scenario.target.on}`,
];

const timeFigure = ({ display, unit }: DisplayValue, seconds: number, name: string): HeadFigure => ({
	value: String(Number(display)),
	unit,
	name,
	note: `shown as ${display}${unit === "s" && seconds >= 60 ? `, ${formatDuration(seconds)}` : ""}`,
});

function feasibleHead(choice: FeasibleChoice): Head {
	const { recommended, reliabilityPercent, status, complianceProbability } = choice;
	const { setting, schedule } = recommended;
	const probability = complianceProbability?.probability ?? null;
	const [state, word] =
		probability === null
			? ([status === "holds" ? "holds" : "doubt", status === "holds" ? "holds" : "holds if central"] as const)
			: chanceState(probability, reliabilityPercent ?? 90);
	return {
		state,
		word: word.toUpperCase(),
		what: question(choice),
		answer:
			probability === null
				? "This setting holds."
				: `Holds in ${Math.round(100 * probability)} of 100 cases.`,
		figures: [
			timeFigure(setting.on, schedule.onSeconds, "on, fan runs"),
			timeFigure(setting.off, schedule.offSeconds, "off, fan rests"),
		],
	};
}

/** The recommended setting as the head of a page shows a schedule. */
function heroOfChoice({ scenario, recommended }: FeasibleChoice, units: UnitSystem): Hero {
	const { schedule } = recommended;
	const named = { name: "the setting", schedule, line: 0, column: 0 };
	const comparison = compareSchedules({ ...scenario, schedules: [named] });
	return { ...heroOf(comparison, comparisonCurves(comparison), units), isBandSubject: true };
}

function feasibleParts(choice: FeasibleChoice, options: CardOptions): Parts {
	const { units } = options;
	const { recommended, complianceProbability, quiet, searchErrorPpm, scenario, chanceConstrained } = choice;
	const hero = heroOfChoice(choice, units);
	const { grounds, more = [] } = choiceVerdict(choice, units);
	const reached =
		chanceConstrained?.evaluated != null ? ` --confidence ${chanceConstrained.reliabilityPercent}` : "";
	return {
		head: feasibleHead(choice),
		hero: html`<figure>${heroDrawings(hero)}${readingLine()}</figure>`,
		shown: hero,
		lead: [keepTogether([grounds, ...more].join(" ")), chamberDrawing(hero)],
		sections: [
			pairSection(choice, units),
			mapSection(choice),
			tradeoffSection(choice, options),
			complianceProbability !== null && decidesSection(complianceProbability, choice),
		],
		details: [
			{
				summary: "The setting card",
				count: "to hang beside the timer",
				body: [
					cardPanel(choice, options),
					html`<p>For an A6 sheet of its own: lullgust choose ${scenario.fileName}${reached} --card card.html</p>`,
				],
			},
			{
				summary: "Alternatives",
				count: "side by side",
				body: [
					html`<p>Each is evaluated by the full model with exactly these digits.${searchErrorPpm === 0 ? "" : ` The faster search differs by ${formatPpm(Math.abs(searchErrorPpm)).replace(/^0 /, "under 1 ")} at the best setting.`}</p>`,
					alternativesTable(choice, units),
				],
			},
			...(complianceProbability === null
				? [
						{
							summary: "Chance of meeting the target",
							count: "not known",
							body: html`<p>No input has a range or an uncertainty, or no random draws were asked for, so the chance is not known.</p>`,
						},
					]
				: chanceDetails(complianceProbability, choice)),
			{ summary: "Moisture loss", count: "per day", body: html`<p>${moistureWords(recommended, units)}</p>` },
			quiet && {
				summary: "Quiet hours",
				count: "a longer cycle at night",
				body: html`<p>${quietWords(quiet, units)}</p><p>This needs a timer that knows the time of day, or someone who changes the setting each evening and morning.</p>`,
			},
		],
	};
}

function infeasibleParts(choice: InfeasibleChoice, { units }: CardOptions): Parts {
	const { closest, bindingConstraint } = choice;
	const { grounds, more = [] } = choiceVerdict(choice, units);
	return {
		head: {
			state: "fails",
			word: "FAILS",
			what: question(choice),
			answer: "No setting holds.",
			figures:
				closest === null
					? []
					: [
							judgedFigure(
								closest.summary.criterion,
								closest.summary.criterion.valuePpm,
								closest.summary.meanPpm,
							),
							timeFigure(closest.setting.off, closest.schedule.offSeconds, "off-time that comes closest"),
						],
		},
		hero: null,
		shown: null,
		lead: [keepTogether([grounds, ...more].join(" "))],
		sections: [
			{
				id: "why",
				heading: "Why no setting works, and what helps",
				words: "Why",
				body: html`<p><strong>${constraintSummary(bindingConstraint, units)}.</strong></p><ul>${remedies(bindingConstraint).map((remedy) => html`<li>${remedy}</li>\n`)}</ul>`,
			},
			closest && {
				id: "closest",
				heading: "The closest setting",
				body: [closestTable(closest, units), html`<p>${moistureWords(closest, units)}</p>`],
			},
			mapSection(choice),
		],
		details: [],
	};
}

/** The report of a choice as one HTML file. */
export function chooseReport(choice: Choice, options: CardOptions): string {
	const { scenario, feasibilityLimits: limits, warnings } = choice;
	const { shown, details, ...parts } = choice.isFeasible
		? feasibleParts(choice, options)
		: infeasibleParts(choice, options);
	return scenarioReport(scenario, listInputs(scenario), options, {
		kind: "choose",
		...parts,
		warnings: warnings.map(warningMessage),
		details: [
			...details,
			{
				summary: "Limits of chamber, timer and fan",
				count: "what is possible at all",
				body: factsTable(
					"Limits",
					feasibilityLimitRows(limits, options.units, choice.isFeasible ? choice.activeLimits : []),
				),
			},
		],
		style: CARD_STYLE + PAIR_STYLE + READING_STYLE,
		...(shown === null
			? {}
			: {
					data: { readings: readingsOf(shown.windowSeconds, shown.isTimeOfDay, [shown.subject]) },
					script: READING_SCRIPT,
				}),
	});
}
