import { SolverError } from "../../errors.ts";
import { fanSpeedFraction } from "../../model/fan/fanspeed.ts";
import { playTimeline, type Timeline } from "../../model/schedule/timeline.ts";
import { power } from "../../power.ts";
import type { CompiledModel } from "../compile.ts";
import type { ModelState, SolverStats } from "./odex.ts";
import { type DenseOutput, makeStepSegment, type Observer } from "./solutionsegment.ts";
import { findBreakpoints, makeSystem } from "./system.ts";

// Dormand & Prince 1980, 5(4) pair with seven stages, the last of which is the first of the next step. From memory;
// test/solve/rungekutta.test.ts checks the order of the solution and of the interpolant, which a wrong digit would spoil.
// biome-ignore format: a tableau, row by row
const [A21, A31, A32, A41, A42, A43] = [1 / 5, 3 / 40, 9 / 40, 44 / 45, -56 / 15, 32 / 9];
const [A51, A52, A53, A54] = [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729];
const [A61, A62, A63, A64, A65] = [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656];
const [B1, B3, B4, B5, B6] = [35 / 384, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84];
// biome-ignore format: a tableau, row by row
const [E1, E3, E4, E5, E6, E7] = [71 / 57600, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40];
// Fourth-order interpolant of the same pair (Shampine; as in the DOPRI5 code of Hairer, Nørsett & Wanner).
const [D1, D3, D4] = [-12715105075 / 11282082432, 87487479700 / 32700410799, -10690763975 / 1880347072];
const [D5, D6, D7] = [701980252875 / 199316789632, -1453857185 / 822651844, 69997945 / 29380423];

/**
 * Adaptive Dormand-Prince integrator whose arrays are reused from step to step, so that a run of weeks makes no garbage.
 * @param n number of states
 * @param f writes the slopes at (t, y)
 * @returns `integrate` carries y (changed in place) from time 0 to `seconds`, beginning with `firstStep` and with no step longer than `cap`; it counts
 *   its work in `stats` and ends early, with `false`, when `onStep` says so
 * @throws SolverError when the step size falls below what the time can resolve, a value is not finite or the budget of steps is spent
 */
export function makeDormandPrince(
	n: number,
	f: (t: number, y: Float64Array, slope: Float64Array) => void,
	relativeTolerance: number,
	absoluteTolerance: number,
) {
	const zeros = () => new Float64Array(n);
	const [k1, k2, k3, k4, k5, k6, k7] = [zeros(), zeros(), zeros(), zeros(), zeros(), zeros(), zeros()];
	const [stage, trial, before, span] = [zeros(), zeros(), zeros(), zeros()];
	const stats = { evaluations: 0, steps: 0, restarts: 0 };
	/** Steps that all integrations may take together; the caller raises it as a run goes on. */
	const budget = { steps: Number.POSITIVE_INFINITY };
	let from = 0;
	let h = 0;
	const dense: DenseOutput = (i, t) => {
		const u = (t - from) / h;
		const v = 1 - u;
		const slope = h * k1[i]! - span[i]!;
		const curve = h * (D1 * k1[i]! + D3 * k3[i]! + D4 * k4[i]! + D5 * k5[i]! + D6 * k6[i]! + D7 * k7[i]!);
		return before[i]! + u * (span[i]! + v * (slope + u * (span[i]! - h * k7[i]! - slope + v * curve)));
	};

	function integrate(
		y: Float64Array,
		seconds: number,
		firstStep: number,
		cap: number,
		onStep?: (from: number, to: number, dense: DenseOutput) => boolean,
		originSeconds = 0,
	): boolean {
		stats.restarts++;
		let t = 0;
		let step = Math.min(firstStep, cap, seconds);
		let lastError = 1e-4;
		let isRejected = false;
		f(0, y, k1);
		stats.evaluations++;
		while (t < seconds) {
			// The last two steps share what is left, so that no sliver of a step remains.
			const left = seconds - t;
			h = step >= left ? left : Math.min(step, left / 2);
			const stop = (why: string) => new SolverError(why, originSeconds + t, [...y]);
			if (!(t + h > t)) throw stop("the step size has vanished");
			if (stats.steps >= budget.steps)
				throw stop(
					`the solver gave up after ${stats.steps} steps: something in this chamber changes within ${(cap / MAX_STEP).toPrecision(2)} s; a sensor so fast is given a response of 0 s`,
				);
			for (let i = 0; i < n; i++) stage[i] = y[i]! + h * A21 * k1[i]!;
			f(t + h / 5, stage, k2);
			for (let i = 0; i < n; i++) stage[i] = y[i]! + h * (A31 * k1[i]! + A32 * k2[i]!);
			f(t + 0.3 * h, stage, k3);
			for (let i = 0; i < n; i++) stage[i] = y[i]! + h * (A41 * k1[i]! + A42 * k2[i]! + A43 * k3[i]!);
			f(t + 0.8 * h, stage, k4);
			for (let i = 0; i < n; i++)
				stage[i] = y[i]! + h * (A51 * k1[i]! + A52 * k2[i]! + A53 * k3[i]! + A54 * k4[i]!);
			f(t + (8 / 9) * h, stage, k5);
			for (let i = 0; i < n; i++)
				stage[i] = y[i]! + h * (A61 * k1[i]! + A62 * k2[i]! + A63 * k3[i]! + A64 * k4[i]! + A65 * k5[i]!);
			f(t + h, stage, k6);
			for (let i = 0; i < n; i++)
				trial[i] = y[i]! + h * (B1 * k1[i]! + B3 * k3[i]! + B4 * k4[i]! + B5 * k5[i]! + B6 * k6[i]!);
			f(t + h, trial, k7);
			stats.evaluations += 6;
			stats.steps++;
			let error = 0;
			for (let i = 0; i < n; i++) {
				const e = h * (E1 * k1[i]! + E3 * k3[i]! + E4 * k4[i]! + E5 * k5[i]! + E6 * k6[i]! + E7 * k7[i]!);
				const scale = absoluteTolerance + relativeTolerance * Math.max(Math.abs(y[i]!), Math.abs(trial[i]!));
				const ratio = Math.abs(e) / scale;
				// NaN must count as too large.
				if (!(ratio <= error)) error = Number.isNaN(ratio) ? Number.POSITIVE_INFINITY : ratio;
			}
			if (error <= 1) {
				from = t;
				for (let i = 0; i < n; i++) {
					before[i] = y[i]!;
					span[i] = trial[i]! - y[i]!;
					y[i] = trial[i]!;
				}
				t = h === left ? seconds : t + h;
				const on = onStep === undefined || onStep(from, t, dense);
				k1.set(k7);
				// Proportional-integral step control, exponents as in DOPRI5.
				const grow = 0.9 * power(Math.max(error, 1e-10), -0.17) * power(lastError, 0.04);
				// After a rejected step the next one is no longer, or the two would take turns.
				step = Math.min(h * Math.min(Math.max(grow, 0.2), isRejected ? 1 : 8), cap);
				isRejected = false;
				lastError = Math.max(error, 1e-4);
				if (!on) return false;
			} else {
				step = h * (error < 1e30 ? Math.max(0.9 * power(error, -0.2), 0.2) : 0.1);
				isRejected = true;
			}
		}
		return true;
	}
	return { integrate, stats, budget };
}

