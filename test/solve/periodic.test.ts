import { describe, expect, it } from "vitest";
import type { Model, Source } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { continuousState } from "../../lib/solve/continuous.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { cabinet, everything, shortBursts, zoned } from "./models.ts";

const inhibited = (model: Model, half: number): Model => ({
	...model,
	source: {
		m3PerS: (_t, ppm) => model.generationM3PerS / (1 + ppm / half),
		isTimeVarying: false,
		isPpmDependent: true,
		breakpointsSeconds: [],
		periodSeconds: null,
		horizonSeconds: 86_400,
	},
});

const warmDays: Source = {
	m3PerS: (t) => cabinet.generationM3PerS * (1 + 0.3 * Math.cos((2 * Math.PI * t) / 86_400)),
	isTimeVarying: true,
	isPpmDependent: false,
	breakpointsSeconds: [],
	periodSeconds: 86_400,
	horizonSeconds: 86_400,
};

const nightly: Schedule = {
	kind: "daily",
	parts: [
		{ fromSeconds: 7 * 3600, schedule: { kind: "cycle", onSeconds: 12, offSeconds: 540 } },
		{ fromSeconds: 22 * 3600, schedule: { kind: "cycle", onSeconds: 9, offSeconds: 700 } },
	],
};

describe("the periodic regime", () => {
	const cases: [string, Model, Schedule][] = [
		["one zone", cabinet, shortBursts],
		["two zones and a sensor", zoned, shortBursts],
		[
			"a fan that spins up and coasts down",
			{ ...zoned, spinUpTauSeconds: 2, coastDownTauSeconds: 5 },
			shortBursts,
		],
		["a source that feels the CO2", inhibited(zoned, 1500), shortBursts],
		["another cycle at night", zoned, nightly],
		["another cycle at night and a slow fan", { ...cabinet, spinUpTauSeconds: 2 }, nightly],
		[
			"respiration that swings by day",
			{ ...cabinet, source: warmDays },
			{ kind: "cycle", onSeconds: 12, offSeconds: 588 },
		],
		[
			"a list of switches that repeats",
			cabinet,
			{ kind: "switches", switchSeconds: [30, 900], startsWith: "on", repeatSeconds: 1800 },
		],
	];
	for (const [name, model, schedule] of cases)
		it(`comes back to its start after a period, and a fresh run ends in it: ${name}`, () => {
			const steadyState = periodicState(model, schedule);
			if (!steadyState.exists) throw new Error(steadyState.cause);
			const { start, periodSeconds: period } = steadyState;
			const again = simulate(model, schedule, { start, durationSeconds: period, sampleTimes: [period] }).end;
			for (const [i, x] of again.state.entries()) expect(x / start.state[i]!).toBeCloseTo(1, 5);
			expect(again.fanSpeedFraction).toBeCloseTo(start.fanSpeedFraction, 9);
			const periods = Math.max(2, Math.ceil(60_000 / period));
			const fresh = simulate(model, schedule, {
				durationSeconds: periods * period,
				sampleTimes: [periods * period],
			}).end;
			for (const [i, x] of fresh.state.entries()) expect(x / start.state[i]!).toBeCloseTo(1, 4);
		});

	it("bounds every sample of a period by its peak and trough, in each zone and in the sensor", () => {
		for (const method of ["exact", "runge-kutta", "odex"] as const) {
			const periodic = periodicState(zoned, shortBursts, { method });
			if (!periodic.exists) throw new Error(periodic.cause);
			const run = simulate(zoned, shortBursts, {
				start: periodic.start,
				durationSeconds: 552,
				sampleIntervalSeconds: 0.25,
				method,
			});
			for (const [series, figures] of [
				[run.co2Ppm, periodic.mixed],
				[run.stagnantPpm!, periodic.stagnant!],
				[run.sensorPpm!, periodic.sensor!],
			] as const) {
				const [low, high] = [Math.min(...series), Math.max(...series)];
				expect(high).toBeLessThanOrEqual(figures.peakPpm + 1e-6);
				expect(high).toBeGreaterThan(figures.peakPpm - 0.1);
				expect(low).toBeGreaterThanOrEqual(figures.troughPpm - 1e-6);
				expect(low).toBeLessThan(figures.troughPpm + 0.1);
			}
			// Sensor and zone have one mean: a lag moves the reading in time, not in level.
			expect(periodic.sensor!.meanPpm).toBeCloseTo(periodic.mixed.meanPpm, 3);
		}
	});

	it("says why nothing repeats", () => {
		const once: Schedule = { kind: "switches", switchSeconds: [0, 30] };
		expect(periodicState(cabinet, once)).toMatchObject({ cause: "schedule does not repeat" });
		expect(periodicState(everything, shortBursts)).toMatchObject({ cause: "source does not repeat" });
		expect(periodicState({ ...cabinet, source: warmDays }, shortBursts)).toMatchObject({
			cause: "incommensurate periods",
		});
		const tight = inhibited({ ...cabinet, infiltrationM3PerS: 0 }, 2000);
		expect(periodicState(tight, { kind: "off" })).toMatchObject({ cause: "no air" });
	});

	it("has the continuous equivalent as its mean when the fan never stops, feedback and stagnant corner included", () => {
		for (const model of [cabinet, zoned, inhibited(zoned, 800), inhibited(cabinet, 300)]) {
			const periodic = periodicState(model, { kind: "continuous" });
			if (!periodic.exists) throw new Error(periodic.cause);
			expect(continuousState(model, { kind: "continuous" })).toBeCloseTo(periodic.meanPpm, 2);
		}
		expect(continuousState({ ...cabinet, infiltrationM3PerS: 0 }, { kind: "off" })).toBeNull();
	});
});
