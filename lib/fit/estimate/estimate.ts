import { autocorrelation, lag1Autocorrelation, whitener } from "../../statistics/autocorrelation.ts";
import { type LeastSquares, leastSquares, type Parameter } from "../../statistics/leastsquares.ts";
import { remlAutocorrelation } from "../../statistics/reml.ts";
import type { Waves } from "../../statistics/waves.ts";
import type { FitModel } from "../model/fitmodel.ts";
import { BLOCK } from "../model/readings.ts";

/** Samples of a log that count. */
export interface FitSamples {
	/** [s], ascending. */
	readonly timesSeconds: Float64Array;
	/** [ppm] */
	readonly co2Ppm: Float64Array;
	/** 0 where the sample counts. */
	readonly excluded: Uint8Array;
	/** Usual step [s]. */
	readonly stepSeconds: number;
}

/** The values that a log speaks for, with errors that know of its correlated noise. */
export interface Estimate {
	readonly least: LeastSquares;
	/** Standard error by parameter; null where none can be had. */
	readonly standardErrors: readonly (number | null)[];
	/** Factor on the variance for correlation that neighbours do not explain; 1 when there is none to be seen. */
	readonly varianceInflation: number;
	/** Correlation of neighbouring residuals, and their standard deviation [ppm]. */
	readonly lag1Autocorrelation: number;
	readonly noisePpm: number;
	/** Logged minus reading, the reading and the CO2 in the chamber [ppm] at every sample; residuals NaN where excluded. */
	readonly residuals: Float64Array;
	readonly readingPpm: Float64Array;
	readonly chamberPpm: Float64Array;
	readonly used: number;
	/** Sum of squares of the independent parts, over their variance, at these values with more of the parameters fixed. */
	readonly cost: (parameters: readonly Parameter[]) => LeastSquares;
	/**
	 * JᵀH of the independent parts: slopes over all parameters, those of fixed ones being 0, with slopes over the given fixed ones, and with
	 * waves over the reading behind them.
	 */
	readonly information: (fixed: readonly number[], waves?: Waves) => readonly (readonly number[])[];
}

/** Readings are given to about this much before anything is known of their noise [ppm]; only priors are weighed by it. */
const INITIAL_NOISE_PPM = 20;
/** The first search only serves to see the noise. */
const ROUGH = { costTolerance: 1e-4, stepTolerance: 1e-6 } as const;
const FINE = { costTolerance: 1e-10, stepTolerance: 1e-8 } as const;
/** Searches with the correlation of the one before, and the change of it that is not worth another. */
const MAX_SEARCHES = 4;
const MIN_CHANGE = 0.02;
/** With fewer samples than so many for each parameter, the restricted likelihood tells the correlation. */
const MIN_SAMPLES_PER_PARAMETER = 50;
/** A handful of samples tells no correlation by it either, unless hardly anything else is left to go by. */
const MIN_SAMPLES_FOR_REML = 10;
/** Squared errors that are not worth another step where many parameters lie in a long, curved valley. */
const COST_TOLERANCE = 1e-4;
/** Sums of autocorrelations stand out from chance at so many of their standard deviations. */
const MIN_STANDARD_DEVIATIONS = 2;

/**
 * Generalised least squares of a log: an ordinary search, then searches in which each residual is freed of what its neighbour
 * tells of it (first-order autoregression, across gaps by the time between), with the correlation that the search before left.
 * Standard errors rest on the freed residuals; if those still wander, their long-run variance (Bartlett weights) takes over.
 *
 * @param maxSearches 0 for the ordinary search alone
 * @param hasManyParameters the parameters are many against the samples, so that the residuals alone would show too little correlation
 */
