/** Rank of each value, 0 the lowest; equal ones in their order. */
export function computeRanks(values: Float64Array): Float64Array {
	const order = Array.from(values.keys()).sort((a, b) => values[a]! - values[b]!);
	const rank = new Float64Array(values.length);
	for (const [place, k] of order.entries()) rank[k] = place;
	return rank;
}
