import type { MoistureLoss } from "../compare/moistureloss.ts";
import type { ScenarioWarning } from "../compare/warnings.ts";
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

/** A setting as the display shows it, evaluated by the full model. */
export interface EvaluatedSetting {
	readonly setting: TimerSetting;
	readonly schedule: CycleSchedule;
	/** "4 s on, 3 min 56 s off, 360 bursts per day" */
	readonly inWords: string;
	readonly summary: Summary;
	readonly moisture: MoistureLoss;
	/** Switching cycles of the contact per month (30.44 days), and its life [months]. */
	readonly operationsPerMonth: number;
	readonly contactMonths: number;
}

/** A setting on the trade-off between fresh air, switching and ripple. */
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
	/** Longest possible off-time, with any fan [s]; null: leakage alone keeps CO2 under the ceiling. */
	readonly maxOffSeconds: number | null;
	/** Continuous flow that keeps CO2 under the ceiling, mixing counted [m3/s]; 0 when leakage alone does; null when the intake air is at or above the ceiling. */
	readonly flowNeededM3PerS: number | null;
	readonly flowM3PerS: number;
	/** Shortest on- and off-time searched, longest cycle [s]. */
	readonly minOnSeconds: number;
	readonly minOffSeconds: number;
	readonly maxCycleSeconds: number;
	/** How many settings the timer can show within the limits, and how many of them meet the target. */
	readonly candidateCount: number;
	readonly feasibleCount: number;
}

/** Shortest on-time that meets the target for each off-time of the timer: the contour of the map. */
export interface FeasibilityBoundary {
	readonly offSeconds: Float64Array;
	/** NaN where no on-time of the timer meets it. */
	readonly onSeconds: Float64Array;
}

/** A setting mistake: the times that it gives, and what they do. */
export interface EntryError {
	readonly kind: "swapped" | "on ×10" | "on ÷10" | "off ×10" | "off ÷10";
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly peakPpm: number;
	readonly freshAirM3PerDay: number;
}

/** What narrows an uncertain input. */
export type FieldTest =
	| "rise test"
	| "delivered flow"
	| "bursts of two lengths"
	| "leak test"
	| "counted bursts"
	| "log in two places"
	| "inside dimensions"
	| "temperature log"
	| "intake log"
	| "weighing"
	| "measurement";

/** One uncertain input and what it does to the peak of the setting. */
export interface Sensitivity {
	/** As `listInputs` names it: `fan.flow`. */
	readonly path: string;
	/** As its author wrote it. */
	readonly text: string;
	/** Peak with this input at its 5 % and 95 % quantile, those correlated with it as it lets expect, all others central [ppm]. */
	readonly peakAtLowPpm: number;
	readonly peakAtHighPpm: number;
	/** Share of the peak's variance, squared rank correlation scaled to sum 1 [0..1]. */
	readonly varianceShare: number;
	readonly fieldTest: FieldTest;
}

/** The chance that one setting meets the target, over random draws of the uncertain inputs. */
export interface ComplianceProbability {
	readonly draws: number;
	readonly seed: number;
	/** Quantiles of the judged value (peak, mean or worst hour) over the draws [ppm]; type 7 of Hyndman and Fan. */
	readonly p05Ppm: number;
	readonly medianPpm: number;
	readonly p95Ppm: number;
	/** Probability that the target is met [0..1], and its Monte Carlo standard error. */
	readonly probability: number;
	readonly standardError: number;
	/** Largest first; empty when no input is uncertain. */
	readonly inputs: readonly Sensitivity[];
	/** Quantiles of the sawtooth over two cycles of the settled pattern [s], [ppm]. */
	readonly band: {
		readonly timesSeconds: Float64Array;
		readonly p05Ppm: Float64Array;
		readonly medianPpm: Float64Array;
		readonly p95Ppm: Float64Array;
	};
}

/** The setting that meets the target with a stated certainty. */
export interface ChanceConstrained {
	/** [%] */
	readonly reliabilityPercent: number;
	/** null: no setting of the timer reaches that certainty. */
	readonly evaluated: EvaluatedSetting | null;
	/** Its probability; that of the most reliable setting when none reaches the certainty. */
	readonly probability: number;
	/** Quantiles of its judged value [ppm]. */
	readonly p05Ppm: number;
	readonly medianPpm: number;
	readonly p95Ppm: number;
	/** Probability of the best setting, which meets the target with the central values. */
	readonly bestProbability: number;
}

/** A longer cycle in quiet hours; needs a timer that knows the time of day. */
export interface QuietHours {
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** null: no longer cycle meets the target. */
	readonly evaluated: EvaluatedSetting | null;
	/** Day and night together, evaluated by the full model; null as above. */
	readonly schedule: DailySchedule | null;
	readonly summary: Summary | null;
}

