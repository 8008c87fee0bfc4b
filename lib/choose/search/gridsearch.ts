import type { Model } from "../../model/chamber.ts";
import type { DialGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { cycleFigures } from "../../solve/cycles/cyclestats.ts";
import { longestPauseSeconds } from "../../solve/cycles/maxofftime.ts";
import type { Boundary, Bounds } from "../choosetypes.ts";
import type { CycleLimits } from "../evaluate.ts";
import { flowNeeded } from "./bindingconstraint.ts";
import { bestSetting, type Found, type SearchGrid, type SearchProblem, shortestBursts } from "./search.ts";

/** A grid of the timer with its dials by their seconds, and the search's answer on it. */
export interface Searched {
	readonly grid: SearchGrid;
	readonly dials: DialGrid;
	readonly shortest: Int32Array;
	readonly best: Found | null;
}

export function search(dials: DialGrid, problem: SearchProblem): Searched {
	const grid = {
		onSeconds: dials.on.map((dial) => dial.seconds),
		offSeconds: dials.off.map((dial) => dial.seconds),
	};
	const shortest = shortestBursts(grid, problem);
	return { grid, dials, shortest, best: bestSetting(grid, problem, shortest) };
}

export function boundaryOf({ grid, shortest }: Searched): Boundary {
	return {
		offSeconds: Float64Array.from(grid.offSeconds),
		onSeconds: Float64Array.from(shortest, (k) => grid.onSeconds[k] ?? Number.NaN),
	};
}

export function boundsOf(
	scenario: Scenario,
	steady: Model,
	limits: CycleLimits,
	searched: readonly Searched[],
	problem: SearchProblem,
): Bounds {
	const { ceiling, on } = scenario.target;
	let settings = 0;
	let holding = 0;
	for (const { grid, shortest } of searched)
		for (const [j, off] of grid.offSeconds.entries()) {
			const { onSeconds } = grid;
			const allowed = span(onSeconds, (a) => problem.allowed(a, off));
			settings += allowed.to - allowed.from;
			const first = shortest[j]!;
			if (first < 0) continue;
			// From the shortest burst that holds upwards, the mean falls, until it leaves a band.
			let low = first;
			let high = allowed.to;
			if (scenario.target.floor === null) low = high;
			while (low < high) {
				const middle = (low + high) >> 1;
				if (problem.accepts(onSeconds[middle]!, off)) low = middle + 1;
				else high = middle;
			}
			holding += low - first;
		}
	return {
		longestOffSeconds: longestPauseSeconds(steady, ceiling.value, on),
		flowNeededM3PerS: steady.supplyPpm >= ceiling.value ? null : flowNeeded(steady, ceiling.value),
		flowM3PerS: steady.fanM3PerS,
		shortestOnSeconds: limits.shortestOn,
		shortestOffSeconds: limits.shortestOff,
		longestCycleSeconds: limits.longestCycle,
		settings,
		holding,
	};
}

/** The stretch of a list in which a test holds; it holds in one stretch. */
function span(list: readonly number[], test: (x: number) => boolean): { from: number; to: number } {
	const from = list.findIndex(test);
	return from < 0 ? { from: 0, to: 0 } : { from, to: list.findLastIndex(test) + 1 };
}

/** Of all settings the one with the lowest figure: the longest burst and the shortest pause within the limits. */
export function nearestOf(
	searched: readonly Searched[],
	problem: SearchProblem,
	steady: Model,
	{ target }: Scenario,
): { found: Pick<Found, "onSeconds" | "offSeconds">; dials: DialGrid } | null {
	const figures = cycleFigures(steady);
	const miss = (on: number, off: number) => {
		const { peakPpm, meanPpm } = figures(on, off);
		const over = Math.max(0, (target.on === "peak" ? peakPpm : meanPpm) - target.ceiling.value);
		return over + (target.floor === null ? 0 : Math.max(0, target.floor.value - meanPpm));
	};
	let nearest: { found: Pick<Found, "onSeconds" | "offSeconds">; dials: DialGrid; miss: number } | null =
		null;
	for (const { grid, dials, shortest } of searched)
		for (const [j, offSeconds] of grid.offSeconds.entries()) {
			// With a floor the shortest burst that holds the ceiling is nearest to the band, else the longest one.
			const k =
				shortest[j]! >= 0
					? shortest[j]!
					: grid.onSeconds.findLastIndex((on) => problem.allowed(on, offSeconds));
			const onSeconds = grid.onSeconds[k];
			if (onSeconds === undefined) continue;
			const by = miss(onSeconds, offSeconds);
			if (nearest === null || by < nearest.miss)
				nearest = { found: { onSeconds, offSeconds }, dials, miss: by };
		}
	return nearest;
}
