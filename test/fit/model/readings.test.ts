import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
	BLOCK,
	type JacobianColumns,
	predictReadings,
	type ReadingModel,
} from "../../../lib/fit/model/readings.ts";
import { scheduledSwitchEvents } from "../../../lib/fit/model/switchevents.ts";
import type { Model } from "../../../lib/model/chamber.ts";
import { simulate } from "../../../lib/solve/simulate.ts";

interface Case {
	readonly model: ReadingModel;
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly phaseSeconds: number;
	readonly timerRateError: number;
}

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const cases = fc.record<Case>({
	model: fc.record<ReadingModel>({
		volumeM3: real(0.03, 3),
		intakePpm: real(380, 900),
		mixingEfficiency: real(0.4, 1),
		deliveredM3PerS: real(0.002, 0.05),
		infiltrationM3PerS: fc.oneof(fc.constant(0), real(1e-9, 1e-3)),
		sources: fc.tuple(real(1e-8, 1e-6)),
		responseSeconds: fc.oneof(fc.constant(0), real(5, 200)),
		offsetPpm: real(-80, 80),
		initialCo2Ppm: real(400, 3000),
		initialReadingPpm: real(400, 3000),
	}),
	onSeconds: real(3, 90),
	offSeconds: real(60, 3000),
	phaseSeconds: real(-2000, 2000),
	timerRateError: real(-0.02, 0.02),
});

const UNTIL = 7000;
const times = Float64Array.from({ length: 120 }, (_, i) => i * 57.3);

const eventsOf = ({ onSeconds, offSeconds, phaseSeconds, timerRateError }: Case) =>
	scheduledSwitchEvents(
		{ kind: "cycle", onSeconds, offSeconds },
		{ phaseSeconds, timerRateError },
		UNTIL,
		{},
	);

const run = (one: Case): { readonly shown: Float64Array; readonly chamber: Float64Array } => {
	const shown = new Float64Array(times.length);
	const chamber = new Float64Array(times.length);
	predictReadings(one.model, eventsOf(one), times, ({ first, count, readingPpm, chamberPpm }) => {
		shown.set(readingPpm.subarray(0, count), first);
		chamber.set(chamberPpm.subarray(0, count), first);
	});
	return { shown, chamber };
};

describe("the readings of a sensor", () => {
	test("are those of the simulator, to 1e-8 of the excess, for any phase, drift and lag", () => {
		fc.assert(
			fc.property(cases, (one) => {
				const { model } = one;
				const events = eventsOf(one);
				const full: Model = {
					volumeM3: model.volumeM3,
					intakePpm: model.intakePpm,
					mixingEfficiency: model.mixingEfficiency,
					generationM3PerS: model.sources[0]!,
					infiltrationM3PerS: model.infiltrationM3PerS,
					deliveredM3PerS: model.deliveredM3PerS,
					responseSeconds: model.responseSeconds,
				};
				const first = events.findLast(({ timeSeconds }) => timeSeconds <= 0)!;
				const start =
					model.responseSeconds > 0
						? [
								model.initialCo2Ppm - model.intakePpm,
								model.initialReadingPpm - model.offsetPpm - model.intakePpm,
							]
						: [model.initialCo2Ppm - model.intakePpm];
				const trajectory = simulate(
					full,
					{
						kind: "switches",
						startsWith: first.isOn ? "on" : "off",
						switchSeconds: events.map((event) => event.timeSeconds).filter((t) => t > 0 && t < UNTIL),
					},
					{
						durationSeconds: UNTIL,
						sampleTimes: times,
						start: { state: Float64Array.from(start), fanSpeedFraction: first.isOn ? 1 : 0 },
					},
				);
				const { shown, chamber } = run(one);
				for (let i = 0; i < times.length; i++) {
					const scale = 1e-8 * Math.max(1, trajectory.co2Ppm[i]! - model.intakePpm);
					expect(Math.abs(chamber[i]! - trajectory.co2Ppm[i]!)).toBeLessThan(scale);
					const sensor = (trajectory.sensorPpm ?? trajectory.co2Ppm)[i]! + model.offsetPpm;
					expect(Math.abs(shown[i]! - sensor)).toBeLessThan(scale);
				}
			}),
			{ seed: 1, numRuns: 150 },
		);
	});

	test("have the slopes over every parameter that central differences show", () => {
		const names = [
			"source",
			"flow",
			"leak",
			"response",
			"offset",
			"initialCo2",
			"initialReading",
			"phase",
			"timerRateError",
		] as const;
		const places = Object.fromEntries([...names.map((name, i) => [name, i]), ["width", names.length]]);
		const moved = (one: Case, name: (typeof names)[number], by: number): Case => {
			const { model } = one;
			const change: Record<(typeof names)[number], Case> = {
				source: { ...one, model: { ...model, sources: [model.sources[0]! + by] } },
				flow: { ...one, model: { ...model, deliveredM3PerS: model.deliveredM3PerS + by } },
				leak: { ...one, model: { ...model, infiltrationM3PerS: model.infiltrationM3PerS + by } },
				response: { ...one, model: { ...model, responseSeconds: model.responseSeconds + by } },
				offset: { ...one, model: { ...model, offsetPpm: model.offsetPpm + by } },
				initialCo2: { ...one, model: { ...model, initialCo2Ppm: model.initialCo2Ppm + by } },
				initialReading: { ...one, model: { ...model, initialReadingPpm: model.initialReadingPpm + by } },
				phase: { ...one, phaseSeconds: one.phaseSeconds + by },
				timerRateError: { ...one, timerRateError: one.timerRateError + by },
			};
			return change[name];
		};
		fc.assert(
			fc.property(cases, (one) => {
				// A switch that crosses time 0 has a kink for all samples at once.
				fc.pre(eventsOf(one).every(({ timeSeconds }) => Math.abs(timeSeconds) > 0.1));
				const slopes: Float64Array[] = [];
				predictReadings(
					one.model,
					eventsOf(one),
					times,
					({ count, columns }) => {
						for (let i = 0; i < count; i++)
							slopes.push(Float64Array.from(names, (_, k) => columns[k * BLOCK + i]!));
					},
					places as unknown as JacobianColumns,
				);
				const { model } = one;
				const steps: Record<(typeof names)[number], number> = {
					source: 1e-3 * model.sources[0]!,
					flow: 1e-4 * model.deliveredM3PerS,
					leak: 1e-6 * model.deliveredM3PerS,
					response: model.responseSeconds > 0 ? 1e-3 * model.responseSeconds : 0,
					offset: 1,
					initialCo2: 1,
					initialReading: 1,
					phase: 1e-3,
					timerRateError: 1e-7,
				};
				for (const [k, name] of names.entries()) {
					const h = steps[name];
					if (h === 0 || (name === "leak" && model.infiltrationM3PerS < h)) continue;
					const up = run(moved(one, name, h)).shown;
					const down = run(moved(one, name, -h)).shown;
					const scale = Math.max(...slopes.map((row) => Math.abs(row[k]!)), 1e-9);
					// A sample that a moved switch crosses has a kink, where a difference is between two slopes.
					const off = slopes.filter(
						(row, i) => Math.abs(row[k]! - (up[i]! - down[i]!) / (2 * h)) > 1e-4 * scale,
					);
					expect(off.length, name).toBeLessThanOrEqual(name === "phase" || name === "timerRateError" ? 1 : 0);
				}
			}),
			{ seed: 2, numRuns: 100 },
		);
	});
});
