import { findUsualLength, visitFlatRuns } from "./flatruns.ts";

/** Ends of measuring ranges, and the last value that displays of so many digits show [ppm]. */
const RANGE_LIMITS = new Set([
	1999, 2000, 2500, 3000, 4000, 4999, 5000, 6000, 7500, 8000, 9999, 10_000, 12_000, 15_000, 20_000, 25_000,
	30_000, 40_000, 50_000, 60_000, 65_000, 100_000, 200_000, 500_000, 1_000_000,
]);
export const MIN_CLIPPED = 3;
/** So many times as many readings stand at a limit as one step of the display below it. */
const MIN_PILE = 2;
/** Readings above a limit are stray where they are so few beside those at it, alone or in pairs, and so far off. */
const MAX_STRAY = 0.1;
const MAX_STRAY_SAMPLES = 2;
const STRAY_PPM = 50;
const STRAY_STEPS = 4;
/** Steps in which displays count [ppm], and the share of values that a log may have beside them. */
const DISPLAY_STEPS = [500, 200, 100, 50, 20, 10, 5, 2, 1] as const;
const FINEST_DISPLAY = 0.1;
const MAX_OFF_DISPLAY = 0.01;
/** The last so many steps of the display below a limit, against as many below these. */
const STEPS_BELOW = 8;
/** A reading that creeps up to its steady state takes ever longer for a step; one that is cut off keeps its pace. */
const MAX_CREEPING = 2.2;
/** A flat run at a limit is odd when it is so many times longer than nearly all others. */
const ODD_LENGTH = 3;

/** Step of the display that all but a few stray values are multiples of [ppm]. */
function findDisplayStep(ppm: Float64Array): number {
	const most = MAX_OFF_DISPLAY * ppm.length;
	const shows = (step: number): boolean => {
		let off = 0;
		for (let i = 0; i < ppm.length && off <= most; i++) if (Math.abs(ppm[i]! % step) > 0) off++;
		return off <= most;
	};
	return DISPLAY_STEPS.find(shows) ?? FINEST_DISPLAY;
}

/** The end of the range at which a log is cut off [ppm], and how many stray readings stand above it; null when it is not cut off. */
export function clippedAt(
	ppm: Float64Array,
): { readonly limitPpm: number; readonly strayReadings: number } | null {
	const seen = new Set<number>();
	for (const value of ppm) if (RANGE_LIMITS.has(value)) seen.add(value);
	if (seen.size === 0) return null;
	const stepPpm = findDisplayStep(ppm);
	for (const limitPpm of [...seen].sort((a, b) => b - a)) {
		const strayReadings = countStrays(ppm, limitPpm, stepPpm);
		if (strayReadings === null) continue;
		const capped = strayReadings === 0 ? ppm : ppm.map((value) => Math.min(value, limitPpm));
		if (isCutOff(capped, limitPpm, stepPpm)) return { limitPpm, strayReadings };
	}
	return null;
}

/** Readings above a value at which readings pile up; null when they do not, or when those above are more than rare and stray. */
function countStrays(ppm: Float64Array, limit: number, stepPpm: number): number | null {
	const off = Math.max(STRAY_PPM, STRAY_STEPS * stepPpm);
	let at = 0;
	let below = 0;
	let above = 0;
	for (let i = 0; i < ppm.length; i++) {
		if (ppm[i] === limit) at++;
		else if (ppm[i]! < limit && ppm[i]! >= limit - stepPpm) below++;
		if (!(ppm[i]! > limit)) continue;
		const from = i;
		for (; ppm[i]! > limit; i++) if (i - from === MAX_STRAY_SAMPLES || ppm[i]! <= limit + off) return null;
		above += i-- - from;
	}
	return above <= MAX_STRAY * at && at > MIN_PILE * below ? above : null;
}

/** The highest value of a log is reached in flat runs that are odd in it, and at the pace of the readings before. */
function isCutOff(ppm: Float64Array, limit: number, stepPpm: number): boolean {
	// A coarse display repeats its values everywhere, not only at the top.
	const least = Math.max(MIN_CLIPPED, ODD_LENGTH * findUsualLength(ppm, limit));
	let runs = 0;
	let near = 0;
	let farther = 0;
	visitFlatRuns(ppm, (from, to) => {
		if (ppm[from] !== limit || to - from < least) return;
		runs++;
		// The way up to this run, as far down as it is compared.
		const down = limit - 2 * STEPS_BELOW * stepPpm;
		let start = from;
		let bottom = limit;
		while (bottom > down && ppm[start - 1]! <= ppm[start]! + stepPpm)
			bottom = Math.min(bottom, ppm[--start]!);
		const depth = Math.min(STEPS_BELOW * stepPpm, (limit - bottom) / 2);
		for (let i = start; i < from; i++) {
			const below = limit - ppm[i]!;
			if (below === 0) continue;
			if (below <= depth) near++;
			else if (below <= 2 * depth) farther++;
		}
	});
	return runs > 0 && near <= MAX_CREEPING * farther + runs;
}
