import type { MoistureLoss } from "../compare/moistureloss.ts";
import type { Model } from "../model/chamber.ts";
import type { CycleSchedule, DailySchedule } from "../model/schedule/schedule.ts";
import type { DisplayValue } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Summary } from "../solve/summary.ts";

/** A pair that the timer can show. */
export interface TimerSetting {
	readonly on: DisplayValue;
	readonly off: DisplayValue;
}

/** A setting as keyed in, judged by the full model. */
export interface EvaluatedSetting {
	readonly setting: TimerSetting;
	readonly schedule: CycleSchedule;
	/** "4 s on, 3 min 56 s off, 360 bursts a day" */
	readonly inWords: string;
	readonly summary: Summary;
	readonly moisture: MoistureLoss;
	/** Relay operations a month (30.44 days), two a cycle counted as one operation; and how long the contact lasts [months]. */
	readonly operationsPerMonth: number;
	readonly contactMonths: number;
}

/** A setting on the trade-off between air and switches; ripple is the third measure. */
export interface FrontPoint {
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly freshAirM3PerDay: number;
	readonly burstsPerDay: number;
	readonly ripplePpm: number;
	readonly peakPpm: number;
}

/** What physics and timer allow at all. */
export interface FeasibilityLimits {
	/** Longest pause whatever the fan does [s]; null: the leak alone holds the ceiling. */
	readonly maxOffSeconds: number | null;
	/** Flow that holds the ceiling if it never stops, mixing counted [m3/s]; 0 when the leak alone does; null when the intake air is at or above the ceiling. */
	readonly flowNeededM3PerS: number | null;
	readonly flowM3PerS: number;
	/** Shortest burst and pause that are considered, longest cycle [s]. */
	readonly minOnSeconds: number;
	readonly minOffSeconds: number;
	readonly maxCycleSeconds: number;
	/** How many pairs the timer can show within the limits, and how many of them hold the target. */
	readonly candidateCount: number;
	readonly feasibleCount: number;
}

/** Smallest on-time that holds the target for each off-time on the timer: the contour of the map. */
export interface FeasibilityBoundary {
	readonly offSeconds: Float64Array;
	/** NaN where no on-time of the timer holds. */
	readonly onSeconds: Float64Array;
}

/** A slip of the hand, what it does, and how to notice it within one cycle. */
export interface EntryError {
	readonly kind: "swapped" | "on ×10" | "on ÷10" | "off ×10" | "off ÷10";
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly peakPpm: number;
	readonly freshAirM3PerDay: number;
	/** "the fan runs for 3 min 56 s and rests for 4 s" */
	readonly sign: string;
}

/** One uncertain input and what it does to the peak of the setting. */
export interface Sensitivity {
	/** `fan.flow` */
	readonly path: string;
	readonly label: string;
	/** As its author wrote it. */
	readonly text: string;
	/** Peak with this input at its 5 % and 95 % quantile, those correlated with it as it lets expect, all others central [ppm]. */
	readonly peakAtLowPpm: number;
	readonly peakAtHighPpm: number;
	/** Share of the peak's variance, squared rank correlation scaled to sum 1 [0..1]. */
	readonly varianceShare: number;
	/** The field test that would narrow it: "rise test: fan off, log the rise". */
	readonly test: string;
}

/** The odds of one setting when the inputs are only roughly known. */
export interface ComplianceProbability {
	readonly draws: number;
	readonly seed: number;
	/** Quantiles of the judged figure (peak, mean or worst hour) over the draws [ppm]; type 7 of Hyndman and Fan. */
	readonly p05Ppm: number;
	readonly medianPpm: number;
	readonly p95Ppm: number;
	/** Probability that the target holds [0..1], and its Monte Carlo standard error. */
	readonly probability: number;
	readonly standardError: number;
	/** Largest first; empty when no input is uncertain. */
	readonly inputs: readonly Sensitivity[];
	/** Quantiles of the sawtooth over two cycles of the regime [s], [ppm]. */
	readonly band: {
		readonly timesSeconds: Float64Array;
		readonly p05Ppm: Float64Array;
		readonly medianPpm: Float64Array;
		readonly p95Ppm: Float64Array;
	};
}

