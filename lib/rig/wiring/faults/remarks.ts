import { type Circuit, groupPins, namesOfKind } from "../circuit/circuit.ts";
import type { CircuitSolution } from "../circuit/circuitsolution.ts";
import { feedOf, voltsAt, type WiringStates } from "../circuit/state.ts";

/** What is no fault and yet worth knowing. */
export interface WiringRemark {
	readonly code:
		| "positive stays on the fan"
		| "switch taken as closed"
		| "flyback diode"
		| "no flyback diode";
	readonly parts: readonly string[];
}

/**
 * Fans whose plus keeps the supply's voltage while they are off; those with and without a way for the current of the motor when
 * the contact opens; a switch that the check takes as closed.
 */
export function remarksOf(
	circuit: Circuit,
	deenergised: CircuitSolution,
	states: WiringStates,
	supplyV: number,
): WiringRemark[] {
	const fans = namesOfKind(circuit, "fan");
	const live = fans.filter(
		(fan) =>
			feedOf(states.deenergised.partVolts[fan]!, supplyV) === "off" &&
			(voltsAt(circuit, deenergised, `${fan}.+`) ?? 0) > supplyV / 2,
	);
	// Only what stays joined when the contact opens counts: fuses and switches, not contacts.
	const solid = namesOfKind(circuit, "fuse", "switch");
	const groupOf = groupPins(circuit, { energisedTimers: new Set() }, (part) => solid.includes(part));
	const diodes = namesOfKind(circuit, "diode");
	const hasDiode = (fan: string): boolean =>
		diodes.some(
			(diode) =>
				groupOf(`${diode}.K`) === groupOf(`${fan}.+`) && groupOf(`${diode}.A`) === groupOf(`${fan}.-`),
		);
	const switched = fans.filter((fan) => !states.deenergised.running.includes(fan));
	const remarks: WiringRemark[] = [
		{ code: "positive stays on the fan", parts: live },
		{ code: "flyback diode", parts: switched.filter(hasDiode) },
		{ code: "no flyback diode", parts: switched.filter((fan) => !hasDiode(fan)) },
		{ code: "switch taken as closed", parts: namesOfKind(circuit, "switch") },
	];
	return remarks.filter(({ parts }) => parts.length > 0);
}
