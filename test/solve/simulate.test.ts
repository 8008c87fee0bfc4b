import { expect, test } from "vitest";
import { runStats, simulate } from "../../lib/solve/simulate.ts";

test("a sample that falls on a switch to within a rounding is a number like its neighbours", () => {
	const seconds = 20_000;
	const run = simulate(
		{
			volumeM3: 0.2,
			intakePpm: 420,
			generationM3PerS: 0.5e-3 / 3600,
			infiltrationM3PerS: 0,
			deliveredM3PerS: 60 / 3600,
			responseSeconds: 195,
		},
		{ kind: "cycle", onSeconds: 10 * 0.997, offSeconds: 590 * 0.997 },
		{ durationSeconds: seconds, sampleTimes: Float64Array.from({ length: seconds + 1 }, (_, i) => i) },
	);
	expect(run.sensorPpm!.every(Number.isFinite)).toBe(true);
	expect(run.co2Ppm.every(Number.isFinite)).toBe(true);
});

test("the values of a run need to be told its duration: it never runs for ever", () => {
	const model = {
		volumeM3: 0.4,
		intakePpm: 450,
		generationM3PerS: 1e-7,
		infiltrationM3PerS: 1e-5,
		deliveredM3PerS: 0.02,
	};
	expect(() =>
		runStats(model, { kind: "cycle", onSeconds: 5, offSeconds: 300 }, { ceilingPpm: 1000 } as never),
	).toThrow(/durationSeconds needs a time above 0 s, got undefined/);
});
