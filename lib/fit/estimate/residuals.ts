import type { CleanSeries } from "../../logs/log.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { autocorrelation } from "../../statistics/autocorrelation.ts";
import type { LackOfFit } from "../findings.ts";
import type { FitResiduals } from "../fittypes.ts";
import { statedAccuracyPpm } from "../model/accuracy.ts";
import type { Estimate } from "./estimate.ts";
import { computeVariance } from "./fitsearch.ts";

/** A log that moves no more than this may be explained by a level alone [ppm]. */
const MIN_RANGE_PPM = 20;
/** Lags shown of the autocorrelation. */
const MAX_LAGS = 40;

/** What a fit leaves over, and whether it follows the log; `patterns` is what else speaks against it. */
export function computeResiduals(
	scenario: Scenario,
	series: CleanSeries,
	found: Estimate,
	patterns: (accuracyPpm: number) => readonly LackOfFit[] = () => [],
): FitResiduals {
	const { timesSeconds, log } = series;
	const { readingPpm, noisePpm, lag1Autocorrelation } = found;
	const predicted = readingPpm.filter((ppm) => !Number.isNaN(ppm));
	const mean = predicted.reduce((sum, ppm) => sum + ppm, 0) / Math.max(predicted.length, 1);
	const accuracy = statedAccuracyPpm(scenario, mean);
	const by = { rmsPpm: noisePpm, accuracyPpm: accuracy };
	const patternPpm = Math.min(accuracy, Math.max(MIN_RANGE_PPM, Math.sqrt(computeVariance(series) / 2)));
	const lackOfFit: readonly LackOfFit[] = [
		...(noisePpm > accuracy ? [{ code: "above accuracy" as const, ...by }] : []),
		...(noisePpm <= accuracy && noisePpm > patternPpm
			? [{ code: "explains too little" as const, ...by }]
			: []),
		...patterns(accuracy),
	];
	return {
		used: found.used,
		effectiveSampleSize:
			(found.used * (1 - lag1Autocorrelation)) / (1 + lag1Autocorrelation) / found.varianceInflation,
		rmsPpm: noisePpm,
		accuracyPpm: accuracy,
		patternPpm,
		lackOfFit,
		isAdequate: lackOfFit.length === 0,
		lag1Autocorrelation,
		ppm: found.residuals,
		autocorrelation: autocorrelation(
			found.residuals,
			timesSeconds,
			log.sampleIntervalSeconds,
			Math.min(MAX_LAGS, timesSeconds.length - 1),
		).values,
	};
}
