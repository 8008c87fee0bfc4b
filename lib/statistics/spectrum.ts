/** Squared amplitudes of the waves in evenly spaced values, padded with zeros to a power of two; entry k has k turns over the padded length. */
export function powerSpectrum(values: ArrayLike<number>): Float64Array {
	let size = 1;
	while (size < 2 * values.length) size *= 2;
	const [re, im] = [new Float64Array(size), new Float64Array(size)];
	re.set(values);
	transform(re, im);
	return Float64Array.from({ length: size / 2 }, (_, k) => re[k]! ** 2 + im[k]! ** 2);
}

/** Discrete Fourier transform in place by halves (Cooley and Tukey 1965, from memory); the length is a power of two. */
function transform(re: Float64Array, im: Float64Array): void {
	const size = re.length;
	for (let i = 1, j = 0; i < size; i++) {
		let bit = size >> 1;
		for (; j & bit; bit >>= 1) j ^= bit;
		j ^= bit;
		if (i >= j) continue;
		[re[i], re[j]] = [re[j]!, re[i]!];
		[im[i], im[j]] = [im[j]!, im[i]!];
	}
	for (let half = 1; half < size; half *= 2)
		for (let k = 0; k < half; k++) {
			const [c, s] = [Math.cos((Math.PI * k) / half), -Math.sin((Math.PI * k) / half)];
			for (let i = k; i < size; i += 2 * half) {
				const j = i + half;
				const [a, b] = [c * re[j]! - s * im[j]!, c * im[j]! + s * re[j]!];
				[re[j], im[j]] = [re[i]! - a, im[i]! - b];
				[re[i], im[i]] = [re[i]! + a, im[i]! + b];
			}
		}
}
