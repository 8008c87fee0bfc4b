import { whitener } from "../../statistics/autocorrelation.ts";
import { regressProducts } from "../../statistics/regressproducts.ts";
import type { Waves } from "../../statistics/waves.ts";
import type { FitModel } from "../model/fitmodel.ts";
import { BLOCK } from "../model/readings.ts";
import { type Estimate, type FitSamples, listUsed } from "./estimate.ts";

/** A fit whose residuals are looked into. */
export interface FoundFit {
	readonly model: Pick<FitModel, "predict">;
	readonly samples: FitSamples;
	readonly found: Pick<
		Estimate,
		"least" | "lag1Autocorrelation" | "noisePpm" | "residuals" | "varianceInflation"
	>;
	/** Places of the free parameters, ascending. */
	readonly free: readonly number[];
}

/** What a pattern explains beyond the parameters: sum of squares over the noise's variance, its root mean square, and the values of its columns. */
export interface Explained {
	readonly gain: number;
	readonly ppm: number;
	readonly values: Float64Array;
}

/** Cross products of slopes and residuals, freed of autocorrelation, from which patterns beyond the parameters are tested. */
export interface ResidualPatterns {
	/** First samples of the parts in which the log is summed up. */
	readonly edges: readonly number[];
	/** Waves so slow that the middles of the parts show them. */
	slow(waves: Waves): Explained;
	/** The waves that were named, at each sample. */
	named(): Explained;
	/** Other values of these parameters from the middle of the log on; first the difference, then what the first half asks for. */
	halves(
		places: readonly number[],
	): Explained & { readonly firsts: readonly number[]; readonly differences: readonly number[] };
	/** One parameter that the search held at a bound; the value is how far it would go. */
	released(place: number): Explained;
	/** A shift of all readings from the first sample of each part on, by part; none for the first. */
	shifts(): readonly Explained[];
}

/** A pattern is plain when chance makes it once in about 100,000 logs. */
export const PLAIN_Z = 4.3;

/** Chi-square over so many terms is beyond chance (Wilson and Hilferty's cube root, from memory). */
export const isPlain = (gain: number, terms: number): boolean =>
	Math.cbrt(gain / terms) > 1 - 2 / (9 * terms) + PLAIN_Z * Math.sqrt(2 / (9 * terms));

/** Parts in which a log is summed up. */
const PARTS = 48;

/**
 * One pass over the log at the values found.
 * @param edges first samples of the parts in which the log is summed up, ascending from 0; default evenly many
 * @param named waves that change from sample to sample
 */
