import type { Verification } from "../../lib/fit/fittypes.ts";
import type { UnitSystem } from "../../lib/units/format.ts";
import { constraintReason } from "../choose/constraintwords.ts";
import { percentOf, ppmWords, toItsError } from "../fit/fitvalues.ts";
import type { Headline } from "../fit/fitwords.ts";
import { formatPpm } from "../words/verdict.ts";

type Check = Verification["checks"][number];

const criterionName = ({ scenario }: Verification): string =>
	({ peak: "peak", mean: "mean", "worst hour": "mean of the worst hour" })[scenario.target.on];

/** What was held against what, in the words of a table. */
export const checkWords = ({ name }: Check, verification: Verification): string =>
	({
		agreement: "logged against predicted, root mean square",
		mean: "mean of the log less the predicted mean",
		peak: `${criterionName(verification)} of the CO2 in the chamber, the sensor's lag undone`,
		trend: "how far log and prediction part from the first to the last quarter",
	})[name];

/** Why a check fails, in one clause. */
const failWords = ({ name, value, allowed }: Check, verification: Verification): string =>
	({
		agreement: `log and prediction differ by ${ppmWords(value)} root mean square, and the sensor's accuracy is ${ppmWords(allowed)}`,
		mean: `the readings lie ${ppmWords(Math.abs(value))} ${value > 0 ? "above" : "below"} the prediction on the mean, and the sensor's accuracy is ${ppmWords(allowed)}`,
		peak: `the ${criterionName(verification)} in the chamber came to ${formatPpm(value)}, above the ceiling of ${formatPpm(allowed)}`,
		trend: `over the log the readings ${value > 0 ? "rose" : "fell"} by ${ppmWords(Math.abs(value))} against the prediction`,
	})[name];

/** Why there is no setting for today. */
export const noRetuneWords = (reason: NonNullable<Verification["noRetune"]>, units: UnitSystem): string =>
	reason.code === "no adequate model"
		? "No model with another crop or fan fits this log. Look for another schedule, another chamber, a moved sensor or a crop that changes within hours."
		: constraintReason(reason.bindingConstraint, units);

const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** The verdict on a schedule by its log. */
export function verificationVerdict(verification: Verification): Headline {
	const { checks, isWithin, scheduleName, rmsPpm, accuracyPpm, estimatedPeakPpm, scenario } = verification;
	const off = checks.filter((check) => !check.isWithin);
	// Where the mean is off, the agreement is off for the same reason.
	const failed = off.filter(({ name }) => name !== "agreement" || !off.some((one) => one.name === "mean"));
	const which = scheduleName === "" ? "The log" : `“${scheduleName}”`;
	const ceiling = formatPpm(scenario.target.ceiling.value);
	return {
		answer: isWithin ? "Within" : "Outside",
		grounds: isWithin
			? `${which} does what was promised: the readings follow the prediction to ${ppmWords(rmsPpm)} root mean square, where the sensor promises ${ppmWords(accuracyPpm)}, and the ${criterionName(verification)} in the chamber keeps the ceiling of ${ceiling}.`
			: `${upperFirst(failed.map((check) => failWords(check, verification)).join("; "))}.`,
		more: [
			peakWords(verification),
			...(verification.predictedPpm === null
				? []
				: [
						`The scenario promises a ${criterionName(verification)} of ${formatPpm(verification.predictedPpm)} for this schedule${scenario.target.on === "peak" ? `; it truly was ${formatPpm(estimatedPeakPpm)}` : ""}.`,
					]),
			...generationWords(verification),
		],
	};
}

/** The peak as logged and as it was. */
export function peakWords({ loggedPeakPpm, estimatedPeakPpm }: Verification): string {
	const less = estimatedPeakPpm - loggedPeakPpm;
	return less >= 0.5
		? `The highest reading is ${formatPpm(loggedPeakPpm)}, but the CO2 in the chamber came to ${formatPpm(estimatedPeakPpm)}: the sensor follows too slowly to show it.`
		: `The highest reading is ${formatPpm(loggedPeakPpm)}; by the model the CO2 in the chamber came to ${formatPpm(estimatedPeakPpm)}, so noise or an offset lifts the highest readings.`;
}

/** A change counts beyond so many standard errors and this share, as for the setting of today. */
const MIN_STANDARD_ERRORS = 3;
const MIN_CHANGE = 0.05;

type Factor = NonNullable<Verification["generation"]>;

const isPlain = ({ factor, standardError }: Factor): boolean =>
	standardError !== null && Math.abs(factor - 1) > Math.max(MIN_CHANGE, MIN_STANDARD_ERRORS * standardError);

const timesWords = ({ factor, standardError }: Factor): string =>
	`${toItsError(factor, standardError, 2)}${standardError === null ? "" : ` ± ${toItsError(standardError, standardError, 2)}`} times`;

const moreOrLess = (factor: number): string => `${percentOf(factor - 1)} ${factor > 1 ? "more" : "less"}`;

/** What crop and fan do now; nothing where the log does not tell. */
export function generationWords({ generation, flow }: Verification): readonly string[] {
	if (generation === null) return [];
	const now = `${timesWords(generation)} as much CO2 as the scenario has`;
	const told = isPlain(generation)
		? `The crop now gives off ${now}, ${moreOrLess(generation.factor)}`
		: `The crop gives off ${now}: no change that would matter or that the log could tell`;
	if (flow === null) return [`${told}, with all else as in the file.`];
	return [
		`${told}.`,
		isPlain(flow)
			? `The fan delivers ${timesWords(flow)} the flow that the scenario has, ${moreOrLess(flow.factor)}.`
			: `The fan delivers ${timesWords(flow)} the flow that the scenario has: as promised.`,
	];
}

/** Residuals by day and by night; null without clock times. */
export function dayNightWords({ dayPpm, nightPpm }: Verification): string | null {
	if (dayPpm === null && nightPpm === null) return null;
	const part = (name: string, value: number | null): string =>
		value === null
			? `no reading was taken by ${name}`
			: `by ${name} the log reads ${ppmWords(Math.abs(value))} ${value >= 0 ? "more" : "less"} than predicted`;
	return `${upperFirst(part("day", dayPpm))} (06:00 to 18:00), ${part("night", nightPpm)}.`;
}
