import { nearest } from "../../../nearest.ts";
import type { Circuit } from "../circuit/circuit.ts";
import type { CircuitSolution } from "../circuit/circuitsolution.ts";
import { partsOfKind } from "../circuit/state.ts";
import type { WiringFault } from "./faults.ts";

/** What keeps a netlist from being a circuit that can be solved. */
export function structureFaults(circuit: Circuit): WiringFault[] {
	const { unknown, twice, numberOf } = circuit;
	const supplies = partsOfKind(circuit, "supply");
	const known = [...numberOf.keys()];
	const faults: WiringFault[] = [
		...unknown.map(
			({ pin, net }): WiringFault => ({
				code: "unknown-pin",
				severity: "stop",
				parts: [],
				nets: [net],
				pin,
				nearestPin: nearest(pin, known),
			}),
		),
		...twice.map(
			({ pin, nets }): WiringFault => ({
				code: "pin-on-two-nets",
				severity: "stop",
				parts: [partOf(pin)],
				nets,
				pin,
			}),
		),
	];
	if (supplies.length === 0) faults.push({ code: "no-supply", severity: "stop", parts: [], nets: [] });
	if (supplies.length > 1) faults.push({ code: "two-supplies", severity: "stop", parts: supplies, nets: [] });
	return faults;
}

const partOf = (pin: string): string => pin.slice(0, pin.lastIndexOf("."));

/** Only the two ends of a change-over contact may stay open. */
export const mayStayOpen = (terminal: string): boolean => terminal === "NO" || terminal === "NC";

/** Terminals that nothing is connected to. */
export function openFaults({ terminals }: Circuit): WiringFault[] {
	const open = terminals.filter(({ name, isAlone }) => isAlone && !mayStayOpen(name));
	if (open.length === 0) return [];
	return [
		{
			code: "floating",
			severity: "attention",
			parts: [...new Set(open.map(({ part }) => part))],
			nets: [...new Set(open.flatMap(({ net }) => (net === null ? [] : [net])))],
			pins: open.map(({ pin }) => pin),
		},
	];
}

/** Short circuits in either state, and whether a fuse is there at all to end one. */
export function shortFaults(
	circuit: Circuit,
	deenergised: CircuitSolution,
	energised: CircuitSolution,
): WiringFault[] {
	const faults: WiringFault[] = [];
	for (const [code, { shortPath }] of [
		["short-at-rest", deenergised],
		["short-when-on", energised],
	] as const) {
		if (shortPath === null) continue;
		const path = shortPath.map((terminal) => circuit.terminals[terminal]!);
		const contact = path.findLast(({ name }) => mayStayOpen(name) || name === "OUT-");
		faults.push({
			code,
			severity: "stop",
			parts: [...new Set(path.map(({ part }) => part))],
			nets: [...new Set(path.flatMap(({ net }) => (net === null ? [] : [net])))],
			path: path.map(({ pin }) => pin),
			contactPin: contact?.pin ?? null,
		});
	}
	if (partsOfKind(circuit, "fuse").length === 0)
		faults.push({ code: "no-fuse", severity: "stop", parts: [], nets: [] });
	return faults;
}
