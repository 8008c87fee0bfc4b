import type { Parameter } from "../../statistics/leastsquares.ts";
import type { FitName } from "../fittypes.ts";
import type { Estimate } from "./estimate.ts";

/** What a value is small against. */
export interface IdentifiabilityScale {
	/** Air of the chamber [m3]. */
	readonly volumeM3: number;
	/** Usual step of the log [s]. */
	readonly stepSeconds: number;
}

/** A prior's error must have shrunk to this share for the log to have told something. */
const MAX_PRIOR_SHARE = 0.8;

/** A value so small is told by an error as large: a leak that is small against the fan's work, a time within a sample. */
function negligibleError(name: FitName, { volumeM3, stepSeconds }: IdentifiabilityScale): number {
	switch (name) {
		case "leak":
			// 0.1 air changes an hour [m3/s].
			return (0.1 / 3600) * volumeM3;
		case "offset":
			return 30;
		case "response":
		case "phase":
			return stepSeconds;
		case "lost on-time":
			return 1;
		case "initialCo2":
		case "initialReading":
			return 100;
		default:
			return 0;
	}
}

/** Whether a log tells a value with such a standard error; what was known before is not told by the log. */
export function isIdentifiable(
	name: FitName,
	value: number,
	standardError: number | null,
	prior: Parameter["prior"],
	against: IdentifiabilityScale,
): boolean {
	if (standardError === null) return false;
	const enough =
		name === "timerRateError" ? 1e-3 : Math.max(Math.abs(value) / 2, negligibleError(name, against));
	return (
		standardError <= enough &&
		(prior === undefined || standardError <= MAX_PRIOR_SHARE * prior.standardDeviation)
	);
}

/** What is to be known of how a search ended. */
export function warnOfSearch({
	least,
	varianceInflation,
}: Pick<Estimate, "least" | "varianceInflation">): string[] {
	const warnings: string[] = [];
	if (least.termination === "iteration limit")
		warnings.push(
			"the search was cut off at its step limit; the values are not settled: fix a parameter or log longer",
		);
	if (varianceInflation > 1)
		warnings.push(
			`the residuals wander over more than neighbouring samples; all errors are widened by ${Math.sqrt(varianceInflation).toFixed(1)} for it`,
		);
	return warnings;
}

/** Nothing is written back from a model that misses the log by more than the sensor can err. */
export const NOT_ADEQUATE = "the model does not follow this log, so nothing is to be written back";
