import { phi1 } from "../../solve/propagate/phi.ts";

/**
 * How one zone and its sensor answer over a stretch of constant air change:
 *
 *     x' = g - λ x,   r' = κ (x - r)      x: CO2 above the supply air, r: what the sensor shows of it
 *     x(t) = x0 decay + g fill            r(t) = r0 fade + x0 carry + g creep
 *
 * together with the derivatives over λ and κ. Without a sensor (κ infinite) r is x.
 */
export interface LagResponse {
	/** e^-λt and (1 - e^-λt)/λ [-], [s]. */
	decay: number;
	fill: number;
	/** d(fill)/dλ [s2]; that of the decay is -t decay. */
	fillByRate: number;
	/** e^-κt [-]. */
	fade: number;
	/** Share of x0 that has reached the reading [-], and its derivatives over λ and κ [s]. */
	carry: number;
	carryByRate: number;
	carryByFollow: number;
	/** Reading per source [s], and its derivatives [s2]. */
	creep: number;
	creepByRate: number;
	creepByFollow: number;
	/** t [s]. */
	seconds: number;
}

/** Below this λt the closed forms over λ cancel, and the series in λ is short. */
const SLOW = 1e-3;

/**
 * The answer over `seconds` at an air change rate λ [1/s] and a sensor that follows at κ = 1/τ [1/s], infinite for none.
 *
 * carry = κ ∫ e^-λu e^-κ(t-u) du and creep = ∫ carry dt; both by divided differences that stay exact where λ = κ,
 * and by a series in λ where λt is small.
 */
export function lagResponse(rate: number, follow: number, seconds: number): LagResponse {
	const t = seconds;
	const decay = Math.exp(-rate * t);
	const fill = t * phi1(rate * t);
	const fillByRate = -t * t * psi(rate * t);
	if (follow === Number.POSITIVE_INFINITY)
		return {
			decay,
			fill,
			fillByRate,
			fade: 0,
			carry: decay,
			carryByRate: -t * decay,
			carryByFollow: 0,
			creep: fill,
			creepByRate: fillByRate,
			creepByFollow: 0,
			seconds,
		};
	const fade = Math.exp(-follow * t);
	const overlap = overlapOf(rate, follow, t);
	const carry = follow * overlap.value;
	const carryByRate = follow * overlap.byFirst;
	const carryByFollow = overlap.value + follow * overlap.bySecond;
	const seen = -Math.expm1(-follow * t);
	let creep: number;
	let creepByRate: number;
	let creepByFollow: number;
	if (rate * t > SLOW) {
		creep = (seen - carry) / rate;
		creepByRate = -(carryByRate + creep) / rate;
		creepByFollow = (t * fade - carryByFollow) / rate;
	} else {
		// R_k: reading of t^(k+1)/(k+1)!, R_-1 that of a step; the reading of the source is R_0 - λ R_1 + λ² R_2 …
		const tau = 1 / follow;
		const r = [seen];
		const byFollow = [t * fade];
		let power = 1;
		for (let k = 0; k < 4; k++) {
			power *= t / (k + 1);
			r.push(power - tau * r[k]!);
			byFollow.push(tau * (tau * r[k]! - byFollow[k]!));
		}
		const alternate = (of: readonly number[]) => of[1]! - rate * (of[2]! - rate * (of[3]! - rate * of[4]!));
		creep = alternate(r);
		creepByRate = -r[2]! + rate * (2 * r[3]! - 3 * rate * r[4]!);
		creepByFollow = alternate(byFollow);
	}
	return {
		decay,
		fill,
		fillByRate,
		fade,
		carry,
		carryByRate,
		carryByFollow,
		creep,
		creepByRate,
		creepByFollow,
		seconds,
	};
}

/** ψ(z) = ∫ v e^-zv dv over [0, 1] = (1 - (1 + z) e^-z)/z², by its series where that cancels. */
function psi(z: number): number {
	if (Math.abs(z) > 0.3) return (1 - (1 + z) * Math.exp(-z)) / (z * z);
	let term = 1;
	let sum = 0.5;
	for (let k = 1; k < 14; k++) {
		term *= -z / k;
		sum += term / (k + 2);
	}
	return sum;
}

/** ∫ e^-au e^-b(t-u) du over [0, t], with its derivatives over a and b; symmetric in a and b. */
function overlapOf(a: number, b: number, t: number): { value: number; byFirst: number; bySecond: number } {
	const swap = a > b;
	const [slow, fast] = swap ? [b, a] : [a, b];
	const w = (fast - slow) * t;
	const head = Math.exp(-slow * t);
	const value = t * head * phi1(w);
	const byFast = -t * t * head * psi(w);
	const bySlow = -t * t * head * (phi1(w) - psi(w));
	return swap ? { value, byFirst: byFast, bySecond: bySlow } : { value, byFirst: bySlow, bySecond: byFast };
}
