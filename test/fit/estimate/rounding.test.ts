import { describe, expect, test } from "vitest";
import type { HeldValues } from "../../../lib/fit/estimate/heldvalues.ts";
import { findStep, noiseBeside, roundingPpm, withRounding } from "../../../lib/fit/estimate/rounding.ts";
import { wavesOf } from "../../../lib/statistics/waves.ts";
import { bell, dice } from "../held/drawnlog.ts";

const nothing: HeldValues = { inputs: [], covariance: [], knowledge: () => [] };

describe("what a display's steps do to readings of one and the same CO2", () => {
	test("is q/√12 without noise, and nothing from noise of half a step on", () => {
		expect(roundingPpm(10, 0)).toBeCloseTo(10 / Math.sqrt(12), 1);
		expect(roundingPpm(10, 5)).toBeLessThan(0.05);
		expect(roundingPpm(0, 1)).toBe(0);
	});

	test.each([0.5, 1.5, 2.5])(
		"with noise of %d ppm and steps of 10 ppm is what drawn readings show",
		(noisePpm) => {
			const even = dice(7);
			const normal = bell(even);
			let squares = 0;
			const levels = 400;
			for (let k = 0; k < levels; k++) {
				const level = 1000 + 100 * even();
				let sum = 0;
				for (let i = 0; i < 400; i++) sum += Math.round((level + noisePpm * normal()) / 10) * 10 - level;
				squares += (sum / 400) ** 2;
			}
			// 400 readings leave some of the noise in each mean, and 400 levels a twentieth of the rest to chance.
			const shown = Math.sqrt(squares / levels - (noisePpm ** 2 + 100 / 12) / 400);
			expect(shown / roundingPpm(10, noisePpm)).toBeGreaterThan(0.85);
			expect(shown / roundingPpm(10, noisePpm)).toBeLessThan(1.15);
		},
	);

	test("enters as waves whose variances sum to it, each half cosine and half sine; a noisy log has none", () => {
		const { inputs, covariance, knowledge, ofReading } = withRounding(nothing, 10, 10 / Math.sqrt(12));
		const variances = covariance.map((row, k) => row[k]!);
		expect(variances.reduce((sum, one) => sum + one, 0)).toBeCloseTo(roundingPpm(10, 0) ** 2, 9);
		expect(variances[0]).toBe(variances[1]);
		expect(variances[0]! / variances[2]!).toBeCloseTo(4, 9);
		expect(inputs.every(({ source }) => source === "rounding")).toBe(true);
		expect(knowledge("leak", 1)).toEqual(inputs.map(() => 0));
		expect(ofReading).toMatchObject({ first: 0 });
		expect(withRounding(nothing, 10, 9)).toBe(nothing);
		expect(withRounding(nothing, 0, 3)).toBe(nothing);
	});

	test("leaves the noise beside it", () => {
		expect(noiseBeside(10, 5)).toBeCloseTo(Math.sqrt(15), 12);
		expect(noiseBeside(10, 2)).toBe(0);
		expect(noiseBeside(0, 2)).toBe(2);
	});
});

test("the step of a log is the greatest that all readings that count are multiples of", () => {
	const series = (ppm: readonly number[], out: readonly number[] = []) => ({
		co2Ppm: Float64Array.from(ppm),
		excluded: Uint8Array.from(ppm, (_, i) => Number(out.includes(i))),
	});
	expect(findStep(series([400, 450, 550, 800]))).toBe(50);
	expect(findStep(series([400, 450, 550, 810]))).toBe(10);
	expect(findStep(series([400, 450, 550, 800, 811], [4]))).toBe(50);
	expect(findStep(series([400, 450.4, 550, 800]))).toBe(0);
	// Three levels show nothing.
	expect(findStep(series([400, 450, 550, 550]))).toBe(0);
});

test("waves are the cosines and sines of an angle's multiples, each of mean square 1", () => {
	const row = new Float64Array(14);
	wavesOf((at) => 2 * at, 3, true).fill(0.3, row, 1, 2);
	for (const k of [1, 2, 3]) {
		expect(row[1 + 4 * (k - 1)]).toBeCloseTo(Math.SQRT2 * Math.cos(0.6 * k), 12);
		expect(row[3 + 4 * (k - 1)]).toBeCloseTo(Math.SQRT2 * Math.sin(0.6 * k), 12);
	}
	const cosines = new Float64Array(2);
	const waves = wavesOf((at) => at, 2, false);
	waves.fill(0.4, cosines, 0, 1);
	expect(waves.count).toBe(2);
	expect(cosines[1]).toBeCloseTo(Math.SQRT2 * Math.cos(0.8), 12);
});
