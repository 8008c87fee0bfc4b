import { balance, type Model, sourceM3PerS } from "../../model/chamber.ts";
import type { Cycle } from "../../model/schedule/schedule.ts";
import { findRegime } from "../periodic.ts";
import { walk } from "../propagate/propagate.ts";
import { figures, measure, newMeasure, type Piece } from "../propagate/solutionsegment.ts";
import { worstHour } from "../worsthour.ts";
import { periodicCycle } from "./closedform.ts";
import { isOneZone } from "./settingmap.ts";

/** Figures of the periodic regime of a cycle in the zone of the crop [ppm]; infinite where nothing is carried away. */
export interface CycleFigures {
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
}

const NEVER: CycleFigures = {
	peakPpm: Number.POSITIVE_INFINITY,
	meanPpm: Number.POSITIVE_INFINITY,
	troughPpm: Number.POSITIVE_INFINITY,
};

export const cycleOf = (onSeconds: number, offSeconds: number): Cycle => ({
	kind: "cycle",
	onSeconds,
	offSeconds,
});

/** Judges cycle after cycle of one linear model: in closed form where that serves, by the exact path where not. */
export function cycleFigures(model: Model): (onSeconds: number, offSeconds: number) => CycleFigures {
	if (isOneZone(model)) {
		const b = balance(model);
		const rise = b.riseMixed * sourceM3PerS(model, 0, model.supplyPpm);
		return (on, off) => periodicCycle(model.supplyPpm, rise, b.leakPerS + b.fanPerS, b.leakPerS, on, off);
	}
	const { crop } = balance(model);
	return (on, off) => {
		const cycle = cycleOf(on, off);
		const regime = findRegime(model, cycle);
		if (!regime.exists) return NEVER;
		const seen = newMeasure();
		const onPiece = (piece: Piece) =>
			measure(seen, piece, crop, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
		walk(model, cycle, regime.periodSeconds, regime.start, {}, { onPiece });
		return figures(seen);
	};
}

/**
 * Peak alone, cycle after cycle [ppm]. In one zone the CO2 can rise only up to the moment when the fan that spins up has
 * overtaken the source, so no more of the burst than that is looked at.
 */
export function cyclePeaks(model: Model): (onSeconds: number, offSeconds: number) => number {
	const all = cycleFigures(model);
	if (isOneZone(model) || balance(model).states > 1) return (on, off) => all(on, off).peakPpm;
	return (on, off) => {
		const cycle = cycleOf(on, off);
		const regime = findRegime(model, cycle);
		if (!regime.exists) return Number.POSITIVE_INFINITY;
		let peak = model.supplyPpm + regime.start.state[0]!;
		const onPiece = (piece: Piece) => {
			for (const t of [...piece.turningPoints(0), piece.durationSeconds])
				peak = Math.max(peak, piece.ppmAt(0, t));
			return piece.ppmAt(0, piece.durationSeconds) < peak ? "stop" : undefined;
		};
		walk(model, cycle, on, regime.start, {}, { onPiece });
		return peak;
	};
}

/** Highest mean over any hour of the periodic regime of a cycle [ppm]. */
export function cycleWorstHourPpm(model: Model, onSeconds: number, offSeconds: number): number {
	const cycle = cycleOf(onSeconds, offSeconds);
	const regime = findRegime(model, cycle);
	if (!regime.exists) return Number.POSITIVE_INFINITY;
	const hour = worstHour(balance(model).crop);
	walk(model, cycle, regime.periodSeconds, regime.start, {}, { onPiece: (piece: Piece) => hour.add(piece) });
	return hour.meanPpm(true);
}
