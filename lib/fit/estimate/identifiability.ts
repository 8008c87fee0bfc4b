import type { FitWarning } from "../findings.ts";
import type { FitName } from "../fitoptions.ts";
import type { Estimate } from "./estimate.ts";

/** What a value is small against. */
export interface IdentifiabilityScale {
	/** Air of the chamber [m3]. */
	readonly volumeM3: number;
	/** Usual step of the log [s]. */
	readonly stepSeconds: number;
}

/** A prior's error must have shrunk to this share for the log to have contributed. */
const MAX_PRIOR_SHARE = 0.8;

/** An error as large as this is enough where the value itself hardly matters: a leak that is small against the fan's work, a time within a sample. */
function negligibleError(name: FitName, { volumeM3, stepSeconds }: IdentifiabilityScale): number {
	switch (name) {
		case "leak":
			// 0.1 air changes an hour [m3/s].
			return (0.1 / 3600) * volumeM3;
		case "offset":
		case "background":
			return 30;
		case "response":
		case "phase":
			return stepSeconds;
		case "lost on-time":
			return 1;
		case "trend":
			return 0.05;
		case "flush rise":
		case "flush fall":
			return 43_200;
		case "initialCo2":
		case "initialReading":
			return 100;
		default:
			return 0;
	}
}

/** Whether a log determines a value with such a standard error; prior knowledge alone does not count. */
export function isIdentifiable(
	name: FitName,
	value: number,
	standardError: number | null,
	priorSd: number | undefined,
	against: IdentifiabilityScale,
): boolean {
	if (standardError === null) return false;
	const enough =
		name === "timerRateError" ? 1e-3 : Math.max(Math.abs(value) / 2, negligibleError(name, against));
	return standardError <= enough && (priorSd === undefined || standardError <= MAX_PRIOR_SHARE * priorSd);
}

/** What is to be known of how a search ended. */
export function warnOfSearch({
	least,
	varianceInflation,
}: Pick<Estimate, "least" | "varianceInflation">): FitWarning[] {
	const warnings: FitWarning[] = [];
	if (least.termination === "iteration limit") warnings.push({ code: "iteration limit" });
	if (varianceInflation > 1) warnings.push({ code: "slow residuals", factor: Math.sqrt(varianceInflation) });
	return warnings;
}
