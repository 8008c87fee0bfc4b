import type { Cycle } from "../model/schedule/schedule.ts";
import type { FitName } from "./fitoptions.ts";

/** Why a log cannot determine parameters; their names stand beside it. */
export type ConfoundedReason =
	| { readonly code: "fan never on" | "no effect" | "only combination" | "large error" | "one burst length" }
	| { readonly code: "strongly correlated"; readonly correlation: number }
	| { readonly code: "faster than samples"; readonly sampleIntervalSeconds: number };

/** The measurement or the fixed value that would determine them. */
export type Resolution =
	| {
			readonly code:
				| "leak test"
				| "outdoor zero"
				| "rise test"
				| "response from data sheet"
				| "cycle start or response"
				| "counted bursts"
				| "log over several bursts"
				| "log with an effect"
				| "separate measurement"
				| "longer or denser log"
				| "shorter sampling interval"
				| "more bursts";
	  }
	| { readonly code: "second burst length"; readonly onSeconds: number };

/** Parameters that this log cannot determine, or cannot separate. */
export interface Confounded {
	readonly names: readonly FitName[];
	readonly reason: ConfoundedReason;
	readonly resolvedBy: Resolution;
}

/** Why a model does not follow a log; numbers in SI and ppm. */
export type LackOfFit =
	| {
			readonly code: "above accuracy" | "explains too little";
			readonly rmsPpm: number;
			readonly accuracyPpm: number;
	  }
	/** After the correction for autocorrelation. */
	| { readonly code: "few independent readings"; readonly effective: number; readonly needed: number }
	/** Residuals so far apart are still so alike. */
	| { readonly code: "autocorrelation near 1"; readonly correlation: number; readonly apartSeconds: number }
	/** Waves of the residuals over the log, or over a cycle: root mean square. */
	| { readonly code: "slow pattern" | "cycle pattern"; readonly ppm: number }
	/** Means over parts of the log keep their sign for too long. */
	| { readonly code: "runs"; readonly runs: number; readonly expected: number }
	/** What each half of the log asks for, with all other values in common. */
	| {
			readonly code: "contradicting halves";
			readonly name: FitName;
			readonly first: number;
			readonly second: number;
	  }
	/** A value lies so far from what was known of it before. */
	| {
			readonly code: "against prior";
			readonly name: FitName;
			readonly value: number;
			readonly expected: number;
			readonly standardDeviation: number;
	  }
	| { readonly code: "at bound"; readonly name: FitName }
	/** The log shows no cycle of the schedule, where the scenario's values would make one of so many RMS. */
	| { readonly code: "no cycles"; readonly expectedPpm: number }
	/** Longer or shorter bursts explain the log better. */
	| { readonly code: "other on-time"; readonly isLonger: boolean; readonly scheduledSeconds: number }
	/** Another schedule of the scenario leaves so much less. */
	| {
			readonly code: "other schedule";
			readonly name: string;
			readonly rmsPpm: number;
			readonly ownRmsPpm: number;
	  }
	/** The schedule, changed so, leaves so much less. */
	| {
			readonly code: "other cycle";
			readonly change: "start" | "exchanged" | "on-time" | "period";
			readonly onSeconds: number;
			readonly offSeconds: number;
			readonly scheduled: Cycle;
			readonly rmsPpm: number;
			readonly ownRmsPpm: number;
	  };

/** What was wrong with a field test that determines nothing. */
export type Shortcoming =
	| { readonly code: "small rise" | "decay rises"; readonly byPpm: number }
	| { readonly code: "rise falls"; readonly fromPpm: number; readonly toPpm: number }
	| { readonly code: "small dose"; readonly excessPpm: number }
	/** Share of the excess over the air outside that was lost [-]. */
	| { readonly code: "short decay"; readonly lost: number };

/** What the reader of a fit must know beside its values. */
export type FitWarning =
	| { readonly code: "inadequate model" | "iteration limit" | "stagnant zone ignored" }
	| { readonly code: "at bound"; readonly name: FitName; readonly label: string }
	/** The tail of a decay settles at another CO2 than intake and sensor allow for; it was gone by, and what is known of them left out [ppm]. */
	| {
			readonly code: "background contradicts intake";
			readonly backgroundPpm: number;
			readonly standardError: number;
			readonly expectedPpm: number;
			readonly expectedError: number;
	  }
	/** From here on [s since the first sample] all readings are shifted by so much, which is found with the rest. */
	| {
			readonly code: "baseline step";
			readonly atSeconds: number;
			readonly ppm: number;
			readonly standardError: number | null;
	  }
	/** All standard errors are multiplied by the factor. */
	| { readonly code: "slow residuals"; readonly factor: number }
	/** CO2 rises; only this part of the log is used [s since the first sample]. */
	| { readonly code: "dose in log"; readonly fromSeconds: number; readonly toSeconds: number }
	| { readonly code: "last step too late"; readonly atSeconds: number }
	/** Bursts scatter more than the noise explains: as a share of their air changes, and as on-time. */
	| {
			readonly code: "bursts scatter";
			readonly share: number;
			readonly onSeconds: number;
			readonly mayHaveTwoLengths: boolean;
	  };
