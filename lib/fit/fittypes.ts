import type { CleanSeries, FanState } from "../logs/log.ts";
import type { ChangeCorrelations, ScenarioChange } from "../scenario/edit/update.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { Dimension } from "../units/dimensions.ts";
import type { Confounded, FitWarning, LackOfFit, Resolution, Shortcoming } from "./findings.ts";
import type { FitName } from "./fitoptions.ts";

/** Where the error of a figure comes from: the noise of the log, or a value that was held. */
export type ErrorSource =
	| "noise"
	| "intake"
	| "offset"
	| "gain"
	| "rounding"
	| "volume"
	| "mass"
	| "temperature"
	| "pressure"
	| "q10"
	| "mixing"
	| "leak"
	| "flow"
	| "generation"
	| "response"
	| "phase"
	| "on-time"
	| "fan column";

/** Share of the variance of a figure that comes from there; below 0 where inputs that go together make up for each other. */
export interface ErrorShare {
	readonly source: ErrorSource;
	readonly share: number;
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
	/** What the thermometer's noise leaves in the mean of the log [K, standard deviation]; 0 for a scenario. */
	readonly meanErrorKelvin: number;
	/** Columns that could not be used, and why; null where there is none. */
	readonly unused: {
		readonly reason: "several columns" | "mostly empty";
		readonly columns: readonly string[];
	} | null;
}

/** One parameter of a fit; numbers in SI (CO2 output, flow and leak in m3/s; offset and starts in ppm; times in s; drift a share). */
export interface FittedParameter {
	readonly name: FitName;
	/** In plain words: `CO₂ output`, `delivered flow`. */
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
	/** The log determines it: the model follows the log, and the error is finite and small against the value or its bounds. */
	readonly isIdentifiable: boolean;
	/** Where the error comes from, the greatest first: shares of the variance that sum to 1; none without an error. */
	readonly shares: readonly ErrorShare[];
	/** The same in other units. */
	readonly alsoAs: readonly DerivedFigure[];
}

/** A parameter in the units of another trade, with an error of its own: air changes do not hang on the volume, an amount hangs on the pressure. */
export interface DerivedFigure {
	/** [1/s], [mol/s], [kg CO2 per kg fresh mass and s] at the reference temperature. */
	readonly quantity: "air changes" | "amount" | "respiration rate";
	readonly value: number;
	readonly standardError: number | null;
	readonly ci95Low: number | null;
	readonly ci95High: number | null;
	readonly shares: readonly ErrorShare[];
}

/** Where the times of the bursts come from. */
export type FanSource =
	| {
			readonly code:
				| "always on"
				| "always off"
				| "schedule with given start"
				| "schedule by the clock"
				| "schedule with estimated start";
	  }
	/** `state` as found or told; null: of now or since the last sample. */
	| { readonly code: "fan column"; readonly state: FanState | null }
	| { readonly code: "bursts in the log"; readonly count: number };

export interface Profile {
	readonly name: FitName;
	/** Values tried [SI] and the rise of the weighted sum of squares over its least, in units of the residual variance. */
	readonly values: readonly number[];
	readonly deltaCost: readonly number[];
	readonly ci95Low: number | null;
	readonly ci95High: number | null;
}

export interface FitResiduals {
	/** Samples used, and the equivalent number of independent ones. */
	readonly used: number;
	readonly effectiveSampleSize: number;
	/** Root mean square [ppm]. */
	readonly rmsPpm: number;
	/** Accuracy by the sensor's data sheet at the mean reading [ppm]; a model with a larger RMS residual does not fit the log. */
	readonly accuracyPpm: number;
	/** Largest RMS residual at which the model explains the pattern of the log [ppm]: the sensor's accuracy, and half of the variance. */
	readonly patternPpm: number;
	/** Why the model does not follow the log; empty where it does. */
	readonly lackOfFit: readonly LackOfFit[];
	/** The model follows the log: nothing speaks against it. */
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

/** Why a burst is excluded; the ratio is that of its air changes to the expected ones. */
export type OutlierReason =
	| { readonly code: "no burst in the fan column" | "too few samples" }
	| { readonly code: "fan hardly ran" | "too little air" | "too much air"; readonly ratio: number };

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
	/** Why it is excluded; null when it counts. */
	readonly reason: OutlierReason | null;
}

/** What the humidity of a log says of its water, with the air that its CO2 gave. */
export interface HumidityFit {
	readonly channel: string;
	/** K of crop and wet surfaces [m3/s]; the correlation of the residuals and the errors of flow and leak are in its error. */
	readonly evaporation: { readonly value: number; readonly standardError: number | null };
	/** Output of the humidifier [kg/s]; null where the scenario has none. */
	readonly humidifierOutput: { readonly value: number; readonly standardError: number | null } | null;
	/** By how much K is off for each per cent that the sensor reads too high [m3/s]. */
	readonly shiftPerPercent: number;
	/** What the model misses, root mean square [% RH], and how many readings it is held against. */
	readonly rmsPercent: number;
	readonly readings: number;
	/** Water lost by crop and surfaces, and given by the humidifier, over the log [g/day]. */
	readonly evaporatedGPerDay: number;
	readonly humidifierGPerDay: number;
	/** The error is small against the value, and the model follows the log. */
	readonly isIdentifiable: boolean;
}

/** What a log of CO2 taught about a scenario. */
export interface Fit {
	readonly kind: "fit";
	readonly test: "log" | "rise" | "decay" | "bursts";
	readonly scenario: Scenario;
	readonly series: CleanSeries;
	/** Name of the schedule that ran; null when the fan column or the test says when it blew. */
	readonly scheduleName: string | null;
	readonly fanFrom: FanSource;
	/** Free, prior and fixed ones, in the order of `FitName`. */
	readonly parameters: readonly FittedParameter[];
	/** Names of the free ones, and their correlations. */
	readonly free: readonly FitName[];
	readonly correlation: readonly (readonly number[])[];
	/** The two free parameters with the strongest correlation, with the outline of their joint 95 % region; null with fewer than two. */
	readonly mostCorrelatedPair: {
		readonly names: readonly [FitName, FitName];
		readonly correlation: number;
		readonly ellipse: readonly (readonly [number, number])[];
	} | null;
	readonly confounded: readonly Confounded[];
	readonly profiles: readonly Profile[];
	/** How a rise was read: straight, or bent by a leak, whichever Akaike's criterion prefers; null where the leak was given, or for other tests. */
	readonly riseShape: {
		readonly code: "straight" | "bent";
		/** Criterion of the straight line less that of the bent one; above 0 for a bent rise. */
		readonly deltaAic: number;
	} | null;
	/** What volumes of gas and rates refer to. */
	readonly conditions: { readonly celsius: number; readonly pascal: number; readonly humidity: number };
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
	/** What was wrong with a rise or leak test that determines nothing; null otherwise. */
	readonly shortcoming: Shortcoming | null;
	/** The test to do next, why, and the command that reads its log; never the test that was done. */
	readonly recommendedTest:
		| (Pick<Confounded, "names" | "reason"> & {
				readonly test: Resolution["code"];
				readonly command: string;
		  })
		| null;
	/** What its humidity says of evaporation; absent where it says nothing, or was not asked. */
	readonly humidity?: HumidityFit;
	readonly changes: readonly ScenarioChange[];
	/** How the errors of the changed values go together; null when fewer than two have any. */
	readonly changeCorrelations: ChangeCorrelations | null;
	readonly warnings: readonly FitWarning[];
}