export function collectPatterns(
	{ model, samples, found, free }: FoundFit,
	asked?: readonly number[],
	named: Waves | null = null,
): ResidualPatterns {
	const { least, lag1Autocorrelation, residuals } = found;
	const used = listUsed(samples);
	const times = Float64Array.from(used, (i) => samples.timesSeconds[i]!);
	const count = Math.min(PARTS, used.length >> 2);
	const edges = asked ?? Array.from({ length: count }, (_, k) => Math.floor((k * used.length) / count));
	const waves = named?.count ?? 0;
	// [slopes | named | 1 | residual]
	const [isLevel, isResidual] = [free.length + waves, free.length + waves + 1];
	const width = isResidual + 1;
	const block = new Float64Array(width * BLOCK);
	const whiten = whitener(lag1Autocorrelation, samples.stepSeconds, width, 1);
	const halves = [new Float64Array(width * width), new Float64Array(width * width)] as const;
	/** For each part the products with the level. */
	const parts = edges.map(() => new Float64Array(width));
	const middles = edges.map((edge, k) => {
		const end = (edges[k + 1] ?? times.length) - 1;
		return (times[edge]! + times[Math.max(end, edge)]!) / 2;
	});
	let part = 0;
	model.predict(least.values, times, free, ({ first, count, columns }) => {
		block.set(columns.subarray(0, free.length * BLOCK));
		for (let i = 0; i < count; i++) {
			named?.fill(times[first + i]!, block, free.length * BLOCK + i, BLOCK);
			block[isLevel * BLOCK + i] = 1;
			block[isResidual * BLOCK + i] = residuals[used[first + i]!]!;
		}
		whiten(times, first, count, block);
		const middle = Math.min(Math.max((times.length >> 1) - first, 0), count);
		addProducts(halves[0], block, width, 0, middle);
		addProducts(halves[1], block, width, middle, count);
		for (let i = 0; i < count; i++) {
			while (part + 1 < edges.length && first + i >= edges[part + 1]!) part++;
			const level = block[isLevel * BLOCK + i]!;
			for (let k = 0; k < width; k++) parts[part]![k]! += level * block[k * BLOCK + i]!;
		}
	});
	const both = halves[0].map((one, k) => one + halves[1][k]!);
	// Those at a bound come last, so that the others may go without them.
	const places = free.map((_, k) => k);
	const inner = places.filter((k) => !least.isAtBound[free[k]!]);
	const noise =
		((both[isResidual * width + isResidual]! || 1) / Math.max(times.length - free.length, 1)) *
		found.varianceInflation;

	/** Products of [inner | extra | residual] and what the extra columns explain. */
	const explain = (
		base: readonly number[],
		extra: number,
		product: (i: number, j: number) => number,
	): Explained => {
		const size = base.length + extra + 1;
		const products = new Float64Array(size * size);
		const place = (i: number) =>
			i < base.length ? base[i]! : i === size - 1 ? isResidual : -1 - (i - base.length);
		for (let i = 0; i < size; i++)
			for (let j = 0; j < size; j++) {
				const [a, b] = [place(i), place(j)];
				products[i * size + j] =
					a >= 0 && b >= 0 ? both[a * width + b]! : a < 0 ? product(-1 - a, b) : product(-1 - b, a);
			}
		const { before, after, values } = regressProducts(products, size, base.length);
		const explained = before - after;
		return { gain: explained / noise, ppm: Math.sqrt(Math.max(explained, 0) / times.length), values };
	};
	/** Σ over parts of a weight, and of two weights, times the products with the level. */
	const weighed = (weight: (part: number) => number, column: number): number =>
		parts.reduce((sum, of, k) => sum + weight(k) * of[column]!, 0);
	const ofParts = (weights: readonly ((part: number) => number)[]): Explained =>
		explain(inner, weights.length, (i, j) =>
			j >= 0 ? weighed(weights[i]!, j) : weighed((k) => weights[i]!(k) * weights[-1 - j]!(k), isLevel),
		);
	return {
		edges,
		slow: (slow) => {
			const rows = middles.map((time) => {
				const row = new Float64Array(slow.count);
				slow.fill(time, row, 0, 1);
				return row;
			});
			return ofParts(Array.from({ length: slow.count }, (_, wave) => (k: number) => rows[k]![wave]!));
		},
		named: () =>
			explain(inner, waves, (i, j) => both[(free.length + i) * width + (j >= 0 ? j : free.length - 1 - j)]!),
		halves: (of) => {
			const columns = of.map((one) => free.indexOf(one));
			const explained = explain(
				inner,
				columns.length,
				(i, j) => halves[1][columns[i]! * width + (j >= 0 ? j : columns[-1 - j]!)]!,
			);
			const { values } = explained;
			return {
				...explained,
				firsts: of.map((one, i) => least.values[one]! + values[inner.indexOf(columns[i]!)]!),
				differences: of.map((_, i) => values[inner.length + i]!),
			};
		},
		released: (place) => {
			const column = free.indexOf(place);
			return explain(inner, 1, (_, j) => both[column * width + (j >= 0 ? j : column)]!);
		},
		shifts: () => edges.map((_, part) => ofParts([(k) => (part > 0 && k >= part ? 1 : 0)])),
	};
}

/** Adds the products of all columns of a block with each other over some of its rows; both triangles. */
function addProducts(to: Float64Array, block: Float64Array, width: number, from: number, end: number): void {
	if (end <= from) return;
	for (let a = 0; a < width; a++)
		for (let b = a; b < width; b++) {
			let sum = 0;
			for (let i = from; i < end; i++) sum += block[a * BLOCK + i]! * block[b * BLOCK + i]!;
			to[a * width + b]! += sum;
			if (b > a) to[b * width + a]! += sum;
		}
}
