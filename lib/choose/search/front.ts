import type { Model } from "../../model/chamber.ts";
import { type CompiledModel, compile } from "../../solve/compile.ts";
import { makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { isOneZone } from "../../solve/cycles/settingmap.ts";
import { DAY } from "../../time.ts";
import type { FrontPoint } from "../choosetypes.ts";
import type { SearchResult } from "./gridsearch.ts";
import type { GridPlace, SearchProblem } from "./search.ts";

/** How much more air than the best setting an alternative may need. */
export const MAX_AIR_RATIO = 1.25;

/** A point of the front and where it stands in the grid that was searched. */
export interface FrontCandidate extends FrontPoint {
	readonly place: GridPlace;
}

/**
 * Settings that hold the target within a quarter more air than the best, and that no other beats in air, switches and ripple
 * at once; ascending in air. Where each setting has to be judged on the exact path (spin-up, two zones), only the shortest
 * burst for each pause is in the running.
 */
export function paretoFront(
	{ grid, shortest }: SearchResult,
	problem: SearchProblem,
	model: Model | CompiledModel,
	leastAir: number,
): FrontCandidate[] {
	const most = leastAir * MAX_AIR_RATIO * (1 + 1e-12);
	const compiled = compile(model);
	const stats = makeCycleStats(compiled);
	const all = isOneZone(compiled);
	const points: FrontCandidate[] = [];
	for (const [j, offSeconds] of grid.offSeconds.entries()) {
		if (shortest[j]! < 0) continue;
		for (let k = shortest[j]!; k < grid.onSeconds.length; k++) {
			const onSeconds = grid.onSeconds[k]!;
			const freshAirM3PerDay = problem.freshAirM3PerDay(onSeconds, offSeconds);
			if (freshAirM3PerDay > most || !problem.isAboveFloor(onSeconds, offSeconds)) break;
			if (!problem.isWithinLimits(onSeconds, offSeconds)) continue;
			const { peakPpm, troughPpm } = stats(onSeconds, offSeconds);
			points.push({
				place: { onIndex: k, offIndex: j },
				onSeconds,
				offSeconds,
				freshAirM3PerDay,
				burstsPerDay: DAY / (onSeconds + offSeconds),
				ripplePpm: peakPpm - troughPpm,
				peakPpm,
			});
			if (!all) break;
		}
	}
	return removeDominated(points);
}

/** Points that no other equals or beats in all three measures, ascending in air. */
export function removeDominated<P extends FrontPoint>(points: readonly P[]): P[] {
	const sorted = points.toSorted(
		(a, b) =>
			a.freshAirM3PerDay - b.freshAirM3PerDay || a.burstsPerDay - b.burstsPerDay || a.ripplePpm - b.ripplePpm,
	);
	const kept: P[] = [];
	/** Of what has as little air: the least ripple for at most so many bursts, ascending in bursts, descending in ripple. */
	const stairs: { bursts: number; ripple: number }[] = [];
	for (const point of sorted) {
		const { burstsPerDay: bursts, ripplePpm: ripple } = point;
		let low = 0;
		let high = stairs.length;
		while (low < high) {
			const middle = (low + high) >> 1;
			if (stairs[middle]!.bursts <= bursts) low = middle + 1;
			else high = middle;
		}
		if (low > 0 && stairs[low - 1]!.ripple <= ripple) continue;
		kept.push(point);
		let end = low;
		while (end < stairs.length && stairs[end]!.ripple >= ripple) end++;
		stairs.splice(low, end - low, { bursts, ripple });
	}
	return kept;
}
