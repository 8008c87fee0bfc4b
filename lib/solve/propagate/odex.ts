import { Outcome, Solver } from "odex";
import { InputError, SolverError } from "../../errors.ts";
import type { Model } from "../../model/chamber.ts";
import { fanSpeedFraction } from "../../model/fan/fanspeed.ts";
import { playTimeline, type Timeline } from "../../model/schedule/timeline.ts";
import type { CompiledModel } from "../compile.ts";
import { type DenseOutput, makeStepSegment, type Observer } from "./solutionsegment.ts";
import { findBreakpoints, makeSystem } from "./system.ts";

/** How hard the integrator worked. */
export interface SolverStats {
	readonly evaluations: number;
	readonly steps: number;
	/** Number of separate integrations: at least one a segment. */
	readonly restarts: number;
}

/** State [ppm above supply] and fan speed [share of full] at an instant. */
export interface ModelState {
	readonly state: Float64Array;
	readonly fanSpeedFraction: number;
}

/** A system of ordinary differential equations and the care its integration needs. */
interface IntegrationInterval {
	/** Derivative at a local time [s]; may return the same array each time. */
	readonly derivative: (t: number, y: number[]) => number[];
	readonly seconds: number;
	/** Shortest time constant in play [s]: no step may be longer, see `integrateStretch`. */
	readonly shortestSeconds: number;
	readonly relativeTolerance: number;
	/** Per state. */
	readonly absoluteTolerance: number[];
	/** Sees each accepted step. */
	readonly onStep?: (from: number, to: number, dense: DenseOutput) => boolean;
}

/**
 * One smooth stretch by odex (extrapolated midpoint rule), in local time, and only in the ways in which odex can be trusted:
 *
 * - The caller restarts at every switch, for odex steps over a burst that it never sees and says "Converged".
 * - No step is longer than the shortest time constant and the first is a fifth of it, for with a first step of three time
 *   constants the error estimate can vanish by accident.
 * - Local time, for at epoch seconds the steps lose their last digits.
 * - Every state has its own absolute tolerance.
 * - maxSteps is set from the length, for the default of 10 000 ends a long run early.
 *
 * @throws SolverError unless odex says Converged and every value is finite
 */
export function integrateInterval(
	interval: IntegrationInterval,
	y0: readonly number[],
): { y: number[]; evaluations: number; steps: number; stopped: boolean } {
	const { derivative, seconds, shortestSeconds, relativeTolerance, absoluteTolerance, onStep } = interval;
	if (!(relativeTolerance >= 1e-13 && relativeTolerance <= 1e-2))
		throw new InputError(`relativeTolerance needs a value from 1e-13 to 0.01, got ${relativeTolerance}`);
	if (seconds === 0) return { y: [...y0], evaluations: 0, steps: 0, stopped: false };
	const solver = new Solver(y0.length);
	const cap = Math.min(shortestSeconds, seconds);
	solver.maxStepSize = cap;
	solver.initialStepSize = 0.2 * cap;
	// odex takes no first step under 1e-4 in its own unit, so a very fast system runs in a finer unit of time.
	const unit = Math.min(1, solver.initialStepSize / 1e-3);
	solver.maxStepSize /= unit;
	solver.initialStepSize /= unit;
	solver.maxSteps = 10_000 + Math.ceil((20 * seconds) / cap);
	solver.relativeTolerance = y0.map(() => relativeTolerance);
	solver.absoluteTolerance = absoluteTolerance;
	const scaled =
		unit === 1
			? derivative
			: (t: number, y: number[]) => {
					const slope = derivative(t * unit, y);
					for (let i = 0; i < slope.length; i++) slope[i]! *= unit;
					return slope;
				};
	let observer:
		| ((n: number, a: number, b: number, y: number[], dense?: unknown) => boolean | undefined)
		| undefined;
	if (onStep !== undefined) {
		solver.denseOutput = true;
		observer = (_n, from, to, _y, dense) =>
			dense === undefined ||
			onStep(from * unit, to * unit, (i, t) => (dense as (i: number, t: number) => number)(i, t / unit));
	}
	const solution = solver.solve(scaled, 0, [...y0], seconds / unit, observer);
	const stopped = solution.outcome === Outcome.EarlyReturn;
	if ((solution.outcome !== Outcome.Converged && !stopped) || !solution.y.every(Number.isFinite))
		throw new SolverError("the integration did not converge", seconds, solution.y);
	return { y: solution.y, evaluations: solution.nEval, steps: solution.nStep, stopped };
}

/**
 * Walks any model through a schedule from time 0, restarted at every switch, at the end of the fan's own transient and at
 * every kink of the source. The fan's speed is analytic; its state travels from segment to segment.
 * @returns the instant at the end
 * @throws SolverError when the integrator cannot vouch for its answer
 */
export function propagateOdex(
	{ model, balance: b }: CompiledModel,
	timeline: Timeline,
	untilSeconds: number,
	start: ModelState,
	relativeTolerance: number,
	{ onSolution, onSegment }: Observer,
): ModelState & { stats: SolverStats } {
	const system = makeSystem(model, b);
	const slope = new Array<number>(b.states).fill(0);
	// The tolerance is relative to the CO2 itself, and the states are counted from the supply air.
	const absolute = Array.from({ length: b.states }, () => relativeTolerance * Math.max(model.intakePpm, 1));
	let y = Array.from(start.state);
	let fraction = start.fanSpeedFraction;
	let evaluations = 0;
	let steps = 0;
	let restarts = 0;
	let stopped = false;
	for (const segment of playTimeline(timeline, untilSeconds, model, fraction)) {
		const { startSeconds, durationSeconds, isOn, fanSpeedFraction: level } = segment;
		onSegment?.(startSeconds, y);
		const tau = (isOn ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
		const away = isOn ? 1 - level : level;
		const transient =
			tau > 0 && away > 0 ? tau * Math.max(0, Math.log(away / (0.01 * relativeTolerance))) : 0;
		const stops = findStops(model, startSeconds, durationSeconds, transient);
		let from = 0;
		for (const to of stops) {
			system.begin(startSeconds + from, isOn, fanSpeedFraction(model, isOn, level, from));
			const inTransient = from < transient;
			const result = integrateInterval(
				{
					derivative: (t, y) => system.derivative(t, y, slope),
					seconds: to - from,
					shortestSeconds: inTransient
						? Math.min(system.shortestSeconds(true), tau)
						: system.shortestSeconds(isOn),
					relativeTolerance,
					absoluteTolerance: absolute,
					...(onSolution === undefined
						? {}
						: {
								onStep: (a, z, dense) =>
									onSolution(makeStepSegment(model.intakePpm, startSeconds + from, a, z, isOn, dense)) !==
									"stop",
							}),
				},
				y,
			);
			y = result.y;
			evaluations += result.evaluations;
			steps += result.steps;
			restarts++;
			from = to;
			if (result.stopped) {
				stopped = true;
				break;
			}
		}
		fraction = fanSpeedFraction(model, isOn, level, durationSeconds);
		if (stopped) break;
	}
	return { state: Float64Array.from(y), fanSpeedFraction: fraction, stats: { evaluations, steps, restarts } };
}

/** Ends of the stretches of a segment, in local time: end of the fan's transient, kinks of the source, end of the segment. */
function findStops(model: Model, start: number, duration: number, transient: number): number[] {
	const stops = [...findBreakpoints(model, start, duration), duration];
	if (transient > 0 && transient < duration) stops.push(transient);
	return [...new Set(stops)].sort((x, y) => x - y);
}
