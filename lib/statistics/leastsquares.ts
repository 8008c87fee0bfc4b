import { type Fault, InputError, show } from "../errors.ts";
import { type Covariance, computeCovariance } from "./covariance.ts";
import { levenbergStep } from "./levenberg.ts";
import { createQrAccumulator } from "./qraccumulator.ts";

/** A number to be found. */
export interface Parameter {
	readonly name: string;
	readonly initial: number;
	/** Bounds; default none. */
	readonly lower?: number;
	readonly upper?: number;
	/** Held at its start. Default false. */
	readonly fixed?: boolean;
	/** What is known of it from elsewhere; rows must then be scaled to unit variance. */
	readonly prior?: { readonly mean: number; readonly standardDeviation: number };
}

/** Where the rows go. The slopes are d(model)/d(parameter) over the free parameters in their order. */
export interface Rows {
	/** One row; the slopes may be the same array each time. */
	add(residual: number, jacobianRow: ArrayLike<number>): void;
	/** The first `count` rows of a block [Jacobian | residual] by columns of equal height, whose numbers are used up. */
	addBlock(columns: Float64Array, count: number): void;
}

/**
 * A sum of squares over rows: residual = observed - model, with its slopes over every parameter.
 * Rows are handed over one by one or in blocks, so that millions need no matrix.
 */
export interface LeastSquaresProblem {
	readonly parameters: readonly Parameter[];
	/** Hands over all rows at the values of all parameters. */
	rows(values: Float64Array, to: Rows): void;
}

export interface LeastSquaresOptions {
	/** Relative change of the sum of squares, and of every parameter, at which the search stops. Default 1e-15 and 1e-11. */
	readonly costTolerance?: number;
	readonly stepTolerance?: number;
	/** Default 400. */
	readonly maxIterations?: number;
	/** First trust radius over the scaled length of the start. Default 1. */
	readonly firstRadius?: number;
}

export interface LeastSquares {
	/** In the order of the parameters. */
	readonly values: Float64Array;
	/** Sum of squared residuals, priors left out. */
	readonly sumOfSquares: number;
	/** The same with priors in it: what is minimised. */
	readonly cost: number;
	/** Rows, priors left out. */
	readonly rows: number;
	/** Rows and priors less free parameters. */
	readonly degreesOfFreedom: number;
	/** Sum of squares, priors in it, over the degrees of freedom; null when there are none. */
	readonly variance: number | null;
	readonly standardErrors: readonly (number | null)[];
	/** Over all parameters; NaN in rows of fixed ones and of those that the rows do not tell. */
	readonly covariance: readonly (readonly number[])[];
	readonly correlation: readonly (readonly number[])[];
	/** The covariance for rows of unit variance. */
	readonly unscaledCovariance: readonly (readonly number[])[];
	/** Those at a bound that would go on. */
	readonly isAtBound: readonly boolean[];
	/** Groups of parameters of which only a combination is told. */
	readonly unidentifiable: Covariance["unidentifiable"];
	readonly termination: "converged" | "no further gain" | "iteration limit";
	readonly iterations: number;
}

/** What is left of the greatest slopes met so far after one step. */
const FADING = 0.9;

/**
 * Least squares by Levenberg and Marquardt in a trust region, within bounds.
 *
 * The step minimises ‖J p - r‖ within ‖D p‖ <= Δ, D the greatest column norms so far, slowly forgotten, for a start far off can
 * have gradients that are huge against all that come after; a parameter on a bound that pushes outward is held, and a step is cut
 * off at the bounds.
 *
 * @param problem parameters with start and bounds, and a function that hands over rows of residuals and their derivatives
 * @param options tolerances and the iteration limit [-]
 * @returns values, covariance, degrees of freedom and how the search ended, in the units of the problem
 * @throws InputError when a start lies outside its bounds or a row is not finite at the start
 *
 * Source: Moré 1978, from memory.
 * @example leastSquares({ parameters: [{ name: "a", initial: 1 }], rows: (values, to) => { for (const [x, y] of [[1, 2], [2, 4.1], [3, 5.9]]) to.add(y - values[0] * x, [x]); } }).values[0].toFixed(3) // => "1.993"
 */
