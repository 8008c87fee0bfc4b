import type { Model } from "../../model/chamber.ts";
import type { Cycle, CycleSchedule } from "../../model/schedule/schedule.ts";
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
import { type CycleStats, periodicCycle } from "./closedform.ts";
import { type CycleRates, maxHourlyMeanOfCycle } from "./cyclehour.ts";
import { isOneZone } from "./settingmap.ts";
import { makeTwoZoneCycle } from "./twozonecycle.ts";
import { makeTwoZoneHour } from "./twozonehour.ts";

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

/** Two zones that are aired at all and a fan without spin-up and coast-down. */
const isTwoZone = ({ model, balance: { states, stagnant }, isLinear }: CompiledModel): boolean =>
	isLinear &&
	states === 2 &&
	stagnant > 0 &&
	(model.spinUpTauSeconds ?? 0) === 0 &&
	(model.coastDownTauSeconds ?? 0) === 0 &&
	model.infiltrationM3PerS + model.deliveredM3PerS > 0 &&
	(model.interzonalM3PerS ?? 0) > 0;

/** Judges cycle after cycle of one linear model: in closed form where that serves, by the exact path where not. */
export function makeCycleStats(given: Model | CompiledModel): (cycle: Cycle) => CycleStats {
	const compiled = compile(given);
	const { crop } = compiled.balance;
	if (isOneZone(compiled)) {
		const { risePpmPerS, onPerS, offPerS } = cycleRates(compiled);
		const { intakePpm } = compiled.model;
		return ({ onSeconds, offSeconds }) =>
			periodicCycle(intakePpm, risePpmPerS, onPerS, offPerS, onSeconds, offSeconds);
	}
	if (isTwoZone(compiled)) return makeTwoZoneCycle(compiled);
	return ({ onSeconds, offSeconds }) => {
		const timeline = makeTimeline(makeCycle(onSeconds, offSeconds));
		const steadyState = findPeriodicStart({ compiled, timeline }, {});
		if (!steadyState.exists) return NEVER;
		const seen = makeStatsAccumulator();
		const onSolution = (solution: SolutionSegment) =>
			accumulate(seen, solution, crop, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
		propagate(compiled, timeline, steadyState.periodSeconds, steadyState.start, {}, { onSolution });
		return computeStats(seen);
	};
}

/** What the closed form goes by. */
export const cycleRates = ({
	balance: b,
	sourceM3PerS,
}: Pick<CompiledModel, "balance" | "sourceM3PerS">): CycleRates => ({
	risePpmPerS: b.riseMixed * sourceM3PerS,
	onPerS: b.infiltrationPerS + b.fanPerS,
	offPerS: b.infiltrationPerS,
});

/**
 * Peak alone, cycle after cycle [ppm]. In one zone the CO2 can rise only up to the moment when the fan that spins up has
 * overtaken the source, so no more of the burst than that is looked at.
 */
export function makeCyclePeaks(given: Model | CompiledModel): (cycle: Cycle) => number {
	const compiled = compile(given);
	const all = makeCycleStats(compiled);
	if (isOneZone(compiled) || compiled.balance.states > 1) return (cycle) => all(cycle).peakPpm;
	return ({ onSeconds, offSeconds }) => {
		const timeline = makeTimeline(makeCycle(onSeconds, offSeconds));
		const steadyState = findPeriodicStart({ compiled, timeline }, {});
		if (!steadyState.exists) return Number.POSITIVE_INFINITY;
		let peak = compiled.model.intakePpm + steadyState.start.state[0]!;
		const onSolution = (solution: SolutionSegment) => {
			for (const t of [...solution.turningPoints(0), solution.durationSeconds])
				peak = Math.max(peak, solution.ppmAt(0, t));
			return solution.ppmAt(0, solution.durationSeconds) < peak ? "stop" : undefined;
		};
		propagate(compiled, timeline, onSeconds, steadyState.start, {}, { onSolution });
		return peak;
	};
}

/** Highest mean over any hour of the periodic regime, cycle after cycle [ppm]. */
export function makeCycleMaxHourlyMeans(given: Model | CompiledModel): (cycle: Cycle) => number {
	const compiled = compile(given);
	if (isOneZone(compiled)) {
		const stats = makeCycleStats(compiled);
		const rates = cycleRates(compiled);
		return (cycle) => maxHourlyMeanOfCycle(compiled.model.intakePpm, rates, cycle, stats(cycle));
	}
	const inTwoZones = isTwoZone(compiled) ? makeTwoZoneHour(compiled) : null;
	return ({ onSeconds, offSeconds }) => {
		const found = inTwoZones?.({ onSeconds, offSeconds }) ?? null;
		if (found !== null) return found;
		const timeline = makeTimeline(makeCycle(onSeconds, offSeconds));
		const steadyState = findPeriodicStart({ compiled, timeline }, {});
		if (!steadyState.exists) return Number.POSITIVE_INFINITY;
		const hour = maxHourlyMean(compiled.balance.crop);
		const onSolution = (solution: SolutionSegment) => hour.add(solution);
		propagate(compiled, timeline, steadyState.periodSeconds, steadyState.start, {}, { onSolution });
		return hour.meanPpm(true);
	};
}
