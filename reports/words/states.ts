import type { ComparedSchedule, Comparison } from "../../lib/compare/comparison.ts";
import type { State } from "../charts/section/states.ts";

/** A state in a table or a line of the terminal. */
export const STATE_WORDS: Readonly<Record<State, string>> = {
	holds: "holds",
	doubt: "uncertain",
	fails: "fails",
};

/** Whether all respiration rates are published values that nobody measured in this chamber. */
export const isPublishedRespiration = ({ scenario }: Comparison): boolean =>
	scenario.substrate
		.flatMap((s) => s.rates?.map(({ respirationRate }) => respirationRate) ?? [s.respirationRate])
		.some(({ origin }) => origin.kind === "default");

/** Under the ceiling at the central values and at the high end of respiration, only at the central values, or not even there. */
export function stateOf(comparison: Comparison, { name, summary }: ComparedSchedule): State {
	const { highRespiration } = comparison;
	if (!summary.criterion.isMet) return "fails";
	const holdsHigh = highRespiration === null || highRespiration.compliant.includes(name);
	return holdsHigh && !isPublishedRespiration(comparison) ? "holds" : "doubt";
}
