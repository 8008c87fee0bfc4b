import type { BindingConstraint } from "../choose/choosetypes.ts";
import type { CleanSeries, ExclusionReason } from "../logs/log.ts";
import type { ChangeCorrelations, ScenarioChange } from "../scenario/edit/update.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Dimension } from "../units/dimensions.ts";

/** What a log can teach. */
export type FitName =
	| "generation"
	| "flow"
	| "leak"
	| "offset"
	| "response"
	| "initialCo2"
	| "initialReading"
	| "phase"
	| "timerRateError"
	| "per burst"
	| "lost on-time"
	| `generation of day ${number}`;

/** What is asked of a log. */
export interface FitOptions {
	/** What the log is of. Default `log`: the programmed schedule with the crop inside. */
	readonly test?: "log" | "rise" | "decay" | "bursts";
	/** On-times of counted bursts, one or two [s]. Default: that of the schedule. */
	readonly burstSeconds?: readonly number[];
	/** Schedule that ran; needed when the scenario has several and the log no fan column that can be trusted. */
	readonly schedule?: string;
	/** In a decay test the fan may run all the time. Default off. */
	readonly fan?: "on" | "off";
	/** When a cycle began [s since the first sample]; absent: phase, and drift in a long log, are found. */
	readonly phaseSeconds?: number;
	/** Values that are known: SI numbers, or texts with a unit. */
	readonly fix?: Readonly<Partial<Record<FitName, number | string>>>;
	/** Parameters to be found, instead of those that the test asks for. */
	readonly free?: readonly FitName[];
	/** Parameters whose range in the scenario is taken as knowledge. Default: the offset, within the sensor's accuracy. */
	readonly prior?: readonly FitName[];
	/** Respiration that differs from day to day. */
	readonly days?: boolean;
	/** Intervals by profile likelihood. */
	readonly profile?: boolean;
	/** Reasons for which samples are not left out after all. */
	readonly keep?: readonly ExclusionReason[];
	/** CO2 channel by name. */
	readonly column?: string;
	/** First stretch that is left out [s]. */
	readonly warmUpSeconds?: number;
	/** Temperature for Q10 and gas volume: of the log, where it has it from inside (default), of the scenario, or of a column by name. */
	readonly temperature?: "log" | "scenario" | (string & {});
}

/** Mean, lowest and highest temperature over a log [°C]. */
export interface CelsiusRange {
	readonly meanCelsius: number;
	readonly lowestCelsius: number;
	readonly highestCelsius: number;
}

/** Which temperature a fit went by, and what log and scenario have for it over the log. */
export interface FitTemperature {
	readonly from: "log" | "scenario";
	/** Column of the log with the temperature inside; null where it has none. */
	readonly column: string | null;
	readonly logged: CelsiusRange | null;
	readonly scenario: CelsiusRange;
	/** Columns that could not be used, and why; null where there is none. */
	readonly unused: {
		readonly reason: "several columns" | "mostly empty";
		readonly columns: readonly string[];
	} | null;
}

/** One parameter of a fit; numbers in SI (CO2 given off, flow and leak in m3/s; offset and starts in ppm; times in s; drift a share). */
export interface FittedParameter {
	readonly name: FitName;
	/** In plain words: `CO2 given off`, `delivered flow`. */
	readonly label: string;
	readonly dimension: Dimension;
	readonly value: number;
	/** With the correlation of the residuals in it; null where none can be had. */
	readonly standardError: number | null;
	/** 95 % interval; null where none can be had. By profile likelihood when asked for. */
	readonly ci95Low: number | null;
	readonly ci95High: number | null;
	readonly initial: number;
	/** Bounds of the search; infinite where there is none. */
	readonly lower: number;
	readonly upper: number;
	readonly status: "free" | "fixed" | "prior";
	/** The value lies on a bound. */
	readonly isAtBound: boolean;
	/** The log tells it: its error is finite and small against the value or its bounds. */
	readonly isIdentifiable: boolean;
}

/** Parameters that this log cannot part. */
export interface Confounded {
	readonly names: readonly FitName[];
	/** Their correlation, or why no error can be had. */
	readonly why: string;
	/** The measurement or the fixing that would part them. */
	readonly resolvedBy: string;
}

export interface Profile {
	readonly name: FitName;
	/** Values tried [SI] and the rise of the weighted sum of squares over its least, in units of the residual variance. */
	readonly values: readonly number[];
	readonly deltaCost: readonly number[];
	readonly ci95Low: number | null;
	readonly ci95High: number | null;
}

