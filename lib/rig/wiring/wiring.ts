import { type Circuit, circuitOf, namesOfKind, partsOfKind, TIMER_KINDS } from "./circuit/circuit.ts";
import { solveCircuit } from "./circuit/circuitsolution.ts";
import { feedOf, stateOf, voltsAcross, type WiringStates } from "./circuit/state.ts";
import { faultOf, type WiringCode, type WiringFault } from "./faults/faults.ts";
import { operatingFaults } from "./faults/operation.ts";
import { ratingFaults } from "./faults/ratings.ts";
import { remarksOf, type WiringRemark } from "./faults/remarks.ts";
import {
	openFaults,
	pinFaults,
	shortFault,
	supplyCountFaults,
	withoutUnknownPins,
} from "./faults/structure.ts";
import { readWiring, type Wiring } from "./netlist/netlist.ts";

export interface WiringVerdict {
	/** Codes of all faults, each once; `ok` alone where there is none. */
	readonly codes: readonly ("ok" | WiringCode)[];
	/** What must stop first, then what needs a look. */
	readonly faults: readonly WiringFault[];
	/** What is no fault and yet worth knowing. */
	readonly remarks: readonly WiringRemark[];
	/** Contact at rest and energised; null where the parts and nets make no circuit that could be solved as it stands. */
	readonly states: WiringStates | null;
}

/**
 * Checks a wiring of extra-low direct voltage in both states of the timer's contact, and names what is wrong with the reason and
 * the remedy. Wires, fuses, switches and closed contacts have no resistance; fans and timers take their nominal current at
 * their nominal voltage. A short circuit ends the check: what comes behind it is not known. A terminal that no part has is read as
 * the nearest one that is not connected, so that all other faults are found too.
 *
 * @param wiring parts with their ratings [V], [A], and nets
 * @returns the verdict with its faults, and the currents of both states [A]
 * @throws InputError with every fault of parts that lack a rating; a net that joins the wrong terminals is a verdict
 *
 * Source: circuit laws; ratings in `lib/sources`.
 * @example checkWiring({ parts: {}, nets: {} }).faults.length > 0 // => true
 */
export function checkWiring(wiring: Wiring): WiringVerdict {
	const given = circuitOf(readWiring(wiring));
	const pins = pinFaults(given);
	const circuit = given.unknown.length === 0 ? given : circuitOf(withoutUnknownPins(wiring, given));
	const count = supplyCountFaults(circuit);
	if (count.length > 0 || given.twice.length > 0) return makeVerdict([...pins, ...count]);
	const { faults, ...solved } = judgeCircuit(circuit);
	return makeVerdict([...pins, ...faults], pins.length === 0 ? solved : {});
}

type Judged = Pick<WiringVerdict, "faults" | "states"> & Partial<Pick<WiringVerdict, "remarks">>;

function judgeCircuit(circuit: Circuit): Judged {
	const supplyV = partsOfKind(circuit, "supply")[0]!.part.v;
	const timers = namesOfKind(circuit, ...TIMER_KINDS);
	const solve = (energised: readonly string[]) =>
		solveCircuit(circuit, { energisedTimers: new Set(energised) });
	const deenergised = solve([]);
	const allEnergised = solve(timers);
	// A timer without power stays at rest; one the wrong way round is solved as if it switched, to show what lies behind.
	const isFed = (timer: string): boolean =>
		feedOf(voltsAcross(circuit, deenergised, timer, "V+", "V-"), supplyV) !== "off";
	const isShorted = deenergised.shortPath !== null || allEnergised.shortPath !== null;
	const energised = isShorted || timers.every(isFed) ? allEnergised : solve(timers.filter(isFed));
	const states = {
		deenergised: stateOf(circuit, deenergised, supplyV),
		energised: stateOf(circuit, energised, supplyV),
	};
	const faults = [
		...openFaults(circuit),
		...shortFault("short-at-rest", circuit, deenergised),
		...shortFault("short-when-on", circuit, allEnergised),
		...(namesOfKind(circuit, "fuse").length === 0 ? [faultOf("no-fuse", "stop", [], {})] : []),
	];
	if (isShorted) return { faults, states };
	return {
		faults: [...faults, ...operatingFaults(circuit, states, supplyV), ...ratingFaults(circuit)],
		remarks: remarksOf(circuit, deenergised, states, supplyV),
		states,
	};
}

function makeVerdict(found: readonly WiringFault[], rest: Partial<WiringVerdict> = {}): WiringVerdict {
	const faults = (["stop", "attention"] as const).flatMap((wanted) =>
		found.filter(({ severity }) => severity === wanted),
	);
	const codes = [...new Set(faults.map(({ code }) => code))];
	return { codes: codes.length === 0 ? ["ok"] : codes, faults, remarks: [], states: null, ...rest };
}
