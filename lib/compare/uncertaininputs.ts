import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { withDeliveredFlow } from "../model/fan/deliveredflow.ts";
import { listInputs } from "../model/inputs.ts";
import type { InputRow, Quantity, Scenario } from "../scenario/scenario.ts";
import { withMaximumSource } from "../solve/cycles/maximumsource.ts";
import { normalCdf } from "../statistics/normal.ts";

/** Quantile of the standard normal at 95 %. */
const Z95 = 1.6448536269514722;

/**
 * Value of an uncertain quantity at a standard normal deviate z. Its ends are read as the 5 % and 95 % quantiles, and those of a
 * uniform one as its bounds. Unless its author says otherwise it is log-normal where the central value is nearer to their
 * geometric mean than to their midpoint, as respiration priors are, and normal elsewhere. What must be positive stays so, and
 * shares stay within 0 and 1.
 */
export function quantileValue({ value, low, high, dimension, distribution }: Quantity, z: number): number {
	if (low === null || high === null) return value;
	if (distribution === "uniform") return low + (high - low) * normalCdf(z);
	const middle = (low + high) / 2;
	const isGeometric = low > 0 && Math.abs(value - Math.sqrt(low * high)) < Math.abs(value - middle);
	if (distribution === "log-normal" || (distribution === undefined && isGeometric))
		return value * Math.exp((z * Math.log(high / low)) / (2 * Z95));
	const x = value + (z * (high - low)) / (2 * Z95);
	if (dimension.startsWith("temperature") || dimension === "concentration difference") return x;
	const positive = Math.max(x, Math.min(0.01 * value, low));
	return dimension === "fraction" ? Math.min(positive, 1) : positive;
}

/** A scenario with other central values for some of its quantities. */
export function withValues(
	scenario: Scenario,
	values: ReadonlyMap<Quantity, number | Partial<Quantity>>,
): Scenario {
	const replace = (node: unknown): unknown => {
		if (typeof node !== "object" || node === null) return node;
		const value = values.get(node as Quantity);
		if (value !== undefined) return { ...node, ...(typeof value === "number" ? { value } : value) };
		if (Array.isArray(node)) return node.map(replace);
		return Object.fromEntries(Object.entries(node).map(([key, child]) => [key, replace(child)]));
	};
	const { chamber, intake, substrate, fan, water } = scenario;
	return { ...scenario, ...(replace({ chamber, intake, substrate, fan, water }) as object) };
}

/** The scenario with all respiration at one end of its range; null when no range is known. */
export function withRespirationAt(scenario: Scenario, end: "low" | "high"): Scenario | null {
	const rates = scenario.substrate.flatMap(
		(s) => s.rates?.map(({ respirationRate }) => respirationRate) ?? [s.respirationRate],
	);
	const ends = new Map(rates.filter((rate) => rate[end] !== null).map((rate) => [rate, rate[end]!]));
	return ends.size === 0 ? null : withValues(scenario, ends);
}

/** The inputs whose uncertainty reaches the balance: a range or spread that moves the model. A calculated flow is one of them, and stands for its curve. */
export function findUncertainInputs(scenario: Scenario): InputRow[] {
	const written = withDeliveredFlow(scenario);
	const central = fingerprint(withMaximumSource(buildModel(written)));
	return listInputs(written).filter(({ quantity }) => {
		if (quantity.low === null || quantity.high === null || quantity.low === quantity.high) return false;
		const moved = withValues(written, new Map([[quantity, quantileValue(quantity, 1)]]));
		return fingerprint(withMaximumSource(buildModel(moved))) !== central;
	});
}

function fingerprint(model: Model): string {
	return JSON.stringify({ ...model, startPpm: undefined });
}