export interface FitResiduals {
	/** Samples used, and the number of independent ones that they are worth. */
	readonly used: number;
	readonly effectiveSampleSize: number;
	/** Root mean square [ppm]. */
	readonly rmsPpm: number;
	/** What the sensor's data sheet promises at the mean reading [ppm]: a model that misses by more does not follow the log. */
	readonly accuracyPpm: number;
	/** The model follows the log: within the sensor's accuracy, and it explains at least half of what moves. */
	readonly isAdequate: boolean;
	/** Correlation between neighbours one sample apart, as used for the errors. */
	readonly lag1Autocorrelation: number;
	/** Logged minus model at each sample [ppm]; NaN where excluded. */
	readonly ppm: Float64Array;
	/** Autocorrelation at 0, 1, 2 … usual steps. */
	readonly autocorrelation: readonly number[];
}

/** The log beside the model, at the samples of the log. */
export interface FitCurve {
	readonly timesSeconds: Float64Array;
	/** As logged; NaN where missing. */
	readonly loggedPpm: Float64Array;
	/** What the model says the sensor shows. */
	readonly sensorPpm: Float64Array;
	/** What the model says was in the chamber. */
	readonly chamberPpm: Float64Array;
	/** As in CleanSeries. */
	readonly excluded: Uint8Array;
	/** Bursts [s since the first sample]. */
	readonly bursts: readonly { readonly startSeconds: number; readonly endSeconds: number }[];
	/** CO2 in the chamber at the switches of the bursts and within them, where samples may see nothing; absent where bursts were counted. */
	readonly throughBursts?: { readonly timesSeconds: Float64Array; readonly chamberPpm: Float64Array };
}

/** Respiration on one day of a log [m3/s CO2]. */
export interface FitDay {
	/** From 1. */
	readonly day: number;
	/** `2026-03-10` in the log's zone; null where the log has no dates. */
	readonly date: string | null;
	/** Since the first sample [s]. */
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** The same as instants, `2026-03-09T23:00:00.000Z`; null where the log has no dates. */
	readonly from: string | null;
	readonly to: string | null;
	/** The log has nearly all of it. */
	readonly isWhole: boolean;
	/** On the mean of the day. */
	readonly value: number;
	readonly standardError: number | null;
	/** Respiration per fresh mass at the reference temperature [kg CO2 per kg and s]; null where the scenario has no crop, or it is held fixed. */
	readonly respirationRate: FittedRespirationRate | null;
	readonly isIdentifiable: boolean;
}

/** Respiration per fresh mass of the first substrate, as the scenario writes it [kg CO2 per kg and s]. */
export interface FittedRespirationRate {
	readonly value: number;
	readonly standardError: number | null;
}

/** The days of a log together [m3/s CO2]. */
export interface DailyGeneration {
	/** Mean of the days whose error can be had, each by its length. */
	readonly mean: FittedParameter;
	/** Numbers of the days among those with the least and the most. */
	readonly leastDay: number;
	readonly greatestDay: number;
	/** Rise from day to day of a straight line through them, each by its length [m3/s a day]; its error is that of the readings. null with less than two days. */
	readonly trendPerDay: Pick<FittedParameter, "value" | "standardError" | "ci95Low" | "ci95High"> | null;
	/** Number of the day that is written back: the last whole one that the log tells, else the longest told; null where none is. */
	readonly writtenDay: number | null;
}

/** A burst of a test of counted bursts, or a fall of CO2 that was none. */
export interface FittedBurst {
	/** From 1 on, in the order of time. */
	readonly number: number;
	/** When it began, by the model [s since the first sample]. */
	readonly atSeconds: number;
	/** On-time [s]; null for a fall in which the fan did not run. */
	readonly onSeconds: number | null;
	/** CO2 of the air right before and right after it, by the model [ppm]. */
	readonly beforePpm: number;
	readonly afterPpm: number;
	/** Last reading before it, and the reading once the sensor has followed [ppm]; null where there is none. */
	readonly readBeforePpm: number | null;
	readonly readAfterPpm: number | null;
	/** Air changes, with their standard error, null where none can be had [-]. */
	readonly airChanges: number;
	readonly standardError: number | null;
	/** Share of the air replaced, 1 - e^-n [-]. */
	readonly replacedFraction: number;
	/** Air changes that all bursts together say of one so long [-]; null where the fan did not run. */
	readonly expected: number | null;
	/** Why it does not count among them; null when it does. */
	readonly reason: string | null;
}

