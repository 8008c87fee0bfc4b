import { type Circuit, CONTACT_TERMINALS, circuitOf, groupPins, namesOfKind } from "./circuit/circuit.ts";
import { type PartKind, readWiring, type Wiring } from "./netlist/netlist.ts";

/** In the order in which they can be made. */
const ROLES = ["short", "positive", "switched", "between", "switched negative", "negative"] as const;
/** What a wire is for: positive of the supply, its negative, behind a contact in either lead, or between two loads. */
export type WireRole = (typeof ROLES)[number];

/** One wire, from terminal to terminal. */
export interface Connection {
	readonly from: string;
	readonly to: string;
	readonly net: string;
	readonly role: WireRole;
}

/** Order along which a net is wired: what gives the current before what takes it. */
const RANK: Readonly<Record<PartKind, number>> = {
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
	const connections = Object.keys(wiring.nets).flatMap((net): Connection[] => {
		const pins = circuit.terminals
			.filter((terminal) => terminal.net === net)
			.toSorted((a, b) => RANK[wiring.parts[a.part]!.kind] - RANK[wiring.parts[b.part]!.kind]);
		const role = roleOf.get(net) ?? "between";
		return pins.slice(1).map((to, place) => ({ from: pins[place]!.pin, to: to.pin, net, role }));
	});
	return connections.toSorted((a, b) => ROLES.indexOf(a.role) - ROLES.indexOf(b.role));
}

/** What each net is for. Fuses and switches pass the positive on, contacts do not. */
export function netRoles(circuit: Circuit): ReadonlyMap<string, WireRole> {
	const relays = namesOfKind(circuit, "relay_timer");
	const groupOf = groupPins(circuit, { energisedTimers: new Set() }, (part) => !relays.includes(part));
	const poles = (end: string) =>
		new Set(namesOfKind(circuit, "supply").map((name) => groupOf(`${name}.${end}`)));
	const [high, low] = [poles("+"), poles("-")];
	const switched = new Map<number, WireRole>();
	for (const { part, name, pin } of circuit.terminals) {
		if (!CONTACT_TERMINALS.has(name)) continue;
		const others = name === "COM" ? ["NO", "NC"] : name === "OUT-" ? ["V-"] : ["COM"];
		const groups = others.map((other) => groupOf(`${part}.${other}`));
		const negative = groups.some((group) => low.has(group)) && !groups.some((group) => high.has(group));
		switched.set(groupOf(pin), negative ? "switched negative" : "switched");
	}
	const roleOf = (group: number): WireRole => {
		if (high.has(group)) return low.has(group) ? "short" : "positive";
		return low.has(group) ? "negative" : (switched.get(group) ?? "between");
	};
	return new Map(
		circuit.terminals.flatMap(({ net, pin }) => (net === null ? [] : [[net, roleOf(groupOf(pin))] as const])),
	);
}
