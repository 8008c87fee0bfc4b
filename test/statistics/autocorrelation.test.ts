import { describe, expect, it } from "vitest";
import { autocorrelation, lag1Autocorrelation, whitener } from "../../lib/statistics/autocorrelation.ts";

/** Park and Miller's generator, and normals by the sum of twelve: nothing of the library is in the noise. */
function normals(seed: number): () => number {
	let state = seed;
	const uniform = () => {
		state = (state * 48_271) % 2_147_483_647;
		return state / 2_147_483_647;
	};
	for (let i = 0; i < 10; i++) uniform();
	return () => {
		let sum = -6;
		for (let k = 0; k < 12; k++) sum += uniform();
		return sum;
	};
}

function wander(rho: number, count: number, seed: number): Float64Array {
	const normal = normals(seed);
	let value = normal();
	return Float64Array.from({ length: count }, () => {
		const now = value;
		value = rho * value + Math.sqrt(1 - rho * rho) * normal();
		return now;
	});
}
const every = (step: number, count: number) => Float64Array.from({ length: count }, (_, i) => step * i);

describe("the autocorrelation of residuals", () => {
	it("is that of the definition, worked out by hand, with the pairs that are there", () => {
		// 1, 2, -1, missing, 3 at 0, 10, 20, 30, 40 s: squares 15 over four, neighbours 2 - 2 over two pairs, two steps apart -1 - 3 over two.
		const { values, pairs } = autocorrelation([1, 2, -1, Number.NaN, 3], every(10, 5), 10, 2);
		expect(pairs).toBe(2);
		expect(values[0]).toBe(1);
		expect(values[1]).toBe(0);
		expect(values[2]).toBeCloseTo(-4 / 2 / (15 / 4), 14);
	});

	it("pairs nothing over a gap", () => {
		const residuals = wander(0.8, 400, 5);
		const [near, far] = [every(60, 400), every(60, 400).map((t, i) => (i < 200 ? t : t + 1e7))];
		const halves = [residuals.slice(0, 200), residuals.slice(200)];
		const sums = (of: Float64Array) => of.reduce((sum, x, i) => sum + (i > 0 ? x * of[i - 1]! : 0), 0);
		const { values, pairs } = autocorrelation(residuals, far, 60, 1);
		const variance = residuals.reduce((sum, x) => sum + x * x, 0) / 400;
		expect(pairs).toBe(398);
		expect(values[1]).toBeCloseTo((sums(halves[0]!) + sums(halves[1]!)) / 398 / variance, 12);
		expect(autocorrelation(residuals, near, 60, 1).pairs).toBe(399);
	});

	it.each([0, 0.3, 0.6, 0.9])(
		"of wandering noise with %d is found without bias, over 400 logs of 60 samples",
		(rho) => {
			const logs = 400;
			let [sum, squares] = [0, 0];
			for (let seed = 1; seed <= logs; seed++) {
				const residuals = wander(rho, 60, 1000 * seed + 7);
				const mean = residuals.reduce((total, x) => total + x / 60, 0);
				const found = lag1Autocorrelation(
					residuals.map((x) => x - mean),
					every(30, 60),
					30,
				);
				sum += found / logs;
				squares += found ** 2 / logs;
			}
			const standardError = Math.sqrt((squares - sum * sum) / logs);
			// Below 0 counts as 0, which lifts the mean of none at all by √(2/π)/2 of its spread.
			const expected = rho === 0 ? 0.4 / Math.sqrt(60) : rho;
			expect(Math.abs(sum - expected)).toBeLessThan(4 * standardError + 0.015);
		},
	);

	it("is 0 where there is too little to tell, and never 1", () => {
		expect(lag1Autocorrelation([1, 1, 1, 1], every(1, 4), 1)).toBe(0);
		expect(lag1Autocorrelation(every(1, 500), every(1, 500), 1)).toBeLessThan(1);
	});
});

describe("the whitener", () => {
	it("turns wandering noise into independent noise of the same variance, at uneven steps too", () => {
		const rho = 0.8;
		const normal = normals(99);
		const count = 20_000;
		const times = new Float64Array(count);
		const noise = new Float64Array(count);
		for (let i = 0, value = normal(); i < count; i++) {
			times[i] = i === 0 ? 0 : times[i - 1]! + (i % 7 === 0 ? 25 : 10);
			if (i > 0) {
				const share = rho ** ((times[i]! - times[i - 1]!) / 10);
				value = share * value + Math.sqrt(1 - share * share) * normal();
			}
			noise[i] = value;
		}
		const white = noise.slice();
		whitener(rho, 10, 1, 1)(times, 0, count, white);
		const variance = white.reduce((sum, x) => sum + x * x, 0) / count;
		expect(variance).toBeCloseTo(1, 1);
		for (const lag of [1, 2, 7]) {
			let sum = 0;
			for (let i = lag; i < count; i++) sum += white[i]! * white[i - lag]!;
			// Four standard errors of a correlation of none.
			expect(Math.abs(sum / count)).toBeLessThan(4 / Math.sqrt(count));
		}
		const before = noise.reduce((sum, x, i) => sum + (i > 0 ? x * noise[i - 1]! : 0), 0) / count;
		expect(before).toBeGreaterThan(0.7);
	});

	it("does in blocks what it does at once, and to each column what it does to one", () => {
		const [times, a, b] = [every(10, 12), wander(0.5, 12, 3), wander(0.5, 12, 4)];
		const whole = a.slice();
		whitener(0.5, 10, 1, 2)(times, 0, 12, whole);
		const inBlocks = whitener(0.5, 10, 2, 2);
		for (const first of [0, 4, 8]) {
			const block = Float64Array.of(...a.slice(first, first + 4), ...b.slice(first, first + 4));
			inBlocks(times, first, 4, block);
			for (let i = 0; i < 4; i++) expect(block[i]).toBeCloseTo(whole[first + i]!, 14);
		}
	});
});
