import { balance, type Model } from "../../model/chamber.ts";
import { uniformStart, walk } from "../propagate/propagate.ts";
import type { Piece } from "../propagate/solutionsegment.ts";
import { findRoot } from "../root.ts";
import { steadyWorst } from "./maximumsource.ts";

const HOUR = 3600;
/** Pauses longer than this are no pauses. */
const LONGEST = 60 * 86_400;

/**
 * Longest pause that any fan could make up for [s]: the time in which the chamber, blown clean down to the supply air, comes
 * to the ceiling by itself; for a ceiling on the mean or on the worst hour the time in which that mean does.
 * @returns null when it never does, for the leak alone holds the ceiling; 0 when the supply air is not below it
 */
export function longestPauseSeconds(
	model: Model,
	ceilingPpm: number,
	on: "peak" | "mean" | "worst hour" = "peak",
): number | null {
	if (model.supplyPpm >= ceilingPpm) return 0;
	const steady = steadyWorst(model);
	const { crop } = balance(steady);
	let rise: Piece | undefined;
	walk(
		steady,
		{ kind: "off" },
		LONGEST,
		uniformStart(steady, steady.supplyPpm),
		{},
		{
			onPiece: (piece) => {
				rise = piece;
				return "stop";
			},
		},
	);
	if (rise === undefined) return null;
	const piece = rise;
	const figure = (t: number) => {
		if (on === "peak") return piece.ppmAt(crop, t);
		const from = on === "mean" ? 0 : Math.max(0, t - HOUR);
		return (piece.integralTo(crop, t) - piece.integralTo(crop, from)) / (t - from);
	};
	return figure(LONGEST) <= ceilingPpm
		? null
		: findRoot((t) => figure(Math.max(t, 1e-6)) - ceilingPpm, 1e-6, LONGEST);
}
