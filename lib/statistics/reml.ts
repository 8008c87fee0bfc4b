import { power } from "../power.ts";
import { whitener } from "./autocorrelation.ts";
import { createQrAccumulator } from "./qraccumulator.ts";

/** Greatest correlation that is looked at, and how closely it is found. */
const MAX_CORRELATION = 0.98;
const TOLERANCE = 0.01;
const GOLDEN = (Math.sqrt(5) - 1) / 2;
/** Slopes below this length count as none: a parameter without effect has no part in the likelihood. */
const MIN_LENGTH = 1e-9;
const BLOCK = 128;

/**
 * Correlation of neighbouring residuals one usual step apart [-] by restricted maximum likelihood: where parameters are many, residuals look less
 * alike than the noise is, for each parameter follows it a little. The ρ sought has the least
 *
 *     (n - p)/2 ln RSS(ρ) + ½ ln det JᵀWJ - ½ ln det W       (Patterson and Thompson 1971, from memory)
 *
 * with W the inverse of the correlation matrix, ρ^k between samples k steps apart.
 *
 * @param rows [slopes | residual] by columns, as high as there are samples
 */
export function remlAutocorrelation(
	rows: Float64Array,
	timesSeconds: ArrayLike<number>,
	stepSeconds: number,
): number {
	const count = timesSeconds.length;
	const width = rows.length / count;
	const free = width - 1;
	const block = new Float64Array(width * BLOCK);
	const cost = (rho: number): number => {
		const qr = createQrAccumulator(free);
		const whiten = whitener(rho, stepSeconds, width, 1);
		let spread = 0;
		for (let first = 0; first < count; first += BLOCK) {
			const run = Math.min(BLOCK, count - first);
			for (let k = 0; k < width; k++)
				block.set(rows.subarray(k * count + first, k * count + first + run), k * BLOCK);
			whiten(timesSeconds, first, run, block);
			qr.addBlock(block, run);
			for (let i = Math.max(first, 1); i < first + run; i++)
				spread += Math.log1p(-power(rho, (2 * (timesSeconds[i]! - timesSeconds[i - 1]!)) / stepSeconds));
		}
		const { r, qtr } = qr.finish();
		let left = qr.sumOfSquares();
		let volume = 0;
		let identifiable = 0;
		for (let k = 0; k < free; k++) {
			left -= qtr[k]! ** 2;
			const length = Math.abs(r[k * free + k]!);
			if (!(length > MIN_LENGTH)) continue;
			volume += Math.log(length);
			identifiable++;
		}
		return ((count - identifiable) / 2) * Math.log(Math.max(left, Number.MIN_VALUE)) + volume + spread / 2;
	};
	let [low, high] = [0, MAX_CORRELATION];
	let [a, b] = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
	let [atA, atB] = [cost(a), cost(b)];
	while (high - low > TOLERANCE) {
		if (atA < atB) {
			[high, b, atB] = [b, a, atA];
			a = high - GOLDEN * (high - low);
			atA = cost(a);
		} else {
			[low, a, atA] = [a, b, atB];
			b = low + GOLDEN * (high - low);
			atB = cost(b);
		}
	}
	const found = (low + high) / 2;
	return cost(0) <= cost(found) ? 0 : found;
}
