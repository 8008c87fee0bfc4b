import type { NoPeriodicState } from "../../lib/solve/periodic.ts";
import { DAY } from "../../lib/time.ts";

/** Why no settled pattern exists. */
export const noSettledPatternWords = (cause: NoPeriodicState["cause"]): string =>
	({
		"no air": "Neither fan nor leakage removes CO₂, so it keeps rising.",
		"schedule does not repeat": "The list of switching times runs once, so no pattern settles.",
		"source does not repeat": "Respiration changes from day to day, so no pattern settles.",
		"incommensurate periods":
			"Respiration repeats every day, but the cycle does not divide the day, so no two days are equal.",
	})[cause];

/** "day 6, on which the peak occurs"; "the first 12 h" of a run shorter than a day. */
export const windowWords = ({
	windowFromSeconds,
	windowSeconds,
	isPeakDay,
	shiftSeconds,
}: {
	readonly windowFromSeconds: number;
	readonly windowSeconds: number;
	readonly isPeakDay: boolean;
	readonly shiftSeconds: number | null;
}): string => {
	if (shiftSeconds !== null)
		return `${windowSeconds > DAY ? `the ${Math.round(windowSeconds / DAY)} days` : "the day"} on which cycle and time of day meet at the worst`;
	if (windowSeconds < DAY) return `the first ${windowSeconds / 3600} h`;
	const day = `day ${Math.floor(windowFromSeconds / DAY) + 1}`;
	return isPeakDay ? `${day}, on which the peak occurs` : day;
};
