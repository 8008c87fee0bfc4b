import fc from "fast-check";
import { expect, test } from "vitest";
import { regressBursts } from "../../../lib/fit/tests/burstregression.ts";
import type { Model } from "../../../lib/model/chamber.ts";
import { fullSpeedSeconds } from "../../../lib/model/fan/fanspeed.ts";

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const free = (initial: number) => ({ initial, fixed: false });
const held = (initial: number) => ({ initial, fixed: true });
const diagonal = (variances: readonly number[]) =>
	variances.map((variance, i) => variances.map((_, j) => (i === j ? variance : 0)));

test("bursts of two lengths without error give back the fan that made them, its spin-up, its run-down and the sensor's zero", () => {
	fc.assert(
		fc.property(
			fc.record({
				perSecond: real(0.005, 0.08),
				up: real(0, 2),
				coast: real(0, 2),
				short: real(3, 10),
				zero: real(-40, 40),
			}),
			({ perSecond, up, coast, short, zero }) => {
				const model: Model = {
					volumeM3: 1,
					intakePpm: 450,
					generationM3PerS: 0,
					infiltrationM3PerS: 0,
					deliveredM3PerS: perSecond,
					spinUpTauSeconds: up,
					coastDownTauSeconds: coast,
				};
				const onSeconds = [short, short, 3 * short, 3 * short];
				const excessPpm = [2500, 1200, 600, 300];
				// The fan's own law (equation 3), and what a sensor that reads `zero` too high makes of it.
				const airChanges = onSeconds.map((t, k) => {
					const n =
						perSecond *
						(fullSpeedSeconds(model, true, 0, t) +
							fullSpeedSeconds(model, false, up > 0 ? -Math.expm1(-t / up) : 1, 1e9));
					return Math.log(excessPpm[k]! / (zero + (excessPpm[k]! - zero) * Math.exp(-n)));
				});
				const law = regressBursts(
					{ onSeconds, excessPpm, airChanges, covariance: diagonal(airChanges.map(() => 1e-6)) },
					{
						perSecond: free(1.3 * perSecond),
						longBurstLostOn: free(0),
						zeroPpm: free(0),
						coastSeconds: coast,
					},
				);
				expect(law.perSecond / perSecond).toBeCloseTo(1, 5);
				expect(law.longBurstLostOnSeconds).toBeCloseTo(up - coast, 3);
				expect(law.zeroPpm).toBeCloseTo(zero, 2);
				expect(law.betweenBurstSd).toBe(0);
			},
		),
		{ numRuns: 40 },
	);
});

test("of bursts alike in their errors the scatter is what their variance has above that error, as Paule and Mandel's rule says of one length", () => {
	// Sample variance by hand: 0.10, 0.12, 0.14, 0.16 have 0.000667; less the errors' 0.0001.
	const airChanges = [0.1, 0.12, 0.14, 0.16];
	const law = regressBursts(
		{
			onSeconds: [5, 5, 5, 5],
			excessPpm: [2000, 1700, 1500, 1300],
			airChanges,
			covariance: diagonal([1e-4, 1e-4, 1e-4, 1e-4]),
		},
		{ perSecond: free(0.03), longBurstLostOn: held(1), zeroPpm: held(0), coastSeconds: 0 },
	);
	expect(law.betweenBurstSd ** 2).toBeCloseTo(0.002 / 3 - 1e-4, 6);
	expect(law.predictAir(5).airChanges).toBeCloseTo(0.13, 9);
	// Standard error of a mean of four: the whole variance over 4.
	const [slope] = law.predictAir(5).jacobian;
	expect(slope ** 2 * law.covariance[0]![0]!).toBeCloseTo(0.002 / 3 / 4, 6);
	expect(law.degreesOfFreedom).toBe(3);
});

test("errors follow from those of the bursts: the covariance is the gain applied to theirs", () => {
	const covariance = [
		[4e-6, 1e-6, 0, 0],
		[1e-6, 5e-6, 0, 1e-6],
		[0, 0, 9e-6, 2e-6],
		[0, 1e-6, 2e-6, 2e-5],
	];
	const law = regressBursts(
		{
			onSeconds: [5, 5, 15, 15],
			excessPpm: [2000, 1500, 1000, 500],
			airChanges: [0.1501, 0.1498, 0.5002, 0.4999],
			covariance,
		},
		{ perSecond: free(0.03), longBurstLostOn: free(0), zeroPpm: held(0), coastSeconds: 0 },
	);
	expect(law.betweenBurstSd).toBe(0);
	for (const i of [0, 1])
		for (const j of [0, 1]) {
			const carried = covariance.reduce(
				(sum, row, a) =>
					sum + row.reduce((part, value, b) => part + law.gain[i]![a]! * value * law.gain[j]![b]!, 0),
				0,
			);
			expect(carried / law.covariance[i]![j]!).toBeCloseTo(1, 6);
		}
	expect(law.covariance[2]).toEqual([0, 0, 0]);
});
