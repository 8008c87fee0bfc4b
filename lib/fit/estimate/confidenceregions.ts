import type { LeastSquares, Parameter } from "../../statistics/leastsquares.ts";
import type { Fit, FitName, FittedParameter, Profile } from "../fittypes.ts";
import type { Estimate } from "./estimate.ts";

/** Distances from the best value at which a profile is taken, in standard errors. */
const REACHES = [-4, -3, -2.5, -2, -1.5, -1, -0.5, 0.5, 1, 1.5, 2, 2.5, 3, 4] as const;

/**
 * Profile of one parameter: the rise of the least sum of squares with the parameter held off its best value and all others free.
 * Its 95 % interval lies where the rise reaches t².
 */
export function profileOf(
	name: FitName,
	index: number,
	planned: readonly Parameter[],
	found: Estimate,
	t: number,
): Profile {
	const { least } = found;
	const error = found.standardErrors[index];
	const variance = (least.variance ?? 1) * found.inflation;
	const { lower = -Infinity, upper = Infinity } = planned[index]!;
	const at = (held: number | null) =>
		found.cost(
			planned.map((parameter, k) => ({
				...parameter,
				start: k === index && held !== null ? held : least.values[k]!,
				...(k === index && held !== null ? { fixed: true } : {}),
			})),
		).cost;
	if (error === null || error === undefined) return { name, values: [], rise: [], low: null, high: null };
	const bottom = at(null);
	const best = least.values[index]!;
	const points = REACHES.map((reach) => best + reach * error)
		.filter((value) => value >= lower && value <= upper)
		.map((value) => ({ value, rise: Math.max((at(value) - bottom) / variance, 0) }));
	const all = [...points, { value: best, rise: 0 }].sort((a, b) => a.value - b.value);
	const middle = all.findIndex(({ value }) => value === best);
	// √rise is nearly straight in the value, so between two points a straight line serves.
	const crossing = (side: readonly { value: number; rise: number }[]): number | null => {
		for (const [k, point] of side.entries()) {
			const before = side[k - 1];
			if (before === undefined || point.rise < t * t) continue;
			const [a, b] = [Math.sqrt(before.rise), Math.sqrt(point.rise)];
			return before.value + ((t - a) / (b - a)) * (point.value - before.value);
		}
		return null;
	};
	return {
		name,
		values: all.map(({ value }) => value),
		rise: all.map(({ rise }) => rise),
		low: crossing(all.slice(0, middle + 1).reverse()),
		high: crossing(all.slice(middle)),
	};
}

const OUTLINE = 72;

/** The two free parameters, starts aside, that the log parts worst, with the outline of their joint 95 % region. */
export function ellipseOf(
	parameters: readonly FittedParameter[],
	free: readonly number[],
	{
		least,
		inflation,
	}: {
		readonly least: Pick<LeastSquares, "correlation" | "covariance">;
		readonly inflation: number;
	},
	t: number,
): Fit["worstPair"] {
	let worst: { i: number; j: number; r: number } | null = null;
	const told = free.filter(
		(k) => !["start", "reading"].includes(parameters[k]!.name) && parameters[k]!.standardError !== null,
	);
	for (const i of told)
		for (const j of told) {
			const r = least.correlation[i]![j]!;
			if (i < j && Number.isFinite(r) && Math.abs(r) > Math.abs(worst?.r ?? 0)) worst = { i, j, r };
		}
	if (worst === null) return null;
	const { i, j, r } = worst;
	const [a, b] = [parameters[i]!, parameters[j]!];
	// √(2 F(2, n)) is 2.45 for a long log; t carries what a short one adds.
	const reach = (2.4477 * t) / 1.96;
	const scale = Math.sqrt(inflation);
	const sa = Math.sqrt(least.covariance[i]![i]!) * scale;
	const sb = Math.sqrt(least.covariance[j]![j]!) * scale;
	return {
		names: [a.name, b.name],
		correlation: r,
		ellipse: Array.from({ length: OUTLINE + 1 }, (_, k) => {
			const angle = (2 * Math.PI * k) / OUTLINE;
			const [u, v] = [Math.cos(angle), Math.sin(angle)];
			return [
				a.value + reach * sa * u,
				b.value + reach * sb * (r * u + Math.sqrt(Math.max(1 - r * r, 0)) * v),
			] as const;
		}),
	};
}
