// Arithmetic with 256 binary places on BigInt: slow, simple, and nothing in common with the code it checks.
const PLACES = 256n;
export const ONE = 1n << PLACES;

/** A double as it stands, without rounding. */
export function exactly(x: number): bigint {
	const view = new DataView(new ArrayBuffer(8));
	view.setFloat64(0, x);
	const bits = view.getBigUint64(0);
	const exponent = Number((bits >> 52n) & 0x7ffn);
	const fraction = bits & 0xfffffffffffffn;
	const mantissa = exponent === 0 ? fraction : fraction | 0x10000000000000n;
	const shift = PLACES + BigInt(Math.max(exponent, 1)) - 1075n;
	const size = shift >= 0n ? mantissa << shift : mantissa >> -shift;
	return x < 0 ? -size : size;
}

export const times = (a: bigint, b: bigint): bigint => (a * b) >> PLACES;
export const over = (a: bigint, b: bigint): bigint => (a << PLACES) / b;

/** The nearest double, near enough. */
export function double(a: bigint): number {
	const negative = a < 0n;
	let size = negative ? -a : a;
	let exponent = -Number(PLACES);
	while (size >= 1n << 60n) {
		size >>= 1n;
		exponent++;
	}
	const value = Number(size) * 2 ** exponent;
	return negative ? -value : value;
}

/** e^-x for x >= 0: halve the argument, sum the series, square back. */
export function decay(x: bigint): bigint {
	let halvings = 0;
	let r = x;
	while (r > ONE >> 8n) {
		r >>= 1n;
		halvings++;
	}
	let sum = ONE;
	let term = ONE;
	for (let k = 1n; term !== 0n && k < 200n; k++) {
		term = -times(term, r) / k;
		sum += term;
	}
	for (let i = 0; i < halvings; i++) sum = times(sum, sum);
	return sum;
}
