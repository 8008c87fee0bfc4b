import type { Model } from "../model/chamber.ts";
import type { Cycle } from "../model/schedule/schedule.ts";
import { cyclePeaks } from "../solve/cycles/cyclestats.ts";
import { formatDuration } from "../units/units.ts";
import type { Slip } from "./choosetypes.ts";
import type { SearchProblem } from "./search/search.ts";

/** The classic slips at the timer. */
export function slipsOf(
	steady: Model,
	problem: SearchProblem,
	{ onSeconds: on, offSeconds: off }: Cycle,
): Slip[] {
	const peaks = cyclePeaks(steady);
	const runs = (seconds: number) => `the fan runs for ${formatDuration(seconds)}`;
	const rests = (seconds: number) => `rests for ${formatDuration(seconds)}`;
	const slip = (kind: Slip["kind"], onSeconds: number, offSeconds: number): Slip => ({
		kind,
		onSeconds,
		offSeconds,
		peakPpm: peaks(onSeconds, offSeconds),
		freshAirM3PerDay: problem.airPerDay(onSeconds, offSeconds),
		sign: `${runs(onSeconds)} and ${rests(offSeconds)}, not ${formatDuration(on)} and ${formatDuration(off)}`,
	});
	return [
		slip("swapped", off, on),
		slip("on ×10", on * 10, off),
		slip("on ÷10", on / 10, off),
		slip("off ×10", on, off * 10),
		slip("off ÷10", on, off / 10),
	];
}
