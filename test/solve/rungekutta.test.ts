import { describe, expect, it } from "vitest";
import { InputError, SolverError } from "../../lib/errors.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { makeDormandPrince } from "../../lib/solve/propagate/rungekutta.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { cabinet, everything, shortBursts, zoned } from "./models.ts";

/** y' = y cos t, y = e^(sin t): errors of the end and of the middle of steps of a given length. */
function errors(step: number): { end: number; inside: number } {
	// A tolerance that lets every step pass, so that the cap alone sets the steps.
	const { integrate } = makeDormandPrince(
		1,
		(t, y, slope) => {
			slope[0] = y[0]! * Math.cos(t);
		},
		1e3,
		1e3,
	);
	const y = Float64Array.of(1);
	let inside = 0;
	integrate(y, 2, step, step, (from, to, dense) => {
		for (const u of [0.2, 0.5, 0.7]) {
			const t = from + u * (to - from);
			inside = Math.max(inside, Math.abs(dense(0, t) - Math.exp(Math.sin(t))));
		}
		return true;
	});
	return { end: Math.abs(y[0]! - Math.exp(Math.sin(2))), inside };
}

describe("the Dormand-Prince integrator", () => {
	it("has order five at the steps and order four between them, so every coefficient is right", () => {
		const coarse = errors(0.1);
		const fine = errors(0.05);
		expect(Math.log2(coarse.end / fine.end)).toBeGreaterThan(4.8);
		expect(Math.log2(coarse.inside / fine.inside)).toBeGreaterThan(3.8);
		expect(fine.inside).toBeLessThan(1e-7);
	});

	it("lands on the end exactly and counts its work", () => {
		const { integrate, stats } = makeDormandPrince(1, (_t, y, slope) => slope.set([-y[0]!]), 1e-8, 1e-8);
		const y = Float64Array.of(1);
		let last = 0;
		integrate(y, 7.3, 0.1, 1, (_from, to) => {
			last = to;
			return true;
		});
		expect(last).toBe(7.3);
		expect(y[0]).toBeCloseTo(Math.exp(-7.3), 8);
		expect(stats.evaluations).toBe(1 + 6 * stats.steps);
	});

	it("throws when the slopes are not numbers or blow up", () => {
		for (const slope of [() => Number.NaN, (y: number) => y * y]) {
			const { integrate } = makeDormandPrince(1, (_t, y, out) => out.set([slope(y[0]!)]), 1e-6, 1e-6);
			expect(() => integrate(Float64Array.of(1), 10, 0.1, 1)).toThrow(SolverError);
		}
	});

	it("takes no longer step right after one that was rejected", () => {
		// A pulse at 5 that the long steps before it run into.
		const steps: number[] = [];
		const attempts: number[] = [];
		const { integrate } = makeDormandPrince(
			1,
			(t, y, slope) => {
				attempts.push(t);
				slope[0] = 1000 * Math.exp(-(((t - 5) / 0.05) ** 2)) - y[0]!;
			},
			1e-6,
			1e-6,
		);
		integrate(Float64Array.of(0), 10, 0.1, 2, (from, to) => {
			steps.push(to - from);
			return true;
		});
		// Seven slopes an attempt, of which the first is that of the step before.
		const tried = Array.from({ length: (attempts.length - 1) / 6 }, (_, i) =>
			attempts.slice(1 + 6 * i, 7 + 6 * i),
		);
		const spans = tried.map((at) => 5 * (at[1]! - at[0]!) * 2);
		expect(spans.length).toBeGreaterThan(steps.length);
		let accepted = 0;
		let wasRejected = false;
		for (const [i, span] of spans.entries()) {
			const isAccepted = Math.abs(span - steps[accepted]!) <= 1e-9 * span;
			if (isAccepted && wasRejected && i + 1 < spans.length)
				expect(spans[i + 1]!).toBeLessThanOrEqual(span * (1 + 1e-9));
			if (isAccepted) accepted++;
			wasRejected = !isAccepted;
		}
		expect(accepted).toBe(steps.length);
	});

	it("gives up on a sensor that is far too fast within seconds, and says how far it came", () => {
		const source = { ...everything.source!, periodSeconds: 86_400 };
		const model = { ...cabinet, source, responseSeconds: 0.001 };
		const error = (() => {
			try {
				periodicState(model, { kind: "cycle", onSeconds: 60, offSeconds: 3540 });
			} catch (thrown) {
				return thrown;
			}
		})();
		expect(error).toBeInstanceOf(SolverError);
		const { message, timeSeconds, state } = error as SolverError;
		expect(message).toMatch(/gave up after \d+ steps: .* changes within 0.0010 s; .* \(at \d/);
		expect(timeSeconds).toBeGreaterThan(1000);
		expect(timeSeconds).toBeLessThan(86_400);
		expect(state).toHaveLength(2);
	});

	it("stays within five tolerances of the exact path over a day, from 1e-3 to 1e-11, and misses no burst", () => {
		const samples = { durationSeconds: 86_400, sampleIntervalSeconds: 37 };
		const exact = simulate(cabinet, shortBursts, samples);
		for (const relativeTolerance of [1e-3, 1e-5, 1e-7, 1e-9, 1e-11]) {
			const ours = simulate(cabinet, shortBursts, { ...samples, method: "runge-kutta", relativeTolerance });
			let worst = 0;
			for (const [i, ppm] of ours.co2Ppm.entries())
				worst = Math.max(worst, Math.abs(ppm / exact.co2Ppm[i]! - 1) / relativeTolerance);
			expect(worst).toBeLessThan(5);
		}
	});

	it("holds the worst hour to 0.001 ppm: against the exact path, and against itself a thousand times tighter", () => {
		const long = { kind: "cycle", onSeconds: 60, offSeconds: 6000 } as const;
		const slow = { ...zoned, spinUpTauSeconds: 2, coastDownTauSeconds: 5 };
		const exact = [cabinet, zoned, slow].flatMap((model) => [
			[model, shortBursts, {}] as const,
			[model, long, {}] as const,
		]);
		const tighter = { method: "runge-kutta", relativeTolerance: 1e-9 } as const;
		for (const [model, schedule, judge] of [...exact, [everything, long, tighter] as const]) {
			const hour = (options: object) =>
				summarize(model, schedule, { ceilingPpm: 1000, statistic: "worst hour", ...options })
					.maxHourlyMeanPpm;
			expect(Math.abs(hour({ method: "runge-kutta" }) - hour(judge))).toBeLessThan(1e-3);
		}
	});

	it("refuses a tolerance out of reach, and the exact path for a source that changes", () => {
		const run = { durationSeconds: 60, sampleIntervalSeconds: 1 };
		expect(() =>
			simulate(cabinet, shortBursts, { ...run, method: "runge-kutta", relativeTolerance: 0 }),
		).toThrow(InputError);
		expect(() => simulate(everything, shortBursts, { ...run, method: "exact" })).toThrow(
			/source that depends neither on time nor on CO2/,
		);
	});
});
