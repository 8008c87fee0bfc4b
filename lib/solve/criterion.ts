import type { Model } from "../model/chamber.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { ConcentrationStats } from "./propagate/solutionsegment.ts";

/** A value of a trace that a target may be about. */
export type Statistic = "peak" | "mean" | "worst hour" | "trough";

/** A value of a trace and the level that it must not pass. */
export interface TargetLimit {
	readonly side: "ceiling" | "floor";
	readonly statistic: Statistic;
	readonly ppm: number;
	/** It is about relative humidity, in per cent. */
	readonly isHumidity?: boolean;
}

/** What is asked of the CO2: a statistic under a ceiling, the mean or another one above a floor where there is one, and further limits. */
export interface CriterionTarget {
	readonly statistic: "peak" | "mean" | "worst hour";
	readonly ceilingPpm: number;
	readonly floorPpm: number | null;
	/** Default: mean. */
	readonly floorStatistic?: "mean" | "trough" | "peak";
	readonly further?: readonly TargetLimit[];
}

/** The target, and whether a trace meets it. */
export interface Criterion extends CriterionTarget {
	/** The judged value: that of the statistic [ppm]. */
	readonly valuePpm: number;
	/** The value is at or below the ceiling, and every other limit is kept. */
	readonly isMet: boolean;
	/**
	 * Factor by which CO2 output can grow before a value passes its ceiling [-]: permitted excess over excess, below 1
	 * where it is above it now; null when nothing is given off. Where CO2 slows respiration or the intake air changes, at least this.
	 */
	readonly headroomFactor: number | null;
	/** What is asked of the humidity besides, which counts in `isMet`; absent: nothing. */
	readonly humidity?: HumidityCriterion;
}

/** What a target asks of relative humidity [%], and what it is. */
export interface HumidityCriterion {
	readonly floorPercent: number | null;
	/** The value that the floor is for. */
	readonly on: "trough" | "mean";
	readonly ceilingPercent: number | null;
	/** The value that the floor is for, and the peak, which the ceiling is for. */
	readonly valuePercent: number;
	readonly highestPercent: number;
	readonly isMet: boolean;
}

type Intake = Pick<Model, "intakePpm" | "intakeExcess">;

/** The values that targets are about [ppm]. */
export type JudgedStats = Pick<ConcentrationStats, "peakPpm" | "meanPpm" | "troughPpm"> & {
	readonly maxHourlyMeanPpm: number;
};

/** The target of a scenario in plain numbers. */
export const targetOf = ({ ceiling, on, floor, floorOn, further }: Scenario["target"]): CriterionTarget => ({
	statistic: on,
	ceilingPpm: ceiling.value,
	floorPpm: floor?.value ?? null,
	...(floorOn === "mean" ? {} : { floorStatistic: floorOn }),
	...(further.length === 0
		? {}
		: { further: further.map(({ side, on, level }) => ({ side, statistic: on, ppm: level.value })) }),
});

/** All limits of a target, its ceiling first, and others with them. */
export const listLimits = (
	{ statistic, ceilingPpm, floorPpm, floorStatistic = "mean", further = [] }: CriterionTarget,
	others: readonly TargetLimit[] = [],
): readonly TargetLimit[] => [
	{ side: "ceiling", statistic, ppm: ceilingPpm },
	...(floorPpm === null ? [] : [{ side: "floor", statistic: floorStatistic, ppm: floorPpm } as const]),
	...further,
	...others,
];

/** Value of a statistic [ppm]. */
export const statisticValue = (stats: JudgedStats, statistic: Statistic): number =>
	({
		peak: stats.peakPpm,
		mean: stats.meanPpm,
		"worst hour": stats.maxHourlyMeanPpm,
		trough: stats.troughPpm,
	})[statistic];

/** By how much a value passes a limit [ppm]; 0 or less where it keeps it. */
export const passedPpm = (valuePpm: number, { side, ppm }: TargetLimit): number =>
	side === "ceiling" ? valuePpm - ppm : ppm - valuePpm;

/**
 * Of a value v = b + u, b between the lowest and the highest intake and u in proportion to the output, b + k u keeps the ceiling c
 * for k up to (c - lowest) / (v - lowest) where v keeps it, and up to (c - highest) / (v - highest) where it does not.
 */
function headroomOf(
	valuePpm: number,
	ceilingPpm: number,
	{ intakePpm, intakeExcess }: Intake,
): number | null {
	const isAbove = valuePpm > ceilingPpm;
	const end = intakePpm + ((isAbove ? intakeExcess?.highestPpm : intakeExcess?.lowestPpm) ?? 0);
	if (valuePpm > end) return (ceilingPpm - end) / (valuePpm - end);
	return isAbove ? 0 : null;
}

export function evaluateCriterion(stats: JudgedStats, target: CriterionTarget, intake: Intake): Criterion {
	const limits = listLimits(target);
	const rooms = limits.flatMap(({ side, statistic, ppm }) => {
		const room = side === "ceiling" ? headroomOf(statisticValue(stats, statistic), ppm, intake) : null;
		return room === null ? [] : [room];
	});
	return {
		...target,
		valuePpm: statisticValue(stats, target.statistic),
		isMet: limits.every((limit) => passedPpm(statisticValue(stats, limit.statistic), limit) <= 0),
		headroomFactor: rooms.length === 0 ? null : rooms.reduce((a, b) => Math.min(a, b)),
	};
}

/** By how much a trace misses its target, all limits together [ppm]; 0 where it meets it. */
export const violationPpm = (stats: JudgedStats, target: CriterionTarget): number =>
	listLimits(target).reduce(
		(sum, limit) => sum + Math.max(0, passedPpm(statisticValue(stats, limit.statistic), limit)),
		0,
	);

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
