import { SolverError } from "../errors.ts";
import { isTimeVarying, type Model } from "../model/chamber.ts";
import { periodicFanSpeedFraction } from "../model/fan/deliveredair.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { playTimeline, type Timeline } from "../model/schedule/timeline.ts";
import { DAY } from "../time.ts";
import type { CompiledModel } from "./compile.ts";
import { solvePeriodMapExact } from "./propagate/exact.ts";
import { identity, solve } from "./propagate/matrix.ts";
import type { ModelState } from "./propagate/odex.ts";
import {
	DEFAULT_TOLERANCE,
	findSolverFaults,
	initialState,
	type Method,
	methodFor,
	propagate,
	type SolverOptions,
} from "./propagate/propagate.ts";
import {
	accumulate,
	type ConcentrationStats,
	computeStats,
	makeStatsAccumulator,
	type SolutionSegment,
} from "./propagate/solutionsegment.ts";
import { prepareRun, type Run } from "./run.ts";

/** A regime that repeats, by its start. */
export interface PeriodicStart {
	readonly exists: true;
	/** [s] */
	readonly periodSeconds: number;
	/** State at the start of a period, to simulate from. */
	readonly start: ModelState;
}

/** The regime that repeats; its own figures are those of the zone of the crop. */
export interface PeriodicSteadyState extends PeriodicStart, ConcentrationStats {
	/** Zone with most of the source. */
	readonly zone: "mixed" | "stagnant";
	readonly mixed: ConcentrationStats;
	readonly stagnant: ConcentrationStats | null;
	readonly sensor: ConcentrationStats | null;
	readonly method: Method;
}

/** Why nothing repeats: CO2 is never carried away, or one of the two has no period, or theirs never meet. */
export interface NoPeriodicState {
	readonly exists: false;
	readonly cause: "no air" | "schedule does not repeat" | "source does not repeat" | "incommensurate periods";
}

export type PeriodicState = PeriodicSteadyState | NoPeriodicState;

/** What a period leaves at most of a difference of starts that it is said to forget. */
const FORGOTTEN = 0.01;
/** At most so many days until a daily source and a schedule meet again. */
const MAX_DAYS = 3;

/**
 * State that repeats each period: exactly for linear models, by a guarded Newton iteration on the period map otherwise.
 *
 * @param model the mass balance
 * @param schedule when the fan is on
 * @param options method and tolerance of the solver
 * @returns peak, mean, trough [ppm] and the state to start from; or `{ exists: false, cause }`: nothing carries CO2 away, or schedule or source never repeat
 * @throws InputError for a model or schedule that makes no sense; SolverError when the iteration does not close (it never goes on for ever)
 *
 * Source: this project; Newton's shooting method.
 * @example periodicState({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "cycle", onSeconds: 12, offSeconds: 540 }).peakPpm.toFixed(2) // => "759.22"
 */
