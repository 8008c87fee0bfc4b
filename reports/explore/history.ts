import { type ExploreState, encodeState } from "./state.ts";

/** What was moved, move by move, so that it can be taken back. */
interface EditHistory {
	/** Notes that a control leads from one state to another; changes of one control that follow closely are one move. */
	readonly record: (from: ExploreState, to: ExploreState, control: string) => void;
	/** A hand is laid on a control, or taken off; all that it does meanwhile is one move. */
	readonly setDragging: (held: boolean) => void;
	/** The state before the last move, or after the one that was taken back last; null where there is none. */
	readonly undo: (from: ExploreState) => ExploreState | null;
	readonly redo: (from: ExploreState) => ExploreState | null;
	readonly available: () => { readonly undo: boolean; readonly redo: boolean };
}

/** Changes of one control closer together than this are one move [ms]. */
const MERGE_MS = 1000;
const MAX_EDITS = 500;

/** @param now a clock [ms] */
export function createEditHistory(now: () => number): EditHistory {
	const past: ExploreState[] = [];
	const future: ExploreState[] = [];
	let control = "";
	let at = Number.NEGATIVE_INFINITY;
	let isDragging = false;
	const step = (from: ExploreState, taken: ExploreState[], left: ExploreState[]): ExploreState | null => {
		const to = taken.pop() ?? null;
		if (to !== null) left.push(from);
		control = "";
		return to;
	};
	return {
		record(from, to, by) {
			if (encodeState(from) === encodeState(to)) return;
			if (by !== control || (!isDragging && now() - at > MERGE_MS)) past.push(from);
			if (past.length > MAX_EDITS) past.shift();
			future.length = 0;
			[control, at] = [by, now()];
		},
		setDragging(held) {
			// Even the same control, taken up anew, begins a new move.
			if (held) control = "";
			isDragging = held;
		},
		undo: (from) => step(from, past, future),
		redo: (from) => step(from, future, past),
		available: () => ({ undo: past.length > 0, redo: future.length > 0 }),
	};
}
