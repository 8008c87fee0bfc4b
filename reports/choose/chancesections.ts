import type { ComplianceProbability, FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { decidesDrawings } from "../charts/choose/decides.ts";
import { html } from "../page/html.ts";
import type { Details, Section } from "../page/section.ts";
import { factsTable } from "../page/table.ts";
import {
	chanceShare,
	complianceWords,
	disturbanceWords,
	firstTestWords,
	inputLabel,
	linkedInputsWords,
} from "./choosewords.ts";
import { fieldTestWords } from "./fieldtestwords.ts";

/** Inputs that are drawn; the table of field tests holds all. */
const MAX_BARS = 5;

/** The inputs that the chance depends on; null where nothing that can be measured is uncertain. */
export function decidesSection({ inputs }: ComplianceProbability, choice: FeasibleChoice): Section | null {
	const first = firstTestWords(choice);
	if (first === null) return null;
	const { scenario } = choice;
	return {
		id: "matters",
		heading: "Which input matters most",
		words: "What decides",
		sentence: `${first} A bar runs from the peak with the input at its 5 % end to that at its 95 % end; linked inputs move as expected with it, all others stay central.`,
		body: html`<figure>${decidesDrawings({
			id: "matters-d",
			title: "Peak CO₂ with one input at its low and at its high end",
			desc: first,
			inputs: inputs.slice(0, MAX_BARS).map(({ path, varianceShare, peakAtLowPpm, peakAtHighPpm }) => ({
				name: inputLabel(scenario, path),
				share: chanceShare(varianceShare),
				lowPpm: peakAtLowPpm,
				highPpm: peakAtHighPpm,
			})),
			ceilingPpm: scenario.target.ceiling.value,
		})}</figure>`,
	};
}

/** What was drawn and what it gave, and the test for each input. */
export function chanceDetails(
	complianceProbability: ComplianceProbability,
	choice: FeasibleChoice,
): readonly Details[] {
	const { inputs, seed, draws } = complianceProbability;
	const linked = linkedInputsWords(choice);
	const tests = inputs.flatMap(({ path, text, fieldTest }) =>
		fieldTest === null
			? []
			: [[`${inputLabel(choice.scenario, path)}, ${text}`, fieldTestWords(fieldTest)] as const],
	);
	return [
		{
			summary: "Chance of meeting the target",
			count: `${draws.toLocaleString("en-US")} random draws`,
			body: [
				html`<p>${complianceWords(complianceProbability, choice.recommended.summary)}${linked !== null && ` ${linked}`}</p>`,
				html`<p>${disturbanceWords(complianceProbability) ?? "Nothing that may happen in service is counted in."}</p>`,
				html`<p>Drawn with seed ${seed}; the same seed gives the same values.</p>`,
			],
		},
		...(tests.length < 2
			? []
			: [
					{ summary: "Field tests", count: `${tests.length} inputs`, body: factsTable("Field tests", tests) },
				]),
	];
}
