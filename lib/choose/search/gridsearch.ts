import type { DisplayGrid } from "../../model/schedule/timer.ts";
import { violationPpm } from "../../solve/criterion.ts";
import { makeCycleMaxHourlyMeans, makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import type { FeasibilityBoundary, FeasibilityLimits } from "../choosetypes.ts";
import type { ChoiceContext } from "../evaluate.ts";
import { findNeededFlow } from "./bindingconstraint.ts";
import {
	allowedBursts,
	type Candidate,
	cycleAt,
	findBest,
	findShortestBursts,
	firstWhere,
	firstWhereNear,
	type GridPlace,
	isBetterCandidate,
	type SearchGrid,
	type SearchProblem,
} from "./search.ts";

/** A grid of the timer with its dials by their seconds, and the search's answer on it. */
export interface SearchResult {
	readonly grid: SearchGrid;
	readonly displayGrid: DisplayGrid;
	readonly shortest: Int32Array;
	readonly best: Candidate | null;
}

/** A setting and the grid in which it has its place. */
export interface FoundSetting {
	readonly displayGrid: DisplayGrid;
	readonly place: GridPlace;
}

/** Of what was found on several grids the best; null when nothing was. */
export const findBestOfAll = (searched: readonly SearchResult[], problem: SearchProblem) =>
	searched.reduce<(SearchResult & { readonly best: Candidate }) | null>(
		(a, b) =>
			b.best !== null && (a === null || isBetterCandidate(b.best, a.best, problem))
				? { ...b, best: b.best }
				: a,
		null,
	);

export function search(
	displayGrid: DisplayGrid,
	problemOf: (grid: SearchGrid) => SearchProblem,
): SearchResult {
	const grid = {
		onSeconds: displayGrid.on.map((value) => value.seconds),
		offSeconds: displayGrid.off.map((value) => value.seconds),
	};
	const problem = problemOf(grid);
	const shortest = findShortestBursts(grid, problem);
	return { grid, displayGrid, shortest, best: findBest(grid, problem, shortest) };
}

export function traceFeasibilityBoundary({ grid, shortest }: SearchResult): FeasibilityBoundary {
	return {
		offSeconds: Float64Array.from(grid.offSeconds),
		onSeconds: Float64Array.from(shortest, (k) => grid.onSeconds[k] ?? Number.NaN),
	};
}

export function computeFeasibilityLimits(
	{ scenario, steady, limits }: ChoiceContext,
	searched: readonly SearchResult[],
	problem: SearchProblem,
): FeasibilityLimits {
	const { model } = steady;
	const { ceiling, on } = scenario.target;
	let candidateCount = 0;
	let feasibleCount = 0;
	for (const [g, { grid, shortest }] of searched.entries()) {
		const count = makeFreshCounter(
			grid,
			searched.slice(0, g).map(({ grid }) => grid),
		);
		let below = 0;
		for (const [j, offSeconds] of grid.offSeconds.entries()) {
			const { from, to } = allowedBursts(grid, limits, offSeconds);
			candidateCount += count(offSeconds, from, to);
			const first = shortest[j]!;
			// From the shortest burst that meets the target upwards, CO2 falls, until it leaves a band.
			if (first < 0) continue;
			below = firstWhereNear(below, first, to, (k) => !problem.mayStayAboveFloors(cycleAt(grid, k, j)));
			feasibleCount += count(offSeconds, first, below);
		}
	}
	return {
		maxOffSeconds: maxOffSeconds(steady, ceiling.value, on),
		flowNeededM3PerS: model.intakePpm >= ceiling.value ? null : findNeededFlow(model, ceiling.value),
		flowM3PerS: model.deliveredM3PerS,
		minOnSeconds: limits.minOnSeconds,
		minOffSeconds: limits.minOffSeconds,
		maxCycleSeconds: limits.maxCycleSeconds,
		candidateCount,
		feasibleCount,
	};
}

/** Counts the bursts beside a pause that no grid before has beside it: a pair that two shared ranges show is one setting. */
function makeFreshCounter(
	{ onSeconds }: SearchGrid,
	before: readonly SearchGrid[],
): (offSeconds: number, from: number, to: number) => number {
	const others = before.map((grid) => ({ on: new Set(grid.onSeconds), off: new Set(grid.offSeconds) }));
	/** Bursts below each place that are not in the grids named by the key. */
	const known = new Map<string, Uint32Array>();
	return (offSeconds, from, to) => {
		const sharing = others.filter(({ off }) => off.has(offSeconds));
		if (sharing.length === 0) return to - from;
		const key = sharing.map((other) => others.indexOf(other)).join();
		let below = known.get(key);
		if (below === undefined) {
			below = new Uint32Array(onSeconds.length + 1);
			for (const [k, on] of onSeconds.entries())
				below[k + 1] = below[k]! + (sharing.some((other) => other.on.has(on)) ? 0 : 1);
			known.set(key, below);
		}
		return below[to]! - below[from]!;
	};
}

/** Of all settings the one that misses the target by least: with the shortest burst under the ceilings, else with the longest. */
export function findClosest(
	{ target, steady }: ChoiceContext,
	searched: readonly SearchResult[],
	problem: SearchProblem,
): FoundSetting | null {
	const stats = makeCycleStats(steady);
	const hours = makeCycleMaxHourlyMeans(steady);
	const needsHours = [target, ...(target.further ?? [])].some(({ statistic }) => statistic === "worst hour");
	let closest: (FoundSetting & { missedPpm: number }) | null = null;
	for (const { grid, displayGrid } of searched) {
		let first = 0;
		for (const [j, offSeconds] of grid.offSeconds.entries()) {
			const { from, to } = allowedBursts(grid, problem.limits, offSeconds);
			if (from >= to) continue;
			first = firstWhere(Math.max(first, from), to, (k) => problem.mayStayUnderCeilings(cycleAt(grid, k, j)));
			const onIndex = Math.min(first, to - 1);
			const cycle = cycleAt(grid, onIndex, j);
			const own = stats(cycle);
			const missedPpm = violationPpm(
				{ ...own, maxHourlyMeanPpm: needsHours ? hours(cycle) : own.meanPpm },
				target,
			);
			if (closest === null || missedPpm < closest.missedPpm)
				closest = { place: { onIndex, offIndex: j }, displayGrid, missedPpm };
		}
	}
	return closest;
}
