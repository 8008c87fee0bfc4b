import type { FitWarning } from "../../lib/fit/findings.ts";
import type { FanSource, OutlierReason } from "../../lib/fit/fittypes.ts";
import type { FanState } from "../../lib/logs/log.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { ppmWords } from "./fitvalues.ts";

const FAN_STATES: Readonly<Record<FanState, string>> = {
	now: "which has the state at each sample",
	since: "which shows whether the fan ran since the last sample",
	fraction: "which has the fraction of each interval that the fan was on",
};

/** Where the times of the bursts come from. */
export function fanWords(source: FanSource): string {
	switch (source.code) {
		case "always on":
			return "on all the time";
		case "always off":
			return "off all the time";
		case "fan column":
			return `from the log's fan column, ${source.state === null ? "its switchings within a sampling interval" : FAN_STATES[source.state]}`;
		case "schedule with given start":
			return "from the schedule, with the start given";
		case "schedule by the clock":
			return "from the schedule by the clock";
		case "schedule with estimated start":
			return "from the schedule; its start is estimated from the log";
		case "bursts in the log":
			return `${source.count} bursts found in the log`;
	}
}

/** Why a burst is excluded. */
export function outlierReason(reason: OutlierReason): string {
	switch (reason.code) {
		case "no burst in the fan column":
			return "the fan column shows no burst here: a door, a lid or a draught";
		case "too few samples":
			return "too few readings before or after it";
		case "fan hardly ran":
			return `${timesExpected(reason.ratio)}: the fan hardly ran`;
		case "too little air":
			return `${timesExpected(reason.ratio)}: a shorter burst, or a stalled fan`;
		case "too much air":
			return `${timesExpected(reason.ratio)}: a longer burst, or an open door`;
	}
}

const timesExpected = (ratio: number): string =>
	`its air changes are ${Number(ratio.toPrecision(2))} times the expected value`;

const moment = (seconds: number): string => formatDuration(Math.round(seconds));

/** A warning of a fit as a sentence without its full stop, as one follows `warning: `. */
export function fitWarningWords(warning: FitWarning): string {
	switch (warning.code) {
		case "inadequate model":
			return "the model does not follow this log, so no value is for the scenario";
		case "iteration limit":
			return "the search reached its iteration limit before the values settled; fix a parameter, or log for longer";
		case "at bound":
			return `${warning.label} is at the limit of its range; its error is one-sided`;
		case "background contradicts intake":
			return `the tail of the decay settles at ${ppmWords(warning.backgroundPpm)} (SE ${ppmWords(warning.standardError)}), but intake and sensor let expect ${ppmWords(warning.expectedPpm)} (SE ${ppmWords(warning.expectedError)}); the tail was used alone. Check intake.co2, the sensor outdoors, and whether something still gives off CO₂`;
		case "baseline step":
			return `all readings shift by ${ppmWords(warning.ppm)}${warning.standardError === null ? "" : ` (SE ${ppmWords(warning.standardError)})`} ${moment(warning.atSeconds)} after the first reading, as if the sensor had reset its baseline; the shift is estimated with the other values`;
		case "slow residuals":
			return `the residuals vary slowly over many samples; all standard errors are multiplied by ${warning.factor.toFixed(1)}`;
		case "dose in log":
			return `CO₂ rises in this log, so only the part from ${moment(warning.fromSeconds)} to ${moment(warning.toSeconds)} after the first reading is used; dose once, before the first burst`;
		case "last step too late":
			return `the fall ${moment(warning.atSeconds)} after the first reading comes too late to be counted; log as long after the last burst as after the others`;
		case "stagnant zone ignored":
			return "the bursts are counted as if all air were mixed, although the scenario has chamber.stagnant; stir the air with a small fan during the test";
		case "bursts scatter":
			return `the bursts vary by ${(100 * warning.share).toPrecision(2)} % (standard deviation), more than the noise explains, as if each were about ${formatDuration(Number(warning.onSeconds.toPrecision(1)))} longer or shorter; the standard errors include this${warning.mayHaveTwoLengths ? "; if there are two lengths, name both" : ""}`;
	}
}