/** Steps that a run may take: at all, for each second of it, and for each segment, which is work of about a minute for a month. */
const MAX_STEPS = { atAll: 1e6, perSecond: 10, perSegment: 100 } as const;

/** In shortest time constants of the segment: the first step, that of the fan counted, and the longest, beyond which the method is unstable. */
const FIRST_STEP = 0.2;
const MAX_STEP = 3;

/**
 * Walks any model through a schedule from time 0 by Runge-Kutta, restarted at every switch and at every kink of the source.
 * The fan's speed is analytic; its state travels from segment to segment.
 * @returns the instant at the end
 * @throws SolverError when the step size vanishes, a value is not finite or the work grows out of hand
 */
export function propagateRungeKutta(
	{ model, balance: b }: CompiledModel,
	timeline: Timeline,
	untilSeconds: number,
	start: ModelState,
	relativeTolerance: number,
	{ onSolution, onSegment, fromSeconds = 0 }: Observer,
): ModelState & { stats: SolverStats } {
	const system = makeSystem(model, b);
	// The tolerance is relative to the CO2 itself, and the states are counted from the supply air.
	const { integrate, stats, budget } = makeDormandPrince(
		b.states,
		system.derivative,
		relativeTolerance,
		relativeTolerance * Math.max(model.intakePpm, 1),
	);
	const y = Float64Array.from(start.state);
	let fraction = start.fanSpeedFraction;
	budget.steps = MAX_STEPS.atAll + MAX_STEPS.perSecond * untilSeconds;
	walking: for (const segment of playTimeline(timeline, untilSeconds, model, fraction)) {
		const { startSeconds, durationSeconds, isOn, fanSpeedFraction: level } = segment;
		onSegment?.(startSeconds, y);
		budget.steps += MAX_STEPS.perSegment;
		const tau = (isOn ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
		const fanMoves = tau > 0 && (isOn ? level < 1 : level > 1e-12);
		const shortest = system.shortestSeconds(isOn || fanMoves);
		let from = 0;
		for (const to of [...findBreakpoints(model, startSeconds, durationSeconds), durationSeconds]) {
			const origin = startSeconds + from;
			system.begin(origin, isOn, fanSpeedFraction(model, isOn, level, from));
			const onStep =
				onSolution === undefined || startSeconds + durationSeconds < fromSeconds
					? undefined
					: (a: number, z: number, dense: DenseOutput) =>
							onSolution(makeStepSegment(model.intakePpm, origin, a, z, isOn, dense)) !== "stop";
			const firstStep = FIRST_STEP * Math.min(shortest, fanMoves ? tau : shortest);
			if (!integrate(y, to - from, firstStep, MAX_STEP * shortest, onStep, origin)) {
				fraction = fanSpeedFraction(model, isOn, level, to);
				break walking;
			}
			from = to;
		}
		fraction = fanSpeedFraction(model, isOn, level, durationSeconds);
	}
	return { state: y, fanSpeedFraction: fraction, stats };
}
