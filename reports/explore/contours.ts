import type { Model } from "../../lib/model/chamber.ts";
import type { Cycle } from "../../lib/model/schedule/schedule.ts";
import { power } from "../../lib/power.ts";
import type { ContourGrid } from "../../lib/solve/cycles/contour.ts";
import {
	makeCycleMaxHourlyMeans,
	makeCyclePeaks,
	makeCycleStats,
} from "../../lib/solve/cycles/cyclestats.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";

export type Statistic = "peak" | "mean" | "worst hour";

/**
 * The chamber with supply air of 0 ppm and a source that raises it by 1 ppm/s when closed. A linear balance answers in
 * proportion, so this one map serves every supply, respiration and ceiling.
 */
export function unitModel(model: Model): { readonly unit: Model; readonly scale: number } {
	const { startPpm: _, ...steady } = withMaximumSource(model);
	const generationM3PerS = steady.volumeM3 / 1e6;
	return {
		unit: { ...steady, intakePpm: 0, generationM3PerS },
		scale: steady.generationM3PerS / generationM3PerS,
	};
}

/** Times evenly apart in the logarithm, both ends included [s]. */
export const logSpacedTimes = (low: number, high: number, count: number): Float64Array =>
	Float64Array.from({ length: count }, (_, i) => low * power(high / low, i / (count - 1)));

/** Fills a grid one on-time after the other, so that it can be done piece by piece between two frames. */
export function* fillGrid(
	unit: Model,
	statistic: Statistic,
	onSeconds: Float64Array,
	offSeconds: Float64Array,
): Generator<undefined, ContourGrid> {
	const of = statisticOf(unit, statistic);
	const excess = new Float64Array(onSeconds.length * offSeconds.length);
	for (let i = 0; i < onSeconds.length; i++)
		for (let j = 0; j < offSeconds.length; j++) {
			excess[i * offSeconds.length + j] = of({ onSeconds: onSeconds[i]!, offSeconds: offSeconds[j]! });
			if (j % 4 === 3) yield undefined;
		}
	return { onSeconds, offSeconds, excess };
}

function statisticOf(unit: Model, statistic: Statistic): (cycle: Cycle) => number {
	if (statistic === "worst hour") return makeCycleMaxHourlyMeans(unit);
	if (statistic === "peak") return makeCyclePeaks(unit);
	const all = makeCycleStats(unit);
	return (cycle) => all(cycle).meanPpm;
}
