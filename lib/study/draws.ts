import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { listInputs } from "../scenario/inputs.ts";
import type { InputRow, Quantity, Scenario } from "../scenario/scenario.ts";
import { steadyWorst } from "../solve/steady.ts";
import { correlationTriangle } from "../statistics/cholesky.ts";
import { normalQuantile } from "../statistics/normal.ts";
import { ranks } from "../statistics/ranks.ts";

/** Moments at which the source of a draw is looked at for its highest rate. */
const LOOKS_A_DRAW = 96;

/** Quantile of the standard normal at 95 %. */
const Z95 = 1.6448536269514722;

/**
 * Value of an uncertain quantity at a standard normal deviate z. Its ends are read as the 5 % and 95 % quantiles; it is
 * lognormal where the central value is nearer to their geometric mean than to their midpoint, as respiration priors are,
 * and normal otherwise. What must be positive stays so, and shares stay within 0 and 1.
 */
export function valueAt({ value, low, high, dimension }: Quantity, z: number): number {
	if (low === null || high === null) return value;
	const middle = (low + high) / 2;
	if (low > 0 && Math.abs(value - Math.sqrt(low * high)) < Math.abs(value - middle))
		return value * Math.exp((z * Math.log(high / low)) / (2 * Z95));
	const x = value + (z * (high - low)) / (2 * Z95);
	if (dimension === "temperature" || dimension === "temperature difference") return x;
	const positive = Math.max(x, Math.min(0.01 * value, low));
	return dimension === "fraction" ? Math.min(positive, 1) : positive;
}

/** A scenario with other central values for some of its quantities. */
export function withValues(scenario: Scenario, values: ReadonlyMap<Quantity, number>): Scenario {
	const replace = (node: unknown): unknown => {
		if (typeof node !== "object" || node === null) return node;
		const value = values.get(node as Quantity);
		if (value !== undefined) return { ...node, value };
		if (Array.isArray(node)) return node.map(replace);
		return Object.fromEntries(Object.entries(node).map(([key, child]) => [key, replace(child)]));
	};
	const { chamber, intake, substrate, fan } = scenario;
	return { ...scenario, ...(replace({ chamber, intake, substrate, fan }) as object) };
}

/** The inputs whose uncertainty reaches the balance: a range or spread that moves the model. */
export function uncertainInputs(scenario: Scenario): InputRow[] {
	const central = fingerprint(steadyWorst(buildModel(scenario)));
	return listInputs(scenario).filter(({ quantity }) => {
		if (quantity.low === null || quantity.high === null || quantity.low === quantity.high) return false;
		const moved = withValues(scenario, new Map([[quantity, valueAt(quantity, 1)]]));
		return fingerprint(steadyWorst(buildModel(moved))) !== central;
	});
}

function fingerprint(model: Model): string {
	return JSON.stringify({ ...model, startPpm: undefined });
}

/** Joint draws of the uncertain inputs. */
export interface Draws {
	readonly inputs: readonly InputRow[];
	/** Standard normal deviates, one row an input. */
	readonly deviates: readonly Float64Array[];
	/** The model of each draw, with its highest source held. */
	readonly models: readonly Model[];
}

/**
 * Latin hypercube: each input's range is cut into as many equal parts as there are draws, each part is hit once, and the
 * parts of different inputs are paired at random.
 * @param seed a whole number; the same one gives the same draws
 */
export function drawModels(scenario: Scenario, count: number, seed: number): Draws {
	const inputs = uncertainInputs(scenario);
	const random = generator(seed);
	const apart = inputs.map(() => {
		const column = Float64Array.from({ length: count }, (_, k) => normalQuantile((k + random()) / count));
		for (let k = count - 1; k > 0; k--) {
			const other = Math.floor(random() * (k + 1));
			const held = column[k]!;
			column[k] = column[other]!;
			column[other] = held;
		}
		return column;
	});
	const deviates = goingTogether(
		apart,
		inputs.map(({ path }) => path),
		scenario.correlations,
	);
	// One copy of the scenario takes on the values of draw after draw, for ten thousand copies take their time.
	const { copy, copied } = copyOf(scenario);
	const drawn = inputs.map(({ quantity }) => copied.get(quantity)!);
	const models = Array.from({ length: count }, (_, k) => {
		for (const [i, { quantity }] of inputs.entries()) drawn[i]!.value = valueAt(quantity, deviates[i]![k]!);
		return steadyWorst(roomy(buildModel(copy), scenario), LOOKS_A_DRAW);
	});
	return { inputs, deviates, models };
}

