import type { CommissioningPlan } from "../lib/rig/commissioning/sheets.ts";
import type { RigFinding } from "../lib/rig/findings.ts";
import type { NotAssessedPath, RigReport, RigWiring } from "../lib/rig/rigtypes.ts";
import type { WiringFault } from "../lib/rig/wiring/faults/faults.ts";
import type { WiringRemark } from "../lib/rig/wiring/faults/operation.ts";
import type { WiringVerdict } from "../lib/rig/wiring/wiring.ts";
import { listInputs } from "../lib/scenario/inputs.ts";
import { type FaultWords, faultWords } from "../reports/rig/faultwords.ts";
import type { FindingWords } from "../reports/rig/findingnames.ts";
import { findingWords } from "../reports/rig/findingwords.ts";
import { NOT_ASSESSED, type NotAssessedWords } from "../reports/rig/notassessedwords.ts";
import type { CommissioningSheet } from "../reports/rig/sheets/sheet.ts";
import { remarkWords } from "../reports/rig/wiringwords.ts";
import { type InputJson, inputOf } from "./json.ts";

/** What `rig --json` prints: all of `RigReport` but the scenario, of which it names the inputs; codes and numbers with their sentences. */
export type RigJson = {
	readonly format: "lullgust/rig@2";
	readonly scenario: { readonly name: string; readonly file: string };
	readonly findings: readonly (RigFinding & FindingWords)[];
	readonly wiring: (Omit<RigWiring, "verdict"> & { readonly verdict: WiringVerdictJson }) | null;
	readonly notAssessed: readonly ({ readonly path: NotAssessedPath } & NotAssessedWords)[];
	/** The sheets in numbers, and in sentences. */
	readonly commissioning: CommissioningPlan;
	readonly sheets: readonly CommissioningSheet[];
	readonly inputs: readonly InputJson[];
} & Omit<RigReport, "scenario" | "findings" | "wiring" | "notAssessed">;

type WiringVerdictJson = Omit<WiringVerdict, "faults" | "remarks"> & {
	readonly faults: readonly (WiringFault & FaultWords)[];
	readonly remarks: readonly (WiringRemark & { readonly message: string })[];
};

const wiringVerdictOf = ({ faults, remarks, ...verdict }: WiringVerdict): WiringVerdictJson => ({
	...verdict,
	faults: faults.map((fault) => ({ ...fault, ...faultWords(fault) })),
	remarks: remarks.map((remark) => ({ ...remark, message: remarkWords(remark) })),
});

/** The answer of `rig` for another program. */
export const rigJson = (
	report: RigReport,
	commissioning: CommissioningPlan,
	sheets: readonly CommissioningSheet[],
): RigJson => {
	const { scenario, findings, wiring, notAssessed, ...rest } = report;
	return {
		format: "lullgust/rig@2",
		scenario: { name: scenario.name, file: scenario.fileName },
		...rest,
		findings: findings.map((found) => ({ ...found, ...findingWords(found, report, "si") })),
		wiring: wiring === null ? null : { ...wiring, verdict: wiringVerdictOf(wiring.verdict) },
		notAssessed: notAssessed.map((path) => ({ path, ...NOT_ASSESSED[path] })),
		commissioning,
		sheets,
		inputs: listInputs(scenario).map(inputOf),
	};
};