export function periodicState(
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	options: SolverOptions = {},
): PeriodicState {
	const run = prepareRun(model, schedule, findSolverFaults(options));
	const found = findPeriodicStart(run, options);
	if (!found.exists) return found;
	const { compiled, timeline } = run;
	const { start, periodSeconds: period } = found;
	const b = compiled.balance;
	const states = Array.from({ length: b.states }, makeStatsAccumulator);
	const onSolution = (solution: SolutionSegment) => {
		for (const [i, state] of states.entries())
			accumulate(state, solution, i, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
	};
	propagate(compiled, timeline, period, start, options, { onSolution });
	return {
		exists: true,
		periodSeconds: period,
		...computeStats(states[b.crop]!),
		zone: b.crop === 0 ? "mixed" : "stagnant",
		mixed: computeStats(states[0]!),
		stagnant: b.stagnant > 0 ? computeStats(states[b.stagnant]!) : null,
		sensor: b.sensor > 0 ? computeStats(states[b.sensor]!) : null,
		start,
		method: methodFor(compiled, options),
	};
}

/** Start and length of the regime without its figures. */
export const findPeriodicSteadyState = (
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	options: SolverOptions = {},
): PeriodicStart | NoPeriodicState =>
	findPeriodicStart(prepareRun(model, schedule, findSolverFaults(options)), options);

/** The same of a model and a schedule that are worked out already. */
export function findPeriodicStart(run: Run, options: SolverOptions): PeriodicStart | NoPeriodicState {
	const { compiled, timeline } = run;
	const { model } = compiled;
	const period = findCommonPeriod(run);
	if (typeof period !== "number")
		return period.cause === "incommensurate periods" && !isAired(run, timeline.periodSeconds!)
			? NO_AIR
			: period;
	if (!isAired(run, period)) {
		// Where nothing is given off either, any state repeats; the start is the one that is there.
		const idle = model.source === undefined && model.generationM3PerS === 0;
		return idle ? { exists: true, start: initialState(compiled), periodSeconds: period } : NO_AIR;
	}
	const fanSpeedFraction = periodicFanSpeedFraction(model, timeline, period);
	const state =
		methodFor(compiled, options) === "exact"
			? solvePeriodMapExact(compiled, timeline, period, fanSpeedFraction)
			: solvePeriodMap(run, period, fanSpeedFraction, options);
	return state === null
		? NO_AIR
		: { exists: true, start: { state, fanSpeedFraction }, periodSeconds: period };
}

function findCommonPeriod({ compiled, timeline }: Run): number | NoPeriodicState {
	const own = timeline.periodSeconds;
	if (own === null) return { exists: false, cause: "schedule does not repeat" };
	const { model } = compiled;
	if (!isTimeVarying(model)) return own;
	// What changes by the clock repeats daily, or never.
	const daily = model.source?.isTimeVarying ? model.source.periodSeconds : DAY;
	if (daily === null) return { exists: false, cause: "source does not repeat" };
	for (let days = 1; days <= MAX_DAYS; days++) {
		const span = days * daily;
		if (Math.abs(span / own - Math.round(span / own)) < 1e-9) return span;
	}
	return { exists: false, cause: "incommensurate periods" };
}

const NO_AIR: NoPeriodicState = { exists: false, cause: "no air" };

function isAired({ compiled: { model }, timeline }: Run, period: number): boolean {
	if (model.infiltrationM3PerS > 0) return true;
	if (model.deliveredM3PerS === 0) return false;
	for (const { isOn } of playTimeline(timeline, period)) if (isOn) return true;
	return false;
}

/**
 * Newton's iteration on x → (state after a period from x) - x. The map is affine but for a source that feels the CO2, so
 * one step nearly always does where the start is not forgotten anyway; a step that makes things worse is replaced by simply living through a few periods, which
 * always draws nearer.
 */
function solvePeriodMap(
	{ compiled, timeline }: Run,
	period: number,
	fanSpeedFraction: number,
	options: SolverOptions,
): Float64Array {
	const { model, balance } = compiled;
	const n = balance.states;
	const after = (state: Float64Array) =>
		propagate(compiled, timeline, period, { state, fanSpeedFraction }, options).state;
	const tolerance = 20 * (options.relativeTolerance ?? DEFAULT_TOLERANCE);
	const gap = (x: Float64Array, y: Float64Array) =>
		Math.max(...x.map((v, i) => Math.abs(y[i]! - v) / (Math.abs(v) + Math.max(model.intakePpm, 1))));
	let x: Float64Array = initialState(compiled).state;
	let y = after(x);
	let residual = gap(x, y);
	for (let round = 0; round < 30; round++) {
		if (residual <= tolerance / 20) return x;
		// A day as a rule forgets its start, and then living through another one settles it.
		const later = after(y);
		const settled = gap(y, later) <= FORGOTTEN * residual;
		[x, y, residual] = [y, later, gap(y, later)];
		if (settled) continue;
		// 1 - J by differences, column by column; the map is so nearly affine that the size of the step hardly matters.
		const rest = identity(n);
		for (let j = 0; j < n; j++) {
			const step = 0.01 * (Math.abs(x[j]!) + Math.max(model.intakePpm, 100));
			const moved = after(x.with(j, x[j]! + step));
			for (let i = 0; i < n; i++) rest[i * n + j]! -= (moved[i]! - y[i]!) / step;
		}
		const move = solve(
			rest,
			y.map((v, i) => v - x[i]!),
			n,
		);
		const nextX = move === null ? y : x.map((v, i) => v + move[i]!);
		const nextY = nextX.every((v) => Number.isFinite(v) && v >= -model.intakePpm) ? after(nextX) : null;
		const nextResidual = nextY === null ? Number.POSITIVE_INFINITY : gap(nextX, nextY);
		if (nextY !== null && nextResidual < residual) [x, y, residual] = [nextX, nextY, nextResidual];
		else if (residual <= tolerance) return x;
		else
			for (let k = 0; k < 10; k++) {
				[x, y] = [y, after(y)];
				residual = gap(x, y);
			}
	}
	if (residual <= tolerance) return x;
	throw new SolverError(
		`the periodic state was not found, a gap of ${residual.toExponential(1)} is left`,
		period,
		[...x],
	);
}
