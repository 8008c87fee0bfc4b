import type { ScenarioWarning } from "../compare/warnings.ts";
import type { WaterBalance } from "../compare/water.ts";
import type { Model } from "../model/chamber.ts";
import type { CycleSchedule, DailySchedule } from "../model/schedule/schedule.ts";
import type { DisplayValue } from "../model/schedule/timer.ts";
import type { DisturbanceKey, Scenario } from "../scenario/scenario.ts";
import type { Summary } from "../solve/summary.ts";
import type { HumidifierNeeded } from "./damp.ts";

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
	readonly moisture: WaterBalance;
	/** Switching cycles of the contact per month (30.44 days), and its life [months]. */
	readonly operationsPerMonth: number;
	readonly contactMonths: number;
	/** Chance of meeting the target [0..1]; null where nothing was drawn. */
	readonly probability: number | null;
}

/** What keeps a setting from needing less air: a limit of the file or of good practice, or what the timer can show. */
export type LimitName = "burst" | "pause" | "cycle" | "life" | "quiet" | "dial";

/** Which settings were compared for the front. */
export type FrontRule = "all settings" | "shortest burst for each pause" | "longest pause for each burst";

/** How a setting stands: it holds with the chance asked for; below that by its chance: above 60 %, from 40 %, from 10 %, or under 10 %. */
export type ChoiceStatus = "holds" | "likely" | "even chance" | "unlikely" | "fails";

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
	/** × 60: a range of minutes for one of seconds; × 10: a misplaced decimal point. */
	readonly kind: "swapped" | `${"on" | "off"} ${"×" | "÷"}${10 | 60}` | "both ×60" | "both ÷60";
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
	/** As `listInputs` names it: `fan.flow`; or `disturbances.filter`. */
	readonly path: string;
	/** Set where it is something that may happen, which no test takes away. */
	readonly disturbance: DisturbanceKey | null;
	/** As its author wrote it. */
	readonly text: string;
	/** Peak with this input at its 5 % and 95 % quantile, those correlated with it as it lets expect, all others central [ppm]. */
	readonly peakAtLowPpm: number;
	readonly peakAtHighPpm: number;
	/** Share of the peak's variance, squared rank correlation scaled to sum 1 [0..1]. */
	readonly varianceShare: number;
	readonly fieldTest: FieldTest | null;
	/**
	 * Fresh air per day of the setting for the same chance, expected once this input is known [m3]: over tenths of the draws by its value,
	 * the off-time beside the recommended on-time. null where no setting reaches the chance, where it hardly matters, and of a disturbance.
	 */
	readonly expectedAirM3PerDay: number | null;
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
	/** What the chance costs over the best setting, per day [m3], [g]; null: no setting reaches it. */
	readonly price: { readonly freshAirM3PerDay: number; readonly moistureLossGPerDay: number } | null;
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
	| { readonly code: "maximum source"; readonly path: "substrate" }
	/** A given flow without a curve does not tell what a loaded filter leaves of it. */
	| { readonly code: "filter load not counted"; readonly path: "fan.filter" };

interface CommonChoice {
	readonly scenario: Scenario;
	readonly model: Model;
	/** Chance that was asked for [%]; null where nothing is drawn. */
	readonly reliabilityPercent: number | null;
	readonly feasibilityLimits: FeasibilityLimits;
	readonly feasibilityBoundary: FeasibilityBoundary;
	/** What was assumed or looks doubtful; each names its parameter. */
	readonly warnings: readonly ChoiceWarning[];
}

