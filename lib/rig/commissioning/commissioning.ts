import type { RigReport } from "../rigtypes.ts";
import { planBagSheet, planBenchSheet, planPowerCutSheet } from "./benchsheets.ts";
import { planAcceptanceSheet, planRiseSheet } from "./cropsheets.ts";
import { planBurstsSheet, planLeakSheet, planZeroSheet } from "./gassheets.ts";
import { buildSheetFacts, type CommissioningOptions } from "./sheetfacts.ts";
import type { CommissioningPlan } from "./sheets.ts";

export type { CommissioningOptions } from "./sheetfacts.ts";
export type { CommissioningPlan } from "./sheets.ts";

/**
 * Step lists to try the rig out with, from the bench to the acceptance run: the protocols P1 to P8 with this scenario's own times,
 * waits and expected values. An estimate, no safety device; local codes and the makers' instructions come first.
 *
 * @param report as `checkRig` gives it
 * @param options the schedule to commission
 * @returns the sheets, each with steps, cautions and expected values in SI
 * @throws RangeError for a schedule that the scenario does not have
 *
 * Source: this project; common practice, no source.
 * @example commissioning(checkRig(parseScenario(starterScenario()))).schedule // => "by day and night"
 */
export function commissioning(report: RigReport, options: CommissioningOptions = {}): CommissioningPlan {
	const facts = buildSheetFacts(report, options);
	const { comparedSchedule, cycle, sensor, dosing } = facts;
	return {
		schedule: comparedSchedule?.name ?? null,
		cycle,
		sensor,
		dosing,
		sheets: [
			planBenchSheet(facts),
			planBagSheet(facts),
			planZeroSheet(facts),
			planLeakSheet(facts),
			planBurstsSheet(facts),
			planRiseSheet(facts),
			planAcceptanceSheet(facts),
			planPowerCutSheet(facts),
		],
	};
}