/**
 * The same deviates in an order in which those of correlated inputs go together: each column keeps its values, so that every
 * part of its range is still hit once, and takes the ranks of correlated normals (Iman and Conover 1982, from memory).
 */
function goingTogether(
	deviates: readonly Float64Array[],
	paths: readonly string[],
	correlations: Scenario["correlations"],
): readonly Float64Array[] {
	const joined = [...deviates];
	for (const { between, matrix } of correlations) {
		const members = between.flatMap((path, place) => {
			const input = paths.indexOf(path);
			return input < 0 ? [] : [{ input, place }];
		});
		const triangle = correlationTriangle(members.map((a) => members.map((b) => matrix[a.place]![b.place]!)));
		if (triangle === null) throw new Error("correlations that contradict each other got past the reader");
		for (const [i, { input }] of members.entries()) {
			const mixed = deviates[input]!.map((_, k) =>
				triangle[i]!.reduce((sum, share, j) => sum + share * deviates[members[j]!.input]![k]!, 0),
			);
			const sorted = deviates[input]!.toSorted();
			joined[input] = ranks(mixed).map((rank) => sorted[rank]!);
		}
	}
	return joined;
}

/** Correlation of two inputs [-]. */
export function correlationBetween(correlations: Scenario["correlations"], a: string, b: string): number {
	if (a === b) return 1;
	const group = correlations.find(({ between }) => between.includes(a) && between.includes(b));
	return group === undefined ? 0 : group.matrix[group.between.indexOf(a)]![group.between.indexOf(b)]!;
}

/** A scenario whose quantities may be written, and where each of them has gone. */
function copyOf(scenario: Scenario): { copy: Scenario; copied: Map<Quantity, { value: number }> } {
	const copied = new Map<Quantity, { value: number }>();
	const quantities = new Set<unknown>(listInputs(scenario).map(({ quantity }) => quantity));
	const clone = (node: unknown): unknown => {
		if (typeof node !== "object" || node === null) return node;
		if (Array.isArray(node)) return node.map(clone);
		const fresh = Object.fromEntries(Object.entries(node).map(([key, child]) => [key, clone(child)]));
		if (quantities.has(node)) copied.set(node as Quantity, fresh as { value: number });
		return fresh;
	};
	return { copy: clone(scenario) as Scenario, copied };
}

/** Where a small chamber and a large substrate are drawn together, a hundredth of the chamber is left as air. */
function roomy(model: Model, scenario: Scenario): Model {
	const least = 0.01 * scenario.chamber.volume.value;
	return model.volumeM3 >= least ? model : { ...model, volumeM3: least };
}

/** Uniform numbers in [0, 1): the small fast counting generator sfc32, seeded by splitmix64 (both from memory). */
export function generator(seed: number): () => number {
	const mask = (1n << 64n) - 1n;
	let mix = BigInt(seed) & mask;
	const splitmix = () => {
		mix = (mix + 0x9e3779b97f4a7c15n) & mask;
		let z = mix;
		z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask;
		z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask;
		return z ^ (z >> 31n);
	};
	const first = splitmix();
	const second = splitmix();
	let a = Number(first & 0xffffffffn) | 0;
	let b = Number(first >> 32n) | 0;
	let c = Number(second & 0xffffffffn) | 0;
	let counter = Number(second >> 32n) | 0;
	return () => {
		const t = (((a + b) | 0) + counter) | 0;
		counter = (counter + 1) | 0;
		a = b ^ (b >>> 9);
		b = (c + (c << 3)) | 0;
		c = ((c << 21) | (c >>> 11)) + t;
		c |= 0;
		return (t >>> 0) / 4294967296;
	};
}
