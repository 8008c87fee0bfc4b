import type { LackOfFit, Shortcoming } from "../../lib/fit/findings.ts";
import type { Fit } from "../../lib/fit/fittypes.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";
import { upperFirst } from "../words/format.ts";
import { labelOf } from "./confoundedwords.ts";
import { percentOf, plainValue, ppmWords } from "./fitvalues.ts";

type Judged = Pick<Fit, "parameters" | "scheduleName" | "residuals" | "test" | "days" | "shortcoming">;

/** What shows that the model does not follow a log, as a sentence. */
export function lackOfFitReason(
	fit: Pick<Fit, "parameters" | "scheduleName">,
	one: LackOfFit,
	units: UnitSystem,
): string {
	switch (one.code) {
		case "above accuracy":
			return `The RMS residual of ${ppmWords(one.rmsPpm)} exceeds the sensor accuracy of ${ppmWords(one.accuracyPpm)}.`;
		case "explains too little":
			return `The model explains less than half of the variation (RMS residual ${ppmWords(one.rmsPpm)}).`;
		case "few independent readings":
			return `The readings are equivalent to ${Math.max(1, Math.round(one.effective))} independent readings; this fit needs ${Math.ceil(one.needed)}.`;
		case "autocorrelation near 1":
			return `Residuals ${formatDuration(Math.round(one.apartSeconds))} apart still have a correlation of ${one.correlation.toFixed(2)}, so they are not noise.`;
		case "slow pattern":
			return `The residuals rise and fall slowly over the log, by ${ppmWords(one.ppm)} RMS.`;
		case "cycle pattern":
			return `The residuals repeat in every cycle, with ${ppmWords(one.ppm)} RMS.`;
		case "runs":
			return `The residuals keep their sign for too long: ${one.runs} runs, where ${Math.round(one.expected)} are expected.`;
		case "contradicting halves":
			return `The halves of the log contradict each other: ${labelOf(fit, one.name)} is ${plainValue(one.name, one.first, units)} in the first half and ${plainValue(one.name, one.second, units)} in the second.`;
		case "against prior":
			return `The fit needs a ${labelOf(fit, one.name)} of ${plainValue(one.name, one.value, units)}, where ${plainValue(one.name, one.expected, units)} ± ${plainValue(one.name, 1.96 * one.standardDeviation, units)} (95 %) was known.`;
		case "at bound":
			return `${upperFirst(labelOf(fit, one.name))} ends at the limit of its range.`;
		case "no cycles":
			return `The log shows no cycles of ${scheduleOf(fit)}; with the scenario's values they would make CO₂ vary by ${ppmWords(one.expectedPpm)} RMS.`;
		case "other on-time":
			return `${one.isLonger ? "Longer" : "Shorter"} bursts than the ${formatDuration(one.scheduledSeconds)} of ${scheduleOf(fit)} explain the log better.`;
		case "other schedule":
			return `The schedule "${one.name}" explains the log better than ${scheduleOf(fit)}: ${insteadOf(one)}.`;
		case "other cycle":
			return `${otherCycleWords(fit, one)}: ${insteadOf(one)}.`;
	}
}

const scheduleOf = ({ scheduleName }: Pick<Fit, "scheduleName">): string =>
	scheduleName === null ? "the schedule" : `the schedule "${scheduleName}"`;

const insteadOf = ({ rmsPpm, ownRmsPpm }: { readonly rmsPpm: number; readonly ownRmsPpm: number }): string =>
	`RMS residual ${ppmWords(rmsPpm)} instead of ${ppmWords(ownRmsPpm)}`;