export function leastSquares(problem: LeastSquaresProblem, options: LeastSquaresOptions = {}): LeastSquares {
	checkProblem(problem, options);
	const { costTolerance = 1e-15, stepTolerance = 1e-11, maxIterations = 400, firstRadius = 1 } = options;
	const { parameters } = problem;
	const all = parameters.length;
	const free = parameters.flatMap(({ fixed }, index) => (fixed === true ? [] : [index]));
	const n = free.length;
	const lower = Float64Array.from(free, (i) => parameters[i]!.lower ?? -Infinity);
	const upper = Float64Array.from(free, (i) => parameters[i]!.upper ?? Infinity);

	let rows = 0;
	const look = (values: Float64Array) => {
		const qr = createQrAccumulator(n);
		problem.rows(values, { add: checkedAdd(qr, n), addBlock: qr.addBlock });
		rows = qr.rows();
		const ofRows = qr.sumOfSquares();
		const own = new Float64Array(n);
		for (const [k, index] of free.entries()) {
			const { prior } = parameters[index]!;
			if (prior === undefined) continue;
			own.fill(0);
			own[k] = 1 / prior.standardDeviation;
			qr.add((prior.mean - values[index]!) / prior.standardDeviation, own);
		}
		return { ...qr.finish(), cost: qr.sumOfSquares(), ofRows };
	};

	let values = Float64Array.from(parameters, ({ initial }) => initial);
	let at = look(values);
	if (!Number.isFinite(at.cost)) throw new InputError("the model is not finite at the starting values");
	const scale = new Float64Array(n);
	let radius = 0;
	let iterations = 0;
	let termination: LeastSquares["termination"] = n === 0 ? "converged" : "iteration limit";

	search: while (n > 0 && iterations < maxIterations) {
		columnNorms(at.r, n).forEach((norm, k) => {
			scale[k] = Math.max(FADING * scale[k]!, norm);
		});
		if (iterations === 0) {
			const length = Math.hypot(...free.map((index, k) => scale[k]! * values[index]!));
			radius = firstRadius * (length > 0 ? length : 1);
		}
		// Until a step helps, the radius shrinks.
		for (;;) {
			const now = Float64Array.from(free, (i) => values[i]!);
			const { step, predicted, length } = levenbergStep({ ...at, n, scale, radius, now, lower, upper });
			const tried = Float64Array.from(values);
			free.forEach((index, k) => {
				tried[index] = clamp(now[k]! + step[k]!, lower[k]!, upper[k]!);
			});
			// What the linear model promises is no longer worth a look.
			if (predicted <= costTolerance * at.cost) {
				termination = "converged";
				break search;
			}
			// A radius that has shrunk to nothing, or slopes so small that a step overflows, lead nowhere.
			if (!(length > 0) || !step.every(Number.isFinite)) {
				termination = "no further gain";
				break search;
			}
			const there = look(tried);
			const gain = at.cost - there.cost;
			const ratio = predicted > 0 && Number.isFinite(there.cost) ? gain / predicted : -1;
			if (iterations === 0) radius = Math.min(radius, length);
			if (ratio <= 0.25) radius = (ratio >= 0 ? 0.5 : 0.1) * Math.min(radius, 10 * length);
			else if (ratio >= 0.75 || length < 0.9 * radius) radius = 2 * length;
			const small = free.every(
				(_, k) => Math.abs(step[k]!) <= stepTolerance * (Math.abs(now[k]!) + stepTolerance),
			);
			if (ratio > 1e-4) {
				values = tried;
				at = there;
				iterations++;
				if (small) {
					termination = "converged";
					break search;
				}
				break;
			}
			if (small) {
				termination = predicted <= 1e-6 * at.cost ? "converged" : "no further gain";
				break search;
			}
		}
	}

	const priors = parameters.filter(({ fixed, prior }) => fixed !== true && prior !== undefined).length;
	const degreesOfFreedom = rows + priors - n;
	const variance = degreesOfFreedom > 0 ? at.cost / degreesOfFreedom : null;
	const known = computeCovariance(at.r, n, variance);
	const unscaled = computeCovariance(at.r, n, 1);
	const expand = <T>(blank: T, pick: (k: number) => T): T[] => {
		const whole = Array<T>(all).fill(blank);
		free.forEach((index, k) => {
			whole[index] = pick(k);
		});
		return whole;
	};
	const square = (of: readonly (readonly number[])[]) =>
		expand<number[]>(Array<number>(all).fill(Number.NaN), (k) => expand(Number.NaN, (l) => of[k]![l]!));
	return {
		values,
		sumOfSquares: at.ofRows,
		cost: at.cost,
		rows,
		degreesOfFreedom,
		variance,
		standardErrors: expand<number | null>(null, (k) => known.standardErrors[k]!),
		covariance: square(known.covariance),
		unscaledCovariance: square(unscaled.covariance),
		correlation: square(known.correlation),
		isAtBound: expand(false, (k) => values[free[k]!] === lower[k]! || values[free[k]!] === upper[k]!),
		unidentifiable: known.unidentifiable.map((group) => group.map((k) => free[k]!)),
		termination,
		iterations,
	};
}

