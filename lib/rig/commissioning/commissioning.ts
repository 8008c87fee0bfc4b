import type { RigReport } from "../check.ts";
import { planBagSheet, planBenchSheet, planPowerCutSheet } from "./benchsheets.ts";
import { planBurstsSheet } from "./burstplan.ts";
import { planAcceptanceSheet, planRiseSheet } from "./cropsheets.ts";
import { planLeakSheet, planZeroSheet } from "./gassheets.ts";
import { buildSheetFacts, type CommissioningOptions } from "./sheetfacts.ts";

export type { CommissioningOptions } from "./sheetfacts.ts";

/** What the sheets of a rig have in common, and the sheets in the order of the work, in numbers; the sentences are made where they are read. */
export type CommissioningPlan = ReturnType<typeof commissioning>;
/** The numbers of one sheet. */
export type SheetOf<Id extends CommissioningPlan["sheets"][number]["id"]> = Extract<
	CommissioningPlan["sheets"][number],
	{ readonly id: Id }
>;

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
export function commissioning(report: RigReport, options: CommissioningOptions = {}) {
	const facts = buildSheetFacts(report, options);
	const { comparedSchedule, cycle, sensor, dosing } = facts;
	return {
		/** Name of the schedule that is to run; null where the file has none. */
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
		] as const,
	};
}
