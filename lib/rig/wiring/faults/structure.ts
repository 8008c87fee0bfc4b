import { type Circuit, groupPins, namesOfKind } from "../circuit/circuit.ts";
import type { CircuitSolution } from "../circuit/circuitsolution.ts";
import type { Wiring } from "../netlist/netlist.ts";
import { faultOf, type WiringFault } from "./faults.ts";

/** Terminals that the nets name wrongly; a net may be read as if it named the nearest one. */
export const pinFaults = ({ unknown, twice }: Circuit): WiringFault[] => [
	...unknown.map(({ pin, net, nearestPin }) =>
		faultOf("unknown-pin", "stop", [], { pin, nearestPin }, [net]),
	),
	...twice.map(({ pin, nets }) =>
		faultOf("pin-on-two-nets", "stop", [pin.slice(0, pin.lastIndexOf("."))], { pin }, nets),
	),
];

/** The wiring with each unknown terminal read as the nearest one that is on no net, or left out. */
export function withoutUnknownPins({ parts, nets }: Wiring, { unknown, numberOf }: Circuit): Wiring {
	const meant = new Map(unknown.map(({ pin, freePin }) => [pin, freePin]));
	const known = (pin: string): string[] => (numberOf.has(pin) ? [pin] : [meant.get(pin) ?? []].flat());
	return {
		parts,
		nets: Object.fromEntries(Object.entries(nets).map(([net, pins]) => [net, pins.flatMap(known)])),
	};
}

/** One supply it must be: what several do together is not solved. */
export function supplyCountFaults(circuit: Circuit): WiringFault[] {
	const supplies = namesOfKind(circuit, "supply");
	if (supplies.length === 0) return [faultOf("no-supply", "stop", [], {})];
	if (supplies.length === 1) return [];
	const groupOf = groupPins(circuit, { energisedTimers: new Set() });
	const negatives = new Set(supplies.map((name) => groupOf(`${name}.-`)));
	return [faultOf("two-supplies", "stop", supplies, { areNegativesJoined: negatives.size === 1 })];
}

/** Only the two ends of a change-over contact may stay open. */
export const mayStayOpen = (terminal: string): boolean => terminal === "NO" || terminal === "NC";

/** Each part, or net, of some terminals once. */
const partsOn = (terminals: Circuit["terminals"]): string[] => [
	...new Set(terminals.map(({ part }) => part)),
];
const netsOn = (terminals: Circuit["terminals"]): string[] => [
	...new Set(terminals.flatMap(({ net }) => net ?? [])),
];

/** Terminals that nothing is connected to. */
export function openFaults({ terminals }: Circuit): WiringFault[] {
	const open = terminals.filter(({ name, isAlone }) => isAlone && !mayStayOpen(name));
	if (open.length === 0) return [];
	const pins = open.map(({ pin }) => pin);
	return [faultOf("floating", "attention", partsOn(open), { pins }, netsOn(open))];
}

/** A short circuit, from supply + to supply -. */
export function shortFault(
	code: "short-at-rest" | "short-when-on",
	{ terminals }: Circuit,
	{ shortPath }: CircuitSolution,
): WiringFault[] {
	if (shortPath === null) return [];
	const on = shortPath.map((terminal) => terminals[terminal]!);
	const contact = on.findLast(({ name }) => mayStayOpen(name) || name === "OUT-");
	const data = { path: on.map(({ pin }) => pin), contactPin: contact?.pin ?? null };
	return [faultOf(code, "stop", partsOn(on), data, netsOn(on))];
}
