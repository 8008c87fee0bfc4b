import { encodeState, type State } from "./state.ts";

/** What was moved, move by move, so that it can be taken back. */
export interface Moves {
	/** Notes that a control leads from one state to another; changes of one control that follow closely are one move. */
	readonly made: (from: State, to: State, control: string) => void;
	/** A hand is laid on a control, or taken off; all that it does meanwhile is one move. */
	readonly grip: (held: boolean) => void;
	/** The state before the last move, or after the one that was taken back last; null where there is none. */
	readonly back: (from: State) => State | null;
	readonly forth: (from: State) => State | null;
	readonly canGo: () => { readonly back: boolean; readonly forth: boolean };
}

/** Changes of one control closer together than this are one move [ms]. */
const TOGETHER = 1000;
const MOST = 500;

/** @param now a clock [ms] */
export function movesFrom(now: () => number): Moves {
	const past: State[] = [];
	const future: State[] = [];
	let control = "";
	let at = Number.NEGATIVE_INFINITY;
	let hand = false;
	const step = (from: State, taken: State[], left: State[]): State | null => {
		const to = taken.pop() ?? null;
		if (to !== null) left.push(from);
		control = "";
		return to;
	};
	return {
		made(from, to, by) {
			if (encodeState(from) === encodeState(to)) return;
			if (by !== control || (!hand && now() - at > TOGETHER)) past.push(from);
			if (past.length > MOST) past.shift();
			future.length = 0;
			[control, at] = [by, now()];
		},
		grip(held) {
			// Even the same control, taken up anew, begins a new move.
			if (held) control = "";
			hand = held;
		},
		back: (from) => step(from, past, future),
		forth: (from) => step(from, future, past),
		canGo: () => ({ back: past.length > 0, forth: future.length > 0 }),
	};
}
