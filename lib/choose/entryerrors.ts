import type { Cycle } from "../model/schedule/schedule.ts";
import type { DisplayGrid, DisplayValue } from "../model/schedule/timer.ts";
import type { CompiledModel } from "../solve/compile.ts";
import { makeCyclePeaks } from "../solve/cycles/cyclestats.ts";
import type { EntryError } from "./choosetypes.ts";
import type { SearchProblem } from "./search/search.ts";

/** The usual mistakes in entering a setting that this timer can show, and what they do. */
export function evaluateEntryErrors(
	steady: CompiledModel,
	problem: SearchProblem,
	{ onSeconds: on, offSeconds: off }: Cycle,
	grids: readonly DisplayGrid[],
): EntryError[] {
	const peaks = makeCyclePeaks(steady);
	const shows = (values: readonly DisplayValue[], wanted: number): boolean =>
		values.some(({ seconds }) => Math.abs(seconds - wanted) < 1e-9 * wanted);
	const mistakes: readonly (readonly [EntryError["kind"], onSeconds: number, offSeconds: number])[] = [
		["swapped", off, on],
		["on ×60", on * 60, off],
		["on ÷60", on / 60, off],
		["off ×60", on, off * 60],
		["off ÷60", on, off / 60],
		["both ×60", on * 60, off * 60],
		["both ÷60", on / 60, off / 60],
		["on ×10", on * 10, off],
		["on ÷10", on / 10, off],
		["off ×10", on, off * 10],
		["off ÷10", on, off / 10],
	];
	const units = new Set(grids.flatMap(({ on, off }) => [on.at(-1)?.unit, off.at(-1)?.unit, on[0]?.unit]));
	return mistakes
		.filter(([kind]) => !kind.endsWith("60") || units.size > 1)
		.filter(([, onSeconds, offSeconds]) =>
			grids.some((grid) => shows(grid.on, onSeconds) && shows(grid.off, offSeconds)),
		)
		.map(([kind, onSeconds, offSeconds]) => ({
			kind,
			onSeconds,
			offSeconds,
			peakPpm: peaks({ onSeconds, offSeconds }),
			freshAirM3PerDay: problem.freshAirM3PerDay({ onSeconds, offSeconds }),
		}));
}
