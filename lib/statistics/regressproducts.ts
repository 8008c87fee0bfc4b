/** A column of which the ones before it leave no more than so small a share is none of its own. */
const MIN_OWN_SHARE = 1e-9;

/**
 * Regresses y on the columns of X one after the other, given the cross products of [X | y] by rows, which are used up.
 * @returns what is left of yᵀy after the first `first` columns and after all, and the value of each column (0 for one that is none of its own)
 */
export function regressProducts(
	products: Float64Array,
	columns: number,
	first: number,
): { readonly before: number; readonly after: number; readonly values: Float64Array } {
	const y = columns - 1;
	const own = Float64Array.from({ length: y }, (_, k) => products[k * columns + k]!);
	const left = () => products[y * columns + y]!;
	let before = left();
	const used = own.map((length, k) => {
		if (k === first) before = left();
		const pivot = products[k * columns + k]!;
		if (!(pivot > MIN_OWN_SHARE * length)) return 0;
		for (let i = 0; i < columns; i++) {
			const factor = i === k ? 0 : products[i * columns + k]! / pivot;
			if (factor !== 0)
				for (let j = 0; j < columns; j++) products[i * columns + j]! -= factor * products[k * columns + j]!;
		}
		return 1;
	});
	return {
		before: first < y ? before : left(),
		after: left(),
		values: used.map((isUsed, k) =>
			isUsed === 1 ? products[k * columns + y]! / products[k * columns + k]! : 0,
		),
	};
}
