import { type Fault, InputError, show } from "../../errors.ts";
import type { Model } from "../../model/chamber.ts";
import type { Schedule } from "../../model/schedule/schedule.ts";
import { makeTimeline, type Timeline } from "../../model/schedule/timeline.ts";
import { type CompiledModel, compile } from "../compile.ts";
import { propagateExact } from "./exact.ts";
import { type ModelState, propagateOdex, type SolverStats } from "./odex.ts";
import { propagateRungeKutta } from "./rungekutta.ts";
import type { Observer } from "./solutionsegment.ts";

/** `exact` serves linear models; `runge-kutta` and, some ten times slower and wholly independent of it, `odex` serve all. */
export type Method = "exact" | "runge-kutta" | "odex";

export interface SolverOptions {
	/** Default: exact where the model is linear, else runge-kutta. */
	readonly method?: Method;
	/** Of runge-kutta and odex, relative to the CO2 itself; 1e-13 … 0.01, default 1e-6. */
	readonly relativeTolerance?: number;
}

export const DEFAULT_TOLERANCE = 1e-6;
const NO_WORK: SolverStats = { evaluations: 0, steps: 0, restarts: 0 };

const METHODS: readonly unknown[] = ["exact", "runge-kutta", "odex"] satisfies Method[];

/** What is wrong with the options that all solvers have. */
export function findSolverFaults({ method, relativeTolerance: tolerance }: SolverOptions): Fault[] {
	const faults: Fault[] = [];
	if (method !== undefined && !METHODS.includes(method))
		faults.push({ message: `method needs "exact", "runge-kutta" or "odex", got ${show(method)}` });
	if (tolerance !== undefined && !(typeof tolerance === "number" && tolerance >= 1e-13 && tolerance <= 1e-2))
		faults.push({ message: `relativeTolerance needs a value from 1e-13 to 0.01, got ${show(tolerance)}` });
	return faults;
}

/** @throws InputError when the exact path is asked for a model that is not linear */
export function methodFor({ isLinear }: CompiledModel, options: SolverOptions): Method {
	if (options.method === "exact" && !isLinear)
		throw new InputError(
			'the exact method needs a source that depends neither on time nor on CO2; use "runge-kutta" or "odex", or leave the method out',
		);
	return options.method ?? (isLinear ? "exact" : "runge-kutta");
}

/** All states at one CO2, the fan at rest: a chamber that was just closed. */
export function uniformState(given: Model | CompiledModel, ppm: number): ModelState {
	const { model, balance } = compile(given);
	return { state: new Float64Array(balance.states).fill(ppm - model.intakePpm), fanSpeedFraction: 0 };
}

/** Start of a run: the model's own start, by default supply air everywhere. */
export function initialState(given: Model | CompiledModel): ModelState {
	const compiled = compile(given);
	return uniformState(compiled, compiled.model.startPpm ?? compiled.model.intakePpm);
}

/**
 * Walks a model through a schedule from time 0 and shows what `observer` asks for in order.
 * @throws InputError for a model or a schedule that makes no sense, SolverError when odex cannot vouch for its answer
 */
export function propagate(
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	untilSeconds: number,
	start: ModelState,
	options: SolverOptions = {},
	observer: Observer = {},
): ModelState & { stats: SolverStats } {
	const compiled = compile(model);
	const timeline = makeTimeline(schedule);
	if (!(Number.isFinite(untilSeconds) && untilSeconds >= 0))
		throw new InputError(`the end of a run needs a time of 0 s or more, got ${show(untilSeconds)}`);
	const method = methodFor(compiled, options);
	if (method === "exact")
		return { ...propagateExact(compiled, timeline, untilSeconds, start, observer), stats: NO_WORK };
	const tolerance = options.relativeTolerance ?? DEFAULT_TOLERANCE;
	const faults = findSolverFaults(options);
	if (faults.length > 0) throw new InputError(faults);
	const numeric = method === "odex" ? propagateOdex : propagateRungeKutta;
	return numeric(compiled, timeline, untilSeconds, start, tolerance, observer);
}
