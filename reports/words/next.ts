import type { FieldTest } from "../../lib/choose/choosetypes.ts";
import type { KnownInput, NextAdvice } from "../../lib/choose/nextstep.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { chanceShare, inputLabel, settingWords } from "../choose/choosewords.ts";
import { constraintReason } from "../choose/constraintwords.ts";
import { fieldTestWords } from "../choose/fieldtestwords.ts";
import { upperFirst } from "./format.ts";

/** What `fit` is told to make of a test's log; a test without a log has none. */
const FIT_TESTS: Readonly<Partial<Record<FieldTest, string>>> = {
	"rise test": "--test rise ",
	"leak test": "--test decay ",
	"counted bursts": "--test bursts ",
	"bursts of two lengths": "--test bursts ",
	"log in two places": "",
};

/** The command for the step, after what is to be done with hands; `file` as it was typed. */
export function nextCommand({ step }: NextAdvice, file: string): string {
	switch (step.code) {
		case "change the rig":
			return `lullgust choose ${file}`;
		case "field test": {
			const test = FIT_TESTS[step.fieldTest];
			return test === undefined
				? `lullgust next ${file}`
				: `lullgust fit LOG.csv --scenario ${file} ${test}--update ${file}`;
		}
		case "take the setting":
			return `lullgust choose ${file} --update`;
		case "verify":
			return `lullgust verify LOG.csv --scenario ${file} --schedule "${step.scheduleName}"`;
	}
}

/** The step, why, and what to do. */
export function nextStepWords(
	{ scenario, step, probability, reliabilityPercent }: NextAdvice,
	units: UnitSystem,
): string {
	switch (step.code) {
		case "change the rig":
			return `Change the rig. ${constraintReason(step.bindingConstraint, units)}`;
		case "field test": {
			const { path, text, savedM3PerDay, fieldTest, isFitted } = step;
			const gain =
				savedM3PerDay > 0
					? ` Knowing it may save ${formatQuantity(savedM3PerDay, "volume", units)} of fresh air per day.`
					: ` The chance is ${chanceShare(probability)}; ${reliabilityPercent} % is asked for.`;
			const again = isFitted ? " It was fitted to a log already; a longer log narrows it further." : "";
			const enter = FIT_TESTS[fieldTest] === undefined ? ` Then enter the result as ${path}.` : "";
			return `Measure the ${inputLabel(scenario, path)}, ${text}.${gain}${again} ${upperFirst(fieldTestWords(fieldTest))}.${enter}`;
		}
		case "take the setting":
			return `Enough is known. Set the timer to ${settingWords(step.setting)}, and write it into the file.`;
		case "verify":
			return `The setting stands in the file as “${step.scheduleName}”. Log CO₂ at crop height for two days, and compare the log with the prediction; again at each flush.`;
	}
}

/** "respiration rate of oyster 60..400 mg/(kg h) (73 % of the variation)" */
export const knownInputWords = ({ label, text, varianceShare }: KnownInput): string =>
	`${label} ${text}${varianceShare > 0 ? ` (${chanceShare(varianceShare)} of the variation)` : ""}`;
