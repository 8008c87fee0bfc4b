/** Periods of a timer, ascending [s]; every pair is a setting. */
export interface SearchGrid {
	readonly onSeconds: readonly number[];
	readonly offSeconds: readonly number[];
}

/** What is asked of each setting; on and off in seconds. */
export interface SearchProblem {
	/** Limits on burst, pause and cycle. */
	allowed(on: number, off: number): boolean;
	/** The ceiling holds. */
	holds(on: number, off: number): boolean;
	/** It might hold: necessary, and true for ever as the burst grows, false for ever as the pause grows. Default: `holds`, where that is so. */
	mayHold?(on: number, off: number): boolean;
	/** Whatever else must hold (a floor); asked of the shortest burst that holds, and must stay false as the burst grows. */
	accepts(on: number, off: number): boolean;
	/** Fresh air a day [m3]; grows with the burst at the same pause. */
	airPerDay(on: number, off: number): number;
	/** Peak [ppm], to part settings with equal air and equal cycle. */
	peakPpm(on: number, off: number): number;
}

export interface Found {
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly airM3PerDay: number;
}

/** Relative difference up to which two amounts of air count as equal: 4 s in 240 s is 2 s in 120 s. */
const EQUAL = 1e-12;

/**
 * Shortest allowed burst that holds for each pause, as an index into the bursts; -1 where none does.
 *
 * One sweep serves the whole grid, because a longer pause never lets a shorter burst do: all settings are judged although
 * only as many are looked at as there are bursts and pauses. With `onlyBest`, pauses that cannot beat the best
 * found so far are passed over (-1).
 */
export function shortestBursts(
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
			if (onlyBest && problem.airPerDay(on, off) > best * (1 + EQUAL)) break;
			if (!problem.allowed(on, off)) continue;
			const may = problem.mayHold?.(on, off) ?? problem.holds(on, off);
			if (!may) {
				first = k + 1;
				continue;
			}
			if (problem.mayHold !== undefined && !problem.holds(on, off)) continue;
			shortest[j] = k;
			if (problem.accepts(on, off)) best = Math.min(best, problem.airPerDay(on, off));
			break;
		}
	}
	return shortest;
}

/**
 * The best setting of a grid: least fresh air a day, then fewest switches, then the lowest peak, then the shorter burst.
 * @returns null when no setting holds
 */
export function bestSetting(
	grid: SearchGrid,
	problem: SearchProblem,
	shortest: Int32Array = shortestBursts(grid, problem),
): Found | null {
	let best: Found | null = null;
	for (const [j, offSeconds] of grid.offSeconds.entries()) {
		const onSeconds = grid.onSeconds[shortest[j]!];
		if (onSeconds === undefined || !problem.accepts(onSeconds, offSeconds)) continue;
		const found = { onSeconds, offSeconds, airM3PerDay: problem.airPerDay(onSeconds, offSeconds) };
		if (best === null || better(found, best, problem)) best = found;
	}
	return best;
}

/** The stated order of two settings. */
export function better(a: Found, b: Found, problem: Pick<SearchProblem, "peakPpm">): boolean {
	if (Math.abs(a.airM3PerDay - b.airM3PerDay) > EQUAL * b.airM3PerDay) return a.airM3PerDay < b.airM3PerDay;
	const cycles = a.onSeconds + a.offSeconds - b.onSeconds - b.offSeconds;
	if (cycles !== 0) return cycles > 0;
	const peaks = problem.peakPpm(a.onSeconds, a.offSeconds) - problem.peakPpm(b.onSeconds, b.offSeconds);
	return peaks === 0 ? a.onSeconds < b.onSeconds : peaks < 0;
}
