import { findRoot } from "../root.ts";

/**
 * A stretch of time in which the solution is smooth. It is good only while the visitor that receives it runs.
 * States: 0 mixed zone, then stagnant zone and sensor where the model has them; see `Balance`.
 */
export interface SolutionSegment {
	readonly startSeconds: number;
	readonly durationSeconds: number;
	readonly isOn: boolean;
	/** No longer than a few time constants, so that a few points tell its shape. */
	readonly isShort: boolean;
	/** CO2 of a state [ppm] at a time after the start of the piece [s]. */
	ppmAt(state: number, seconds: number): number;
	/** Integral of that from the start of the piece [ppm s]. */
	integralTo(state: number, seconds: number): number;
	/** Times strictly inside the piece at which the state turns from rising to falling or back [s], ascending. */
	turningPoints(state: number): readonly number[];
	/** CO2 of a state at first, first + step, … [s after the start], written to out[offset …]. */
	sampleInto(
		state: number,
		first: number,
		step: number,
		count: number,
		out: Float64Array,
		offset: number,
	): void;
}

/** Receives the pieces in order; "stop" ends the walk. */
export type SolutionObserver = (solution: SolutionSegment) => unknown;

/** What a walk shows; a walk that shows no pieces is spared the work of making them. */
export interface Observer {
	readonly onSolution?: SolutionObserver;
	/** Pieces of segments that end before may be left out [s]. */
	readonly fromSeconds?: number;
	/** Start of each segment [s] and the state there [ppm above supply], which is the walk's own. */
	readonly onSegment?: (startSeconds: number, state: ArrayLike<number>) => void;
}

/** What one state does over some pieces. */
export interface StatsAccumulator {
	peakPpm: number;
	/** When the peak is reached first [s]. */
	peakSeconds: number;
	troughPpm: number;
	/** [ppm s] */
	integral: number;
	/** [s] */
	durationSeconds: number;
	aboveSeconds: number;
	belowSeconds: number;
	/** Time at which the ceiling is first passed upwards [s]; null: never. */
	firstExceedanceSeconds: number | null;
}

export function makeStatsAccumulator(): StatsAccumulator {
	return {
		peakPpm: Number.NEGATIVE_INFINITY,
		peakSeconds: 0,
		troughPpm: Number.POSITIVE_INFINITY,
		integral: 0,
		durationSeconds: 0,
		aboveSeconds: 0,
		belowSeconds: 0,
		firstExceedanceSeconds: null,
	};
}

/** Peak, mean, trough of one zone, or of what the sensor shows [ppm]. */
export interface ConcentrationStats {
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
	/** Peak less trough. */
	readonly ripplePpm: number;
}

export function computeStats(m: StatsAccumulator): ConcentrationStats {
	return {
		peakPpm: m.peakPpm,
		meanPpm: m.integral / m.durationSeconds,
		troughPpm: m.troughPpm,
		ripplePpm: m.peakPpm - m.troughPpm,
	};
}

/** Adds a piece to a measure. Between turning points the state is monotone, so each threshold is crossed at most once. */
export function accumulate(
	into: StatsAccumulator,
	solution: SolutionSegment,
	state: number,
	ceilingPpm: number,
	floorPpm: number,
): void {
	let from = 0;
	let atFrom = solution.ppmAt(state, 0);
	for (const to of [...solution.turningPoints(state), solution.durationSeconds]) {
		const atTo = solution.ppmAt(state, to);
		if (Math.max(atFrom, atTo) > into.peakPpm) {
			into.peakPpm = Math.max(atFrom, atTo);
			into.peakSeconds = solution.startSeconds + (atFrom > atTo ? from : to);
		}
		into.troughPpm = Math.min(into.troughPpm, atFrom, atTo);
		const above = computeTimeAbove(solution, state, ceilingPpm, from, to, atFrom, atTo);
		into.aboveSeconds += above;
		into.belowSeconds += to - from - computeTimeAbove(solution, state, floorPpm, from, to, atFrom, atTo);
		if (into.firstExceedanceSeconds === null && above > 0)
			into.firstExceedanceSeconds = solution.startSeconds + (atFrom > ceilingPpm ? from : to - above);
		[from, atFrom] = [to, atTo];
	}
	into.integral += solution.integralTo(state, solution.durationSeconds);
	into.durationSeconds += solution.durationSeconds;
}

