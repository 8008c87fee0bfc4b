/**
 * Power whose last digit is that of any JavaScript engine: the one of `**` is not, beyond squares.
 * A whole exponent is multiplied out; another is taken by logarithm, for a base above 0.
 */
export function power(base: number, exponent: number): number {
	if (!Number.isInteger(exponent) || Math.abs(exponent) > 1024) return Math.exp(exponent * Math.log(base));
	let product = 1;
	let square = base;
	for (let left = Math.abs(exponent); left > 0; left = Math.floor(left / 2)) {
		if (left % 2 === 1) product *= square;
		square *= square;
	}
	return exponent < 0 ? 1 / product : product;
}

/** The power of ten next to its exact value. */
export const powerOfTen = (exponent: number): number => Number(`1e${exponent}`);
