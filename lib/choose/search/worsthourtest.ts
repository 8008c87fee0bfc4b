import type { Cycle } from "../../model/schedule/schedule.ts";
import type { CompiledModel } from "../../solve/compile.ts";
import type { CycleStats } from "../../solve/cycles/closedform.ts";
import { makeCycleMaxHourlyMeans } from "../../solve/cycles/cyclestats.ts";
import { makeEquivalentCycle, withInstantFan } from "../../solve/cycles/equivalentcycle.ts";
import { HOUR } from "../../time.ts";

/** By how much the worst hour of the equivalent instant fan may be off, of the excess; tests find a tenth of it. */
const MARGIN = 0.02;

/**
 * Whether the worst hour of a cycle is at or below a ceiling. It is asked exactly only where nothing simpler tells: whole cycles have
 * their mean and the rest of the hour lies below the peak; and in one zone the equivalent instant fan comes near.
 */
export function makeHourTest(
	steady: CompiledModel,
	stats: (cycle: Cycle) => CycleStats,
	ceilingPpm: number,
): (cycle: Cycle) => boolean {
	const exact = makeCycleMaxHourlyMeans(steady);
	const equivalent = makeEquivalentCycle(steady.model);
	const near = steady.balance.states === 1 ? makeCycleMaxHourlyMeans(withInstantFan(steady.model)) : null;
	const excess = ceilingPpm - steady.model.intakePpm;
	return (cycle) => {
		const { peakPpm, meanPpm } = stats(cycle);
		const rest = (HOUR % (cycle.onSeconds + cycle.offSeconds)) / HOUR;
		if (meanPpm + rest * (peakPpm - meanPpm) <= ceilingPpm) return true;
		if (near !== null) {
			const found = near(equivalent(cycle)) - ceilingPpm;
			if (Math.abs(found) > MARGIN * excess) return found < 0;
		}
		return exact(cycle) <= ceilingPpm;
	};
}
