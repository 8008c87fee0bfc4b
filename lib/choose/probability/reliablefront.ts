import type { FrontRule } from "../choosetypes.ts";
import type { ChoiceContext } from "../evaluate.ts";
import { type FrontCandidate, isEverySettingCompared, MAX_AIR_RATIO, paretoFront } from "../search/front.ts";
import { allowedPauses, cycleAt, firstWhere, firstWhereNear } from "../search/search.ts";
import { areReliable, type Chance, isMonotoneTarget, type ReliableSetting } from "./chanceconstraint.ts";

/**
 * The trade-off among settings that have the chance asked for, within a quarter more air than the recommended one. Of each burst the
 * longest pause is sought; where the target is monotone, all shorter pauses are settings too, and need no further look at the draws.
 */
export function reliableFront(
	context: Pick<ChoiceContext, "target" | "steady" | "damp">,
	chance: Chance,
	{ grid, reliable, found: recommended }: Pick<ReliableSetting, "grid" | "reliable" | "found">,
): { readonly front: FrontCandidate[]; readonly rule: FrontRule } {
	const { steady } = context;
	const isMonotone = isMonotoneTarget(context);
	const all = isMonotone && isEverySettingCompared(grid, steady);
	const most = recommended.airM3PerDay * MAX_AIR_RATIO * (1 + 1e-12);
	const count = grid.offSeconds.length;
	const shortest = new Int32Array(count).fill(-1);
	const places: { readonly k: number; readonly j: number }[] = [];
	const isUnder = (k: number, j: number) => reliable.mayStayUnderCeilings(cycleAt(grid, k, j));
	let longest = -1;
	for (let k = 0; k < grid.onSeconds.length; k++) {
		const span = allowedPauses(grid, reliable.limits, k);
		const isSparing = (j: number) => reliable.freshAirM3PerDay(cycleAt(grid, k, j)) <= most;
		const from = firstWhere(span.from, span.to, isSparing);
		// A longer burst needs a longer pause still.
		if (from >= span.to && span.from < span.to) break;
		if (from >= span.to || !isUnder(k, from)) continue;
		const found = firstWhereNear(longest, from, span.to, (j) => !isUnder(k, j)) - 1;
		if (all)
			for (let j = Math.max(from, longest + 1); j <= found; j++) {
				if (shortest[j]! < 0) shortest[j] = k;
			}
		else if (reliable.mayStayAboveFloors(cycleAt(grid, k, found))) places.push({ k, j: found });
		longest = Math.max(longest, found);
	}
	const cycles = places.map(({ k, j }) => cycleAt(grid, k, j));
	const isMet = isMonotone ? cycles.map(() => true) : areReliable(chance, cycles);
	for (const [i, { k, j }] of places.entries())
		if (isMet[i] && shortest[j]! < 0 && reliable.keepsSolvedHumidity(cycleAt(grid, k, j))) shortest[j] = k;
	const front = paretoFront({ grid, shortest }, reliable, steady, recommended.airM3PerDay, all);
	return { front, rule: all ? "all settings" : "longest pause for each burst" };
}
