import { TERMINALS, type Wiring, type WiringPart } from "../netlist/netlist.ts";

/** A terminal of a part. */
export interface Terminal {
	readonly part: string;
	readonly name: string;
	/** `FAN.+` */
	readonly pin: string;
	/** Net that it is on, by name; null when it is on none. */
	readonly net: string | null;
	/** Number of that net, or of a node of its own. */
	readonly node: number;
	/** Nothing else is on its net. */
	readonly isAlone: boolean;
}

/** A wiring with its terminals numbered. */
export interface Circuit {
	/** `first` is the number of the part's first terminal. */
	readonly parts: readonly { readonly name: string; readonly part: WiringPart; readonly first: number }[];
	readonly terminals: readonly Terminal[];
	readonly numberOf: ReadonlyMap<string, number>;
	readonly nodes: number;
	/** What the nets name and no part has. */
	readonly unknown: readonly { readonly pin: string; readonly net: string }[];
	/** Terminals that more than one net names. */
	readonly twice: readonly { readonly pin: string; readonly nets: readonly string[] }[];
}

/** Numbers the terminals of a wiring; where nets disagree about one, the first has it. */
export function circuitOf(wiring: Wiring): Circuit {
	let first = 0;
	const parts = Object.entries(wiring.parts).map(([name, part]) => {
		const numbered = { name, part, first };
		first += TERMINALS[part.kind].length;
		return numbered;
	});
	const all = parts.flatMap(({ name, part }) =>
		TERMINALS[part.kind].map((terminal) => ({ part: name, name: terminal, pin: `${name}.${terminal}` })),
	);
	const numberOf = new Map(all.map(({ pin }, number) => [pin, number]));
	const unknown: { pin: string; net: string }[] = [];
	const netsOf = new Map<string, string[]>();
	for (const [net, pins] of Object.entries(wiring.nets))
		for (const pin of new Set(pins))
			if (numberOf.has(pin)) netsOf.set(pin, [...(netsOf.get(pin) ?? []), net]);
			else unknown.push({ pin, net });
	const names = Object.keys(wiring.nets);
	const nodeOf = new Map(names.map((net, node) => [net, node]));
	const count = new Map<string, number>();
	for (const [net] of netsOf.values()) count.set(net!, (count.get(net!) ?? 0) + 1);
	let nodes = names.length;
	const terminals = all.map(({ part, name, pin }): Terminal => {
		const net = netsOf.get(pin)?.[0] ?? null;
		return net === null
			? { part, name, pin, net, node: nodes++, isAlone: true }
			: { part, name, pin, net, node: nodeOf.get(net)!, isAlone: count.get(net) === 1 };
	});
	const twice = [...netsOf].filter(([, nets]) => nets.length > 1).map(([pin, nets]) => ({ pin, nets }));
	return { parts, terminals, numberOf, nodes, unknown, twice };
}

/** What is switched how. */
export interface Switching {
	/** Timers whose contact is energised. */
	readonly energisedTimers: ReadonlySet<string>;
	/** Default: false. */
	readonly isFuseOpen?: boolean;
}

type Pair = readonly [string, string];
const ENDS: readonly Pair[] = [["1", "2"]];
const DEENERGISED: readonly Pair[] = [["COM", "NC"]];
const ENERGISED: readonly Pair[] = [["COM", "NO"]];
const OUTPUT: readonly Pair[] = [["V+", "OUT+"]];
const BOTH_OUTPUTS: readonly Pair[] = [...OUTPUT, ["V-", "OUT-"]];

/** Pairs of terminals that a part joins without resistance. */
export const joinedBy = (
	name: string,
	part: WiringPart,
	{ energisedTimers, isFuseOpen }: Switching,
): readonly Pair[] => {
	switch (part.kind) {
		case "fuse":
			return isFuseOpen ? [] : ENDS;
		case "switch":
			return ENDS;
		case "relay_timer":
			return energisedTimers.has(name) ? ENERGISED : DEENERGISED;
		case "lowside_timer":
			return energisedTimers.has(name) ? BOTH_OUTPUTS : OUTPUT;
		default:
			return [];
	}
};

/** The pair of terminals between which a part takes current, and the current per volt [S]. */
export const loadOf = (part: WiringPart): { positive: string; negative: string; siemens: number } | null => {
	if (part.kind === "fan") return { positive: "+", negative: "-", siemens: part.a / part.v };
	if (part.kind === "relay_timer" || part.kind === "lowside_timer")
		return { positive: "V+", negative: "V-", siemens: part.a / part.v };
	return null;
};

/** Joins nodes to groups; `find` gives the group's first member. */
export const joinNodes = (nodes: number, pairs: readonly (readonly [number, number])[]) => {
	const parent = new Int32Array(nodes);
	for (let node = 0; node < nodes; node++) parent[node] = node;
	const find = (node: number): number => {
		let root = node;
		while (parent[root] !== root) {
			parent[root] = parent[parent[root]!]!;
			root = parent[root]!;
		}
		return root;
	};
	for (const [a, b] of pairs) parent[find(a)] = find(b);
	return find;
};

/** Node that a terminal is on. */
export const nodeOf = ({ terminals, numberOf }: Circuit, pin: string): number =>
	terminals[numberOf.get(pin)!]!.node;

/** Terminals of a timer that its contact moves between. */
export const CONTACT_TERMINALS: ReadonlySet<string> = new Set(["COM", "NO", "NC", "OUT-"]);

/** Pairs of nodes that wire-like parts join in a state, with the part. */
export const linkedNodes = (circuit: Circuit, switching: Switching) =>
	listLinks(circuit, switching).map(([a, b]) => {
		const [from, to] = [circuit.terminals[a]!, circuit.terminals[b]!];
		return { part: from.part, nodes: [from.node, to.node] as const };
	});

/** Pairs of terminals, by number, that wire-like parts join in a state. */
export function listLinks(circuit: Circuit, switching: Switching): readonly (readonly [number, number])[] {
	const links: [number, number][] = [];
	for (const { name, part, first } of circuit.parts) {
		const own: readonly string[] = TERMINALS[part.kind];
		for (const [a, b] of joinedBy(name, part, switching))
			links.push([first + own.indexOf(a), first + own.indexOf(b)]);
	}
	return links;
}

/** Fans and timers between terminals, by number. */
export const loadsOf = (circuit: Circuit): readonly { from: number; to: number; siemens: number }[] =>
	circuit.parts.flatMap(({ part, first }) => {
		const load = loadOf(part);
		if (load === null) return [];
		const own: readonly string[] = TERMINALS[part.kind];
		return [
			{
				from: first + own.indexOf(load.positive),
				to: first + own.indexOf(load.negative),
				siemens: load.siemens,
			},
		];
	});
