import type { DisplayGrid } from "../../model/schedule/timer.ts";
import { violationPpm } from "../../solve/criterion.ts";
import { makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import type { FeasibilityBoundary, FeasibilityLimits } from "../choosetypes.ts";
import type { ChoiceContext } from "../evaluate.ts";
import { findNeededFlow } from "./bindingconstraint.ts";
import {
	type Candidate,
	findBest,
	findShortestBursts,
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

export function search(displayGrid: DisplayGrid, problem: SearchProblem): SearchResult {
	const grid = {
		onSeconds: displayGrid.on.map((value) => value.seconds),
		offSeconds: displayGrid.off.map((value) => value.seconds),
	};
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
	for (const { grid, shortest } of searched)
		for (const [j, off] of grid.offSeconds.entries()) {
			const { onSeconds } = grid;
			const allowed = findSpan(onSeconds, (a) => problem.isWithinLimits(a, off));
			candidateCount += allowed.to - allowed.from;
			const first = shortest[j]!;
			if (first < 0) continue;
			// From the shortest burst that holds upwards, the mean falls, until it leaves a band.
			let low = first;
			let high = allowed.to;
			if (scenario.target.floor === null) low = high;
			while (low < high) {
				const middle = (low + high) >> 1;
				if (problem.isAboveFloor(onSeconds[middle]!, off)) low = middle + 1;
				else high = middle;
			}
			feasibleCount += low - first;
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

/** The stretch of a list in which a test holds; it holds in one stretch. */
function findSpan(list: readonly number[], test: (x: number) => boolean): { from: number; to: number } {
	const from = list.findIndex(test);
	return from < 0 ? { from: 0, to: 0 } : { from, to: list.findLastIndex(test) + 1 };
}

/** Of all settings the one with the lowest figure: the longest burst and the shortest pause within the limits. */
export function findClosest(
	{ scenario: { target }, steady }: ChoiceContext,
	searched: readonly SearchResult[],
	problem: SearchProblem,
): FoundSetting | null {
	const stats = makeCycleStats(steady);
	const limits = {
		statistic: target.on,
		ceilingPpm: target.ceiling.value,
		floorPpm: target.floor?.value ?? null,
	};
	const computeViolationPpm = (on: number, off: number) => {
		const { peakPpm, meanPpm } = stats(on, off);
		return violationPpm(target.on === "peak" ? peakPpm : meanPpm, meanPpm, limits);
	};
	let closest: (FoundSetting & { violationPpm: number }) | null = null;
	for (const { grid, displayGrid, shortest } of searched)
		for (const [j, offSeconds] of grid.offSeconds.entries()) {
			// With a floor the shortest burst that holds the ceiling is nearest to the band, else the longest one.
			const k =
				shortest[j]! >= 0
					? shortest[j]!
					: grid.onSeconds.findLastIndex((on) => problem.isWithinLimits(on, offSeconds));
			const onSeconds = grid.onSeconds[k];
			if (onSeconds === undefined) continue;
			const violationPpm = computeViolationPpm(onSeconds, offSeconds);
			if (closest === null || violationPpm < closest.violationPpm)
				closest = { place: { onIndex: k, offIndex: j }, displayGrid, violationPpm };
		}
	return closest;
}