/** The setting that holds the target with a stated confidence. */
export interface ChanceConstrained {
	/** [%] */
	readonly reliabilityPercent: number;
	/** null: no setting of the timer holds the target so surely. */
	readonly evaluated: EvaluatedSetting | null;
	/** Its odds; those of the surest setting when none reaches the confidence. */
	readonly probability: number;
	/** Quantiles of its judged figure [ppm]. */
	readonly p05Ppm: number;
	readonly medianPpm: number;
	readonly p95Ppm: number;
	/** Odds of the best setting, which holds with the central values. */
	readonly bestProbability: number;
}

/** Another, gentler cycle in quiet hours; needs a timer that knows the time of day. */
export interface QuietHours {
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** null: no gentler cycle holds the target. */
	readonly evaluated: EvaluatedSetting | null;
	/** Day and night together, judged by the full model; null as above. */
	readonly schedule: DailySchedule | null;
	readonly summary: Summary | null;
}

interface CommonChoice {
	readonly scenario: Scenario;
	readonly model: Model;
	readonly feasibilityLimits: FeasibilityLimits;
	readonly feasibilityBoundary: FeasibilityBoundary;
	/** What was assumed or looks doubtful; each names its parameter. */
	readonly warnings: readonly string[];
}

export interface FeasibleChoice extends CommonChoice {
	readonly isFeasible: true;
	/** Least fresh air a day, then fewest switches, then the lowest peak, then the shorter on-time. */
	readonly best: EvaluatedSetting;
	/** What to key in: the setting for the confidence that was asked for, if one was and there is one; else the best. */
	readonly recommended: EvaluatedSetting;
	/** Three picks on the trade-off; none needs more than a quarter more air than the best. */
	readonly alternatives: {
		/** Same as `best`. */
		readonly leastAir: EvaluatedSetting;
		readonly fewestSwitchings: EvaluatedSetting;
		readonly smallestRipple: EvaluatedSetting;
	};
	/** Settings within a quarter more air that no other beats in air, switches and ripple at once; ascending in air. */
	readonly front: readonly FrontPoint[];
	/** Odds of the recommended setting; null when no input is uncertain or no draws were asked for. */
	readonly complianceProbability: ComplianceProbability | null;
	/** null when no confidence was asked for. */
	readonly chanceConstrained: ChanceConstrained | null;
	readonly quiet: QuietHours | null;
	/** Slips in keying in the recommended setting. */
	readonly entryErrors: readonly EntryError[];
	/** Difference of the fast search's peak to the full model's at the best setting [ppm]; 0 where the search is exact. */
	readonly searchErrorPpm: number;
}

export interface InfeasibleChoice extends CommonChoice {
	readonly isFeasible: false;
	readonly bindingConstraint:
		| "intake air"
		| "stagnant zone"
		| "delivered flow"
		| "off-time range"
		| "on-time range"
		| "minimum on-time"
		| "cycle limits"
		| "floor";
	/** A sentence for the reader, with the binding bound and what would help. */
	readonly reason: string;
	/** The binding bound: needed against there. */
	readonly constraint: {
		readonly quantity: string;
		readonly required: number;
		readonly available: number;
		readonly unit: string;
	};
	/** The setting that misses least; null when there is none at all. */
	readonly closest: EvaluatedSetting | null;
}

export type Choice = FeasibleChoice | InfeasibleChoice;

export interface ChooseOptions {
	/** Probability with which the ceiling is to hold [%], above 0 and below 100. */
	readonly reliabilityPercent?: number;
	/** Default 10,000; 0: none. */
	readonly draws?: number;
	/** Default 1. */
	readonly seed?: number;
	/** Told how far the work is [0..1]. */
	readonly onProgress?: (share: number) => void;
}
