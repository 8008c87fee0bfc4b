/**
 * Root of a continuous f between a and b, where it changes sign, to the last bits of the abscissa.
 * Bisection guarded regula falsi (the ITP idea of interpolating, then projecting onto the bisection bracket).
 */
export function findRoot(f: (x: number) => number, a: number, b: number): number {
	let [low, high] = [a, b];
	let [fLow, fHigh] = [f(low), f(high)];
	if (fLow === 0) return low;
	if (fHigh === 0) return high;
	for (let i = 0; i < 200; i++) {
		const width = high - low;
		const middle = low + width / 2;
		if (middle === low || middle === high || Math.abs(width) <= 4e-16 * Math.abs(middle)) break;
		// Every third step bisects, so that a flat end cannot hold the bracket open.
		const secant = low - (fLow * width) / (fHigh - fLow);
		const nudge = width * 1e-3;
		const x =
			i % 3 === 2 || !Number.isFinite(secant)
				? middle
				: Math.min(
						Math.max(secant + (secant < middle ? 1 : -1) * Math.min(nudge, Math.abs(middle - secant)), low),
						high,
					);
		const fx = f(x);
		if (fx === 0) return x;
		if (fx > 0 === fHigh > 0) [high, fHigh] = [x, fx];
		else [low, fLow] = [x, fx];
	}
	return Math.abs(fLow) < Math.abs(fHigh) ? low : high;
}