/** Time above a threshold on a monotone stretch [s]; exactly at it counts as not above, at a floor as not below. */
function computeTimeAbove(
	solution: SolutionSegment,
	state: number,
	threshold: number,
	from: number,
	to: number,
	atFrom: number,
	atTo: number,
): number {
	const strict = threshold === Number.POSITIVE_INFINITY;
	if (strict || (atFrom <= threshold && atTo <= threshold)) return 0;
	if (atFrom >= threshold && atTo >= threshold) return to - from;
	const crossing = findRoot((t) => solution.ppmAt(state, t) - threshold, from, to);
	return atFrom > threshold ? crossing - from : to - crossing;
}

/** The part of a piece after a time; null when nothing of it is. */
export function trimBefore(solution: SolutionSegment, fromSeconds: number): SolutionSegment | null {
	const cut = fromSeconds - solution.startSeconds;
	if (cut <= 0) return solution;
	if (cut >= solution.durationSeconds) return null;
	return {
		startSeconds: fromSeconds,
		durationSeconds: solution.durationSeconds - cut,
		isOn: solution.isOn,
		isShort: solution.isShort,
		ppmAt: (state, t) => solution.ppmAt(state, t + cut),
		integralTo: (state, t) => solution.integralTo(state, t + cut) - solution.integralTo(state, cut),
		turningPoints: (state) => solution.turningPoints(state).flatMap((t) => (t > cut ? [t - cut] : [])),
		sampleInto: (state, first, step, count, out, offset) =>
			solution.sampleInto(state, first + cut, step, count, out, offset),
	};
}

/** Value of a state above the supply air at a time within the step that was just accepted [ppm]. */
export type DenseOutput = (state: number, t: number) => number;

/** Nodes and weights of four-point Gauss-Legendre quadrature on [0, 1]. */
const GAUSS = [
	[0.06943184420297371, 0.1739274225687269],
	[0.33000947820757187, 0.3260725774312731],
	[0.6699905217924281, 0.3260725774312731],
	[0.9305681557970263, 0.1739274225687269],
] as const;

/** An accepted step of an integrator, which is short against the time constants, as a piece; as short-lived as `dense`. */
export function makeStepSegment(
	intakePpm: number,
	originSeconds: number,
	from: number,
	to: number,
	isOn: boolean,
	dense: DenseOutput,
): SolutionSegment {
	const ppmAt = (state: number, t: number) => intakePpm + dense(state, Math.min(from + t, to));
	return {
		startSeconds: originSeconds + from,
		durationSeconds: to - from,
		isOn,
		isShort: true,
		ppmAt,
		integralTo(state, t) {
			let sum = 0;
			for (const [node, weight] of GAUSS) sum += weight * ppmAt(state, node * t);
			return sum * t;
		},
		turningPoints(state) {
			const duration = to - from;
			const tiny = duration * 1e-3;
			const slope = (t: number) =>
				ppmAt(state, Math.min(t + tiny, duration)) - ppmAt(state, Math.max(t - tiny, 0));
			return findTurningPointsByQuarters(slope, duration);
		},
		sampleInto(state, first, step, count, out, offset) {
			for (let j = 0; j < count; j++) out[offset + j] = ppmAt(state, first + j * step);
		},
	};
}

/** Turning points of a short stretch, from the sign of its slope at the quarters. */
export function findTurningPointsByQuarters(slope: (t: number) => number, duration: number): number[] {
	const found: number[] = [];
	let before = slope(0);
	for (let i = 1; i <= 4; i++) {
		const at = slope((i * duration) / 4);
		if (before * at < 0) found.push(findRoot(slope, ((i - 1) * duration) / 4, (i * duration) / 4));
		if (at !== 0) before = at;
	}
	return found;
}
