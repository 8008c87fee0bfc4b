import type { CommissioningPlan } from "../../../lib/rig/commissioning/sheets.ts";
import type { RigReport } from "../../../lib/rig/rigtypes.ts";
import { bagSheet } from "./bagwords.ts";
import { benchSheet } from "./benchwords.ts";
import { burstsSheet } from "./burstswords.ts";
import { acceptanceSheet, riseSheet } from "./cropwords.ts";
import { leakSheet, zeroSheet } from "./gaswords.ts";
import { powerCutSheet } from "./powercutwords.ts";
import { type CommissioningSheet, type SheetOptions, sheetContext } from "./sheet.ts";

/** The sheets of a plan in sentences, from the bench to the acceptance run and the power cut. */
export function commissioningSheets(
	plan: CommissioningPlan,
	report: RigReport,
	options: SheetOptions = {},
): readonly CommissioningSheet[] {
	const context = sheetContext(plan, report, options);
	const [bench, bag, zero, leak, bursts, rise, acceptance, powerCut] = plan.sheets;
	return [
		benchSheet(bench, context),
		bagSheet(bag, context),
		zeroSheet(zero, context),
		leakSheet(leak, context),
		burstsSheet(bursts, context),
		riseSheet(rise, context),
		acceptanceSheet(acceptance, context),
		powerCutSheet(powerCut, context),
	];
}
