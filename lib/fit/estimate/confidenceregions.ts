import type { Parameter } from "../../statistics/leastsquares.ts";
import type { FitName } from "../fitoptions.ts";
import type { Fit, FittedParameter, Profile } from "../fittypes.ts";
import { correlationOf } from "./errorbudget.ts";
import type { Estimate } from "./estimate.ts";

/** Distances from the best value at which a profile is taken, in standard errors. */
const STANDARD_ERRORS = [-4, -3, -2.5, -2, -1.5, -1, -0.5, 0.5, 1, 1.5, 2, 2.5, 3, 4] as const;

/**
 * Profile of one parameter: the rise of the least sum of squares with the parameter held off its best value and all others free.
 * Its 95 % interval lies where the rise reaches t².
 */
export function computeProfile(
	name: FitName,
	index: number,
	planned: readonly Parameter[],
	found: Estimate,
	t: number,
): Profile {
	const { least } = found;
	const error = found.standardErrors[index];
	const variance = (least.variance ?? 1) * found.varianceInflation;
	const { lower = -Infinity, upper = Infinity } = planned[index]!;
	const at = (held: number | null) =>
		found.cost(
			planned.map((parameter, k) => ({
				...parameter,
				initial: k === index && held !== null ? held : least.values[k]!,
				...(k === index && held !== null ? { fixed: true } : {}),
			})),
		).cost;
	if (error === null || error === undefined)
		return { name, values: [], deltaCost: [], ci95Low: null, ci95High: null };
	const minCost = at(null);
	const best = least.values[index]!;
	const points = STANDARD_ERRORS.map((reach) => best + reach * error)
		.filter((value) => value >= lower && value <= upper)
		.map((value) => ({ value, deltaCost: Math.max((at(value) - minCost) / variance, 0) }));
	const all = [...points, { value: best, deltaCost: 0 }].sort((a, b) => a.value - b.value);
	const middle = all.findIndex(({ value }) => value === best);
	// √rise is nearly straight in the value, so between two points a straight line serves.
	const crossing = (side: readonly { value: number; deltaCost: number }[]): number | null => {
		for (const [k, point] of side.entries()) {
			const before = side[k - 1];
			if (before === undefined || point.deltaCost < t * t) continue;
			const [a, b] = [Math.sqrt(before.deltaCost), Math.sqrt(point.deltaCost)];
			return before.value + ((t - a) / (b - a)) * (point.value - before.value);
		}
		return null;
	};
	return {
		name,
		values: all.map(({ value }) => value),
		deltaCost: all.map(({ deltaCost }) => deltaCost),
		ci95Low: crossing(all.slice(0, middle + 1).reverse()),
		ci95High: crossing(all.slice(middle)),
	};
}

const OUTLINE_POINTS = 72;

/** The two free parameters, starts aside, whose errors go together most closely, with the outline of their joint 95 % region. */
export function confidenceEllipse(
	parameters: readonly FittedParameter[],
	free: readonly number[],
	covariance: readonly (readonly number[])[],
	t: number,
): Fit["mostCorrelatedPair"] {
	const correlation = correlationOf(covariance);
	let closest: { i: number; j: number; r: number } | null = null;
	const known = free.filter(
		(k) =>
			!["initialCo2", "initialReading"].includes(parameters[k]!.name) &&
			parameters[k]!.standardError !== null,
	);
	for (const i of known)
		for (const j of known) {
			const r = correlation[i]![j]!;
			if (i < j && Number.isFinite(r) && Math.abs(r) > Math.abs(closest?.r ?? 0)) closest = { i, j, r };
		}
	if (closest === null) return null;
	const { i, j, r } = closest;
	const [a, b] = [parameters[i]!, parameters[j]!];
	// √(2 F(2, n)) is 2.45 for a long log; t carries what a short one adds.
	const reach = (2.4477 * t) / 1.96;
	const sa = Math.sqrt(covariance[i]![i]!);
	const sb = Math.sqrt(covariance[j]![j]!);
	return {
		names: [a.name, b.name],
		correlation: r,
		ellipse: Array.from({ length: OUTLINE_POINTS + 1 }, (_, k) => {
			const angle = (2 * Math.PI * k) / OUTLINE_POINTS;
			const [u, v] = [Math.cos(angle), Math.sin(angle)];
			return [
				a.value + reach * sa * u,
				b.value + reach * sb * (r * u + Math.sqrt(Math.max(1 - r * r, 0)) * v),
			] as const;
		}),
	};
}
