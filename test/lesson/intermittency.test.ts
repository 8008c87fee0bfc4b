import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
	equalMeanEfficacy,
	equalPeakEfficacy,
	meanPenalty,
	peakPenalty,
} from "../../lib/lesson/intermittency.ts";
import { periodicCycle } from "../../lib/solve/cycles/closedform.ts";

/** Regime of an airtight chamber, excess over that of continuous flow with the same air, minus 1. */
function bySolver(onFraction: number, airChanges: number) {
	const onSeconds = 7;
	const offSeconds = (onSeconds * (1 - onFraction)) / onFraction;
	const onPerS = airChanges / onSeconds;
	const { peakPpm, meanPpm } = periodicCycle(0, 1, onPerS, 0, onSeconds, offSeconds);
	const excess = 1 / (onPerS * onFraction);
	return { peak: peakPpm / excess - 1, mean: meanPpm / excess - 1 };
}

const fraction = fc.double({ min: 0.001, max: 0.99, noNaN: true });

describe("the penalties of mean and peak", () => {
	test("are those of the solver's regime", () => {
		fc.assert(
			fc.property(fraction, fc.double({ min: 0.01, max: 20, noNaN: true }), (d, n) => {
				const { peak, mean } = bySolver(d, n);
				// Ours is the exacter one: the solver's is a difference of nearly equal numbers.
				expect(Math.abs(meanPenalty(d, n) - mean)).toBeLessThan(1e-11 * (1 + mean));
				expect(Math.abs(peakPenalty(d, n) - peak)).toBeLessThan(1e-11 * (1 + peak));
			}),
			{ seed: 1 },
		);
	});

	test("grow as n²/12 and n/2 while bursts are short, to many digits", () => {
		for (const n of [1e-8, 1e-5, 1e-3]) {
			expect(meanPenalty(0, n) / (n * n)).toBeCloseTo(1 / 12 - n ** 2 / 720, 12);
			expect(peakPenalty(0, n) / n).toBeCloseTo(1 / 2 + n / 12, 9);
		}
		expect([meanPenalty(0.2, 0), peakPenalty(0.2, 0)]).toEqual([0, 0]);
	});

	test("are smooth where the continued fraction hands over to the closed form", () => {
		const closed = (n: number) => n / 2 / Math.tanh(n / 2) - 1;
		for (const n of [0.5, 2, 3.9, 4, 4.1, 40]) expect(meanPenalty(0, n)).toBeCloseTo(closed(n), 13);
	});

	test("of one and five air changes are 8 % and 150 % on the mean where bursts are rare", () => {
		expect(meanPenalty(0, 1)).toBeCloseTo(0.082, 3);
		expect(meanPenalty(0, 5)).toBeCloseTo(1.534, 3);
		expect(peakPenalty(0, 1)).toBeCloseTo(0.582, 3);
	});
});

describe("the efficacies", () => {
	const turnover = fc.double({ min: 1e-6, max: 3, noNaN: true });
	const coth = (x: number) => 1 / Math.tanh(x);

	test("solve their equations wherever these have a solution, and are null elsewhere", () => {
		fc.assert(
			fc.property(fraction, turnover, (d, N) => {
				const g = 1 - d;
				const mean = equalMeanEfficacy(d, N);
				if (g * g * N >= 1) expect(mean).toBeNull();
				else expect((1 - g * g * N * coth(N / mean!)) / (1 - g * g) / mean!).toBeCloseTo(1, 6);
				const peak = equalPeakEfficacy(d, N);
				if (2 * g * N >= 1) expect(peak).toBeNull();
				else expect(d * peak! + g * N * (1 + coth(N / peak!))).toBeCloseTo(1, 9);
			}),
			{ seed: 1 },
		);
	});

	test("fall as the cycle grows; the peak's falls sooner", () => {
		fc.assert(
			fc.property(fraction, turnover, (d, N) => {
				const [mean, peak] = [equalMeanEfficacy(d, N), equalPeakEfficacy(d, N)];
				if (mean === null) {
					expect(peak).toBeNull();
					return;
				}
				expect(mean).toBeLessThanOrEqual(1);
				expect(mean).toBeGreaterThan(0);
				expect(peak ?? 0).toBeLessThanOrEqual(mean * (1 + 1e-12));
				expect(equalMeanEfficacy(d, N / 2)!).toBeGreaterThanOrEqual(mean * (1 - 1e-12));
			}),
			{ seed: 1 },
		);
	});

	test("are 1 in the limit of short cycles and of a fan that never stops", () => {
		expect(equalMeanEfficacy(0.2, 0)).toBe(1);
		expect(equalPeakEfficacy(0.2, 0)).toBe(1);
		expect(equalMeanEfficacy(1, 2)).toBeCloseTo(1, 12);
		expect(equalPeakEfficacy(1, 2)).toBeCloseTo(1, 12);
	});

	test("of rare bursts tend to N/artanh N", () => {
		for (const N of [0.1, 0.5, 0.9]) expect(equalMeanEfficacy(1e-9, N)).toBeCloseTo(N / Math.atanh(N), 6);
	});
});
