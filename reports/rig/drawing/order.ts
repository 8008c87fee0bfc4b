import { type Circuit, joinedBy, type Terminal } from "../../../lib/rig/wiring/circuit/circuit.ts";
import { netRoles } from "../../../lib/rig/wiring/connections.ts";
import type { WiringPart } from "../../../lib/rig/wiring/netlist/netlist.ts";

export type Side = "left" | "right";

const KIND_ORDER: readonly WiringPart["kind"][] = [
	"supply",
	"fuse",
	"switch",
	"relay_timer",
	"lowside_timer",
	"fan",
	"diode",
];

/** Parts by how many others the current has passed before it reaches them; those it does not reach come last. */
export function columnOrder(circuit: Circuit): string[] {
	const { parts, terminals, numberOf } = circuit;
	const onNode = new Map<number, Terminal[]>();
	for (const terminal of terminals)
		onNode.set(terminal.node, [...(onNode.get(terminal.node) ?? []), terminal]);
	const kindOf = new Map(parts.map(({ name, part }) => [name, part]));
	const reached = new Map<string, number>();
	const supplies = parts.filter(({ part }) => part.kind === "supply");
	for (const { name } of supplies) reached.set(name, 0);
	const queue = supplies.map(({ name }) => ({ node: terminals[numberOf.get(`${name}.+`)!]!.node, steps: 1 }));
	const seen = new Set(queue.map(({ node }) => node));
	for (const { node, steps } of queue)
		for (const { part: name, name: terminal } of onNode.get(node) ?? []) {
			const part = kindOf.get(name)!;
			if (!reached.has(name)) reached.set(name, steps);
			const ways = [
				...joinedBy(name, part, { energisedTimers: new Set() }),
				...joinedBy(name, part, { energisedTimers: new Set([name]) }),
			];
			for (const [a, b] of ways) {
				// Along the minus nothing is fed.
				if (a === "V-" || (a !== terminal && b !== terminal)) continue;
				const next = terminals[numberOf.get(`${name}.${a === terminal ? b : a}`)!]!.node;
				if (seen.has(next)) continue;
				seen.add(next);
				queue.push({ node: next, steps: steps + 1 });
			}
		}
	const rank = (name: string): number => KIND_ORDER.indexOf(kindOf.get(name)!.kind);
	const steps = (name: string): number => reached.get(name) ?? Number.MAX_SAFE_INTEGER;
	return parts.map(({ name }) => name).toSorted((a, b) => steps(a) - steps(b) || rank(a) - rank(b));
}

/** Minus on the right, switched or not; all else on the left. */
export const netSides = (circuit: Circuit): ReadonlyMap<string, Side> =>
	new Map(
		[...netRoles(circuit)].map(([net, role]): [string, Side] => [
			net,
			role.endsWith("negative") ? "right" : "left",
		]),
	);
