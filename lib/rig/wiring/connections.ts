import {
	type Circuit,
	CONTACT_TERMINALS,
	circuitOf,
	joinNodes,
	linkedNodes,
	nodeOf,
} from "./circuit/circuit.ts";
import { readWiring, type Wiring, type WiringPart } from "./netlist/netlist.ts";

/** What a wire is for: positive of the supply, its negative, behind a contact in either lead, or between two loads. */
export type WireRole = "positive" | "negative" | "switched" | "switched negative" | "between" | "short";

/** One wire, from terminal to terminal. */
export interface Connection {
	readonly from: string;
	readonly to: string;
	readonly net: string;
	readonly role: WireRole;
}

/** Order along which a net is wired: what gives the current before what takes it. */
const RANK: Readonly<Record<WiringPart["kind"], number>> = {
	supply: 0,
	fuse: 1,
	switch: 2,
	relay_timer: 3,
	lowside_timer: 3,
	fan: 4,
	diode: 5,
};

/**
 * The wires of a wiring, in an order in which they can be made: the positive side first, then what the timer switches, then the
 * negative. Along a net each wire goes on from where the last ended.
 *
 * @param wiring parts and nets
 * @returns wires from terminal to terminal
 * @throws InputError for parts that lack a rating
 *
 * Source: this project.
 * @example connectionList({ parts: {}, nets: {} }).length // => 0
 */
export function connectionList(wiring: Wiring): readonly Connection[] {
	const circuit = circuitOf(readWiring(wiring));
	const roleOf = netRoles(circuit);
	const kindOf = new Map(circuit.parts.map(({ name, part }) => [name, part.kind]));
	const rank = (part: string): number => RANK[kindOf.get(part)!];
	const connections = Object.keys(wiring.nets).flatMap((net): Connection[] => {
		const pins = circuit.terminals
			.filter((terminal) => terminal.net === net)
			.toSorted((a, b) => rank(a.part) - rank(b.part));
		const role = roleOf.get(net) ?? "between";
		return pins.slice(1).map((to, place) => ({ from: pins[place]!.pin, to: to.pin, net, role }));
	});
	const order: readonly WireRole[] = [
		"short",
		"positive",
		"switched",
		"between",
		"switched negative",
		"negative",
	];
	return connections.toSorted((a, b) => order.indexOf(a.role) - order.indexOf(b.role));
}

/** What each net is for. Fuses and switches pass the positive on, contacts do not. */
export function netRoles(circuit: Circuit): ReadonlyMap<string, WireRole> {
	const { terminals, nodes, parts } = circuit;
	const relays = new Set(parts.filter(({ part }) => part.kind === "relay_timer").map(({ name }) => name));
	const solid = linkedNodes(circuit, { energisedTimers: new Set() }).filter(({ part }) => !relays.has(part));
	const find = joinNodes(
		nodes,
		solid.map((link) => link.nodes),
	);
	const poles = (end: string): ReadonlySet<number> =>
		new Set(
			parts.flatMap(({ name, part }) =>
				part.kind === "supply" ? [find(nodeOf(circuit, `${name}.${end}`))] : [],
			),
		);
	const [high, low] = [poles("+"), poles("-")];
	const groupAt = (pin: string): number => find(nodeOf(circuit, pin));
	const switched = new Map<number, "switched" | "switched negative">();
	for (const { part, name, node } of terminals) {
		if (!CONTACT_TERMINALS.has(name)) continue;
		const others = name === "COM" ? ["NO", "NC"] : name === "OUT-" ? ["V-"] : ["COM"];
		const groups = others.map((other) => groupAt(`${part}.${other}`));
		const negative = groups.some((group) => low.has(group)) && !groups.some((group) => high.has(group));
		switched.set(find(node), negative ? "switched negative" : "switched");
	}
	return new Map(
		terminals.flatMap(({ net, node }): [string, WireRole][] => {
			if (net === null) return [];
			const group = find(node);
			if (high.has(group)) return [[net, low.has(group) ? "short" : "positive"]];
			return [[net, low.has(group) ? "negative" : (switched.get(group) ?? "between")]];
		}),
	);
}
