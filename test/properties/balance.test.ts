import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Model } from "../../lib/model/chamber.ts";
import type { CycleSchedule } from "../../lib/model/schedule/schedule.ts";
import { continuousState } from "../../lib/solve/continuous.ts";
import { type PeriodicSteadyState, periodicState } from "../../lib/solve/periodic.ts";
import { propagate } from "../../lib/solve/propagate/propagate.ts";
import type { SolutionSegment } from "../../lib/solve/propagate/solutionsegment.ts";
import { simulate } from "../../lib/solve/simulate.ts";

const spread = (low: number, high: number) =>
	fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp);

/** Chambers from a shoe box to a hall, with fans, leaks and crops of any fit. */
const chamber = fc.record({
	volumeM3: spread(0.01, 500),
	intakePpm: fc.double({ min: 300, max: 3000, noNaN: true }),
	generationM3PerS: spread(1e-9, 1e-4),
	infiltrationM3PerS: fc.oneof(fc.constant(0), spread(1e-9, 0.1)),
	deliveredM3PerS: spread(1e-4, 5),
	mixingEfficiency: fc.double({ min: 0.2, max: 1, noNaN: true }),
});
const zones = fc.record({
	stagnantFraction: fc.double({ min: 0.05, max: 0.8, noNaN: true }),
	stagnantSourceShare: fc.double({ min: 0, max: 1, noNaN: true }),
	interzonalM3PerS: spread(1e-4, 0.1),
	responseSeconds: spread(5, 300),
});
const cycle: fc.Arbitrary<CycleSchedule> = fc.record({
	kind: fc.constant("cycle" as const),
	onSeconds: spread(0.5, 2000),
	offSeconds: spread(0.5, 20_000),
});
const anyModel: fc.Arbitrary<Model> = fc.oneof(
	chamber,
	fc.tuple(chamber, zones).map(([a, b]) => ({ ...a, ...b })),
);
const seeded = { seed: 1, numRuns: 200 };

function steadyState(
	model: Model,
	schedule: CycleSchedule,
	method?: "odex" | "runge-kutta",
): PeriodicSteadyState {
	const state = periodicState(model, schedule, method === undefined ? {} : { method });
	if (!state.exists) throw new Error(state.cause);
	return state;
}
/** Excess over the supply air of the zone of the crop. */
const peak = (model: Model, schedule: CycleSchedule) =>
	steadyState(model, schedule).peakPpm - model.intakePpm;

