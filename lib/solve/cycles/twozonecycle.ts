import type { Cycle } from "../../model/schedule/schedule.ts";
import type { CompiledModel } from "../compile.ts";
import { phi1 } from "../propagate/phi.ts";
import { computeSpectralForm, computeTwoZoneParts, TWO_ZONE_PARTS } from "../propagate/twozones.ts";
import type { CycleStats, PeriodicColumns } from "./closedform.ts";

type Chamber = Pick<CompiledModel, "model" | "balance" | "sourceM3PerS">;

// Ten thousand chambers are evaluated one after the other; what each needs for a moment stands here.
const on = new Float64Array(TWO_ZONE_PARTS);
const off = new Float64Array(TWO_ZONE_PARTS);
const turn = new Float64Array(TWO_ZONE_PARTS);

/** Numbers of a chamber, side by side. */
const WIDTH = 16;

/**
 * Peak, mean and trough in the zone of the crop of many chambers, each in a cycle of its own: two zones, an instant fan and a constant
 * source. Where the mean is not needed it is NaN.
 */
export function makeTwoZoneColumns(chambers: readonly Chamber[]) {
	const table = new Float64Array(chambers.length * WIDTH);
	for (const [k, { model, balance, sourceM3PerS }] of chambers.entries()) {
		const burst = computeSpectralForm(balance, sourceM3PerS, true);
		const pause = computeSpectralForm(balance, sourceM3PerS, false);
		const o = k * WIDTH;
		table[o] = model.intakePpm;
		table[o + 1] = balance.crop;
		table[o + 2] = burst.a01;
		table[o + 3] = burst.a10;
		table[o + 4] = burst.f0;
		table[o + 5] = burst.f1;
		table[o + 6] = burst.slow;
		table[o + 7] = burst.fast;
		table[o + 8] = burst.gap;
		table[o + 9] = burst.b00;
		table[o + 10] = burst.b11;
		table[o + 11] = pause.slow;
		table[o + 12] = pause.fast;
		table[o + 13] = pause.gap;
		table[o + 14] = pause.b00;
		table[o + 15] = pause.b11;
	}
	return (
		onSeconds: Float64Array,
		offSeconds: Float64Array,
		{ peakPpm, meanPpm, troughPpm }: PeriodicColumns,
		isMeanNeeded: boolean,
	): void => {
		for (let k = 0; k < chambers.length; k++) {
			const o = k * WIDTH;
			const isMixed = table[o + 1]! === 0;
			const [a, b] = [onSeconds[k]!, offSeconds[k]!];
			const [a01, a10, f0, f1] = [table[o + 2]!, table[o + 3]!, table[o + 4]!, table[o + 5]!];
			const [slow1, fast1, gap1] = [table[o + 6]!, table[o + 7]!, table[o + 8]!];
			const [p00, p11] = [table[o + 9]!, table[o + 10]!];
			const [slow0, fast0, gap0] = [table[o + 11]!, table[o + 12]!, table[o + 13]!];
			const [q00, q11] = [table[o + 14]!, table[o + 15]!];
			const reach1 = phi1(gap1 * a);
			const reach0 = phi1(gap0 * b);
			computeTwoZoneParts(slow1, fast1, a, reach1, isMeanNeeded, on);
			computeTwoZoneParts(slow0, fast0, b, reach0, isMeanNeeded, off);
			// State at the start of a burst: the solution of (1 - M) x = c, 1 - M = (1 - M0) + M0 (1 - M1).
			const [d0, d1] = [off[4]!, on[4]!];
			const [m00, m01, m10, m11] = [off[0]! + q00 * d0, a01 * d0, a10 * d0, off[0]! + q11 * d0];
			const [n00, n01, n10, n11] = [on[1]! - p00 * d1, -a01 * d1, -a10 * d1, on[1]! - p11 * d1];
			const r00 = off[1]! - q00 * d0 + m00 * n00 + m01 * n10;
			const r01 = -m01 + m00 * n01 + m01 * n11;
			const r10 = -m10 + m10 * n00 + m11 * n10;
			const r11 = off[1]! - q11 * d0 + m10 * n01 + m11 * n11;
			const i0 = on[2]! * f0 + on[5]! * (p00 * f0 + a01 * f1);
			const i1 = on[2]! * f1 + on[5]! * (a10 * f0 + p11 * f1);
			const c0 = m00 * i0 + m01 * i1 + off[2]! * f0 + off[5]! * (q00 * f0 + a01 * f1);
			const c1 = m10 * i0 + m11 * i1 + off[2]! * f1 + off[5]! * (a10 * f0 + q11 * f1);
			const determinant = r00 * r11 - r01 * r10;
			const x = (c0 * r11 - r01 * c1) / determinant;
			const y = (r00 * c1 - r10 * c0) / determinant;
			const u = on[0]! * x + d1 * (p00 * x + a01 * y) + i0;
			const v = on[0]! * y + d1 * (a10 * x + p11 * y) + i1;
			// From here on the zone of the crop stands first: its own rate, and how the other one moves it.
			const [across, back] = isMixed ? [a01, a10] : [a10, a01];
			const [own, other] = isMixed ? [f0, f1] : [f1, f0];
			const [pOwn, pOther, qOwn, qOther] = isMixed ? [p00, p11, q00, q11] : [p11, p00, q11, q00];
			const [x0, y0, x1, y1] = isMixed ? [x, y, u, v] : [y, x, v, u];
			let peak = Math.max(x0, x1);
			let trough = Math.min(x0, x1);
			// It turns once at most, where its slope e^(-νt) (w + z (1 - e^(-gt))/g) is 0.
			const w1 = (pOwn - slow1) * x0 + across * y0 + own;
			const z1 = pOwn * w1 + across * (back * x0 + (pOther - slow1) * y0 + other);
			const share1 = -w1 / z1;
			if (share1 > 0 && share1 < a * reach1) {
				const t = gap1 === 0 ? share1 : -Math.log1p(-gap1 * share1) / gap1;
				computeTwoZoneParts(slow1, fast1, t, share1 / t, false, turn);
				const ppm = zoneAfter(turn, x0, y0, pOwn, across, own, other);
				peak = Math.max(peak, ppm);
				trough = Math.min(trough, ppm);
			}
			const w0 = (qOwn - slow0) * x1 + across * y1 + own;
			const z0 = qOwn * w0 + across * (back * x1 + (qOther - slow0) * y1 + other);
			const share0 = -w0 / z0;
			if (share0 > 0 && share0 < b * reach0) {
				const t = gap0 === 0 ? share0 : -Math.log1p(-gap0 * share0) / gap0;
				computeTwoZoneParts(slow0, fast0, t, share0 / t, false, turn);
				const ppm = zoneAfter(turn, x1, y1, qOwn, across, own, other);
				peak = Math.max(peak, ppm);
				trough = Math.min(trough, ppm);
			}
			const intakePpm = table[o]!;
			peakPpm[k] = intakePpm + peak;
			troughPpm[k] = intakePpm + trough;
			meanPpm[k] = isMeanNeeded
				? intakePpm +
					(integralOf(on, x0, y0, pOwn, across, own, other) +
						integralOf(off, x1, y1, qOwn, across, own, other)) /
						(a + b)
				: Number.NaN;
		}
	};
}

