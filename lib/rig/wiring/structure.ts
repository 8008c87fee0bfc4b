import { nearest } from "../../scenario/text/nearest.ts";
import type { Circuit } from "./circuit.ts";
import type { CircuitSolution } from "./circuitsolution.ts";
import { typeset } from "./drawing/partnames.ts";
import type { WiringFinding } from "./faults.ts";
import { partsOfKind } from "./state.ts";

/** What keeps a netlist from being a circuit that can be solved. */
export function structureFindings(circuit: Circuit): WiringFinding[] {
	const { unknown, twice, numberOf } = circuit;
	const supplies = partsOfKind(circuit, "supply");
	const findings: WiringFinding[] = unknown.map(({ pin, net }) => {
		const near = nearest(pin, [...numberOf.keys()]);
		const hint = near === null ? "" : `Did you mean “${near}”?`;
		return { code: "unknown-pin", parts: [], nets: [net], what: `“${pin}”`, hint };
	});
	for (const { pin, nets } of twice)
		findings.push({ code: "pin-on-two-nets", parts: [partOf(pin)], nets, what: `“${pin}”` });
	if (supplies.length === 0) findings.push({ code: "no-supply", parts: [], nets: [] });
	if (supplies.length > 1) findings.push({ code: "two-supplies", parts: supplies, nets: [] });
	return findings;
}

const partOf = (pin: string): string => pin.slice(0, pin.lastIndexOf("."));

/** Terminals that nothing is connected to; only the two ends of a change-over contact may stay open. */
export const mayStayOpen = (terminal: string): boolean => terminal === "NO" || terminal === "NC";

export function openFindings({ terminals }: Circuit): WiringFinding[] {
	const open = terminals.filter(({ name, isAlone }) => isAlone && !mayStayOpen(name));
	if (open.length === 0) return [];
	return [
		{
			code: "floating",
			parts: [...new Set(open.map(({ part }) => part))],
			nets: [...new Set(open.flatMap(({ net }) => (net === null ? [] : [net])))],
			what: open.map(({ pin }) => typeset(pin)).join(", "),
		},
	];
}

/** Short circuits in either state, and whether a fuse is there at all to end one. */
export function shortFindings(
	circuit: Circuit,
	deenergised: CircuitSolution,
	energised: CircuitSolution,
): WiringFinding[] {
	const findings: WiringFinding[] = [];
	for (const [code, { shortPath }] of [
		["short-at-rest", deenergised],
		["short-when-on", energised],
	] as const) {
		if (shortPath === null) continue;
		const path = shortPath.map((terminal) => circuit.terminals[terminal]!);
		const contact = path.findLast(({ name }) => mayStayOpen(name) || name === "OUT-");
		findings.push({
			code,
			parts: [...new Set(path.map(({ part }) => part))],
			nets: [...new Set(path.flatMap(({ net }) => (net === null ? [] : [net])))],
			what: path.map(({ pin }) => typeset(pin)).join(" → "),
			hint: contact === undefined ? "" : ` Look first at the wire on ${typeset(contact.pin)}.`,
		});
	}
	if (partsOfKind(circuit, "fuse").length === 0) findings.push({ code: "no-fuse", parts: [], nets: [] });
	return findings;
}
