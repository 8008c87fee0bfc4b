import type { CleanSeries } from "../../logs/log.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { autocorrelation } from "../../statistics/autocorrelation.ts";
import { accuracyPpm } from "../accuracy.ts";
import type { FitResiduals } from "../fittypes.ts";
import type { Estimate } from "./estimate.ts";
import { varianceOf } from "./fitsearch.ts";

/** A log that moves no more than this may be explained by a level alone [ppm]. */
const UNMOVED_PPM = 20;
/** Lags shown of the autocorrelation. */
const LAGS = 40;

/** What a fit leaves over, and whether it follows the log as closely as the sensor can show. */
export function residualsOf(scenario: Scenario, series: CleanSeries, found: Estimate): FitResiduals {
	const { timesSeconds, log } = series;
	const { readingPpm, noisePpm, rho } = found;
	const mean = readingPpm.reduce((sum, ppm) => sum + ppm, 0) / Math.max(readingPpm.length, 1);
	const promised = accuracyPpm(scenario, mean);
	return {
		used: found.used,
		worth: (found.used * (1 - rho)) / (1 + rho) / found.inflation,
		rmsPpm: noisePpm,
		accuracyPpm: promised,
		follows: noisePpm <= promised && (noisePpm <= UNMOVED_PPM || noisePpm ** 2 <= varianceOf(series) / 2),
		neighbourCorrelation: rho,
		ppm: found.residuals,
		autocorrelation: autocorrelation(
			found.residuals,
			timesSeconds,
			log.intervalSeconds,
			Math.min(LAGS, timesSeconds.length - 1),
		).values,
	};
}
