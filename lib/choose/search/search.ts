import type { Cycle } from "../../model/schedule/schedule.ts";

/** Periods of a timer, ascending [s]; every pair is a setting. */
export interface SearchGrid {
	readonly onSeconds: readonly number[];
	readonly offSeconds: readonly number[];
}

/** Limits on burst, pause and cycle [s]. */
export interface CycleLimits {
	readonly minOnSeconds: number;
	readonly minOffSeconds: number;
	readonly maxCycleSeconds: number;
	/** From the life that the contact is to have. */
	readonly minCycleSeconds: number;
}

/** What is asked of each setting. */
export interface SearchProblem {
	readonly limits: CycleLimits;
	/** Necessary for the target; stays true as the burst grows, and false as the pause grows. */
	mayStayUnderCeilings(cycle: Cycle): boolean;
	/** Necessary for the target; stays false as the burst grows. */
	mayStayAboveFloors(cycle: Cycle): boolean;
	/** Asked where both may be: the target is met. */
	meetsTarget(cycle: Cycle): boolean;
	/** Humidity that the draws do not go by, of the central model. */
	keepsSolvedHumidity(cycle: Cycle): boolean;
	/** Fresh air per day [m3]; grows with the burst at the same pause. */
	freshAirM3PerDay(cycle: Cycle): number;
	/** Peak [ppm], to part settings with equal air and equal cycle. */
	peakPpm(cycle: Cycle): number;
}

/** A setting by its place in the lists of a grid. */
export interface GridPlace {
	readonly onIndex: number;
	readonly offIndex: number;
}

export interface Candidate extends GridPlace, Cycle {
	readonly airM3PerDay: number;
}

/** Relative difference up to which two amounts of air count as equal: 4 s in 240 s is 2 s in 120 s. */
const AIR_TOLERANCE = 1e-12;
/** Times are decimal numbers. */
const SLACK = 1e-9;

/** Place of the first entry of an ascending list for which a test holds that then holds for all. */
export function firstWhere(from: number, to: number, test: (k: number) => boolean): number {
	let [low, high] = [from, to];
	while (low < high) {
		const middle = (low + high) >> 1;
		if (test(middle)) high = middle;
		else low = middle + 1;
	}
	return low;
}

/** The same where that place is likely near `guess`: steps that double away from it, then halves. */
export function firstWhereNear(
	guess: number,
	from: number,
	to: number,
	test: (k: number) => boolean,
): number {
	let [low, high] = [Math.min(Math.max(guess, from), to), to];
	if (low > from && test(low - 1)) [low, high] = [from, low - 1];
	else
		for (let step = 1; low + step < to; step *= 2) {
			if (test(low + step - 1)) {
				high = low + step - 1;
				break;
			}
			low += step;
		}
	return firstWhere(low, high, test);
}

/** The bursts that the limits allow beside a pause: places from `from` to below `to`. */
export function allowedBursts(
	{ onSeconds }: SearchGrid,
	{ minOnSeconds, minOffSeconds, maxCycleSeconds, minCycleSeconds }: CycleLimits,
	offSeconds: number,
): { readonly from: number; readonly to: number } {
	if (offSeconds < minOffSeconds - SLACK) return { from: 0, to: 0 };
	const count = onSeconds.length;
	const least = Math.max(minOnSeconds, minCycleSeconds - offSeconds) - SLACK;
	const from = firstWhere(0, count, (k) => onSeconds[k]! >= least);
	return { from, to: firstWhere(from, count, (k) => onSeconds[k]! + offSeconds > maxCycleSeconds + SLACK) };
}

export const cycleAt = ({ onSeconds, offSeconds }: SearchGrid, onIndex: number, offIndex: number): Cycle => ({
	onSeconds: onSeconds[onIndex]!,
	offSeconds: offSeconds[offIndex]!,
});

/** The pauses that the limits allow beside a burst: places from `from` to below `to`. */
export function allowedPauses(
	{ onSeconds: bursts, offSeconds }: SearchGrid,
	{ minOnSeconds, minOffSeconds, maxCycleSeconds, minCycleSeconds }: CycleLimits,
	onIndex: number,
): { readonly from: number; readonly to: number } {
	const onSeconds = bursts[onIndex]!;
	if (onSeconds < minOnSeconds - SLACK) return { from: 0, to: 0 };
	const least = Math.max(minOffSeconds, minCycleSeconds - onSeconds) - SLACK;
	const from = firstWhere(0, offSeconds.length, (j) => offSeconds[j]! >= least);
	const isTooLong = (j: number) => offSeconds[j]! + onSeconds > maxCycleSeconds + SLACK;
	return { from, to: firstWhere(from, offSeconds.length, isTooLong) };
}

