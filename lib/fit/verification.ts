import type { BindingConstraint } from "../choose/choosetypes.ts";
import type { CleanSeries } from "../logs/log.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { FitWarning } from "./findings.ts";
import type { FanSource, FitCurve, FitResiduals, FitTemperature, HumidityFit } from "./fittypes.ts";

/** A log compared with what the scenario predicts. */
export interface Verification {
	readonly kind: "verification";
	readonly scenario: Scenario;
	readonly series: CleanSeries;
	readonly scheduleName: string;
	readonly fanFrom: FanSource;
	/** The temperature that the crop is predicted and refitted by. */
	readonly temperature: FitTemperature;
	readonly isWithin: boolean;
	/** Found values beside allowed ones. */
	readonly checks: readonly {
		readonly name: "agreement" | "pattern" | "peak" | "mean" | "trend";
		readonly isWithin: boolean;
		readonly value: number;
		readonly allowed: number;
		readonly unit: "ppm";
	}[];
	/** Root mean square of logged minus predicted [ppm], and the sensor's stated accuracy at the mean reading [ppm]. */
	readonly rmsPpm: number;
	readonly accuracyPpm: number;
	/** Highest reading, highest predicted reading, and estimated highest CO2 in the chamber [ppm]; null where the model does not follow the log. */
	readonly loggedPeakPpm: number;
	readonly predictedReadingPeakPpm: number;
	readonly estimatedPeakPpm: number | null;
	/** Of the estimated peak [ppm]; null where the log determines nothing of it. */
	readonly estimatedPeakStandardErrorPpm: number | null;
	/** The readings are too far apart to show a cycle: mean and trend are compared, and the peak follows from the model alone. */
	readonly averagesCycles: boolean;
	/** The sensor response that the scenario does not state [s]: from the log with its error, or assumed with none; null where it is stated. */
	readonly response: { readonly seconds: number; readonly standardError: number | null } | null;
	readonly loggedMeanPpm: number;
	readonly predictedMeanPpm: number;
	/** Value that the scenario predicts for the target's statistic with this schedule in its settled pattern [ppm]; null when only the fan column says what ran. */
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
		/** Its chance of meeting the target, and the one asked for [0..1], [%]; null where nothing is uncertain. */
		readonly probability: number | null;
		readonly reliabilityPercent: number | null;
	} | null;
	/** Why there is no setting when there should be one; null otherwise. */
	readonly noRetune:
		| { readonly code: "no adequate model" }
		| { readonly code: "no feasible setting"; readonly bindingConstraint: BindingConstraint }
		| {
				readonly code: "no reliable setting";
				readonly reliabilityPercent: number;
				/** Of the surest setting [0..1]. */
				readonly probability: number;
		  }
		| null;
	/** What its humidity says of evaporation; absent where it says nothing, or was not asked. */
	readonly humidity?: HumidityFit;
	readonly curve: FitCurve;
	readonly residuals: FitResiduals;
	readonly warnings: readonly FitWarning[];
}