const clamp = (x: number, low: number, high: number): number => Math.min(Math.max(x, low), high);

const columnNorms = (r: Float64Array, n: number): number[] =>
	Array.from({ length: n }, (_, j) => {
		let sum = 0;
		for (let i = 0; i <= j; i++) sum += r[i * n + j]! ** 2;
		return Math.sqrt(sum);
	});

/** Rows from outside are looked at one by one; blocks are too many for that. */
const checkedAdd =
	(to: Rows, width: number): Rows["add"] =>
	(residual, slopes) => {
		if (typeof residual !== "number")
			throw new InputError([{ path: "residual", message: `needs a number, got ${show(residual)}` }]);
		if (!isArrayLike(slopes) || slopes.length < width)
			throw new InputError([
				{ path: "jacobianRow", message: `needs a list of ${width} slopes, got ${show(slopes)}` },
			]);
		to.add(residual, slopes);
	};

const isArrayLike = (value: unknown): value is ArrayLike<number> =>
	Array.isArray(value) || ArrayBuffer.isView(value);
const isNumber = (value: unknown): value is number => typeof value === "number" && !Number.isNaN(value);

function checkProblem(problem: LeastSquaresProblem, options: LeastSquaresOptions): void {
	const faults: Fault[] = [];
	const check = (isRight: boolean, path: string, needs: string, got: unknown): void => {
		if (!isRight) faults.push({ path, message: `needs ${needs}, got ${show(got)}` });
	};
	check(
		typeof problem === "object" && problem !== null,
		"problem",
		"an object of parameters and rows",
		problem,
	);
	check(typeof options === "object" && options !== null, "options", "an object", options);
	const { parameters, rows } = problem ?? {};
	check(typeof rows === "function", "rows", "a function", rows);
	check(Array.isArray(parameters), "parameters", "a list", parameters);
	for (const [name, value] of Object.entries(options ?? {}))
		check(value === undefined || (isNumber(value) && value >= 0), name, "a number, 0 or more", value);
	for (const [k, one] of (Array.isArray(parameters) ? parameters : []).entries()) {
		const { name, initial, lower = -Infinity, upper = Infinity, prior, fixed = false } = one ?? {};
		const path = typeof name === "string" ? name : `parameters[${k}]`;
		check(typeof name === "string", path, "an object with a name and a start", one);
		check(typeof fixed === "boolean", `${path}.fixed`, "true or false", fixed);
		check(isNumber(lower), `${path}.lower`, "a number", lower);
		check(isNumber(upper), `${path}.upper`, "a number", upper);
		const isWithin =
			Number.isFinite(initial) && isNumber(lower) && isNumber(upper) && initial >= lower && initial <= upper;
		check(isWithin, path, `a start within ${String(lower)}..${String(upper)}`, initial);
		if (prior !== undefined)
			check(
				Number.isFinite(prior?.mean) &&
					Number.isFinite(prior.standardDeviation) &&
					prior.standardDeviation > 0,
				`${path}.prior`,
				"a mean and a standard deviation above 0",
				prior,
			);
	}
	if (faults.length > 0) throw new InputError(faults);
}
