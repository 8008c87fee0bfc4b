import { inWords } from "../lib/model/schedule/inwords.ts";
import type { RigReport } from "../lib/rig/check.ts";
import type { CommissioningPlan } from "../lib/rig/commissioning/commissioning.ts";
import type { WiringVerdict } from "../lib/rig/wiring/wiring.ts";
import { faultWords } from "../reports/rig/faultwords.ts";
import { findingWords } from "../reports/rig/findingwords.ts";
import { NOT_ASSESSED } from "../reports/rig/notassessedwords.ts";
import type { CommissioningSheet } from "../reports/rig/sheets/sheet.ts";
import { remarkWords } from "../reports/rig/wiringwords.ts";
import { inputsJson, scenarioJson, withMessage } from "./json.ts";

const wiringVerdictJson = ({ faults, remarks, ...verdict }: WiringVerdict) => ({
	...verdict,
	faults: faults.map((fault) => ({ ...fault, ...faultWords(fault) })),
	remarks: remarks.map(withMessage(remarkWords)),
});

/** What `rig --json` prints: all of `RigReport` but the scenario, of which it names the inputs; the sheets in numbers and in sentences. */
export const rigJson = (
	report: RigReport,
	commissioning: CommissioningPlan,
	sheets: readonly CommissioningSheet[],
): object => {
	const { scenario, findings, delivery, wiring, notAssessed, ...rest } = report;
	const schedules = new Map(scenario.schedules.map(({ name, schedule }) => [name, inWords(schedule)]));
	return {
		format: "lullgust/rig@2",
		scenario: scenarioJson(scenario),
		...rest,
		delivery: delivery.map((one) => ({ ...one, inWords: schedules.get(one.name) })),
		findings: findings.map((found) => ({ ...found, ...findingWords(found, report, "si") })),
		wiring: wiring && { ...wiring, verdict: wiringVerdictJson(wiring.verdict) },
		notAssessed: notAssessed.map((path) => ({ path, ...NOT_ASSESSED[path] })),
		commissioning,
		sheets,
		inputs: inputsJson(scenario),
	};
};
