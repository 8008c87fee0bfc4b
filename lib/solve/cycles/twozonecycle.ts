import type { Cycle } from "../../model/schedule/schedule.ts";
import type { CompiledModel } from "../compile.ts";
import { makeTwoZonePhase, TWO_ZONE_PARTS } from "../propagate/twozones.ts";
import type { CycleStats } from "./closedform.ts";

// Ten thousand chambers are evaluated one after the other; what each needs for a moment stands here.
const on = new Float64Array(TWO_ZONE_PARTS);
const off = new Float64Array(TWO_ZONE_PARTS);
const turn = new Float64Array(TWO_ZONE_PARTS);

/**
 * Peak, mean and trough in the zone of the crop, cycle after cycle, of two zones with an instant fan and a constant source.
 * @param isMeanNeeded else it is NaN
 */
export function makeTwoZoneCycle(
	{ model: { intakePpm }, balance, sourceM3PerS }: Pick<CompiledModel, "model" | "balance" | "sourceM3PerS">,
	isMeanNeeded = true,
): (cycle: Cycle) => CycleStats {
	const burst = makeTwoZonePhase(balance, sourceM3PerS, true);
	const pause = makeTwoZonePhase(balance, sourceM3PerS, false);
	const { crop } = balance;
	return ({ onSeconds, offSeconds }) => {
		burst.partsAt(onSeconds, on, isMeanNeeded);
		pause.partsAt(offSeconds, off, isMeanNeeded);
		// State at the start of a burst: the solution of (1 - M) x = c, 1 - M = (1 - M0) + M0 (1 - M1).
		const [d0, d1] = [off[4]!, on[4]!];
		const m00 = off[0]! + pause.b00 * d0;
		const m01 = pause.a01 * d0;
		const m10 = pause.a10 * d0;
		const m11 = off[0]! + pause.b11 * d0;
		const n00 = on[1]! - burst.b00 * d1;
		const n01 = -burst.a01 * d1;
		const n10 = -burst.a10 * d1;
		const n11 = on[1]! - burst.b11 * d1;
		const r00 = off[1]! - pause.b00 * d0 + m00 * n00 + m01 * n10;
		const r01 = -m01 + m00 * n01 + m01 * n11;
		const r10 = -m10 + m10 * n00 + m11 * n10;
		const r11 = off[1]! - pause.b11 * d0 + m10 * n01 + m11 * n11;
		const i0 = burst.state(on, 0, 0, 0);
		const i1 = burst.state(on, 1, 0, 0);
		const c0 = pause.state(off, 0, i0, i1);
		const c1 = pause.state(off, 1, i0, i1);
		const determinant = r00 * r11 - r01 * r10;
		const x = (c0 * r11 - r01 * c1) / determinant;
		const y = (r00 * c1 - r10 * c0) / determinant;
		const u = burst.state(on, 0, x, y);
		const v = burst.state(on, 1, x, y);
		const before = crop === 0 ? x : y;
		const after = crop === 0 ? u : v;
		let peak = Math.max(before, after);
		let trough = Math.min(before, after);
		const turnOn = burst.turningPoint(crop, x, y);
		const turnOff = pause.turningPoint(crop, u, v);
		if (turnOn > 0 && turnOn < onSeconds) {
			const ppm = burst.state(burst.partsAt(turnOn, turn, false), crop, x, y);
			peak = Math.max(peak, ppm);
			trough = Math.min(trough, ppm);
		}
		if (turnOff > 0 && turnOff < offSeconds) {
			const ppm = pause.state(pause.partsAt(turnOff, turn, false), crop, u, v);
			peak = Math.max(peak, ppm);
			trough = Math.min(trough, ppm);
		}
		const integral = isMeanNeeded
			? burst.integral(on, crop, x, y) + pause.integral(off, crop, u, v)
			: Number.NaN;
		return {
			peakPpm: intakePpm + peak,
			meanPpm: intakePpm + integral / (onSeconds + offSeconds),
			troughPpm: intakePpm + trough,
		};
	};
}
