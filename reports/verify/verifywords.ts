import type { Verification } from "../../lib/fit/verification.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { chanceShare } from "../choose/choosewords.ts";
import { constraintReason } from "../choose/constraintwords.ts";
import { percentOf, ppmWords, withItsError } from "../fit/fitvalues.ts";
import type { Headline } from "../fit/fitwords.ts";
import { formatPpm, upperFirst } from "../words/format.ts";

type Check = Verification["checks"][number];

const criterionName = ({ scenario }: Verification): string =>
	({ peak: "peak", mean: "mean", "worst hour": "mean of the worst hour" })[scenario.target.on];

/** What a check compares, in the words of a table. */
export const checkWords = ({ name }: Check, verification: Verification): string =>
	({
		agreement: "RMS difference of log and prediction",
		pattern: "RMS difference after CO₂ output and flow are fitted",
		mean: "logged minus predicted mean",
		peak:
			verification.estimatedPeakPpm === null && verification.scenario.target.on === "peak"
				? "highest reading, for the model does not follow the log"
				: `estimated CO₂ ${criterionName(verification)} in the chamber`,
		trend: "change of log minus prediction over the log",
	})[name];

/** Why a check fails, in one clause. */
const failWords = ({ name, value, allowed }: Check, verification: Verification): string =>
	({
		agreement: `the RMS difference of log and prediction is ${ppmWords(value)}, above the sensor accuracy of ${ppmWords(allowed)}`,
		pattern: `the model does not follow the log whatever the CO₂ output and flow: the RMS difference stays at ${ppmWords(value)}`,
		mean: `the mean reading is ${ppmWords(Math.abs(value))} ${value > 0 ? "above" : "below"} the prediction, more than the sensor accuracy of ${ppmWords(allowed)}`,
		peak: `${verification.estimatedPeakPpm === null && verification.scenario.target.on === "peak" ? "the highest reading" : `the estimated ${criterionName(verification)} in the chamber`} is ${formatPpm(value)}, above the ceiling of ${formatPpm(allowed)}`,
		trend: `over the log the readings ${value > 0 ? "rise" : "fall"} by ${ppmWords(Math.abs(value))} relative to the prediction`,
	})[name];

/** Why there is no setting for today. */
export const noRetuneWords = (reason: NonNullable<Verification["noRetune"]>, units: UnitSystem): string =>
	reason.code === "no adequate model"
		? "No other CO₂ output or flow makes the model fit this log. Look for another schedule or chamber, a moved sensor, or a crop that changes within hours."
		: reason.code === "no feasible setting"
			? constraintReason(reason.bindingConstraint, units)
			: `No setting within the limits has a ${reason.reliabilityPercent} % chance of meeting the target. The highest is ${chanceShare(reason.probability)}.`;

/** "Chance of meeting the target: 90.3 % (asked: 90 %)."; null where nothing is uncertain. */
export const retuneChance = ({
	probability,
	reliabilityPercent,
}: NonNullable<Verification["retune"]>): string | null =>
	probability === null
		? null
		: `Chance of meeting the target: ${chanceShare(probability)} (asked: ${reliabilityPercent} %).`;

/** The verdict on a schedule from its log. */
export function verificationVerdict(verification: Verification): Headline {
	const { checks, isWithin, scheduleName, rmsPpm, accuracyPpm, scenario } = verification;
	const off = checks.filter((check) => !check.isWithin);
	// Where the mean or the pattern is off, the agreement is off for the same reason.
	const failed = off.filter(
		({ name }) => name !== "agreement" || !off.some((one) => one.name === "mean" || one.name === "pattern"),
	);
	const which = scheduleName === "" ? "The log" : `“${scheduleName}”`;
	const ceiling = formatPpm(scenario.target.ceiling.value);
	return {
		answer: isWithin ? "Within" : "Outside",
		grounds: isWithin
			? `${which} works as predicted: the ${criterionName(verification)} in the chamber stays under the ceiling of ${ceiling}. ${
					verification.averagesCycles
						? `The readings are too far apart to show a cycle, so mean and trend are compared. The mean differs by ${smallWords(verification.loggedMeanPpm - verification.predictedMeanPpm)}`
						: `The RMS difference of log and prediction is ${ppmWords(rmsPpm)}`
				}; the sensor accuracy is ${ppmWords(accuracyPpm)}.`
			: `${upperFirst(failed.map((check) => failWords(check, verification)).join("; "))}.`,
		more: [
			peakWords(verification),
			...(verification.predictedPpm === null
				? []
				: [
						`The scenario predicts a ${criterionName(verification)} of ${formatPpm(verification.predictedPpm)} for this schedule.`,
					]),
			...generationWords(verification),
			...responseWords(verification),
		],
	};
}

