import type { CleanSeries } from "../../logs/log.ts";

/** Steps that displays and loggers show CO2 in, coarse ones first [ppm]. */
const STEPS = [100, 50, 25, 20, 10, 5, 2, 1] as const;
/** Fewer different readings than these show no step. */
const MIN_LEVELS = 4;

/** The step that all readings are multiples of [ppm]; 0 where there is none of 1 ppm or more. */
export function findStep({ co2Ppm, excluded }: Pick<CleanSeries, "co2Ppm" | "excluded">): number {
	const levels = new Set<number>();
	for (let i = 0; i < co2Ppm.length; i++) if (excluded[i] === 0) levels.add(co2Ppm[i]!);
	if (levels.size < MIN_LEVELS) return 0;
	return (
		STEPS.find((step) => [...levels].every((ppm) => Math.abs(ppm / step - Math.round(ppm / step)) < 1e-6)) ??
		0
	);
}

/**
 * What a sensor's steps leave in the background [ppm, standard deviation]. A reading that is rounded to q errs by a sawtooth over the CO2,
 *
 *     e(C) = q/π Σ (-1)^k sin(2πkC/q)/k,   of variance q²/12 where nothing moves it.
 *
 * Noise of standard deviation σ smooths each of its waves by e^-2(πkσ/q)²; what is left is the same for all readings of a level, so that no
 * number of readings averages it away: Σ q²/(2π²k²) e^-4(πkσ/q)². With σ over a half of the step it is nothing.
 */
export function roundingPpm(stepPpm: number, noisePpm: number): number {
	if (!(stepPpm > 0)) return 0;
	let variance = 0;
	for (let k = 1; k <= 200; k++)
		variance +=
			((stepPpm / (Math.PI * k)) ** 2 / 2) * Math.exp(-4 * ((Math.PI * k * noisePpm) / stepPpm) ** 2);
	return Math.sqrt(variance);
}

/** The same for a log: its step, and its noise by how its readings bend from one to the next. */
export function findRounding(series: Pick<CleanSeries, "co2Ppm" | "excluded">): number {
	const step = findStep(series);
	if (step === 0) return 0;
	const { co2Ppm, excluded } = series;
	let squares = 0;
	let count = 0;
	for (let i = 2; i < co2Ppm.length; i++) {
		if (excluded[i] !== 0 || excluded[i - 1] !== 0 || excluded[i - 2] !== 0) continue;
		squares += (co2Ppm[i]! - 2 * co2Ppm[i - 1]! + co2Ppm[i - 2]!) ** 2;
		count++;
	}
	// Of white noise a second difference has six times the variance; a rounding is part of what is seen.
	const seen = count > 0 ? squares / count / 6 : 0;
	return roundingPpm(step, Math.sqrt(Math.max(seen - step ** 2 / 12, 0)));
}
