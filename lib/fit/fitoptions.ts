import type { ExclusionReason, FanState } from "../logs/log.ts";

/** What a log can teach. */
export type FitName =
	| "generation"
	| "flow"
	| "leak"
	| "offset"
	| "background"
	| "response"
	| "initialCo2"
	| "initialReading"
	| "phase"
	| "timerRateError"
	| "switchShift"
	| "offShift"
	| "per burst"
	| "lost on-time"
	| `generation of day ${number}`
	| `baseline step ${number}`
	/** How the crop changes over the log. */
	| "q10"
	| "trend"
	| "flush rise"
	| "flush fall"
	| "flush high";

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
	/** What the fan column of the log tells, or that it is not used. Default: as it looks. */
	readonly fanState?: FanState | "ignore";
	/** When a cycle began [s since the first sample]; absent: phase, and drift in a long log, are found. */
	readonly phaseSeconds?: number;
	/** Values that are known: SI numbers, which count as exact, or texts with a unit and, where it is known, a spread (`0.3/h ±10 %`). */
	readonly fix?: Readonly<Partial<Record<FitName, number | string>>>;
	/** Parameters to be found, instead of those that the test asks for; `q10`, `trend` and `flush` come on top of them. */
	readonly free?: readonly (FitName | "flush")[];
	/** Parameters whose range in the scenario is taken as knowledge. Default: the offset, within the sensor's accuracy. */
	readonly prior?: readonly FitName[];
	/**
	 * What is held counts as exact, so that the errors are those of the log alone: to compare a log with a prediction that holds the same
	 * values. Default: what is known of volume, intake, sensor … is in the errors.
	 */
	readonly exact?: boolean;
	/** Respiration that differs from day to day. */
	readonly days?: boolean;
	/** Readings too far apart to show a cycle are compared with its mean over all phases. */
	readonly averagesCycles?: boolean;
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
