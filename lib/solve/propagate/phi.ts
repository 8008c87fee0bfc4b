/** φ1(x) = (1 - e^-x)/x, the mean of e^-t over [0, x]; φ1(0) = 1, so an airtight chamber needs no branch of its own. */
export function phi1(x: number): number {
	return x === 0 ? 1 : -Math.expm1(-x) / x;
}

/** Up to here φ2 is taken from its series. */
export const MAX_SERIES_ARGUMENT = 0.5;

/** φ2(x) = (x - 1 + e^-x)/x²; up to x = 1/2 by its series 1/2! - x/3! + x²/4! …, for there the closed form cancels. */
export function phi2(x: number): number {
	if (x > MAX_SERIES_ARGUMENT) return (1 - phi1(x)) / x;
	const y = x * x;
	const even =
		(((((y * (1 / F14) + 1 / F12) * y + 1 / F10) * y + 1 / F8) * y + 1 / F6) * y + 1 / F4) * y + 1 / 2;
	const odd = ((((y / F13 + 1 / F11) * y + 1 / F9) * y + 1 / F7) * y + 1 / F5) * y + 1 / 6;
	return even - x * odd;
}

// Factorials.
const [F4, F5, F6, F7, F8, F9] = [24, 120, 720, 5040, 40_320, 362_880];
const [F10, F11, F12, F13, F14] = [3_628_800, 39_916_800, 479_001_600, 6_227_020_800, 87_178_291_200];
