import type { Model } from "../../model/chamber.ts";
import type { CycleSchedule } from "../../model/schedule/schedule.ts";
import { makeTimeline } from "../../model/schedule/timeline.ts";
import { type CompiledModel, compile } from "../compile.ts";
import { findPeriodicStart } from "../periodic.ts";
import { propagate } from "../propagate/propagate.ts";
import {
	accumulate,
	computeStats,
	makeStatsAccumulator,
	type SolutionSegment,
} from "../propagate/solutionsegment.ts";
import { maxHourlyMean } from "../worsthour.ts";
import { periodicCycle } from "./closedform.ts";
import { isOneZone } from "./settingmap.ts";

/** Figures of the periodic regime of a cycle in the zone of the crop [ppm]; infinite where nothing is carried away. */
export interface CycleStats {
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
}

const NEVER: CycleStats = {
	peakPpm: Number.POSITIVE_INFINITY,
	meanPpm: Number.POSITIVE_INFINITY,
	troughPpm: Number.POSITIVE_INFINITY,
};

export const makeCycle = (onSeconds: number, offSeconds: number): CycleSchedule => ({
	kind: "cycle",
	onSeconds,
	offSeconds,
});

/** Judges cycle after cycle of one linear model: in closed form where that serves, by the exact path where not. */
export function makeCycleStats(
	given: Model | CompiledModel,
): (onSeconds: number, offSeconds: number) => CycleStats {
	const compiled = compile(given);
	const { model, balance: b } = compiled;
	if (isOneZone(compiled)) {
		const rise = b.riseMixed * compiled.sourceM3PerS;
		return (on, off) =>
			periodicCycle(model.intakePpm, rise, b.infiltrationPerS + b.fanPerS, b.infiltrationPerS, on, off);
	}
	const { crop } = b;
	return (on, off) => {
		const timeline = makeTimeline(makeCycle(on, off));
		const steadyState = findPeriodicStart({ compiled, timeline }, {});
		if (!steadyState.exists) return NEVER;
		const seen = makeStatsAccumulator();
		const onSolution = (solution: SolutionSegment) =>
			accumulate(seen, solution, crop, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
		propagate(compiled, timeline, steadyState.periodSeconds, steadyState.start, {}, { onSolution });
		return computeStats(seen);
	};
}

/**
 * Peak alone, cycle after cycle [ppm]. In one zone the CO2 can rise only up to the moment when the fan that spins up has
 * overtaken the source, so no more of the burst than that is looked at.
 */
export function makeCyclePeaks(
	given: Model | CompiledModel,
): (onSeconds: number, offSeconds: number) => number {
	const compiled = compile(given);
	const all = makeCycleStats(compiled);
	if (isOneZone(compiled) || compiled.balance.states > 1) return (on, off) => all(on, off).peakPpm;
	return (on, off) => {
		const timeline = makeTimeline(makeCycle(on, off));
		const steadyState = findPeriodicStart({ compiled, timeline }, {});
		if (!steadyState.exists) return Number.POSITIVE_INFINITY;
		let peak = compiled.model.intakePpm + steadyState.start.state[0]!;
		const onSolution = (solution: SolutionSegment) => {
			for (const t of [...solution.turningPoints(0), solution.durationSeconds])
				peak = Math.max(peak, solution.ppmAt(0, t));
			return solution.ppmAt(0, solution.durationSeconds) < peak ? "stop" : undefined;
		};
		propagate(compiled, timeline, on, steadyState.start, {}, { onSolution });
		return peak;
	};
}

/** Highest mean over any hour of the periodic regime, cycle after cycle [ppm]. */
export function makeCycleMaxHourlyMeans(
	given: Model | CompiledModel,
): (onSeconds: number, offSeconds: number) => number {
	const compiled = compile(given);
	return (on, off) => {
		const timeline = makeTimeline(makeCycle(on, off));
		const steadyState = findPeriodicStart({ compiled, timeline }, {});
		if (!steadyState.exists) return Number.POSITIVE_INFINITY;
		const hour = maxHourlyMean(compiled.balance.crop);
		const onSolution = (solution: SolutionSegment) => hour.add(solution);
		propagate(compiled, timeline, steadyState.periodSeconds, steadyState.start, {}, { onSolution });
		return hour.meanPpm(true);
	};
}