/**
 * Shortest allowed burst that meets the target for each pause, as an index into the bursts; -1 where none does.
 *
 * One sweep serves the whole grid, because a longer pause never lets a shorter burst do: all settings are judged although
 * only about as many are looked at as there are bursts and pauses.
 */
export function findShortestBursts(grid: SearchGrid, problem: SearchProblem): Int32Array {
	const shortest = new Int32Array(grid.offSeconds.length).fill(-1);
	let first = 0;
	for (const [j, offSeconds] of grid.offSeconds.entries()) {
		const { from, to } = allowedBursts(grid, problem.limits, offSeconds);
		let isUnder = false;
		for (let k = Math.max(first, from); k < to; k++) {
			const cycle = cycleAt(grid, k, j);
			isUnder ||= problem.mayStayUnderCeilings(cycle);
			if (!isUnder) {
				first = k + 1;
				continue;
			}
			if (!problem.mayStayAboveFloors(cycle)) break;
			if (!problem.meetsTarget(cycle)) continue;
			shortest[j] = k;
			break;
		}
	}
	return shortest;
}

/**
 * The best setting of a grid, by the same rule, where a setting takes long to judge: of each burst only the longest pause is in the
 * running, and only if it can beat the best so far. No pause is longer than the one that even the longest burst makes up for.
 */
export function findLeastAir(grid: SearchGrid, problem: SearchProblem): Candidate | null {
	const { onSeconds, offSeconds } = grid;
	const isUnder = (k: number, j: number) => problem.mayStayUnderCeilings(cycleAt(grid, k, j));
	const firstTooLong = (k: number, from: number, to: number) =>
		firstWhereNear(from, from, to, (j) => !isUnder(k, j));
	const longest = firstTooLong(onSeconds.length - 1, 0, offSeconds.length);
	let best: Candidate | null = null;
	for (let k = 0; k < onSeconds.length; k++) {
		const span = allowedPauses(grid, problem.limits, k);
		const to = Math.min(span.to, longest);
		const least: number = (best?.airM3PerDay ?? Number.POSITIVE_INFINITY) * (1 + AIR_TOLERANCE);
		const airOf = (j: number) => problem.freshAirM3PerDay(cycleAt(grid, k, j));
		const from = firstWhere(span.from, to, (j) => airOf(j) <= least);
		// A longer burst needs a longer pause still.
		if (from >= to && span.from < to) break;
		if (from >= to || !isUnder(k, from)) continue;
		for (let j = firstTooLong(k, from, to) - 1; j >= from; j--) {
			const cycle = cycleAt(grid, k, j);
			if (!problem.mayStayAboveFloors(cycle)) break;
			if (!problem.meetsTarget(cycle)) continue;
			const candidate = makeCandidate(grid, problem, { onIndex: k, offIndex: j });
			if (best === null || isBetterCandidate(candidate, best, problem)) best = candidate;
			break;
		}
	}
	return best;
}

/**
 * The best setting of a grid: least fresh air per day, then fewest switches, then the lowest peak, then the shorter burst.
 * @returns null when no setting meets the target
 */
export function findBest(
	grid: SearchGrid,
	problem: SearchProblem,
	shortest: Int32Array = findShortestBursts(grid, problem),
): Candidate | null {
	let best: Candidate | null = null;
	for (const [offIndex, onIndex] of shortest.entries()) {
		if (onIndex < 0) continue;
		const candidate = makeCandidate(grid, problem, { onIndex, offIndex });
		if (best === null || isBetterCandidate(candidate, best, problem)) best = candidate;
	}
	return best;
}

/** The setting at a place of a grid, with its air. */
export function makeCandidate(
	grid: SearchGrid,
	problem: Pick<SearchProblem, "freshAirM3PerDay">,
	{ onIndex, offIndex }: GridPlace,
): Candidate {
	const cycle = cycleAt(grid, onIndex, offIndex);
	return { onIndex, offIndex, ...cycle, airM3PerDay: problem.freshAirM3PerDay(cycle) };
}

/** The stated order of two settings. */
export function isBetterCandidate(
	a: Candidate,
	b: Candidate,
	problem: Pick<SearchProblem, "peakPpm">,
): boolean {
	if (Math.abs(a.airM3PerDay - b.airM3PerDay) > AIR_TOLERANCE * b.airM3PerDay)
		return a.airM3PerDay < b.airM3PerDay;
	const cycles = a.onSeconds + a.offSeconds - b.onSeconds - b.offSeconds;
	if (cycles !== 0) return cycles > 0;
	const peaks = problem.peakPpm(a) - problem.peakPpm(b);
	return peaks === 0 ? a.onSeconds < b.onSeconds : peaks < 0;
}