/** Differences that no reader needs to know of [ppm]. */
const MIN_PPM = 1;

/** A difference, or that it is under 1 ppm. */
export const smallWords = (ppm: number): string =>
	Math.abs(ppm) < MIN_PPM ? `less than ${MIN_PPM} ppm` : ppmWords(ppm);

/** The logged peak and the estimated one with its error. */
export function peakWords(verification: Verification): string {
	const {
		loggedPeakPpm,
		estimatedPeakPpm,
		estimatedPeakStandardErrorPpm: error,
		averagesCycles,
	} = verification;
	if (estimatedPeakPpm === null)
		return `The highest reading is ${formatPpm(loggedPeakPpm)}. The model does not follow the log, so no peak in the chamber is estimated.`;
	const less = estimatedPeakPpm - loggedPeakPpm;
	const why = averagesCycles
		? ", from the model: the readings are too far apart to show a cycle"
		: Math.abs(less) < MIN_PPM
			? ""
			: less > 0
				? ": the sensor responds too slowly to show it"
				: ": noise or an offset raises the highest readings";
	const written = error === null || error < MIN_PPM ? "" : ` (SE ${ppmWords(error)})`;
	return `The highest reading is ${formatPpm(loggedPeakPpm)}. The estimated peak in the chamber is ${formatPpm(estimatedPeakPpm)}${written}${why}.`;
}

/** A change counts beyond so many standard errors and this share, as for the setting of today. */
const MIN_STANDARD_ERRORS = 3;
const MIN_CHANGE = 0.05;

type Factor = NonNullable<Verification["generation"]>;

const isPlain = ({ factor, standardError }: Factor): boolean =>
	standardError !== null && Math.abs(factor - 1) > Math.max(MIN_CHANGE, MIN_STANDARD_ERRORS * standardError);

/** `1.40 times the scenario's value (SE 0.14)` */
export const factorWords = ({ factor, standardError }: Factor, unit = ""): string =>
	withItsError(factor, standardError, 2, unit);

const timesWords = (one: Factor, what: string): string => factorWords(one, ` times the scenario's ${what}`);

const moreOrLess = (factor: number): string => `${percentOf(factor - 1)} ${factor > 1 ? "more" : "less"}`;

/** A factor near 1 with a small error is the same; with a large one nobody knows. */
const sameWords = ({ standardError }: Factor, same: string): string =>
	standardError !== null && standardError <= MIN_CHANGE
		? `: ${same}`
		: ", which this log cannot tell apart from it";

/** Why these factors are not quite those of a fit. */
const HELD_WORDS = "All else is held; fit estimates more, so its factors differ.";

/** Current CO₂ output and flow; nothing where the log does not determine them. */
export function generationWords({ generation, flow }: Verification): readonly string[] {
	if (generation === null) return [];
	const output = timesWords(generation, "value");
	const fitted = isPlain(generation)
		? `CO₂ output is now ${output}, ${moreOrLess(generation.factor)}`
		: `CO₂ output is ${output}${sameWords(generation, "no significant change")}`;
	if (flow === null) return [`${fitted}. ${HELD_WORDS}`];
	const delivered = `Delivered flow is ${timesWords(flow, "value")}`;
	return [
		`${fitted}.`,
		isPlain(flow)
			? `${delivered}, ${moreOrLess(flow.factor)}.`
			: `${delivered}${sameWords(flow, "as predicted")}.`,
		HELD_WORDS,
	];
}

/** Where a sensor response comes from that the scenario does not state. */
const responseWords = ({ response }: Pick<Verification, "response">): readonly string[] =>
	response === null
		? []
		: [
				response.standardError === null
					? `The scenario states no sensor response (sensor: { response: … }), and the log does not determine it; ${withItsError(response.seconds, null, 0, " s")} is assumed, which no error includes.`
					: `The scenario states no sensor response; the log shows one of ${withItsError(response.seconds, response.standardError, 0, " s")}.`,
			];

/** Residuals by day and by night; null without clock times. */
export function dayNightWords({ dayPpm, nightPpm }: Verification): string | null {
	if (dayPpm === null && nightPpm === null) return null;
	const part = (name: string, value: number | null): string =>
		value === null
			? `no reading was taken by ${name}`
			: Math.abs(value) < MIN_PPM
				? `by ${name} the log reads as predicted`
				: `by ${name} the log reads ${ppmWords(Math.abs(value))} ${value >= 0 ? "more" : "less"} than predicted`;
	return `${upperFirst(part("day", dayPpm))} (06:00 to 18:00), ${part("night", nightPpm)}.`;
}
