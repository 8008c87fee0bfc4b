import { SolverError } from "../../errors.ts";
import type { Cycle } from "../../model/schedule/schedule.ts";
import type { CompiledModel } from "../../solve/compile.ts";
import type { CycleStats } from "../../solve/cycles/closedform.ts";
import { makeCycleMaxHourlyMeans } from "../../solve/cycles/cyclestats.ts";
import { makeEquivalentCycle, withInstantFan } from "../../solve/cycles/equivalentcycle.ts";
import { HOUR } from "../../time.ts";

/** By how much the worst hour of the equivalent instant fan may be off in one zone and in two, of the excess; tests find half of it at most. */
const MARGINS = [0.02, 0.1] as const;

/** Cycles that are asked exactly in one search: some 30 s. */
const MAX_EXACT = 100_000;

/**
 * Whether the worst hour of a cycle is at or below a ceiling. It is asked exactly only where nothing simpler tells: whole cycles have
 * their mean and the rest of the hour lies below the peak; and the equivalent instant fan comes near.
 */
export function makeHourTest(
	steady: CompiledModel,
	stats: (cycle: Cycle) => CycleStats,
	ceilingPpm: number,
	maxExact = MAX_EXACT,
): (cycle: Cycle) => boolean {
	const exact = makeCycleMaxHourlyMeans(steady);
	const equivalent = makeEquivalentCycle(steady.model);
	const near = steady.isLinear ? makeCycleMaxHourlyMeans(withInstantFan(steady.model)) : null;
	const margin = MARGINS[steady.balance.states === 1 ? 0 : 1] * (ceilingPpm - steady.model.intakePpm);
	let asked = 0;
	return (cycle) => {
		if (near !== null) {
			const found = near(equivalent(cycle)) - ceilingPpm;
			if (Math.abs(found) > margin) return found < 0;
		}
		const { peakPpm, meanPpm } = stats(cycle);
		const rest = (HOUR % (cycle.onSeconds + cycle.offSeconds)) / HOUR;
		if (meanPpm + rest * (peakPpm - meanPpm) <= ceilingPpm) return true;
		if (++asked > maxExact)
			throw new SolverError(
				`the search gave up after the exact worst hour of ${maxExact} cycles, the last of them ${cycle.onSeconds} s on and ${cycle.offSeconds} s off; a timer with coarser steps or a ceiling on the peak has an answer`,
				cycle.onSeconds + cycle.offSeconds,
				[],
			);
		return exact(cycle) <= ceilingPpm;
	};
}
