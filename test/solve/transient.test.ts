import { describe, expect, it } from "vitest";
import { periodicState } from "../../lib/solve/periodic.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { cabinet, shortBursts, zoned } from "./models.ts";

describe("a fan that takes time to change speed, on the exact path", () => {
	const slow = { spinUpTauSeconds: 1.3, coastDownTauSeconds: 2.7 };
	const models = { "one zone": { ...cabinet, ...slow }, "two zones and a sensor": { ...zoned, ...slow } };
	const schedules = {
		"12 s every 552 s": shortBursts,
		"a flutter that never stops the fan": { kind: "cycle", onSeconds: 1.7, offSeconds: 2.1 } as const,
		"one long burst": { kind: "cycle", onSeconds: 400, offSeconds: 1000 } as const,
	};
	for (const [what, model] of Object.entries(models))
		for (const [when, schedule] of Object.entries(schedules))
			it(`agrees to 1e-9 with odex and Runge-Kutta at their tightest: ${what}, ${when}`, () => {
				const run = { durationSeconds: 3000, sampleIntervalSeconds: 7.3, startPpm: 2000 };
				const exact = simulate(model, schedule, run);
				expect(exact.method).toBe("exact");
				for (const method of ["odex", "runge-kutta"] as const) {
					const other = simulate(model, schedule, { ...run, method, relativeTolerance: 1e-12 });
					for (const series of ["co2Ppm", "stagnantPpm", "sensorPpm"] as const) {
						let worst = 0;
						for (const [i, ppm] of (exact[series] ?? []).entries())
							worst = Math.max(worst, Math.abs(ppm / other[series]![i]! - 1));
						expect(worst).toBeLessThan(1e-9);
					}
				}
				const steadyState = periodicState(model, schedule);
				const other = periodicState(model, schedule, { method: "runge-kutta", relativeTolerance: 1e-12 });
				if (!steadyState.exists || !other.exists) throw new Error("there is a regime");
				for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
					expect(Math.abs(steadyState[key] / other[key] - 1)).toBeLessThan(1e-8);
			});

	it("tends to the instant fan as its time constants vanish", () => {
		const quick = summarize({ ...cabinet, spinUpTauSeconds: 1e-9, coastDownTauSeconds: 1e-9 }, shortBursts, {
			ceilingPpm: 1000,
		});
		const instant = summarize(cabinet, shortBursts, { ceilingPpm: 1000 });
		for (const key of ["peakPpm", "meanPpm", "troughPpm", "airChangesPerBurst"] as const)
			expect(quick[key]! / instant[key]!).toBeCloseTo(1, 8);
	});

	it("finds the peak after the switch, for the slow fan lets the CO2 rise on", () => {
		const periodic = periodicState(
			{ ...cabinet, spinUpTauSeconds: 8 },
			{ kind: "cycle", onSeconds: 30, offSeconds: 540 },
		);
		if (!periodic.exists) throw new Error(periodic.cause);
		const atSwitch = cabinet.intakePpm + periodic.start.state[0]!;
		expect(periodic.peakPpm).toBeGreaterThan(atSwitch);
	});

	it("gives up on a sensor that is far too fast for it before memory runs out, and says why", () => {
		const model = { ...cabinet, spinUpTauSeconds: 600, responseSeconds: 0.01 };
		expect(() => periodicState(model, { kind: "cycle", onSeconds: 3600, offSeconds: 3600 })).toThrow(
			/gave up after 50000 steps of a fan with a time constant of 600 s: .* a sensor so fast is given a response of 0 s/,
		);
	});
});
