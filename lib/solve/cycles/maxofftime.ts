import type { Model } from "../../model/chamber.ts";
import { DAY, HOUR } from "../../time.ts";
import { type CompiledModel, compile } from "../compile.ts";
import { propagate, uniformState } from "../propagate/propagate.ts";
import type { SolutionSegment } from "../propagate/solutionsegment.ts";
import { findRoot } from "../root.ts";
import { withMaximumSource } from "./maximumsource.ts";

/** Pauses longer than this are no pauses. */
const MAX_SEARCH_SECONDS = 60 * DAY;

/**
 * Longest pause that any fan could make up for [s]: the time in which the chamber, blown clean down to the supply air, comes
 * to the ceiling by itself; for a ceiling on the mean or on the worst hour the time in which that mean does.
 * @returns null when it never does, for the leak alone holds the ceiling; 0 when the supply air is not below it
 */
export function maxOffSeconds(
	given: Model | CompiledModel,
	ceilingPpm: number,
	statistic: "peak" | "mean" | "worst hour" = "peak",
): number | null {
	const { model } = compile(given);
	const highest = withMaximumSource(model);
	if (highest.intakePpm >= ceilingPpm) return 0;
	const steady = compile(highest);
	const { crop } = steady.balance;
	let rise: SolutionSegment | undefined;
	propagate(
		steady,
		{ kind: "off" },
		MAX_SEARCH_SECONDS,
		uniformState(steady, highest.intakePpm),
		{},
		{
			onSolution: (solution) => {
				rise = solution;
				return "stop";
			},
		},
	);
	if (rise === undefined) return null;
	const solution = rise;
	const valueAfter = (t: number) => {
		if (statistic === "peak") return solution.ppmAt(crop, t);
		const from = statistic === "mean" ? 0 : Math.max(0, t - HOUR);
		return (solution.integralTo(crop, t) - solution.integralTo(crop, from)) / (t - from);
	};
	return valueAfter(MAX_SEARCH_SECONDS) <= ceilingPpm
		? null
		: findRoot((t) => valueAfter(Math.max(t, 1e-6)) - ceilingPpm, 1e-6, MAX_SEARCH_SECONDS);
}
