import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { BLOCK, type ReadingModel, readings, type SlopePlaces } from "../../../lib/fit/model/readings.ts";
import { scheduleEdges } from "../../../lib/fit/model/switchevents.ts";
import type { Model } from "../../../lib/model/chamber.ts";
import { simulate } from "../../../lib/solve/simulate.ts";

interface Case {
	readonly model: ReadingModel;
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly phaseSeconds: number;
	readonly drift: number;
}

const real = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const cases = fc.record<Case>({
	model: fc.record<ReadingModel>({
		volumeM3: real(0.03, 3),
		supplyPpm: real(380, 900),
		mixing: real(0.4, 1),
		fanM3PerS: real(0.002, 0.05),
		leakM3PerS: fc.oneof(fc.constant(0), real(1e-9, 1e-3)),
		sources: fc.tuple(real(1e-8, 1e-6)),
		lagSeconds: fc.oneof(fc.constant(0), real(5, 200)),
		offsetPpm: real(-80, 80),
		startPpm: real(400, 3000),
		readingPpm: real(400, 3000),
	}),
	onSeconds: real(3, 90),
	offSeconds: real(60, 3000),
	phaseSeconds: real(-2000, 2000),
	drift: real(-0.02, 0.02),
});

const UNTIL = 7000;
const times = Float64Array.from({ length: 120 }, (_, i) => i * 57.3);

const edgesOf = ({ onSeconds, offSeconds, phaseSeconds, drift }: Case) =>
	scheduleEdges({ kind: "cycle", onSeconds, offSeconds }, { phaseSeconds, drift }, UNTIL, {});

const run = (one: Case): { readonly shown: Float64Array; readonly chamber: Float64Array } => {
	const shown = new Float64Array(times.length);
	const chamber = new Float64Array(times.length);
	readings(one.model, edgesOf(one), times, ({ first, count, readingPpm, chamberPpm }) => {
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
				const edges = edgesOf(one);
				const full: Model = {
					volumeM3: model.volumeM3,
					supplyPpm: model.supplyPpm,
					mixing: model.mixing,
					generationM3PerS: model.sources[0]!,
					leakM3PerS: model.leakM3PerS,
					fanM3PerS: model.fanM3PerS,
					sensorSeconds: model.lagSeconds,
				};
				const first = edges.findLast(({ timeSeconds }) => timeSeconds <= 0)!;
				const start =
					model.lagSeconds > 0
						? [model.startPpm - model.supplyPpm, model.readingPpm - model.offsetPpm - model.supplyPpm]
						: [model.startPpm - model.supplyPpm];
				const trajectory = simulate(
					full,
					{
						kind: "switches",
						startsWith: first.on ? "on" : "off",
						switchSeconds: edges.map((edge) => edge.timeSeconds).filter((t) => t > 0 && t < UNTIL),
					},
					{
						durationSeconds: UNTIL,
						sampleTimes: times,
						start: { state: Float64Array.from(start), fanLevel: first.on ? 1 : 0 },
					},
				);
				const { shown, chamber } = run(one);
				for (let i = 0; i < times.length; i++) {
					const scale = 1e-8 * Math.max(1, trajectory.co2Ppm[i]! - model.supplyPpm);
					expect(Math.abs(chamber[i]! - trajectory.co2Ppm[i]!)).toBeLessThan(scale);
					const sensor = (trajectory.sensorPpm ?? trajectory.co2Ppm)[i]! + model.offsetPpm;
					expect(Math.abs(shown[i]! - sensor)).toBeLessThan(scale);
				}
			}),
			{ seed: 1, numRuns: 150 },
		);
	});

	test("have the slopes over every parameter that central differences show", () => {
		const names = ["source", "fan", "leak", "lag", "offset", "start", "reading", "phase", "drift"] as const;
		const places = Object.fromEntries([...names.map((name, i) => [name, i]), ["width", names.length]]);
		const moved = (one: Case, name: (typeof names)[number], by: number): Case => {
			const { model } = one;
			const change: Record<(typeof names)[number], Case> = {
				source: { ...one, model: { ...model, sources: [model.sources[0]! + by] } },
				fan: { ...one, model: { ...model, fanM3PerS: model.fanM3PerS + by } },
				leak: { ...one, model: { ...model, leakM3PerS: model.leakM3PerS + by } },
				lag: { ...one, model: { ...model, lagSeconds: model.lagSeconds + by } },
				offset: { ...one, model: { ...model, offsetPpm: model.offsetPpm + by } },
				start: { ...one, model: { ...model, startPpm: model.startPpm + by } },
				reading: { ...one, model: { ...model, readingPpm: model.readingPpm + by } },
				phase: { ...one, phaseSeconds: one.phaseSeconds + by },
				drift: { ...one, drift: one.drift + by },
			};
			return change[name];
		};
		fc.assert(
			fc.property(cases, (one) => {
				// A switch that crosses time 0 has a kink for all samples at once.
				fc.pre(edgesOf(one).every(({ timeSeconds }) => Math.abs(timeSeconds) > 0.1));
				const slopes: Float64Array[] = [];
				readings(
					one.model,
					edgesOf(one),
					times,
					({ count, columns }) => {
						for (let i = 0; i < count; i++)
							slopes.push(Float64Array.from(names, (_, k) => columns[k * BLOCK + i]!));
					},
					places as unknown as SlopePlaces,
				);
				const { model } = one;
				const steps: Record<(typeof names)[number], number> = {
					source: 1e-3 * model.sources[0]!,
					fan: 1e-4 * model.fanM3PerS,
					leak: 1e-6 * model.fanM3PerS,
					lag: model.lagSeconds > 0 ? 1e-3 * model.lagSeconds : 0,
					offset: 1,
					start: 1,
					reading: 1,
					phase: 1e-3,
					drift: 1e-7,
				};
				for (const [k, name] of names.entries()) {
					const h = steps[name];
					if (h === 0 || (name === "leak" && model.leakM3PerS < h)) continue;
					const up = run(moved(one, name, h)).shown;
					const down = run(moved(one, name, -h)).shown;
					const scale = Math.max(...slopes.map((row) => Math.abs(row[k]!)), 1e-9);
					// A sample that a moved switch crosses has a kink, where a difference is between two slopes.
					const off = slopes.filter(
						(row, i) => Math.abs(row[k]! - (up[i]! - down[i]!) / (2 * h)) > 1e-4 * scale,
					);
					expect(off.length, name).toBeLessThanOrEqual(name === "phase" || name === "drift" ? 1 : 0);
				}
			}),
			{ seed: 2, numRuns: 100 },
		);
	});
});