export function estimate(
	model: Pick<FitModel, "predict">,
	samples: FitSamples,
	parameters: readonly Parameter[],
	hasManyParameters = false,
	maxSearches = MAX_SEARCHES,
): Estimate {
	const { timesSeconds, co2Ppm, excluded, stepSeconds } = samples;
	const count = timesSeconds.length;
	const residuals = new Float64Array(count);
	const readingPpm = new Float64Array(count);
	const chamberPpm = new Float64Array(count);
	const counted = selectSamples(samples, (i) => excluded[i] === 0);
	const used = counted.timesSeconds.length;
	const fine = hasManyParameters ? { ...FINE, costTolerance: COST_TOLERANCE / used } : FINE;

	const search = (
		of: UsedSamples,
		from: readonly Parameter[],
		rho: number,
		noisePpm: number,
		tolerance: typeof ROUGH | typeof fine,
	): LeastSquares => {
		const wanted = from.flatMap(({ fixed }, k) => (fixed === true ? [] : [k]));
		return leastSquares(
			{
				parameters: from,
				rows(values, to) {
					const whiten = whitener(rho, stepSeconds, wanted.length + 1, 1 / noisePpm);
					model.predict(
						values,
						of.timesSeconds,
						wanted,
						({ first, count: rows, columns, readingPpm: last }) => {
							// The last column turns from readings into residuals.
							for (let i = 0; i < rows; i++) last[i] = of.co2Ppm[first + i]! - last[i]!;
							whiten(of.timesSeconds, first, rows, columns);
							to.addBlock(columns, rows);
						},
					);
				},
			},
			tolerance,
		);
	};
	const look = (values: Float64Array): number => {
		model.predict(values, timesSeconds, [], (block) => {
			readingPpm.set(block.readingPpm.subarray(0, block.count), block.first);
			chamberPpm.set(block.chamberPpm.subarray(0, block.count), block.first);
		});
		let squares = 0;
		for (let i = 0; i < count; i++) {
			const e = excluded[i] === 0 ? co2Ppm[i]! - readingPpm[i]! : Number.NaN;
			residuals[i] = e;
			if (excluded[i] === 0) squares += e * e;
		}
		return Math.sqrt(squares / Math.max(used - 1, 1)) || INITIAL_NOISE_PPM;
	};
	const from = (values: Float64Array): readonly Parameter[] =>
		parameters.map((parameter, k) => ({ ...parameter, initial: values[k]! }));

	const free = parameters.flatMap(({ fixed }, k) => (fixed === true ? [] : [k]));
	const correlation = (values: Float64Array): number => {
		const perParameter = used / Math.max(free.length, 1);
		if (
			perParameter > MIN_SAMPLES_PER_PARAMETER ||
			(!hasManyParameters && perParameter < MIN_SAMPLES_FOR_REML)
		)
			return lag1Autocorrelation(residuals, timesSeconds, stepSeconds);
		const rows = new Float64Array((free.length + 1) * used);
		model.predict(values, counted.timesSeconds, free, ({ first, count: run, columns }) => {
			const height = columns.length / (free.length + 1);
			for (let k = 0; k <= free.length; k++)
				rows.set(columns.subarray(k * height, k * height + run), k * used + first);
		});
		const last = free.length * used;
		for (let i = 0; i < used; i++) rows[last + i] = counted.co2Ppm[i]! - rows[last + i]!;
		return remlAutocorrelation(rows, counted.timesSeconds, stepSeconds);
	};

	let least = search(thinSamples(counted), parameters, 0, INITIAL_NOISE_PPM, ROUGH);
	let noisePpm = look(least.values);
	let rho = correlation(least.values);
	const priors = parameters.some(({ prior, fixed }) => prior !== undefined && fixed !== true);
	for (let turn = 0; turn < maxSearches; turn++) {
		least = search(counted, from(least.values), rho, noisePpm, fine);
		const before = { rho, noisePpm };
		noisePpm = look(least.values);
		const now = correlation(least.values);
		const still =
			Math.abs(now - before.rho) < MIN_CHANGE &&
			(!priors || Math.abs(noisePpm / before.noisePpm - 1) < MIN_CHANGE);
		if (still) break;
		rho = now;
	}
	const varianceInflation = computeVarianceInflation(residuals, timesSeconds, stepSeconds, rho, used);
	const settled = { rho, noisePpm };
	return {
		least,
		standardErrors: least.standardErrors.map((error) =>
			error === null ? null : error * Math.sqrt(varianceInflation),
		),
		varianceInflation,
		lag1Autocorrelation: settled.rho,
		noisePpm: settled.noisePpm,
		residuals,
		readingPpm,
		chamberPpm,
		used,
		cost: (changed) => search(counted, changed, settled.rho, settled.noisePpm, fine),
		information(fixed, waves) {
			const wanted = [...free, ...fixed].sort((a, b) => a - b);
			const n = wanted.length;
			const width = n + (waves?.count ?? 0);
			const whiten = whitener(settled.rho, stepSeconds, width, 1 / settled.noisePpm);
			const block = new Float64Array(width * BLOCK);
			const others = [
				...fixed.map((h) => wanted.indexOf(h)),
				...Array.from({ length: width - n }, (_, k) => n + k),
			];
			const products = parameters.map(() => others.map(() => 0));
			model.predict(
				least.values,
				counted.timesSeconds,
				wanted,
				({ first, count: rows, columns, readingPpm: shown }) => {
					block.set(columns.subarray(0, n * BLOCK));
					if (waves !== undefined)
						for (let i = 0; i < rows; i++) waves.fill(shown[i]!, block, n * BLOCK + i, BLOCK);
					whiten(counted.timesSeconds, first, rows, block);
					for (const k of free) {
						const own = wanted.indexOf(k) * BLOCK;
						others.forEach((other, place) => {
							let sum = 0;
							for (let i = 0; i < rows; i++) sum += block[own + i]! * block[other * BLOCK + i]!;
							products[k]![place]! += sum;
						});
					}
				},
			);
			return products;
		},
	};
}

