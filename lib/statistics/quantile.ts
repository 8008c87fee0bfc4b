/**
 * Quantile of sorted values, type 7 of Hyndman and Fan (1996, from memory): linear between order statistics.
 * @param sorted ascending
 * @param p share of the values below it [0..1]
 * @returns NaN when there are no values
 */
export function quantile(sorted: ArrayLike<number>, p: number): number {
	const place = p * (sorted.length - 1);
	const low = Math.floor(place);
	const high = Math.min(low + 1, sorted.length - 1);
	return sorted[low]! + (place - low) * (sorted[high]! - sorted[low]!);
}
