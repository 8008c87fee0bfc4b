import type { CompiledModel } from "../../solve/compile.ts";
import { makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { isOneZone } from "../../solve/cycles/settingmap.ts";
import { DAY } from "../../time.ts";
import type { FrontPoint, FrontRule } from "../choosetypes.ts";
import type { SearchResult } from "./gridsearch.ts";
import { allowedBursts, cycleAt, type GridPlace, type SearchGrid, type SearchProblem } from "./search.ts";

/** How much more air than the best setting an alternative may need. */
export const MAX_AIR_RATIO = 1.25;
/** Where a timer has more settings, or each has to be judged on the exact path, only the shortest burst for each pause is compared. */
const MAX_SETTINGS = 10_000_000;

/** A point of the front and where it stands in the grid that was searched. */
export interface FrontCandidate extends FrontPoint {
	readonly place: GridPlace;
}

/** Which settings are compared for the front. */
export const frontRule = ({ grid }: Pick<SearchResult, "grid">, model: CompiledModel): FrontRule =>
	isEverySettingCompared(grid, model) ? "all settings" : "shortest burst for each pause";

export const isEverySettingCompared = (
	{ onSeconds, offSeconds }: SearchGrid,
	model: CompiledModel,
): boolean => isOneZone(model) && onSeconds.length * offSeconds.length <= MAX_SETTINGS;

/**
 * Settings that meet the target within a quarter more air than the best, and that no other beats in air, switches and ripple
 * at once; ascending in air.
 */
export function paretoFront(
	{ grid, shortest }: Pick<SearchResult, "grid" | "shortest">,
	problem: SearchProblem,
	model: CompiledModel,
	leastAir: number,
	all = isEverySettingCompared(grid, model),
): FrontCandidate[] {
	const most = leastAir * MAX_AIR_RATIO * (1 + 1e-12);
	const stats = makeCycleStats(model);
	const points: FrontCandidate[] = [];
	for (const [j, offSeconds] of grid.offSeconds.entries()) {
		if (shortest[j]! < 0) continue;
		const { to } = allowedBursts(grid, problem.limits, offSeconds);
		for (let k = shortest[j]!; k < to; k++) {
			const cycle = cycleAt(grid, k, j);
			const freshAirM3PerDay = problem.freshAirM3PerDay(cycle);
			if (freshAirM3PerDay > most || !problem.mayStayAboveFloors(cycle)) break;
			if (k > shortest[j]! && !problem.meetsTarget(cycle)) continue;
			const { peakPpm, troughPpm } = stats(cycle);
			points.push({
				place: { onIndex: k, offIndex: j },
				...cycle,
				freshAirM3PerDay,
				burstsPerDay: DAY / (cycle.onSeconds + offSeconds),
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
