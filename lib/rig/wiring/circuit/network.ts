/** A conductance between two nodes [S]. */
export interface Conductance {
	readonly a: number;
	readonly b: number;
	readonly siemens: number;
}

const add = (neighbours: Map<number, number>, node: number, siemens: number): void => {
	neighbours.set(node, (neighbours.get(node) ?? 0) + siemens);
};

/**
 * Potentials of a network of conductances [V]; null where no path leads to a node of known potential.
 *
 * Nodes are taken out one by one, fewest neighbours first, and what they conduct is spread over their neighbours (star-mesh
 * transform: g_ij += g_i g_j / Σg); then each gets the weighted mean of its neighbours, v = (J + Σ g_i v_i) / Σg. All terms
 * are positive, so nothing cancels, and rows of parts such as real wirings cost no more than they have parts.
 * @param known potentials that are held [V]
 * @param injectedAmps currents that enter at a node from outside [A]
 */
export function potentials(
	nodes: number,
	conductances: readonly Conductance[],
	known: ReadonlyMap<number, number>,
	injectedAmps: ReadonlyMap<number, number> = new Map(),
): (number | null)[] {
	const neighbours = Array.from({ length: nodes }, () => new Map<number, number>());
	for (const { a, b, siemens } of conductances) {
		if (a === b) continue;
		add(neighbours[a]!, b, siemens);
		add(neighbours[b]!, a, siemens);
	}
	const injected = Array.from({ length: nodes }, (_, node) => injectedAmps.get(node) ?? 0);
	const left = new Set(
		[...neighbours.keys()].filter((node) => !known.has(node) && neighbours[node]!.size > 0),
	);
	const order: number[] = [];
	while (left.size > 0) {
		let next = -1;
		for (const node of left) {
			if (next < 0 || neighbours[node]!.size < neighbours[next]!.size) next = node;
			if (neighbours[next]!.size < 2) break;
		}
		left.delete(next);
		order.push(next);
		const star = [...neighbours[next]!];
		const sum = star.reduce((total, [, siemens]) => total + siemens, 0);
		for (const [i, gi] of star) {
			neighbours[i]!.delete(next);
			injected[i]! += (injected[next]! * gi) / sum;
			for (const [j, gj] of star) if (i !== j) add(neighbours[i]!, j, (gi * gj) / sum);
		}
	}
	const volts = Array.from({ length: nodes }, (_, node) => known.get(node) ?? null);
	for (const node of order.reverse()) {
		const star = [...neighbours[node]!];
		const sum = star.reduce((total, [, siemens]) => total + siemens, 0);
		if (star.length > 0 && star.every(([i]) => volts[i] !== null))
			volts[node] = star.reduce((total, [i, gi]) => total + gi * volts[i]!, injected[node]!) / sum;
	}
	return volts;
}
