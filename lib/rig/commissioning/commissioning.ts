import type { RigReport } from "../rigtypes.ts";
import { bagSheet, benchSheet, powerCutSheet } from "./benchsheets.ts";
import { acceptanceSheet, riseSheet } from "./cropsheets.ts";
import { burstsSheet, leakSheet, zeroSheet } from "./gassheets.ts";
import { buildSheetFacts, type CommissioningOptions, type CommissioningSheet } from "./sheetfacts.ts";

export type { CommissioningOptions, CommissioningSheet } from "./sheetfacts.ts";

/**
 * Step lists to try the rig out with, from the bench to the proving run: the protocols P1 to P8 with this scenario's own times,
 * waits and expected values. An estimate, no safety device; local codes and the makers' instructions come first.
 * @throws RangeError for a schedule that the scenario does not have
 */
export function commissioning(
	report: RigReport,
	options: CommissioningOptions = {},
): readonly CommissioningSheet[] {
	const facts = buildSheetFacts(report, options);
	return [
		benchSheet(facts),
		bagSheet(facts),
		zeroSheet(facts),
		leakSheet(facts),
		burstsSheet(facts),
		riseSheet(facts),
		acceptanceSheet(facts),
		powerCutSheet(facts),
	];
}
