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

/** Models compiled last, the newest first. */
const recent: Compiled[] = [];
const MAX_RECENT = 4;

/** The plain model says what a compiled one was made of, field by field; a source may change its mind, so it never does. */
function saysTheSame(plain: Model, { model }: Compiled): boolean {
	const keys = Object.keys(model) as (keyof Model)[];
	return keys.length === Object.keys(plain).length && keys.every((key) => plain[key] === model[key]);
}

/**
 * A model made ready for the solvers, once: a frozen object that owns its caches. What was compiled is its own; a plain model
 * whose numbers are those of one of the last few is answered by that one.
 *
 * @param model the mass balance, written by hand or by `buildModel`
 * @returns the frozen model, its coefficients [1/s] and propagators
 * @throws InputError with every field that is missing, unknown or has no physical meaning
 *
 * Source: this project.
 * @example compile({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }).isLinear // => true
 */
export function compile(model: Model | CompiledModel): CompiledModel {
	if (model instanceof Compiled) return model;
	const plain = model as Model;
	const isObject = typeof plain === "object" && plain !== null;
	const known = isObject ? recent.find((one) => saysTheSame(plain, one)) : undefined;
	if (known !== undefined) return known;
	const compiled = new Compiled(checkModel(plain));
	if (compiled.model.source === undefined) {
		recent.unshift(compiled);
		recent.length = Math.min(recent.length, MAX_RECENT);
	}
	return compiled;
}
