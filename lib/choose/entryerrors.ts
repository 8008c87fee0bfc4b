import type { Cycle } from "../model/schedule/schedule.ts";
import type { CompiledModel } from "../solve/compile.ts";
import { makeCyclePeaks } from "../solve/cycles/cyclestats.ts";
import type { EntryError } from "./choosetypes.ts";
import type { SearchProblem } from "./search/search.ts";

/** The usual mistakes in entering a setting, and what they do. */
export function evaluateEntryErrors(
	steady: CompiledModel,
	problem: SearchProblem,
	{ onSeconds, offSeconds: off }: Cycle,
): EntryError[] {
	const peaks = makeCyclePeaks(steady);
	const entryError = (kind: EntryError["kind"], onSeconds: number, offSeconds: number): EntryError => ({
		kind,
		onSeconds,
		offSeconds,
		peakPpm: peaks({ onSeconds, offSeconds }),
		freshAirM3PerDay: problem.freshAirM3PerDay({ onSeconds, offSeconds }),
	});
	return [
		entryError("swapped", off, onSeconds),
		entryError("on ×10", onSeconds * 10, off),
		entryError("on ÷10", onSeconds / 10, off),
		entryError("off ×10", onSeconds, off * 10),
		entryError("off ÷10", onSeconds, off / 10),
	];
}
