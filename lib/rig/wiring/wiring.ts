import { circuitOf } from "./circuit/circuit.ts";
import { solveCircuit } from "./circuit/circuitsolution.ts";
import { feedOf, partsOfKind, stateOf, voltsAcross, type WiringStates } from "./circuit/state.ts";
import type { WiringCode, WiringFault } from "./faults/faults.ts";
import { operatingFaults, remarksOf, type WiringRemark } from "./faults/operation.ts";
import { ratingFaults } from "./faults/ratings.ts";
import { openFaults, shortFaults, structureFaults } from "./faults/structure.ts";
import { readWiring, type Wiring } from "./netlist/netlist.ts";

export interface WiringVerdict {
	/** Codes of all faults, each once; `ok` alone where there is none. */
	readonly codes: readonly ("ok" | WiringCode)[];
	/** What must stop first, then what needs a look. */
	readonly faults: readonly WiringFault[];
	/** What is no fault and yet worth knowing. */
	readonly remarks: readonly WiringRemark[];
	/** Contact at rest and energised; null where the parts and nets make no circuit that could be solved. */
	readonly states: WiringStates | null;
}

/**
 * Checks a wiring of extra-low direct voltage in both states of the timer's contact, and names what is wrong with the reason and
 * the remedy. Wires, fuses, switches and closed contacts have no resistance; fans and timers take their nominal current at
 * their nominal voltage. A short circuit ends the check: what comes behind it is not known.
 *
 * @param wiring parts with their ratings [V], [A], and nets
 * @returns the verdict with its faults, and the currents of both states [A]
 * @throws InputError with every fault of parts that lack a rating; a net that joins the wrong terminals is a verdict
 *
 * Source: circuit laws; ratings in `lib/sources`.
 * @example checkWiring({ parts: {}, nets: {} }).faults.length > 0 // => true
 */
export function checkWiring(wiring: Wiring): WiringVerdict {
	const circuit = circuitOf(readWiring(wiring));
	const structure = structureFaults(circuit);
	if (structure.length > 0) return makeVerdict(structure, [], null);

	const supplyV = circuit.parts.flatMap(({ part }) => (part.kind === "supply" ? [part.v] : []))[0]!;
	const timers = partsOfKind(circuit, "relay_timer", "lowside_timer");
	const noTimers: ReadonlySet<string> = new Set();
	const allTimers: ReadonlySet<string> = new Set(timers);
	const deenergised = solveCircuit(circuit, { energisedTimers: noTimers });
	const allEnergised = solveCircuit(circuit, { energisedTimers: allTimers });
	const outer = [...openFaults(circuit), ...shortFaults(circuit, deenergised, allEnergised)];
	if (deenergised.shortPath !== null || allEnergised.shortPath !== null)
		return makeVerdict(outer, [], {
			deenergised: stateOf(circuit, deenergised, supplyV),
			energised: stateOf(circuit, allEnergised, supplyV),
		});

	// A timer without power stays at rest; one the wrong way round is solved as if it switched, to show what lies behind.
	const energisedTimers = new Set(
		timers.filter((timer) => feedOf(voltsAcross(circuit, deenergised, timer, "V+", "V-"), supplyV) !== "off"),
	);
	const energised =
		energisedTimers.size === timers.length ? allEnergised : solveCircuit(circuit, { energisedTimers });
	const states = {
		deenergised: stateOf(circuit, deenergised, supplyV),
		energised: stateOf(circuit, energised, supplyV),
	};
	return makeVerdict(
		[...outer, ...operatingFaults(circuit, states, supplyV), ...ratingFaults(circuit)],
		remarksOf(circuit, deenergised, states, supplyV),
		states,
	);
}

const makeVerdict = (
	found: readonly WiringFault[],
	remarks: readonly WiringRemark[],
	states: WiringStates | null,
): WiringVerdict => {
	const faults = [
		...found.filter(({ severity }) => severity === "stop"),
		...found.filter(({ severity }) => severity === "attention"),
	];
	const codes = [...new Set(faults.map(({ code }) => code))];
	return { codes: codes.length === 0 ? ["ok"] : codes, faults, remarks, states };
};