/** The zone of the crop after a time, from its own CO2 and that of the other zone [ppm above the intake air]. */
const zoneAfter = (
	parts: Float64Array,
	x: number,
	y: number,
	b: number,
	across: number,
	f: number,
	g: number,
): number =>
	parts[0]! * x + parts[4]! * (b * x + across * y) + parts[2]! * f + parts[5]! * (b * f + across * g);

/** Its integral up to then [ppm s]. */
const integralOf = (
	parts: Float64Array,
	x: number,
	y: number,
	b: number,
	across: number,
	f: number,
	g: number,
): number =>
	parts[2]! * x + parts[5]! * (b * x + across * y) + parts[3]! * f + parts[6]! * (b * f + across * g);

/** The same of one chamber, cycle after cycle. */
export function makeTwoZoneCycle(chamber: Chamber): (cycle: Cycle) => CycleStats {
	const evaluate = makeTwoZoneColumns([chamber]);
	const one = () => new Float64Array(1);
	const [onSeconds, offSeconds] = [one(), one()];
	const out = { peakPpm: one(), meanPpm: one(), troughPpm: one() };
	return (cycle) => {
		onSeconds[0] = cycle.onSeconds;
		offSeconds[0] = cycle.offSeconds;
		evaluate(onSeconds, offSeconds, out, true);
		return { peakPpm: out.peakPpm[0]!, meanPpm: out.meanPpm[0]!, troughPpm: out.troughPpm[0]! };
	};
}
