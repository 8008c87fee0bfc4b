import { InputError } from "../../errors.ts";
import { balance, isLinear, type Model } from "../../model/chamber.ts";
import type { Schedule } from "../../model/schedule/schedule.ts";
import { propagateExact } from "./exact.ts";
import { DEFAULT_TOLERANCE, type ModelState, propagateOdex, type SolverStats } from "./odex.ts";
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

const NO_WORK: SolverStats = { evaluations: 0, steps: 0, restarts: 0 };

/** @throws InputError when the exact path is asked for a model that is not linear */
export function methodFor(model: Model, options: SolverOptions): Method {
	const linear = isLinear(model);
	if (options.method === "exact" && !linear)
		throw new InputError(
			'the exact method needs a source that depends neither on time nor on CO2; use "runge-kutta" or "odex", or leave the method out',
		);
	return options.method ?? (linear ? "exact" : "runge-kutta");
}

/** All states at one CO2, the fan at rest: a chamber that was just closed. */
export function uniformState(model: Model, ppm: number): ModelState {
	return { state: new Float64Array(balance(model).states).fill(ppm - model.intakePpm), fanSpeedFraction: 0 };
}

/** Start of a run: the model's own start, by default supply air everywhere. */
export function initialState(model: Model): ModelState {
	return uniformState(model, model.startPpm ?? model.intakePpm);
}

/**
 * Walks a model through a schedule from time 0 and shows what `watch` asks for in order.
 * @throws InputError for a model or a schedule that makes no sense, SolverError when odex cannot vouch for its answer
 */
export function propagate(
	model: Model,
	schedule: Schedule,
	untilSeconds: number,
	start: ModelState,
	options: SolverOptions = {},
	observer: Observer = {},
): ModelState & { stats: SolverStats } {
	const method = methodFor(model, options);
	if (method === "exact")
		return { ...propagateExact(model, schedule, untilSeconds, start, observer), stats: NO_WORK };
	const tolerance = options.relativeTolerance ?? DEFAULT_TOLERANCE;
	if (!(tolerance >= 1e-13 && tolerance <= 1e-2))
		throw new InputError(`relativeTolerance needs a value from 1e-13 to 0.01, got ${tolerance}`);
	const numeric = method === "odex" ? propagateOdex : propagateRungeKutta;
	return numeric(model, schedule, untilSeconds, start, tolerance, observer);
}
