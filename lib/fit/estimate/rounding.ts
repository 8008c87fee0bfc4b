import type { CleanSeries } from "../../logs/log.ts";
import { wavesOf } from "../../statistics/waves.ts";
import type { HeldInput, HeldValues } from "./heldvalues.ts";

/** Steps that displays and loggers show CO2 in, coarse ones first [ppm]. */
const STEPS = [100, 50, 25, 20, 10, 5, 2, 1] as const;
/** Fewer different readings than these show no step. */
const MIN_LEVELS = 4;
/** Waves of the sawtooth that are followed; the amplitudes of the others, which fall as 1/k, go into these. */
const WAVES = 6;
/** Waves below this share of the step are nothing. */
const MIN_SHARE = 1e-3;

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
 * What a sensor's steps do to a reading of the same CO2 however often it is taken [ppm, standard deviation]. A reading that is rounded to q
 * errs by a sawtooth over the CO2,
 *
 *     e(C) = q/π Σ (-1)^k sin(2πkC/q)/k,   of variance q²/12 where nothing moves it.
 *
 * Noise of standard deviation σ smooths each of its waves by e^-2(πkσ/q)²; what is left is the same for all readings of a level, so that no
 * number of readings averages it away: Σ q²/(2π²k²) e^-4(πkσ/q)². With σ over a half of the step it is nothing.
 */
export function roundingPpm(stepPpm: number, noisePpm: number): number {
	return Math.sqrt(waveVariances(stepPpm, noisePpm, 200).reduce((sum, one) => sum + one, 0));
}

const waveVariances = (stepPpm: number, noisePpm: number, count: number): number[] =>
	Array.from({ length: stepPpm > 0 ? count : 0 }, (_, k) => {
		const turns = Math.PI * (k + 1);
		return ((stepPpm / turns) ** 2 / 2) * Math.exp(-4 * ((turns * noisePpm) / stepPpm) ** 2);
	});

/** The noise beside a sensor's steps [ppm]: those have a variance of q²/12 of their own, and a fifth more where a cycle has few different readings. */
export const noiseBeside = (stepPpm: number, rmsPpm: number): number =>
	Math.sqrt(Math.max(rmsPpm ** 2 - stepPpm ** 2 / 10, 0));

/**
 * What is held, with the sensor's steps among it: waves over the CO2 whose phase against the steps nobody knows, so that each is two inputs
 * of mean 0, its cosine and its sine. Readings that come again and again to the same CO2 err alike, and those that sweep over many steps do not.
 */
export function withRounding(held: HeldValues, stepPpm: number, rmsPpm: number): HeldValues {
	const noisePpm = noiseBeside(stepPpm, rmsPpm);
	const waves = waveVariances(stepPpm, noisePpm, WAVES);
	const followed = waves.reduce((sum, one) => sum + one, 0);
	if (!(Math.sqrt(followed) > MIN_SHARE * stepPpm)) return held;
	const all = roundingPpm(stepPpm, noisePpm) ** 2;
	// Each wave has half of its variance in its cosine, half in its sine, which are columns of mean square 1.
	const variances = waves.flatMap((one) => [(one * all) / followed / 2, (one * all) / followed / 2]);
	const inputs = variances.map(
		(variance): HeldInput => ({
			source: "rounding",
			path: null,
			standardDeviation: Math.sqrt(variance),
			isStated: false,
		}),
	);
	return {
		inputs: [...held.inputs, ...inputs],
		covariance: [
			...held.covariance.map((row) => [...row, ...variances.map(() => 0)]),
			...variances.map((variance, k) => [
				...held.covariance.map(() => 0),
				...variances.map((_, l) => (k === l ? variance : 0)),
			]),
		],
		knowledge: (kind, value) => [...held.knowledge(kind, value), ...variances.map(() => 0)],
		ofReading: {
			first: held.inputs.length,
			waves: wavesOf((ppm) => (2 * Math.PI * ppm) / stepPpm, WAVES, true),
		},
	};
}