/** What was assumed for the search or looks doubtful. */
export type ChoiceWarning =
	| ScenarioWarning
	| { readonly code: "timer assumed"; readonly path: "timer" }
	| { readonly code: "maximum source"; readonly path: "substrate" };

interface CommonChoice {
	readonly scenario: Scenario;
	readonly model: Model;
	readonly feasibilityLimits: FeasibilityLimits;
	readonly feasibilityBoundary: FeasibilityBoundary;
	/** What was assumed or looks doubtful; each names its parameter. */
	readonly warnings: readonly ChoiceWarning[];
}

export interface FeasibleChoice extends CommonChoice {
	readonly isFeasible: true;
	/** Least fresh air per day, then fewest switching cycles, then the lowest peak, then the shorter on-time. */
	readonly best: EvaluatedSetting;
	/** The setting to use: the one for the certainty that was asked for, if one was and there is one; else the best. */
	readonly recommended: EvaluatedSetting;
	/** Three settings on the trade-off; none needs over 25 % more air than the best. */
	readonly alternatives: {
		/** Same as `best`. */
		readonly leastAir: EvaluatedSetting;
		readonly fewestSwitchings: EvaluatedSetting;
		readonly smallestRipple: EvaluatedSetting;
	};
	/** Settings within 25 % more air that no other dominates in air, switching and ripple; ascending in air. */
	readonly front: readonly FrontPoint[];
	/** Chance of the recommended setting; null when no input is uncertain or no draws were asked for. */
	readonly complianceProbability: ComplianceProbability | null;
	/** null when no certainty was asked for. */
	readonly chanceConstrained: ChanceConstrained | null;
	readonly quiet: QuietHours | null;
	/** Mistakes in entering the recommended setting. */
	readonly entryErrors: readonly EntryError[];
	/** Difference of the fast search's peak to the full model's at the best setting [ppm]; 0 where the search is exact. */
	readonly searchErrorPpm: number;
}

/** Why no setting meets the target: what the binding constraint requires, and what there is. */
export type BindingConstraint =
	/** The intake air is at or above the ceiling. */
	| { readonly code: "intake air"; readonly intakePpm: number; readonly ceilingPpm: number }
	/** The stagnant zone stays above the ceiling with any fan. */
	| { readonly code: "stagnant zone"; readonly lowestPpm: number; readonly ceilingPpm: number }
	/** The fan delivers too little even when it never stops. */
	| {
			readonly code: "delivered flow";
			readonly requiredM3PerS: number;
			readonly deliveredM3PerS: number;
	  }
	/** Settings under the ceiling have their mean below the floor. */
	| { readonly code: "floor"; readonly floorPpm: number; readonly ceilingPpm: number }
	/** The timer's longest on-time is shorter than a burst must last. */
	| {
			readonly code: "minimum on-time";
			readonly minOnSeconds: number;
			readonly timerMaxOnSeconds: number;
	  }
	/** The timer could meet the target, but the limits on burst, pause and cycle leave it no room. */
	| {
			readonly code: "cycle limits";
			readonly minOnSeconds: number;
			readonly minOffSeconds: number;
			/** null: no limit. */
			readonly maxCycleSeconds: number | null;
			/** From the life that the contact is to have [s]; 0: no limit. */
			readonly minCycleSeconds: number;
	  }
	/** The timer's shortest off-time is longer than the longest possible one. */
	| {
			readonly code: "off-time range";
			readonly maxOffSeconds: number;
			readonly timerMinOffSeconds: number;
	  }
	/** After the timer's shortest off-time, its longest on-time is too short. */
	| {
			readonly code: "on-time range";
			readonly requiredOnSeconds: number;
			readonly timerMaxOnSeconds: number;
			readonly timerMinOffSeconds: number;
	  };

export interface InfeasibleChoice extends CommonChoice {
	readonly isFeasible: false;
	readonly bindingConstraint: BindingConstraint;
	/** The setting with the smallest violation of the target; null when there is none at all. */
	readonly closest: EvaluatedSetting | null;
}

export type Choice = FeasibleChoice | InfeasibleChoice;

export interface ChooseOptions {
	/** Probability with which the target is to be met [%], from 50 to below 100. */
	readonly reliabilityPercent?: number;
	/** Default 10,000; 0: none. */
	readonly draws?: number;
	/** Default 1. */
	readonly seed?: number;
	/** Called with the share of the work done [0..1]. */
	readonly onProgress?: (share: number) => void;
}
