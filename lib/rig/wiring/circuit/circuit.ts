import { nearest } from "../../../nearest.ts";
import { type PartKind, type PartOf, terminalsOf, type Wiring, type WiringPart } from "../netlist/netlist.ts";

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

export type Circuit = ReturnType<typeof circuitOf>;

/** A wiring with its terminals numbered; where nets disagree about one, the first has it. */
export function circuitOf(wiring: Wiring) {
	let count = 0;
	const parts = Object.entries(wiring.parts).map(([name, part]) => {
		const first = count;
		count += terminalsOf(part.kind).length;
		/** `first` is the number of the part's first terminal. */
		return { name, part, first };
	});
	const all = parts.flatMap(({ name, part }) =>
		terminalsOf(part.kind).map((terminal) => ({ part: name, name: terminal, pin: `${name}.${terminal}` })),
	);
	const numberOf: ReadonlyMap<string, number> = new Map(all.map(({ pin }, number) => [pin, number]));
	const listed = Object.entries(wiring.nets).flatMap(([net, pins]) =>
		[...new Set(pins)].map((pin) => ({ net, pin })),
	);
	const netsOf = new Map<string, string[]>();
	for (const { pin, net } of listed)
		if (numberOf.has(pin)) netsOf.set(pin, [...(netsOf.get(pin) ?? []), net]);
	const nets = new Map(Object.keys(wiring.nets).map((net, node) => [net, { node, pins: 0 }]));
	for (const [net] of netsOf.values()) nets.get(net!)!.pins++;
	let nodes = nets.size;
	const free = [...numberOf.keys()].filter((pin) => !netsOf.has(pin));
	const terminals = all.map((terminal): Terminal => {
		const net = netsOf.get(terminal.pin)?.[0] ?? null;
		return net === null
			? { ...terminal, net, node: nodes++, isAlone: true }
			: { ...terminal, net, node: nets.get(net)!.node, isAlone: nets.get(net)!.pins === 1 };
	});
	return {
		parts,
		terminals,
		numberOf,
		nodes,
		/** What the nets name and no part has, and the nearest terminal that is on no net, or on any. */
		unknown: listed
			.filter(({ pin }) => !numberOf.has(pin))
			.map(({ pin, net }) => {
				const freePin = nearest(pin, free);
				return { pin, net, freePin, nearestPin: freePin ?? nearest(pin, [...numberOf.keys()]) };
			}),
		/** Terminals that more than one net names. */
		twice: [...netsOf].filter(([, nets]) => nets.length > 1).map(([pin, nets]) => ({ pin, nets })),
	};
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
const OUTPUT: Pair = ["V+", "OUT+"];
/** What a timer joins at rest and energised. */
const CONTACTS: Readonly<Record<TimerKind, readonly [rest: readonly Pair[], energised: readonly Pair[]]>> = {
	relay_timer: [[["COM", "NC"]], [["COM", "NO"]]],
	lowside_timer: [[OUTPUT], [OUTPUT, ["V-", "OUT-"]]],
};

export const TIMER_KINDS = ["relay_timer", "lowside_timer"] as const;
type TimerKind = (typeof TIMER_KINDS)[number];

/** Pairs of terminals that a part joins without resistance. */
export const joinedBy = (
	name: string,
	{ kind }: WiringPart,
	{ energisedTimers, isFuseOpen = false }: Switching,
): readonly Pair[] => {
	if (kind === "fuse" || kind === "switch") return kind === "fuse" && isFuseOpen ? [] : ENDS;
	if (kind === "relay_timer" || kind === "lowside_timer")
		return CONTACTS[kind][energisedTimers.has(name) ? 1 : 0];
	return [];
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

/** Parts of some kinds with their names, in the order of the wiring. */
export const partsOfKind = <Kind extends PartKind>(
	{ parts }: Pick<Circuit, "parts">,
	...kinds: readonly Kind[]
): { readonly name: string; readonly part: PartOf<Kind> }[] =>
	parts.flatMap(({ name, part }) =>
		kinds.some((kind) => kind === part.kind) ? [{ name, part: part as PartOf<Kind> }] : [],
	);
export const namesOfKind = (circuit: Circuit, ...kinds: readonly PartKind[]): string[] =>
	partsOfKind(circuit, ...kinds).map(({ name }) => name);

/** Node that a terminal is on. */
export const nodeOf = ({ terminals, numberOf }: Circuit, pin: string): number =>
	terminals[numberOf.get(pin)!]!.node;

/** Terminals of a timer that its contact moves between. */
export const CONTACT_TERMINALS: ReadonlySet<string> = new Set(["COM", "NO", "NC", "OUT-"]);

/** Pairs of terminals, by number, that wire-like parts join in a state. */
export const listLinks = (circuit: Circuit, switching: Switching): readonly (readonly [number, number])[] =>
	circuit.parts.flatMap(({ name, part }) =>
		joinedBy(name, part, switching).map(
			([a, b]) => [circuit.numberOf.get(`${name}.${a}`)!, circuit.numberOf.get(`${name}.${b}`)!] as const,
		),
	);

/** Pairs of nodes that wire-like parts join in a state, with the part. */
export const linkedNodes = (circuit: Circuit, switching: Switching) =>
	listLinks(circuit, switching).map(([a, b]) => {
		const [from, to] = [circuit.terminals[a]!, circuit.terminals[b]!];
		return { part: from.part, nodes: [from.node, to.node] as const };
	});

/** The group of nodes that a terminal is in when wire-like parts, or some of them, join their ends. */
export function groupPins(
	circuit: Circuit,
	switching: Switching,
	isJoining: (part: string) => boolean = () => true,
) {
	const links = linkedNodes(circuit, switching).filter(({ part }) => isJoining(part));
	const find = joinNodes(
		circuit.nodes,
		links.map(({ nodes }) => nodes),
	);
	return (pin: string): number => find(nodeOf(circuit, pin));
}

/** Fans and timers between terminals, by number. */
export const loadsOf = ({
	parts,
	numberOf,
}: Circuit): readonly { from: number; to: number; siemens: number }[] =>
	parts.flatMap(({ name, part }) => {
		const load = loadOf(part);
		if (load === null) return [];
		const at = (terminal: string): number => numberOf.get(`${name}.${terminal}`)!;
		return [{ from: at(load.positive), to: at(load.negative), siemens: load.siemens }];
	});