/** A rough search sees about so many samples: the model is exact whatever the sampling. */
const MAX_ROUGH_SAMPLES = 2500;
/** Multiples of the golden section spread evenly over a cycle of any length, where every tenth sample may see one phase only. */
export const GOLDEN = 0.618033988749895;

function thinSamples(counted: UsedSamples): UsedSamples {
	const share = MAX_ROUGH_SAMPLES / counted.timesSeconds.length;
	return share >= 1 ? counted : selectSamples(counted, (i) => (i * GOLDEN) % 1 < share);
}

/** Places of the samples that count. */
export function listUsed({ excluded }: Pick<FitSamples, "excluded">): number[] {
	const used: number[] = [];
	for (let i = 0; i < excluded.length; i++) if (excluded[i] === 0) used.push(i);
	return used;
}

/** Samples that a search goes by. */
type UsedSamples = Pick<FitSamples, "timesSeconds" | "co2Ppm">;

function selectSamples(
	{ timesSeconds, co2Ppm }: UsedSamples,
	counts: (index: number) => boolean,
): UsedSamples {
	const times = new Float64Array(timesSeconds.length);
	const ppm = new Float64Array(timesSeconds.length);
	let n = 0;
	for (let i = 0; i < timesSeconds.length; i++) {
		if (!counts(i)) continue;
		times[n] = timesSeconds[i]!;
		ppm[n++] = co2Ppm[i]!;
	}
	return { timesSeconds: times.subarray(0, n), co2Ppm: ppm.subarray(0, n) };
}

/** Long-run variance of the freed residuals over their variance; 1 unless it plainly exceeds it. */
function computeVarianceInflation(
	residuals: Float64Array,
	timesSeconds: Float64Array,
	stepSeconds: number,
	lag1: number,
	used: number,
): number {
	const counted = selectSamples({ timesSeconds, co2Ppm: residuals }, (i) => !Number.isNaN(residuals[i]!));
	whitener(lag1, stepSeconds, 1, 1)(counted.timesSeconds, 0, used, counted.co2Ppm);
	const lags = Math.min(100, Math.max(2, Math.round(2 * Math.cbrt(used))));
	const { values } = autocorrelation(counted.co2Ppm, counted.timesSeconds, stepSeconds, lags);
	let sum = 0;
	let weights = 0;
	for (let k = 1; k <= lags; k++) {
		const weight = 1 - k / (lags + 1);
		sum += 2 * weight * values[k]!;
		weights += (2 * weight) ** 2;
	}
	return sum > MIN_STANDARD_DEVIATIONS * Math.sqrt(weights / used) ? 1 + sum : 1;
}