describe("for any chamber and any cycle", () => {
	it("mass closes: what the substrate gives off in a cycle is what fan and leak carry out", () => {
		fc.assert(
			fc.property(anyModel, cycle, (model, schedule) => {
				const { start, periodSeconds } = steadyState(model, schedule);
				let carried = 0;
				const onSolution = (piece: SolutionSegment) => {
					const air =
						model.infiltrationM3PerS +
						(piece.isOn ? (model.mixingEfficiency ?? 1) * model.deliveredM3PerS : 0);
					const t = piece.durationSeconds;
					carried += air * (piece.integralTo(0, t) - model.intakePpm * t);
				};
				propagate(model, schedule, periodSeconds, start, {}, { onSolution });
				const given = 1e6 * model.generationM3PerS * periodSeconds;
				// The excess is a difference to the supply air, whose last bits bound it.
				const bits = (1e-13 * model.intakePpm * periodSeconds * model.deliveredM3PerS) / given;
				expect(Math.abs(carried / given - 1)).toBeLessThan(1e-9 + bits);
			}),
			seeded,
		);
	});

	it("the peak falls with a longer on-time and rises with a longer off-time", () => {
		fc.assert(
			fc.property(chamber, cycle, spread(1.01, 5), (model, schedule, factor) => {
				const here = peak(model, schedule);
				const slack = 1e-12 * (here + model.intakePpm);
				expect(peak(model, { ...schedule, onSeconds: factor * schedule.onSeconds })).toBeLessThanOrEqual(
					here + slack,
				);
				expect(peak(model, { ...schedule, offSeconds: factor * schedule.offSeconds })).toBeGreaterThanOrEqual(
					here - slack,
				);
			}),
			seeded,
		);
	});

	it("it does not matter to the regime whether the cycle starts on or off", () => {
		fc.assert(
			fc.property(anyModel, cycle, (model, schedule) => {
				const on = steadyState(model, { ...schedule, startsWith: "on" });
				const off = steadyState(model, { ...schedule, startsWith: "off" });
				for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
					expect(Math.abs(on[key] / off[key] - 1)).toBeLessThan(1e-9);
			}),
			seeded,
		);
	});

	it("volume, flows and source scaled together change nothing", () => {
		fc.assert(
			fc.property(anyModel, cycle, spread(0.01, 100), (model, schedule, f) => {
				const scaled = {
					...model,
					volumeM3: f * model.volumeM3,
					generationM3PerS: f * model.generationM3PerS,
					infiltrationM3PerS: f * model.infiltrationM3PerS,
					deliveredM3PerS: f * model.deliveredM3PerS,
					...(model.interzonalM3PerS === undefined ? {} : { interzonalM3PerS: f * model.interzonalM3PerS }),
				};
				const [a, b] = [steadyState(model, schedule), steadyState(scaled, schedule)];
				for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
					expect(Math.abs(a[key] / b[key] - 1)).toBeLessThan(1e-9);
			}),
			seeded,
		);
	});

	it("the mean is never below the continuous equivalent, and tends to it as the cycle shortens at the same duty", () => {
		fc.assert(
			fc.property(anyModel, cycle, (model, schedule) => {
				const continuous = continuousState(model, schedule)!;
				const excess = (s: CycleSchedule) =>
					(steadyState(model, s).meanPpm - continuous) / (continuous - model.intakePpm);
				const noise = (1e-11 * continuous) / (continuous - model.intakePpm) + 1e-9;
				expect(excess(schedule)).toBeGreaterThanOrEqual(-noise);
				const shares = [1, 0.01, 0.0001].map((f) =>
					excess({ ...schedule, onSeconds: f * schedule.onSeconds, offSeconds: f * schedule.offSeconds }),
				);
				expect(shares[1]!).toBeLessThanOrEqual(shares[0]! + noise);
				expect(shares[2]!).toBeLessThanOrEqual(shares[1]! + noise);
				// Second order in the length of the cycle: a hundredth of it costs a ten-thousandth.
				const airChanges =
					(schedule.onSeconds * (model.deliveredM3PerS + model.infiltrationM3PerS)) / model.volumeM3;
				if (airChanges < 1 && model.stagnantFraction === undefined)
					expect(shares[1]!).toBeLessThanOrEqual(2e-4 * shares[0]! + noise);
			}),
			seeded,
		);
	});

	it("a run that starts below another stays below it", () => {
		fc.assert(
			fc.property(anyModel, cycle, (model, schedule) => {
				const span = 3 * (schedule.onSeconds + schedule.offSeconds);
				const run = (startPpm: number) =>
					simulate(model, schedule, { startPpm, durationSeconds: span, sampleIntervalSeconds: span / 50 })
						.co2Ppm;
				const [low, high] = [run(model.intakePpm), run(model.intakePpm + 500)];
				for (const [i, ppm] of low.entries()) expect(ppm).toBeLessThanOrEqual(high[i]! * (1 + 1e-12));
			}),
			seeded,
		);
	});

	it("exact, Runge-Kutta and odex agree within the tolerance asked", () => {
		fc.assert(
			fc.property(
				anyModel,
				cycle,
				fc.constantFrom(1e-5, 1e-7, 1e-9),
				(model, schedule, relativeTolerance) => {
					const period = schedule.onSeconds + schedule.offSeconds;
					// A fan that changes the air thousands of times in a burst makes work, not knowledge.
					fc.pre((model.deliveredM3PerS / model.volumeM3) * schedule.onSeconds < 300 && period < 8000);
					const run = { startPpm: 2500, durationSeconds: 3 * period, sampleTimes: [period, 3 * period] };
					const exact = simulate(model, schedule, run);
					for (const method of ["odex", "runge-kutta"] as const) {
						const ours = simulate(model, schedule, { ...run, method, relativeTolerance });
						for (const i of [0, 1])
							expect(Math.abs(ours.co2Ppm[i]! / exact.co2Ppm[i]! - 1)).toBeLessThan(5 * relativeTolerance);
					}
				},
			),
			{ seed: 1, numRuns: 60 },
		);
	});
});
