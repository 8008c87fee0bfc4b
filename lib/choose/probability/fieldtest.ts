import type { FieldTest } from "../choosetypes.ts";
import { allowedBursts, cycleAt, firstWhere, type SearchProblem } from "../search/search.ts";
import { type Chance, mostMisses, type ReliableSetting } from "./chanceconstraint.ts";
import { findFirstPause } from "./pausefinder.ts";

/** What narrows an input, by the start of its path. */
const FIELD_TESTS: readonly (readonly [string, FieldTest])[] = [
	["substrate", "rise test"],
	["fan.flow", "delivered flow"],
	["fan", "bursts of two lengths"],
	["chamber.leak", "leak test"],
	["chamber.mixing", "counted bursts"],
	["chamber.stagnant", "log in two places"],
	["chamber.volume", "inside dimensions"],
	["chamber.temperature", "temperature log"],
	["intake.co2", "intake log"],
];

export function findFieldTest(path: string): FieldTest {
	if (/^substrate\[\d+\]\.(mass|volume)/.test(path)) return "weighing";
	return FIELD_TESTS.find(([start]) => path.startsWith(start))?.[1] ?? "measurement";
}

/** Parts of the draws by the value of an input: within one it is as good as known. */
const PARTS = 10;

/**
 * Fresh air per day that the setting for the same chance is expected to need once an input is known [m3]: the draws are parted by the
 * value of that input, each part is asked for its own setting, and the mean over the parts is what to expect before the test. What the
 * input's companions tell goes with it. Only the off-time beside the recommended on-time is sought, and the on-time where no off-time does.
 */
export function expectAirOnceKnown(
	chance: Chance,
	input: number,
	{ grid, found }: Pick<ReliableSetting, "grid" | "found">,
	problem: SearchProblem,
): number {
	const { draws, evaluator } = chance;
	const column = draws.deviates[input]!;
	const order = Array.from(column.keys()).sort((a, b) => column[a]! - column[b]!);
	const parts = Math.max(1, Math.min(PARTS, Math.floor(order.length / 20)));
	const bursts = (j: number) => allowedBursts(grid, problem.limits, grid.offSeconds[j]!);
	const count = grid.offSeconds.length;
	const from = firstWhere(0, count, (j) => bursts(j).to > bursts(j).from && bursts(j).from <= found.onIndex);
	const to = firstWhere(from, count, (j) => found.onIndex >= bursts(j).to);
	const last = bursts(from).to - 1;
	let sum = 0;
	for (let part = 0; part < parts; part++) {
		const places = order.slice((part * order.length) / parts, ((part + 1) * order.length) / parts);
		const counter = evaluator.among(places).counter("ceilings");
		const most = mostMisses(places.length, chance);
		const isReached = (misses: number) => misses > most;
		const j = findFirstPause(grid, counter, isReached, found.onIndex, from, to) - 1;
		const cycle =
			j >= from
				? cycleAt(grid, found.onIndex, j)
				: cycleAt(
						grid,
						firstWhere(found.onIndex, last, (k) => !isReached(counter.count(cycleAt(grid, k, from)))),
						from,
					);
		sum += problem.freshAirM3PerDay(cycle);
	}
	return sum / parts;
}
