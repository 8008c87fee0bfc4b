/** Periods of a timer, ascending [s]; every pair is a setting. */
export interface SearchGrid {
	readonly onSeconds: readonly number[];
	readonly offSeconds: readonly number[];
}

/** What is asked of each setting; on and off in seconds. */
export interface SearchProblem {
	/** Limits on burst, pause and cycle. */
	isWithinLimits(on: number, off: number): boolean;
	/** The ceiling holds. */
	isUnderCeiling(on: number, off: number): boolean;
	/** It might hold: necessary, and true for ever as the burst grows, false for ever as the pause grows. Default: `holds`, where that is so. */
	mayBeUnderCeiling?(on: number, off: number): boolean;
	/** Whatever else must hold (a floor); asked of the shortest burst that holds, and must stay false as the burst grows. */
	isAboveFloor(on: number, off: number): boolean;
	/** Fresh air a day [m3]; grows with the burst at the same pause. */
	freshAirM3PerDay(on: number, off: number): number;
	/** Peak [ppm], to part settings with equal air and equal cycle. */
	peakPpm(on: number, off: number): number;
}

/** A setting by its place in the lists of a grid. */
export interface GridPlace {
	readonly onIndex: number;
	readonly offIndex: number;
}

export interface Candidate extends GridPlace {
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly airM3PerDay: number;
}

/** Relative difference up to which two amounts of air count as equal: 4 s in 240 s is 2 s in 120 s. */
const AIR_TOLERANCE = 1e-12;

/**
 * Shortest allowed burst that holds for each pause, as an index into the bursts; -1 where none does.
 *
 * One sweep serves the whole grid, because a longer pause never lets a shorter burst do: all settings are judged although
 * only as many are looked at as there are bursts and pauses. With `onlyBest`, pauses that cannot beat the best
 * found so far are passed over (-1).
 */
export function findShortestBursts(
	grid: SearchGrid,
	problem: SearchProblem,
	{ onlyBest = false } = {},
): Int32Array {
	const { onSeconds, offSeconds } = grid;
	const shortest = new Int32Array(offSeconds.length).fill(-1);
	let best = Number.POSITIVE_INFINITY;
	let first = 0;
	for (const [j, off] of offSeconds.entries()) {
		for (let k = first; k < onSeconds.length; k++) {
			const on = onSeconds[k]!;
			if (onlyBest && problem.freshAirM3PerDay(on, off) > best * (1 + AIR_TOLERANCE)) break;
			if (!problem.isWithinLimits(on, off)) continue;
			const isPossible = problem.mayBeUnderCeiling?.(on, off) ?? problem.isUnderCeiling(on, off);
			if (!isPossible) {
				first = k + 1;
				continue;
			}
			if (problem.mayBeUnderCeiling !== undefined && !problem.isUnderCeiling(on, off)) continue;
			shortest[j] = k;
			if (problem.isAboveFloor(on, off)) best = Math.min(best, problem.freshAirM3PerDay(on, off));
			break;
		}
	}
	return shortest;
}

/**
 * The best setting of a grid: least fresh air a day, then fewest switches, then the lowest peak, then the shorter burst.
 * @returns null when no setting holds
 */
export function findBest(
	grid: SearchGrid,
	problem: SearchProblem,
	shortest: Int32Array = findShortestBursts(grid, problem),
): Candidate | null {
	let best: Candidate | null = null;
	for (const [j, offSeconds] of grid.offSeconds.entries()) {
		const onIndex = shortest[j]!;
		const onSeconds = grid.onSeconds[onIndex];
		if (onSeconds === undefined || !problem.isAboveFloor(onSeconds, offSeconds)) continue;
		const candidate = makeCandidate(grid, problem, { onIndex, offIndex: j });
		if (best === null || isBetterCandidate(candidate, best, problem)) best = candidate;
	}
	return best;
}

/** The setting at a place of a grid, with its air. */
export function makeCandidate(grid: SearchGrid, problem: SearchProblem, place: GridPlace): Candidate {
	const onSeconds = grid.onSeconds[place.onIndex]!;
	const offSeconds = grid.offSeconds[place.offIndex]!;
	return { ...place, onSeconds, offSeconds, airM3PerDay: problem.freshAirM3PerDay(onSeconds, offSeconds) };
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
	const peaks = problem.peakPpm(a.onSeconds, a.offSeconds) - problem.peakPpm(b.onSeconds, b.offSeconds);
	return peaks === 0 ? a.onSeconds < b.onSeconds : peaks < 0;
}
