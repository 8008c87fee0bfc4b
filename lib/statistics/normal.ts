/** Standard normal quantile, by Acklam's rational approximation (from memory); relative error below 1.2e-9, which a test checks. */
export function normalQuantile(p: number): number {
	const tail = (q: number) =>
		(((((-7.784894002430293e-3 * q - 0.3223964580411365) * q - 2.400758277161838) * q - 2.549732539343734) *
			q +
			4.374664141464968) *
			q +
			2.938163982698783) /
		((((7.784695709041462e-3 * q + 0.3224671290700398) * q + 2.445134137142996) * q + 3.754408661907416) * q +
			1);
	if (p > 0.97575) return -tail(Math.sqrt(-2 * Math.log(1 - p)));
	if (p < 0.02425) return tail(Math.sqrt(-2 * Math.log(p)));
	const q = p - 0.5;
	const r = q * q;
	return (
		((((((-39.69683028665376 * r + 220.9460984245205) * r - 275.9285104469687) * r + 138.357751867269) * r -
			30.66479806614716) *
			r +
			2.506628277459239) *
			q) /
		(((((-54.47609879822406 * r + 161.5858368580409) * r - 155.6989798598866) * r + 66.80131188771972) * r -
			13.28068155288572) *
			r +
			1)
	);
}

/** Standard normal distribution function: φ(z) (z + z³/3 + z⁵/(3 · 5) + …) above one half (Marsaglia 2004, from memory). */
export function normalCdf(z: number): number {
	if (Math.abs(z) > 8.5) return z > 0 ? 1 : 0;
	let [sum, term] = [z, z];
	for (let k = 3; Math.abs(term) > 1e-17 * Math.abs(sum); k += 2) {
		term *= (z * z) / k;
		sum += term;
	}
	return 0.5 + sum * Math.exp(-0.5 * z * z) * 0.3989422804014327;
}
