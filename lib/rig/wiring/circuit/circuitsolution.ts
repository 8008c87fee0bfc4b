import { type Circuit, joinNodes, listLinks, loadsOf, partsOfKind, type Switching } from "./circuit.ts";
import { potentials } from "./network.ts";

export interface CircuitSolution {
	readonly switching: Switching;
	/** Terminals passed on the shortest way from supply + to supply - when nothing resists there; null otherwise. */
	readonly shortPath: readonly number[] | null;
	/** Potential of each terminal against supply - [V]; null where nothing ties it to the supply, and in a short circuit. */
	readonly volts: readonly (number | null)[];
}

type Links = readonly (readonly [number, number])[];

const groupNodes = ({ terminals, nodes }: Circuit, links: Links) =>
	joinNodes(
		nodes,
		links.map(([a, b]) => [terminals[a]!.node, terminals[b]!.node] as const),
	);

const supplyOf = (circuit: Circuit) => {
	const { name, part } = partsOfKind(circuit, "supply")[0]!;
	const [positive, negative] = ["+", "-"].map((end) => circuit.numberOf.get(`${name}.${end}`)!);
	return { volts: part.v, positive: positive!, negative: negative! };
};

/**
 * Solves a circuit with exactly one supply: closed contacts, fuses and wires have no resistance, fans and timers are
 * resistors of nominal voltage over current, diodes are left out.
 */
export function solveCircuit(circuit: Circuit, switching: Switching): CircuitSolution {
	const { terminals, nodes } = circuit;
	const links = listLinks(circuit, switching);
	const find = groupNodes(circuit, links);
	const supply = supplyOf(circuit);
	const [high, low] = [supply.positive, supply.negative].map((pole) => find(terminals[pole]!.node));
	if (high === low) {
		const shortPath = pathBetween(circuit, links, supply.positive, supply.negative);
		return { switching, shortPath, volts: terminals.map(() => null) };
	}
	const group = potentials(
		nodes,
		loadsOf(circuit).map(({ from, to, siemens }) => ({
			a: find(terminals[from]!.node),
			b: find(terminals[to]!.node),
			siemens,
		})),
		new Map([
			[high!, supply.volts],
			[low!, 0],
		]),
	);
	return { switching, shortPath: null, volts: terminals.map(({ node }) => group[find(node)] ?? null) };
}

/**
 * Current that leaves the part into its net at each terminal of a solved circuit without a short [A]. Fuses, switches and
 * contacts pass on what the nets at their ends do not need; where several lie side by side they share it evenly.
 */
export function solveLeavingAmps(circuit: Circuit, { switching, volts }: CircuitSolution): readonly number[] {
	const { terminals, nodes } = circuit;
	const links = listLinks(circuit, switching);
	const find = groupNodes(circuit, links);
	const groupAt = (terminal: number): number => find(terminals[terminal]!.node);
	const { positive, negative } = supplyOf(circuit);
	const leaving = terminals.map(() => 0);
	for (const { from, to, siemens } of loadsOf(circuit)) {
		const amps = ((volts[from] ?? 0) - (volts[to] ?? 0)) * siemens;
		leaving[from]! -= amps;
		leaving[to]! += amps;
		for (const pole of [positive, negative]) {
			if (groupAt(from) === groupAt(pole)) leaving[pole]! += amps;
			if (groupAt(to) === groupAt(pole)) leaving[pole]! -= amps;
		}
	}
	const entering = new Map<number, number>();
	terminals.forEach(({ node }, terminal) => {
		entering.set(node, (entering.get(node) ?? 0) + leaving[terminal]!);
	});
	const equal = links.map(([a, b]) => ({ a: terminals[a]!.node, b: terminals[b]!.node, siemens: 1 }));
	const roots = new Map(equal.map(({ a }) => [find(a), 0]));
	const potential = potentials(nodes, equal, roots, entering);
	for (const [a, b] of links) {
		const amps = (potential[terminals[a]!.node] ?? 0) - (potential[terminals[b]!.node] ?? 0);
		leaving[a]! -= amps;
		leaving[b]! += amps;
	}
	return leaving;
}

/** Terminals passed on the way with the fewest parts between two terminals, over nets and links. */
function pathBetween(
	{ terminals }: Circuit,
	links: readonly (readonly [number, number])[],
	from: number,
	to: number,
): number[] {
	const nodeAt = (terminal: number): number => terminals[terminal]!.node;
	const ways = new Map<number, (readonly [number, number])[]>();
	for (const [a, b] of links)
		for (const [here, there] of [[a, b] as const, [b, a] as const])
			ways.set(nodeAt(here), [...(ways.get(nodeAt(here)) ?? []), [here, there]]);
	const cameBy = new Map<number, readonly [number, number] | null>([[nodeAt(from), null]]);
	const queue = [nodeAt(from)];
	for (const node of queue)
		for (const way of ways.get(node) ?? []) {
			const next = nodeAt(way[1]);
			if (cameBy.has(next)) continue;
			cameBy.set(next, way);
			queue.push(next);
		}
	const path = [to];
	for (let by = cameBy.get(nodeAt(to)); by; by = cameBy.get(nodeAt(by[0]))) path.unshift(...by);
	return [from, ...path];
}
