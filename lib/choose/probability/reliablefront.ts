import { listLimits } from "../../solve/criterion.ts";
import type { FrontRule } from "../choosetypes.ts";
import type { ChoiceContext } from "../evaluate.ts";
import { type FrontCandidate, isEverySettingCompared, MAX_AIR_RATIO, paretoFront } from "../search/front.ts";
import {
	allowedPauses,
	type Candidate,
	cycleAt,
	firstWhere,
	type SearchGrid,
	type SearchProblem,
} from "../search/search.ts";

/** Where only ceilings on peak and mean are asked, a shorter pause beside the same burst meets them with at least the same chance. */
export const isMonotoneTarget = ({ target }: Pick<ChoiceContext, "target">): boolean =>
	listLimits(target).every(({ side, statistic }) => side === "ceiling" && statistic !== "worst hour");

/**
 * The trade-off among settings that have the chance asked for, within a quarter more air than the recommended one. Of each burst the
 * longest pause is sought; where the target is monotone, all shorter pauses are settings too, and need no further look at the draws.
 */
export function reliableFront(
	context: Pick<ChoiceContext, "target" | "steady">,
	grid: SearchGrid,
	reliable: SearchProblem,
	recommended: Candidate,
): { readonly front: FrontCandidate[]; readonly rule: FrontRule } {
	const { steady } = context;
	const all = isMonotoneTarget(context) && isEverySettingCompared(grid, steady);
	const most = recommended.airM3PerDay * MAX_AIR_RATIO * (1 + 1e-12);
	const count = grid.offSeconds.length;
	const shortest = new Int32Array(count).fill(-1);
	const isUnder = (k: number, j: number) => reliable.mayStayUnderCeilings(cycleAt(grid, k, j));
	let longest = -1;
	for (let k = 0; k < grid.onSeconds.length; k++) {
		const span = allowedPauses(grid, reliable.limits, k);
		const isSparing = (j: number) => reliable.freshAirM3PerDay(cycleAt(grid, k, j)) <= most;
		const from = firstWhere(span.from, span.to, isSparing);
		// A longer burst needs a longer pause still.
		if (from >= span.to && span.from < span.to) break;
		if (from >= span.to) continue;
		let low = Math.max(from, Math.min(longest, span.to - 1));
		if (!isUnder(k, low)) {
			if (low === from || !isUnder(k, from)) continue;
			low = from;
		}
		let step = 1;
		while (low + step < span.to && isUnder(k, low + step)) {
			low += step;
			step *= 2;
		}
		const found = firstWhere(low, Math.min(low + step, span.to), (j) => !isUnder(k, j)) - 1;
		for (let j = all ? Math.max(from, longest + 1) : found; j <= found; j++) {
			const cycle = cycleAt(grid, k, j);
			const isMet = all || (reliable.mayStayAboveFloors(cycle) && reliable.meetsTarget(cycle));
			if (shortest[j]! < 0 && isMet) shortest[j] = k;
		}
		longest = Math.max(longest, found);
	}
	const front = paretoFront({ grid, shortest }, reliable, steady, recommended.airM3PerDay, all);
	return { front, rule: all ? "all settings" : "longest pause for each burst" };
}
