import { expect, it } from "vitest";
import { balance } from "../../lib/model/chamber.ts";
import { makeCycleMaxHourlyMeans, makeCycleStats } from "../../lib/solve/cycles/cyclestats.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { makeConstantSolution } from "../../lib/solve/propagate/linear.ts";
import { exponential } from "../../lib/solve/propagate/matrix.ts";
import { systemMatrix } from "../../lib/solve/propagate/systemmatrix.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

/** State, and its integral, by the matrix exponential in a thousand short steps, each far from where scaling and squaring loses digits. */
function stepwise(a: ArrayLike<number>, forcing: ArrayLike<number>, start: Float64Array, seconds: number) {
	const wide = new Float64Array(25);
	for (let i = 0; i < 2; i++) {
		for (let j = 0; j < 2; j++) wide[i * 5 + j] = a[i * 2 + j]!;
		wide[i * 5 + 2] = forcing[i]!;
		wide[(3 + i) * 5 + i] = 1;
	}
	const step = exponential(wide, 5, seconds / 1000);
	let state = Float64Array.of(start[0]!, start[1]!, 1, 0, 0);
	for (let k = 0; k < 1000; k++)
		state = state.map((_, i) => {
			let sum = 0;
			for (let j = 0; j < 5; j++) sum += step[i * 5 + j]! * state[j]!;
			return sum;
		});
	return state;
}

it("two zones in spectral form are those of the matrix exponential, with their integrals and turning points", () => {
	const random = seededUniform(5);
	const within = (low: number, high: number) => low * (high / low) ** random();
	for (let n = 0; n < 60; n++) {
		const b = balance({
			volumeM3: within(0.05, 20),
			intakePpm: 400,
			generationM3PerS: 1e-6,
			infiltrationM3PerS: n % 3 === 0 ? 0 : within(1e-7, 1e-2),
			deliveredM3PerS: within(1e-3, 0.2),
			stagnantFraction: within(0.01, 0.9),
			stagnantSourceShare: random(),
			interzonalM3PerS: within(1e-6, 0.1),
		});
		const isOn = n % 2 === 0;
		const { a, forcing } = systemMatrix(b, 1e-6, isOn);
		const solution = makeConstantSolution(400, b, 1e-6, isOn);
		const seconds = within(1e-3, 3000);
		const start = Float64Array.of(within(1, 1e4), within(1, 1e4));
		const expected = stepwise(a, forcing, start, seconds);
		const { matrix, input, oneMinusMatrix } = solution.computeTransition(seconds);
		const segment = solution.makeSegment(0, seconds, start);
		for (const i of [0, 1]) {
			const mapped = matrix[i * 2]! * start[0]! + matrix[i * 2 + 1]! * start[1]! + input[i]!;
			for (const value of [mapped, solution.advance(start, seconds)[i]!, segment.ppmAt(i, seconds) - 400])
				expect(Math.abs(value / expected[i]! - 1)).toBeLessThan(1e-10);
			const integral = segment.integralTo(i, seconds) - 400 * seconds;
			expect(Math.abs(integral / expected[3 + i]! - 1)).toBeLessThan(1e-10);
			expect(oneMinusMatrix[i * 3]! + matrix[i * 3]!).toBeCloseTo(1, 12);
			const known = [0, ...segment.turningPoints(i), seconds].map((t) => segment.ppmAt(i, t));
			const seen = Array.from({ length: 200 }, (_, k) => segment.ppmAt(i, (seconds * k) / 199));
			expect(Math.max(...known)).toBeGreaterThanOrEqual(Math.max(...seen) - 1e-9);
			expect(Math.min(...known)).toBeLessThanOrEqual(Math.min(...seen) + 1e-9);
		}
	}
});

it("a cycle of two zones, and the worst hour of a cycle in one, are those of the general path", () => {
	const random = seededUniform(8);
	const within = (low: number, high: number) => low * (high / low) ** random();
	for (let n = 0; n < 40; n++) {
		const model = {
			volumeM3: within(0.05, 20),
			intakePpm: 400,
			generationM3PerS: within(1e-7, 1e-5),
			infiltrationM3PerS: n % 3 === 0 ? 0 : within(1e-7, 1e-3),
			deliveredM3PerS: within(1e-3, 0.2),
			...(n % 2 === 0
				? {
						stagnantFraction: within(0.05, 0.6),
						stagnantSourceShare: random(),
						interzonalM3PerS: within(1e-4, 0.1),
					}
				: {}),
		};
		const cycle = { kind: "cycle", onSeconds: within(3, 600), offSeconds: within(5, 4000) } as const;
		const expected = periodicState(model, cycle);
		if (!expected.exists) throw new Error("no pattern");
		const stats = makeCycleStats(model)(cycle);
		for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
			expect(Math.abs(stats[key] / expected[key] - 1)).toBeLessThan(1e-11);
		const { maxHourlyMeanPpm } = summarize(model, cycle, { ceilingPpm: 1000 });
		expect(Math.abs(makeCycleMaxHourlyMeans(model)(cycle) - maxHourlyMeanPpm)).toBeLessThan(1e-3);
	}
});
