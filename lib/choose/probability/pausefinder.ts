import type { Cycle } from "../../model/schedule/schedule.ts";
import { cycleAt, type SearchGrid } from "../search/search.ts";
import type { MissCounter } from "./drawevaluator.ts";

/** First of the pauses from `low` to below `high` at which a burst reaches so many misses; `high` where none does. */
export function findFirstPause(
	grid: SearchGrid,
	counter: MissCounter,
	isReached: (misses: number) => boolean,
	burst: number,
	low: number,
	high: number,
): number {
	let inner = counter;
	while (low < high) {
		const middle = (low + high) >> 1;
		const cycle = cycleAt(grid, burst, middle);
		// The draws that this cycle settles for all pauses that are left are not looked at again.
		if (isReached(inner.count(cycle))) {
			high = middle;
			inner = inner.within(cycle, null);
		} else {
			low = middle + 1;
			inner = inner.within(null, cycle);
		}
	}
	return low;
}

/**
 * Finds for each burst of a grid the first pause at which the misses reach a number: more pause never makes up for less burst. It is worked out
 * by halves, when asked for: a burst between two that are known has its pause between theirs, and of the draws few are in doubt there.
 */
export function makePauseFinder(
	grid: SearchGrid,
	counter: MissCounter,
	isReached: (misses: number) => boolean,
): (burst: number) => number {
	const between = (from: number, to: number, low: number, high: number, outer: MissCounter) => {
		if (low === high) return () => low;
		const middle = (from + to) >> 1;
		let known: { first: number; shorter(burst: number): number; longer(burst: number): number } | null = null;
		return (burst: number): number => {
			if (known === null) {
				const inner = outer.within(cycleAt(grid, from, high - 1), cycleAt(grid, to - 1, low));
				const first = findFirstPause(grid, inner, isReached, middle, low, high);
				known = {
					first,
					shorter: between(from, middle, low, first, inner),
					longer: between(middle + 1, to, first, high, inner),
				};
			}
			if (burst === middle) return known.first;
			return burst < middle ? known.shorter(burst) : known.longer(burst);
		};
	};
	return between(0, grid.onSeconds.length, 0, grid.offSeconds.length, counter);
}

/** Which of some cycles have at most so many misses; cheap where they lie along a curve. */
export function haveFewMisses(counter: MissCounter, cycles: readonly Cycle[], most: number): boolean[] {
	if (cycles.length <= 1) return cycles.map((cycle) => counter.count(cycle) <= most);
	const ends = (key: keyof Cycle): [number, number] => {
		const sorted = Float64Array.from(cycles, (cycle) => cycle[key]).sort();
		return [sorted[0]!, sorted.at(-1)!];
	};
	const [[shortBurst, longBurst], [shortPause, longPause]] = [ends("onSeconds"), ends("offSeconds")];
	const inner = counter.within(
		{ onSeconds: shortBurst, offSeconds: longPause },
		{ onSeconds: longBurst, offSeconds: shortPause },
	);
	const half = cycles.length >> 1;
	return [
		...haveFewMisses(inner, cycles.slice(0, half), most),
		...haveFewMisses(inner, cycles.slice(half), most),
	];
}
