import type { ConcentrationStats } from "./propagate/solutionsegment.ts";

/** What is asked of the CO2: a statistic under a ceiling, and the mean above a floor where there is one. */
export interface CriterionTarget {
	readonly statistic: "peak" | "mean" | "worst hour";
	readonly ceilingPpm: number;
	readonly floorPpm: number | null;
}

/** The target, and whether a trace meets it. */
export interface Criterion extends CriterionTarget {
	/** The judged value: that of the statistic [ppm]. */
	readonly valuePpm: number;
	/** The value is at or below the ceiling and, when there is a floor, the mean is at or above it. */
	readonly isMet: boolean;
	/**
	 * Factor by which CO2 output can grow before the value passes the ceiling [-]: permitted excess over excess, below 1
	 * where it is above it now; null when nothing is given off. Exact except where CO2 slows respiration, which leaves more.
	 */
	readonly headroomFactor: number | null;
}

type JudgedStats = Pick<ConcentrationStats, "peakPpm" | "meanPpm"> & { readonly maxHourlyMeanPpm: number };

export function evaluateCriterion(
	{ peakPpm, meanPpm, maxHourlyMeanPpm }: JudgedStats,
	{ statistic, ceilingPpm, floorPpm }: CriterionTarget,
	intakePpm: number,
): Criterion {
	const valuePpm = { peak: peakPpm, mean: meanPpm, "worst hour": maxHourlyMeanPpm }[statistic];
	return {
		statistic,
		valuePpm,
		ceilingPpm,
		floorPpm,
		isMet: valuePpm <= ceilingPpm && (floorPpm === null || meanPpm >= floorPpm),
		headroomFactor: valuePpm > intakePpm ? (ceilingPpm - intakePpm) / (valuePpm - intakePpm) : null,
	};
}

/** By how much a trace misses its target [ppm]; 0 where it meets it. */
export function violationPpm(
	valuePpm: number,
	meanPpm: number,
	{ ceilingPpm, floorPpm }: Pick<CriterionTarget, "ceilingPpm" | "floorPpm">,
): number {
	const over = Math.max(0, valuePpm - ceilingPpm);
	return over + (floorPpm === null ? 0 : Math.max(0, floorPpm - meanPpm));
}

/** Time outside the target. */
export interface Exceedance {
	/** Time above the ceiling [s in each hour, on average] and as a share of all time [%]. */
	readonly exceedanceSecondsPerHour: number;
	readonly exceedancePercent: number;
	/** Time below the floor of a wanted band; null when there is no floor. */
	readonly belowFloorSecondsPerHour: number | null;
	readonly belowFloorPercent: number | null;
}

export const exceedanceOf = (
	aboveSeconds: number,
	belowSeconds: number | null,
	windowSeconds: number,
): Exceedance => ({
	exceedanceSecondsPerHour: (3600 * aboveSeconds) / windowSeconds,
	exceedancePercent: (100 * aboveSeconds) / windowSeconds,
	belowFloorSecondsPerHour: belowSeconds === null ? null : (3600 * belowSeconds) / windowSeconds,
	belowFloorPercent: belowSeconds === null ? null : (100 * belowSeconds) / windowSeconds,
});

/** The continuous equivalent, and the penalty of intermittency. */
export interface IntermittencyPenalty {
	/** CO2 under continuous flow with the same air per day, in the zone of the crop [ppm]; null when there is no air at all. */
	readonly continuousPpm: number | null;
	/** Mean less continuous, peak less continuous [ppm]. */
	readonly meanPenaltyPpm: number | null;
	readonly peakPenaltyPpm: number | null;
}

export const penaltyOf = (
	{ meanPpm, peakPpm }: Pick<ConcentrationStats, "meanPpm" | "peakPpm">,
	continuousPpm: number | null,
): IntermittencyPenalty => ({
	continuousPpm,
	meanPenaltyPpm: continuousPpm === null ? null : meanPpm - continuousPpm,
	peakPenaltyPpm: continuousPpm === null ? null : peakPpm - continuousPpm,
});