function otherCycleWords(
	fit: Pick<Fit, "scheduleName">,
	{ change, onSeconds, offSeconds, scheduled }: Extract<LackOfFit, { readonly code: "other cycle" }>,
): string {
	const schedule = scheduleOf(fit);
	const period = (seconds: number) => formatDuration(Number(seconds.toPrecision(3)));
	switch (change) {
		case "start":
			return `${upperFirst(schedule)} follows the log better with another start of its cycle`;
		case "exchanged":
			return `${upperFirst(schedule)} follows the log better with on- and off-time exchanged`;
		case "on-time":
			return `Bursts of about ${period(onSeconds)} explain the log better than the ${formatDuration(scheduled.onSeconds)} of ${schedule}`;
		case "period":
			return `The log repeats every ${period(onSeconds + offSeconds)}, ${schedule} every ${formatDuration(scheduled.onSeconds + scheduled.offSeconds)}`;
	}
}

/** What to do about a log that the model does not follow. */
function remedyWords({ residuals: { lackOfFit }, test, days, shortcoming }: Judged): string {
	const has = (...codes: LackOfFit["code"][]) => lackOfFit.some(({ code }) => codes.includes(code));
	if (shortcoming !== null) return shortcomingWords(shortcoming);
	if (test === "rise")
		return "Repeat the rise test with the fan off, the lid closed and nobody breathing into the chamber; read a log under a schedule with --test log.";
	if (test === "decay")
		return "Repeat the leak test in the empty chamber: stir the air after the dose, and keep the fan off and the lid closed.";
	if (test === "bursts")
		return "Repeat the bursts in the closed chamber, with one dose before the first of them.";
	if (lackOfFit.some((one) => one.code === "other cycle" && one.change === "start"))
		return "Leave --phase out, so that the start of the cycle is found from the log.";
	if (has("no cycles", "other on-time", "other schedule", "other cycle"))
		return "Check which schedule ran (--schedule), the on- and off-time at the timer, and whether the fan ran.";
	if (
		days === null &&
		lackOfFit.some((one) => one.code === "contradicting halves" && one.name === "generation")
	)
		return "If the crop changes from day to day, use --days, or fit a shorter part of the log.";
	if (has("against prior"))
		return "Check the sensor against outdoor air, and what the scenario says of intake CO₂, temperature and Q10 (--free q10).";
	return has("slow pattern", "runs", "contradicting halves")
		? "Look for what changed during the log: the crop (--days), an open door, a clogged filter, the intake CO₂ or the sensor. Fit a part of the log without the change."
		: "Look for another schedule, test or crop, or an open door.";
}

/** What was wrong with a field test, and how to do it again. */
export function shortcomingWords(one: Shortcoming): string {
	switch (one.code) {
		case "small rise":
			return `CO₂ rises by only ${ppmWords(Math.max(one.byPpm, 0))} in this rise test. Log for longer, with the crop inside and the fan off, until 2000 to 3000 ppm.`;
		case "rise falls":
			return `CO₂ falls from ${ppmWords(one.fromPpm)} to ${ppmWords(one.toPpm)} in this rise test: the fan ran, or the chamber was opened. Repeat it with the fan off and the lid closed; of a log with several closures --each closure reads each.`;
		case "decay rises":
			return `This log rises by ${ppmWords(one.byPpm)}: read it with --test rise. For a leak test take crop and substrate out, and dose before the log begins.`;
		case "small dose":
			return `This leak test begins only ${ppmWords(one.excessPpm)} above the intake air. Repeat it from 2000 to 3000 ppm.`;
		case "short decay":
			return `In this leak test the excess CO₂ falls by only ${percentOf(Math.max(one.lost, 0))}. Log until it has fallen by a third, which may take hours in a tight chamber.`;
	}
}

/** Why the model does not follow a log, and what to do; nothing where it does. */
export const lackOfFitWords = (fit: Judged, units: UnitSystem): readonly string[] =>
	fit.residuals.isAdequate
		? []
		: [
				// A log of another test is said to be one, and nothing else of it matters.
				...(isOtherTest(fit) ? [] : fit.residuals.lackOfFit.map((one) => lackOfFitReason(fit, one, units))),
				remedyWords(fit),
			];

/** A leak test that rises, a rise test that falls. */
export const isOtherTest = ({ shortcoming }: Pick<Fit, "shortcoming">): boolean =>
	shortcoming?.code === "decay rises" || shortcoming?.code === "rise falls";