/** What a log of CO2 taught about a scenario. */
export interface Fit {
	readonly kind: "fit";
	readonly test: "log" | "rise" | "decay" | "bursts";
	readonly scenario: Scenario;
	readonly series: CleanSeries;
	/** Name of the schedule that ran; null when the fan column or the test says when it blew. */
	readonly scheduleName: string | null;
	/** Where the instants of the bursts come from, in words. */
	readonly fanFrom: string;
	/** Free, prior and fixed ones, in the order of `FitName`. */
	readonly parameters: readonly FittedParameter[];
	/** Names of the free ones, and their correlations. */
	readonly free: readonly FitName[];
	readonly correlation: readonly (readonly number[])[];
	/** The two free parameters that are hardest to part, with the outline of their joint 95 % region; null with fewer than two. */
	readonly mostCorrelatedPair: {
		readonly names: readonly [FitName, FitName];
		readonly correlation: number;
		readonly ellipse: readonly (readonly [number, number])[];
	} | null;
	readonly confounded: readonly Confounded[];
	readonly profiles: readonly Profile[];
	readonly residuals: FitResiduals;
	readonly curve: FitCurve;
	/** Burst by burst in a test of counted bursts; null otherwise. */
	readonly bursts: readonly FittedBurst[] | null;
	/** Respiration day by day when it was free to change; null otherwise. */
	readonly days: readonly FitDay[] | null;
	/** What these days say together; null with `days`. */
	readonly daily: DailyGeneration | null;
	/** Respiration per fresh mass, as the scenario writes it [kg CO2 per kg and s at the reference temperature], of days their mean; null when not fitted. */
	readonly respirationRate: FittedRespirationRate | null;
	/** The temperature that respiration was brought to its reference by. */
	readonly temperature: FitTemperature;
	/** Why the search stopped, and after how many steps. */
	readonly termination: {
		readonly reason: "converged" | "no further gain" | "iteration limit";
		readonly iterations: number;
	};
	/** The test to do next, why, and the command that reads its log. */
	readonly recommendedTest: { readonly test: string; readonly why: string; readonly command: string } | null;
	readonly changes: readonly ScenarioChange[];
	/** How the errors of the changed values go together; null when fewer than two have any. */
	readonly changeCorrelations: ChangeCorrelations | null;
	readonly warnings: readonly string[];
}

/** A log held against what the scenario predicts. */
export interface Verification {
	readonly kind: "verification";
	readonly scenario: Scenario;
	readonly series: CleanSeries;
	readonly scheduleName: string;
	readonly fanFrom: string;
	/** The temperature that the crop is predicted and refitted by. */
	readonly temperature: FitTemperature;
	readonly isWithin: boolean;
	/** One sentence each: what was held against what. */
	readonly checks: readonly {
		readonly name: "agreement" | "peak" | "mean" | "trend";
		readonly isWithin: boolean;
		readonly value: number;
		readonly allowed: number;
		readonly unit: "ppm";
		readonly says: string;
	}[];
	/** Root mean square of logged minus predicted [ppm], and the sensor's stated accuracy at the mean reading [ppm]. */
	readonly rmsPpm: number;
	readonly accuracyPpm: number;
	/** Highest reading, highest predicted reading, and highest CO2 in the chamber as it truly was [ppm]. */
	readonly loggedPeakPpm: number;
	readonly predictedReadingPeakPpm: number;
	readonly estimatedPeakPpm: number;
	readonly loggedMeanPpm: number;
	readonly predictedMeanPpm: number;
	/** Judged figure that the scenario promises for this schedule in its regime [ppm]; null when only the fan column says what ran. */
	readonly predictedPpm: number | null;
	/** Mean of logged minus predicted by day (06:00 to 18:00) and by night [ppm]; null without clock times or samples. */
	readonly dayPpm: number | null;
	readonly nightPpm: number | null;
	/** The crop's CO2 over that assumed [-], refitted from this log. */
	readonly generation: { readonly factor: number; readonly standardError: number | null } | null;
	/** The delivered flow over that assumed [-], refitted with it; null where the log does not tell both, and the file's flow stands. */
	readonly flow: { readonly factor: number; readonly standardError: number | null } | null;
	/** The setting that would be chosen today; null when the one that ran still serves, or none can. */
	readonly retune: {
		readonly onSeconds: number;
		readonly offSeconds: number;
		readonly inWords: string;
		readonly criterionPpm: number;
	} | null;
	/** Why there is no setting when there should be one; null otherwise. */
	readonly noRetune:
		| { readonly code: "no adequate model" }
		| { readonly code: "no feasible setting"; readonly bindingConstraint: BindingConstraint }
		| null;
	readonly curve: FitCurve;
	readonly residuals: FitResiduals;
	readonly warnings: readonly string[];
}
