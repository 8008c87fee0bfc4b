import type { Model } from "../../lib/model/chamber.ts";
import type { ContourGrid } from "../../lib/solve/cycles/contour.ts";
import { fillGrid, logSpacedTimes, type Statistic } from "./contours.ts";
import type { Scale } from "./scale.ts";

/** On- and off-times of the map while something moves, and at rest. */
const COARSE = [14, 20] as const;
const FINE = [40, 56] as const;
/** Time for the map between two frames [ms]; the rest of 16 ms is for everything else. */
const FRAME_SHARE_MS = 4;

/** Fills the grid in the time that is left between frames: coarsely first, finely when the chamber stays as it is. */
export function gridFiller(
	on: Scale,
	off: Scale,
	done: (grid: ContourGrid) => void,
): (unit: Model, statistic: Statistic) => void {
	let key = "";
	let wanted: { readonly unit: Model; readonly statistic: Statistic } | undefined;
	/** What is wanted is not what is worked on or done. */
	let isStale = false;
	let grain: "coarse" | "fine" = "coarse";
	let work: Generator<undefined, ContourGrid> | undefined;
	let isRequested = false;

	const begin = (next: "coarse" | "fine"): void => {
		if (wanted === undefined) return;
		grain = next;
		isStale = false;
		const [ons, offs] = next === "coarse" ? COARSE : FINE;
		work = fillGrid(
			wanted.unit,
			wanted.statistic,
			logSpacedTimes(on.low, on.high, ons),
			logSpacedTimes(off.low, off.high, offs),
		);
	};
	const tick = (): void => {
		isRequested = false;
		// A coarse grid is finished even if it is a little old, or a map that is dragged at would never be renewed.
		if (isStale && (work === undefined || grain === "fine")) begin("coarse");
		if (work === undefined) return;
		const until = performance.now() + FRAME_SHARE_MS;
		let step = work.next();
		while (step.done !== true && performance.now() < until) step = work.next();
		if (step.done === true) {
			work = undefined;
			done(step.value);
			if (grain === "coarse" && !isStale) begin("fine");
		}
		ask();
	};
	const ask = (): void => {
		if (isRequested) return;
		isRequested = true;
		requestAnimationFrame(tick);
	};
	return (unit, statistic) => {
		const next = `${statistic} ${JSON.stringify(unit)}`;
		if (next === key) return;
		key = next;
		wanted = { unit, statistic };
		isStale = true;
		ask();
	};
}
