import { type Balance, balance, isLinear, type Model, sourceM3PerS } from "../model/chamber.ts";
import { checkModel } from "../model/modelcheck.ts";
import { MIDNIGHT } from "../time.ts";
import { makeSegmentPropagator, type SegmentPropagator } from "./propagate/segmentpropagator.ts";

/**
 * A model that was checked once, with what solvers work out from it. It holds the model rather than being one, so that
 * `{ ...compiled.model, volumeM3 }` is a plain model again and nothing worked out for the old one goes with it.
 */
export interface CompiledModel {
	readonly model: Readonly<Model>;
	readonly balance: Balance;
	/** The balance is linear and its source constant, so the exact path serves. */
	readonly isLinear: boolean;
	/** Source at midnight and at the CO2 of the air drawn in, in m3/s: of a linear model, at all times. */
	readonly sourceM3PerS: number;
	/** Segments of a linear model, exactly; made when first asked for. */
	readonly segmentPropagator: SegmentPropagator;
}

/** A class for the sake of its private cache and its mark: a copy of its fields is no compiled model. */
class Compiled implements CompiledModel {
	readonly model: Readonly<Model>;
	readonly balance: Balance;
	readonly isLinear: boolean;
	readonly sourceM3PerS: number;
	#propagator: SegmentPropagator | undefined;

	constructor(model: Readonly<Model>) {
		this.model = model;
		this.balance = Object.freeze(balance(model));
		this.isLinear = isLinear(model);
		this.sourceM3PerS = sourceM3PerS(model, MIDNIGHT, model.intakePpm);
		Object.freeze(this);
	}

	get segmentPropagator(): SegmentPropagator {
		this.#propagator ??= makeSegmentPropagator(this.model, this.balance, this.sourceM3PerS);
		return this.#propagator;
	}
}

/**
 * A model made ready for the solvers, once: a frozen object that owns its caches. What was compiled is its own.
 *
 * @param model the mass balance, written by hand or by `buildModel`
 * @returns the frozen model, its coefficients [1/s] and propagators
 * @throws InputError with every field that is missing, unknown or has no physical meaning
 *
 * Source: this project.
 * @example compile({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }).isLinear // => true
 */
export const compile = (model: Model | CompiledModel): CompiledModel =>
	model instanceof Compiled ? model : new Compiled(checkModel(model as Model));
