import { normalQuantile } from "./normal.ts";

/** Beyond so many degrees of freedom Student's t differs from the normal by less than 1e-6 of itself at 95 %. */
const MAX_DEGREES_OF_FREEDOM = 2e6;

/** Quantile of Student's t [-]: the regularised incomplete beta function, turned round by bisection. */
export function studentQuantile(probability: number, degreesOfFreedom: number): number {
	if (!(degreesOfFreedom > 0)) return Number.NaN;
	if (degreesOfFreedom > MAX_DEGREES_OF_FREEDOM) return normalQuantile(probability);
	if (probability < 0.5) return -studentQuantile(1 - probability, degreesOfFreedom);
	let low = 0;
	let high = 2;
	while (studentUpper(high, degreesOfFreedom) > 1 - probability) high *= 2;
	for (let turn = 0; turn < 200 && high - low > 1e-14 * high; turn++) {
		const middle = (low + high) / 2;
		if (studentUpper(middle, degreesOfFreedom) > 1 - probability) low = middle;
		else high = middle;
	}
	return (low + high) / 2;
}

/** P(T > t) for t >= 0. */
function studentUpper(t: number, v: number): number {
	return incompleteBeta(v / (v + t * t), v / 2, 0.5) / 2;
}

/** Regularised incomplete beta function I_x(a, b) by its continued fraction (Lentz). */
function incompleteBeta(x: number, a: number, b: number): number {
	if (x <= 0) return 0;
	if (x >= 1) return 1;
	if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
	const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
	let c = 1;
	let d = 1 / (1 - ((a + b) * x) / (a + 1));
	let fraction = d;
	for (let m = 1; m < 500; m++) {
		const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
		d = 1 / (1 + even * d);
		c = 1 + even / c;
		fraction *= c * d;
		const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
		d = 1 / (1 + odd * d);
		c = 1 + odd / c;
		const turn = c * d;
		fraction *= turn;
		if (Math.abs(turn - 1) < 1e-16) break;
	}
	return (front * fraction) / a;
}

/** ln Γ(x) for x > 0: Stirling's series above 15, moved up by the recurrence below. */
function logGamma(x: number): number {
	let shift = 0;
	let z = x;
	for (; z < 15; z++) shift += Math.log(z);
	const y = 1 / (z * z);
	const series = ((((-1 / 1680) * y + 1 / 1260) * y - 1 / 360) * y + 1 / 12) / z;
	return (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + series - shift;
}
