import type { CleanSeries } from "../../logs/log.ts";
import type { Model } from "../../model/chamber.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { warnOfSearch } from "../estimate/identifiability.ts";
import type { Confounded, FitWarning, Resolution } from "../findings.ts";
import type { FitName } from "../fitoptions.ts";
import type { FittedBurst, FittedParameter } from "../fittypes.ts";
import type { BurstScreening } from "./burstoutliers.ts";
import { burstCovariance } from "./burstreport.ts";
import type { LogBursts } from "./burstsoflog.ts";
import { type BurstCount, SHARED } from "./countedbursts.ts";

/** Time constants after which a sensor has followed. */
const RESPONSES_AFTER = 5;
/** Bursts that differ by more than this share may have had two lengths. */
const MIN_TWO_LENGTHS_SHARE = 0.25;

/** Each burst with the CO2 before and after it. */
export function listBurstRows(
	model: Model,
	{ co2Ppm }: CleanSeries,
	count: BurstCount,
	{ regression, reasons }: BurstScreening,
	onSeconds: readonly (number | null)[],
): readonly FittedBurst[] {
	const { estimate, samples, changesAt, middleAt } = count;
	const { values } = estimate.least;
	const still = [...samples.timesSeconds.keys()].filter((i) => samples.excluded[i] === 0);
	const middles = onSeconds.map((_, k) => values[middleAt + k]!);
	const reading = (i: number | undefined): number | null => (i === undefined ? null : co2Ppm[i]!);
	return onSeconds.map((onSeconds, k): FittedBurst => {
		const around = count.aroundPpm(k);
		const { airChanges, derivative } = regression.correctedForOffset(
			values[changesAt + k]!,
			around.before - model.intakePpm,
		);
		const width = count.widthSeconds(k);
		const middle = middles[k]!;
		const until = middles[k + 1] ?? Number.POSITIVE_INFINITY;
		const after = still.filter((i) => samples.timesSeconds[i]! > middle && samples.timesSeconds[i]! < until);
		const rested = middle + RESPONSES_AFTER * values[SHARED.indexOf("response")]!;
		const error = derivative * Math.sqrt(burstCovariance(count, changesAt + k, changesAt + k));
		return {
			number: k + 1,
			atSeconds: middle - (onSeconds ?? width) / 2,
			onSeconds,
			beforePpm: around.before - regression.zeroPpm,
			afterPpm: around.after - regression.zeroPpm,
			readBeforePpm: reading(still.findLast((i) => samples.timesSeconds[i]! < middle)),
			readAfterPpm: reading(after.find((i) => samples.timesSeconds[i]! >= rested) ?? after.at(-1)),
			airChanges,
			standardError: Number.isFinite(error) ? error : null,
			replacedFraction: -Math.expm1(-airChanges),
			expected: onSeconds === null ? null : regression.predictAir(onSeconds).airChanges,
			reason: reasons[k]!,
		};
	});
}

/** What would determine a parameter that the bursts leave open. */
const RESOLUTIONS: Readonly<Partial<Record<FitName, Resolution>>> = {
	response: { code: "shorter sampling interval" },
	leak: { code: "leak test" },
	offset: { code: "outdoor zero" },
};

/** What the test did not determine, and what would. */
export function findConfoundedOfBursts(
	parameters: readonly FittedParameter[],
	firstSeconds: number,
	stepSeconds: number,
): readonly Confounded[] {
	const loss = parameters.find(({ name }) => name === "lost on-time")!;
	const flow = parameters.find(({ name }) => name === "flow")!;
	const found: Confounded[] =
		loss.status === "fixed" && flow.status !== "fixed"
			? [
					{
						names: ["flow", "lost on-time"],
						reason: { code: "one burst length" },
						resolvedBy: { code: "second burst length", onSeconds: 3 * firstSeconds },
					},
				]
			: [];
	for (const { name, status, isIdentifiable, isAtBound } of parameters) {
		if (status === "fixed" || isIdentifiable || name === "initialCo2" || name === "initialReading") continue;
		found.push({
			names: [name],
			reason:
				name === "response" && isAtBound
					? { code: "faster than samples", sampleIntervalSeconds: stepSeconds }
					: { code: "large error" },
			resolvedBy: RESOLUTIONS[name] ?? { code: "more bursts" },
		});
	}
	return found;
}

/** What else is to be known of a test of counted bursts. */
export function warnOfBursts(
	scenario: Scenario,
	{ count, used, hasDose, late }: LogBursts,
	{ regression, counted }: BurstScreening,
	bursts: readonly FittedBurst[],
	isAdequate: boolean,
): FitWarning[] {
	const warnings: FitWarning[] = [];
	if (!isAdequate) warnings.push({ code: "inadequate model" });
	if (hasDose) warnings.push({ code: "dose in log", ...used });
	if (late.length > 0) warnings.push({ code: "last step too late", atSeconds: late[0]! });
	if (scenario.chamber.stagnant !== null) warnings.push({ code: "stagnant zone ignored" });
	const middle = bursts.find(({ number }) => number === counted[counted.length >> 1]! + 1)!;
	if (regression.isBetweenBurstSdSignificant) {
		const share = regression.betweenBurstSd / middle.expected!;
		warnings.push({
			code: "bursts scatter",
			share,
			onSeconds: regression.betweenBurstSd / regression.perSecond,
			mayHaveTwoLengths: share > MIN_TWO_LENGTHS_SHARE,
		});
	}
	return [...warnings, ...warnOfSearch(count.estimate)];
}
