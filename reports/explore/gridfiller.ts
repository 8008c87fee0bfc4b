import type { Model } from "../../lib/model/chamber.ts";
import { type Figure, fillGrid, type Grid, spread } from "./contours.ts";
import type { Scale } from "./scale.ts";

/** On- and off-times of the map while something moves, and at rest. */
const COARSE = [14, 20] as const;
const FINE = [40, 56] as const;
/** Time for the map between two frames [ms]; the rest of 16 ms is for everything else. */
const SHARE = 4;

/** Fills the grid in the time that is left between frames: coarsely first, finely when the chamber stays as it is. */
export function gridFiller(
	on: Scale,
	off: Scale,
	done: (grid: Grid) => void,
): (unit: Model, figure: Figure) => void {
	let key = "";
	let wanted: { readonly unit: Model; readonly figure: Figure } | undefined;
	/** What is wanted is not what is worked on or done. */
	let stale = false;
	let grain: "coarse" | "fine" = "coarse";
	let work: Generator<undefined, Grid> | undefined;
	let asked = false;

	const begin = (next: "coarse" | "fine"): void => {
		if (wanted === undefined) return;
		grain = next;
		stale = false;
		const [ons, offs] = next === "coarse" ? COARSE : FINE;
		work = fillGrid(
			wanted.unit,
			wanted.figure,
			spread(on.low, on.high, ons),
			spread(off.low, off.high, offs),
		);
	};
	const tick = (): void => {
		asked = false;
		// A coarse grid is finished even if it is a little old, or a map that is dragged at would never be renewed.
		if (stale && (work === undefined || grain === "fine")) begin("coarse");
		if (work === undefined) return;
		const until = performance.now() + SHARE;
		let step = work.next();
		while (step.done !== true && performance.now() < until) step = work.next();
		if (step.done === true) {
			work = undefined;
			done(step.value);
			if (grain === "coarse" && !stale) begin("fine");
		}
		ask();
	};
	const ask = (): void => {
		if (asked) return;
		asked = true;
		requestAnimationFrame(tick);
	};
	return (unit, figure) => {
		const next = `${figure} ${JSON.stringify(unit)}`;
		if (next === key) return;
		key = next;
		wanted = { unit, figure };
		stale = true;
		ask();
	};
}
