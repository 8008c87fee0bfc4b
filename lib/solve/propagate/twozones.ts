import type { Balance } from "../../model/chamber.ts";
import { phi1, phi2 } from "./phi.ts";

/** What a time does to two zones, shares and times of (13): kept, lost, p1, p2, d0, d1, d2; and t φ1(gt). */
export type TwoZoneParts = Float64Array;
export const TWO_ZONE_PARTS = 8;

/** A = -ν + B with eigenvalues -ν (slow) and -ν - g (fast), and the forcing [ppm/s]. */
export function computeSpectralForm(b: Balance, source: number, isOn: boolean) {
	const airing = b.infiltrationPerS + (isOn ? b.fanPerS : 0);
	const a01 = b.interzonalMixedPerS;
	const a10 = b.interzonalStagnantPerS;
	const gap = Math.sqrt((airing + a01 - a10) ** 2 + 4 * a01 * a10);
	const fast = (gap + airing + a01 + a10) / 2;
	// The product of the eigenvalues keeps the digits of the slow one: all air that leaves, leaves the mixed zone.
	const slow = fast === 0 ? 0 : (a10 * airing) / fast;
	const f0 = b.riseMixed * source;
	const f1 = b.riseStagnant * source;
	return { slow, fast, gap, b00: slow - airing - a01, a01, a10, b11: slow - a10, f0, f1 };
}

/**
 * The parts (13) of times[k], with ν, ν + g and g from `rates` at a place; without the mean there are no p2 and d2. Numbers come and go in
 * columns, for a million calls that are handed plain ones would leave as many behind.
 */
export function computeTwoZoneParts(
	rates: Float64Array,
	place: number,
	times: Float64Array,
	k: number,
	isWhole: boolean,
	out: TwoZoneParts,
): void {
	const slow = rates[place]!;
	const fast = rates[place + 1]!;
	const gap = rates[place + 2]!;
	const t = times[k]!;
	const g1 = phi1(gap * t);
	const x = slow * t;
	const y = fast * t;
	const lost = -Math.expm1(-x);
	const kept = 1 - lost;
	const p1 = x === 0 ? 1 : lost / x;
	const p2 = isWhole ? phi2(x) : 0;
	let d1 = 0;
	let d2 = 0;
	if (y < 1e-3) {
		// Where next to no time passes, the leading terms of the series serve.
		const s1 = x + y;
		const s2 = x * x + x * y + y * y;
		const s3 = (x + y) * (x * x + y * y);
		d1 = 1 / 2 - s1 / 6 + s2 / 24 - s3 / 120;
		d2 = 1 / 6 - s1 / 24 + s2 / 120 - s3 / 720;
	} else {
		d1 = (p1 - kept * g1) / y;
		d2 = (p2 - d1) / y;
	}
	out[0] = kept;
	out[1] = lost;
	out[2] = t * p1;
	out[3] = t * t * p2;
	out[4] = kept * t * g1;
	out[5] = t * t * d1;
	out[6] = t * t * t * d2;
	out[7] = t * g1;
}

/**
 * Two zones while fan and source stay as they are, in spectral form. A has real eigenvalues -ν and -ν - g, ν, g >= 0; with B = A + ν
 * and D0 = (e^(-νt) - e^(-(ν+g)t))/g
 *
 *     e^(At) = e^(-νt) + B D0      ∫e^(As) ds = t φ1(νt) + B D1      ∫∫e^(As) ds² = t² φ2(νt) + B D2      (13)
 *
 * D0, D1 and D2 are divided differences of e^(-x), φ1 and φ2, written so that nothing cancels where ν or g is small.
 */
export function makeTwoZonePhase(b: Balance, source: number, isOn: boolean) {
	const { slow, fast, gap, b00, a01, a10, b11, f0, f1 } = computeSpectralForm(b, source, isOn);
	const rates = Float64Array.of(slow, fast, gap);
	/** (p + B d) (x, y), by its row. */
	const row = (i: number, p: number, d: number, x: number, y: number) =>
		i === 0 ? p * x + d * (b00 * x + a01 * y) : p * y + d * (a10 * x + b11 * y);
	return {
		b00,
		a01,
		a10,
		b11,
		partsAt(t: number): TwoZoneParts {
			const out = new Float64Array(TWO_ZONE_PARTS);
			computeTwoZoneParts(rates, 0, Float64Array.of(t), 0, true, out);
			return out;
		},
		/** A zone after that time, from a state (x, y) [ppm above the intake air]. */
		state: (parts: TwoZoneParts, i: number, x: number, y: number): number =>
			row(i, parts[0]!, parts[4]!, x, y) + row(i, parts[2]!, parts[5]!, f0, f1),
		/** Its integral up to then [ppm s]. */
		integral: (parts: TwoZoneParts, i: number, x: number, y: number): number =>
			row(i, parts[2]!, parts[5]!, x, y) + row(i, parts[3]!, parts[6]!, f0, f1),
		/** Where a zone turns, once at most: its slope is e^(-νt) (v + w (1 - e^(-gt))/g); NaN or below 0 where it never does [s]. */
		turningPoint(i: number, x: number, y: number): number {
			const v0 = (b00 - slow) * x + a01 * y + f0;
			const v1 = a10 * x + (b11 - slow) * y + f1;
			const t = -(i === 0 ? v0 : v1) / row(i, 0, 1, v0, v1);
			return gap === 0 ? t : -Math.log1p(-gap * t) / gap;
		},
	};
}
