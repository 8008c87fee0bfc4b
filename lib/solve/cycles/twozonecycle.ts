import type { Cycle } from "../../model/schedule/schedule.ts";
import type { CompiledModel } from "../compile.ts";
import {
	computeSpectralForm,
	computeTwoZoneParts,
	TWO_ZONE_PARTS,
	type TwoZoneParts,
} from "../propagate/twozones.ts";
import type { CycleStats, PeriodicColumns } from "./closedform.ts";

type Chamber = Pick<CompiledModel, "model" | "balance" | "sourceM3PerS">;

// Ten thousand chambers are evaluated one after the other; what each needs for a moment stands here.
const on = new Float64Array(TWO_ZONE_PARTS);
const off = new Float64Array(TWO_ZONE_PARTS);
const turn = new Float64Array(TWO_ZONE_PARTS);
const ends = new Float64Array(3);
const turnSeconds = new Float64Array(1);

/** Numbers of a chamber, side by side: intake, zone of the crop, exchange, forcing, and from here on those of burst and pause. */
export const TWO_ZONE_WIDTH = 16;
const [BURST, PAUSE] = [6, 11];

/** Which statistics are asked for; what is not may be anything. */
export type Wanted = Readonly<Record<"peak" | "mean" | "trough", boolean>>;
const ALL: Wanted = { peak: true, mean: true, trough: true };

/** What `fillTwoZoneColumns` goes by, a row of `TWO_ZONE_WIDTH` numbers for each chamber: two zones, an instant fan, a constant source. */
export function tabulateTwoZones(chambers: readonly Chamber[]): Float64Array {
	const table = new Float64Array(chambers.length * TWO_ZONE_WIDTH);
	for (const [k, { model, balance, sourceM3PerS }] of chambers.entries()) {
		const o = k * TWO_ZONE_WIDTH;
		for (const phase of [BURST, PAUSE]) {
			const { slow, fast, gap, b00, b11, a01, a10, f0, f1 } = computeSpectralForm(
				balance,
				sourceM3PerS,
				phase === BURST,
			);
			table.set([slow, fast, gap, b00, b11], o + phase);
			if (phase === PAUSE) table.set([model.intakePpm, balance.crop, a01, a10, f0, f1], o);
		}
	}
	return table;
}

/**
 * Writes into `ends` at 2 what the zone of the crop turns to in a phase [ppm above the intake air], from its own state and that of the
 * other zone, which stand there at 0 and 1; its own where it never turns within the reach t φ1(gt).
 */
function findTurningPpm(
	table: Float64Array,
	o: number,
	phase: number,
	reach: TwoZoneParts,
	wanted: Wanted,
): void {
	const crop = table[o + 1]!;
	const x = ends[0]!;
	const y = ends[1]!;
	const across = table[o + 2 + crop]!;
	const back = table[o + 3 - crop]!;
	const f = table[o + 4 + crop]!;
	const g = table[o + 5 - crop]!;
	const slow = table[o + phase]!;
	const gap = table[o + phase + 2]!;
	const b = table[o + phase + 3 + crop]!;
	const other = table[o + phase + 4 - crop]!;
	// It turns once at most, where its slope e^(-νt) (v + w (1 - e^(-gt))/g) is 0.
	const v = (b - slow) * x + across * y + f;
	const share = -v / (b * v + across * (back * x + (other - slow) * y + g));
	ends[2] = x;
	if (!(v > 0 ? wanted.peak : wanted.trough)) return;
	if (!(share > 0 && share < reach[7]!)) return;
	turnSeconds[0] = gap === 0 ? share : -Math.log1p(-gap * share) / gap;
	computeTwoZoneParts(table, o + phase, turnSeconds, 0, false, turn);
	ends[2] = turn[0]! * x + turn[4]! * (b * x + across * y) + turn[2]! * f + turn[5]! * (b * f + across * g);
}

/** Peak, mean and trough in the zone of the crop of many chambers, each in a cycle of its own. */
export function fillTwoZoneColumns(
	table: Float64Array,
	onSeconds: Float64Array,
	offSeconds: Float64Array,
	{ peakPpm, meanPpm, troughPpm }: PeriodicColumns,
	wanted: Wanted,
): void {
	for (let k = 0; k < onSeconds.length; k++) {
		const o = k * TWO_ZONE_WIDTH;
		const crop = table[o + 1]!;
		const a = onSeconds[k]!;
		const b = offSeconds[k]!;
		const a01 = table[o + 2]!;
		const a10 = table[o + 3]!;
		const f0 = table[o + 4]!;
		const f1 = table[o + 5]!;
		const p00 = table[o + 9]!;
		const p11 = table[o + 10]!;
		const q00 = table[o + 14]!;
		const q11 = table[o + 15]!;
		computeTwoZoneParts(table, o + BURST, onSeconds, k, wanted.mean, on);
		computeTwoZoneParts(table, o + PAUSE, offSeconds, k, wanted.mean, off);
		// State at the start of a burst: the solution of (1 - M) x = c, 1 - M = (1 - M0) + M0 (1 - M1).
		const d0 = off[4]!;
		const d1 = on[4]!;
		const m00 = off[0]! + q00 * d0;
		const m01 = a01 * d0;
		const m10 = a10 * d0;
		const m11 = off[0]! + q11 * d0;
		const n00 = on[1]! - p00 * d1;
		const n01 = -a01 * d1;
		const n10 = -a10 * d1;
		const n11 = on[1]! - p11 * d1;
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
		const isMixed = crop === 0;
		const x0 = isMixed ? x : y;
		const x1 = isMixed ? u : v;
		const y0 = isMixed ? y : x;
		const y1 = isMixed ? v : u;
		ends[0] = x0;
		ends[1] = y0;
		findTurningPpm(table, o, BURST, on, wanted);
		const turn1 = ends[2]!;
		ends[0] = x1;
		ends[1] = y1;
		findTurningPpm(table, o, PAUSE, off, wanted);
		const turn0 = ends[2]!;
		const intakePpm = table[o]!;
		peakPpm[k] = intakePpm + Math.max(x0, x1, turn1, turn0);
		troughPpm[k] = intakePpm + Math.min(x0, x1, turn1, turn0);
		if (!wanted.mean) {
			meanPpm[k] = Number.NaN;
			continue;
		}
		const across = table[o + 2 + crop]!;
		const p = table[o + 9 + crop]!;
		const q = table[o + 14 + crop]!;
		const f = table[o + 4 + crop]!;
		const g = table[o + 5 - crop]!;
		const burst = on[2]! * x0 + on[5]! * (p * x0 + across * y0) + on[3]! * f + on[6]! * (p * f + across * g);
		const pause =
			off[2]! * x1 + off[5]! * (q * x1 + across * y1) + off[3]! * f + off[6]! * (q * f + across * g);
		meanPpm[k] = intakePpm + (burst + pause) / (a + b);
	}
}

/** The same of one chamber, cycle after cycle. */
export function makeTwoZoneCycle(chamber: Chamber): (cycle: Cycle) => CycleStats {
	const table = tabulateTwoZones([chamber]);
	const one = () => new Float64Array(1);
	const onSeconds = one();
	const offSeconds = one();
	const out = { peakPpm: one(), meanPpm: one(), troughPpm: one() };
	return (cycle) => {
		onSeconds[0] = cycle.onSeconds;
		offSeconds[0] = cycle.offSeconds;
		fillTwoZoneColumns(table, onSeconds, offSeconds, out, ALL);
		return { peakPpm: out.peakPpm[0]!, meanPpm: out.meanPpm[0]!, troughPpm: out.troughPpm[0]! };
	};
}