export interface FeasibleChoice extends CommonChoice {
	readonly isFeasible: true;
	readonly status: ChoiceStatus;
	/** Least fresh air per day, then fewest switching cycles, then the lowest peak, then the shorter on-time. */
	readonly best: EvaluatedSetting;
	/** The setting to use: the one with the chance asked for, if there is one; else the best. */
	readonly recommended: EvaluatedSetting;
	/** What keeps the recommended setting from needing less air. */
	readonly activeLimits: readonly LimitName[];
	/** Three settings on the trade-off, with the chance asked for where one has it; none needs over 25 % more air than the recommended one. */
	readonly alternatives: {
		/** Same as `recommended`. */
		readonly leastAir: EvaluatedSetting;
		readonly fewestSwitchings: EvaluatedSetting;
		readonly smallestRipple: EvaluatedSetting;
	};
	/** Settings that hold as the recommended one does, within 25 % more air, that no other dominates in air, switching and ripple; ascending in air. */
	readonly front: readonly FrontPoint[];
	readonly frontRule: FrontRule;
	/** Chance of the recommended setting; null when no input is uncertain or no draws were asked for. */
	readonly complianceProbability: ComplianceProbability | null;
	/** null when nothing is drawn. */
	readonly chanceConstrained: ChanceConstrained | null;
	readonly quiet: QuietHours | null;
	/** Mistakes in entering the recommended setting. */
	readonly entryErrors: readonly EntryError[];
	/** Difference of the fast search's peak to the full model's at the best setting [ppm]; 0 where the search is exact. */
	readonly searchErrorPpm: number;
}

/** A limit of humidity that a setting misses, and what it has [%]. */
interface HumidityMissed {
	readonly code: "humidity";
	readonly side: "ceiling" | "floor";
	readonly on: "trough" | "mean" | "peak";
	readonly limitPercent: number;
	readonly valuePercent: number;
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
	/** Settings keep the limits of CO2, but none of them those of humidity. */
	| (HumidityMissed & {
			/** Of what keeps CO2, the one with the least air. */
			readonly setting: TimerSetting;
			/** A humidifier after each burst that would do; null: none does. */
			readonly humidifier: HumidifierNeeded | null;
	  })
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
			/** Those whose removal alone would do; none: several must go. */
			readonly relaxable: readonly LimitName[];
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
	readonly status: "fails";
	readonly bindingConstraint: BindingConstraint;
	/** The setting with the smallest violation of the target; null when there is none at all. */
	readonly closest: EvaluatedSetting | null;
}

export type Choice = FeasibleChoice | InfeasibleChoice;

/** What is wrong with a pair of times. */
export type SettingFault =
	| {
			readonly code: "target";
			readonly side: "ceiling" | "floor";
			readonly statistic: "peak" | "mean" | "worst hour" | "trough";
			readonly limitPpm: number;
			readonly valuePpm: number;
	  }
	| HumidityMissed
	| { readonly code: "chance"; readonly probability: number; readonly reliabilityPercent: number }
	| { readonly code: "not on the dial" }
	| {
			readonly code: "limit";
			readonly limit: LimitName;
			readonly seconds: number;
			readonly limitSeconds: number;
	  };

/** Any pair of on- and off-time, judged as it is keyed in now. */
export interface SettingCheck extends Omit<EvaluatedSetting, "setting"> {
	readonly scenario: Scenario;
	readonly status: ChoiceStatus;
	readonly reliabilityPercent: number | null;
	/** As the timer shows it; null where it cannot. */
	readonly setting: TimerSetting | null;
	readonly faults: readonly SettingFault[];
	readonly complianceProbability: ComplianceProbability | null;
	/** Nearest pair on the dial that meets the target with the chance asked for, or with central values where none does. */
	readonly better: EvaluatedSetting | null;
	readonly warnings: readonly ChoiceWarning[];
}

export interface ChooseOptions {
	/** Probability with which the target is to be met [%], from 50 to below 100. Default: that of the file, else 90. */
	readonly reliabilityPercent?: number;
	/** Default 10,000; 0: none. */
	readonly draws?: number;
	/** Default 1. */
	readonly seed?: number;
	/** Called with the share of the work done [0..1]. */
	readonly onProgress?: (share: number) => void;
}
