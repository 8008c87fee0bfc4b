import type { RigReport } from "../../../lib/rig/check.ts";
import type { CommissioningPlan, SheetOf } from "../../../lib/rig/commissioning/commissioning.ts";
import { bagSheet } from "./bagwords.ts";
import { benchSheet } from "./benchwords.ts";
import { burstsSheet } from "./burstswords.ts";
import { acceptanceSheet, riseSheet } from "./cropwords.ts";
import { leakSheet, zeroSheet } from "./gaswords.ts";
import { powerCutSheet } from "./powercutwords.ts";
import { type CommissioningSheet, type SheetContext, type SheetOptions, sheetContext } from "./sheet.ts";

const WORDS: {
	readonly [Id in CommissioningSheet["id"]]: (
		sheet: SheetOf<Id>,
		context: SheetContext,
	) => CommissioningSheet;
} = {
	P1: benchSheet,
	P2: bagSheet,
	P3: zeroSheet,
	P4: leakSheet,
	P5: burstsSheet,
	P6: riseSheet,
	P7: acceptanceSheet,
	P8: powerCutSheet,
};
type Say = (sheet: CommissioningPlan["sheets"][number], context: SheetContext) => CommissioningSheet;

/** The sheets of a plan in sentences, from the bench to the acceptance run and the power cut. */
export function commissioningSheets(
	plan: CommissioningPlan,
	report: RigReport,
	options: SheetOptions = {},
): readonly CommissioningSheet[] {
	const context = sheetContext(plan, report, options);
	return plan.sheets.map((sheet) => (WORDS[sheet.id] as Say)(sheet, context));
}
