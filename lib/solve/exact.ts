import { balance, type Model, sourceM3PerS } from "../model/chamber.ts";
import { fanLevel } from "../model/fan.ts";
import { type Schedule, segments } from "../model/schedule.ts";
import type { Instant } from "./integrate.ts";
import { type AffineMap, constantSolution, type LinearSolution } from "./linear.ts";
import { type Matrix, multiply, solve } from "./matrix.ts";
import type { Watch } from "./piece.ts";
import { fanTransients } from "./transient.ts";

/** Part of a segment: its solution, and where in the segment it lies [s]. */
interface Part {
	readonly solution: LinearSolution;
	readonly fromSeconds: number;
	readonly seconds: number;
}

/** How a linear model plays a segment: the fan's transient in Taylor steps, then the state that lasts. */
function segmentParts(model: Model): (on: boolean, level: number, seconds: number) => Part[] {
	const b = balance(model);
	const source = sourceM3PerS(model, 0, model.supplyPpm);
	const [off, on] = [false, true].map((runs) => constantSolution(model.supplyPpm, b, source, runs));
	const transients = fanTransients(model, b, source);
	return (runs, level, seconds) => {
		const parts: Part[] = [];
		let from = 0;
		for (const { solution, untilSeconds } of transients(runs, level)) {
			if (from >= seconds) return parts;
			const until = Math.min(untilSeconds, seconds);
			parts.push({ solution, fromSeconds: from, seconds: until - from });
			from = until;
		}
		if (from < seconds)
			parts.push({ solution: runs ? on! : off!, fromSeconds: from, seconds: seconds - from });
		return parts;
	};
}

/**
 * A whole segment as an affine map. What a segment keeps of the state is gathered as what it loses, for
 * 1 - M2 M1 = (1 - M2) + M2 (1 - M1) keeps its digits when a short segment loses next to nothing.
 */
function compose(first: AffineMap, second: AffineMap, n: number): AffineMap {
	const later = multiply(second.map, first.lost, n);
	const moved = apply(second, first.add);
	return {
		map: multiply(second.map, first.map, n),
		add: moved,
		lost: second.lost.map((x, i) => x + later[i]!),
	};
}

function apply({ map, add }: AffineMap, x: Float64Array): Float64Array {
	const n = add.length;
	const y = Float64Array.from(add);
	for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) y[i]! += map[i * n + j]! * x[j]!;
	return y;
}

/** Segments of a linear model as affine maps, each kind worked out once: bursts and lulls come back by the hundred. */
function segmentMaps(model: Model): (on: boolean, level: number, seconds: number) => AffineMap {
	const parts = segmentParts(model);
	const n = balance(model).states;
	const known = new Map<string, AffineMap>();
	return (on, level, seconds) => {
		const key = `${on} ${level} ${seconds}`;
		let whole = known.get(key);
		if (whole === undefined) {
			if (known.size >= 512) known.clear();
			whole = parts(on, level, seconds)
				.map((part) => part.solution.affine(part.seconds))
				.reduce((first, second) => compose(first, second, n));
			known.set(key, whole);
		}
		return whole;
	};
}

/**
 * Walks a linear model through a schedule from time 0 and shows each segment as one exact piece, or as a few where the fan
 * takes time to change speed.
 * @returns the instant at the end
 */
export function walkExact(
	model: Model,
	schedule: Schedule,
	untilSeconds: number,
	start: Instant,
	{ onPiece, onSegment }: Watch,
): Instant {
	let state: Float64Array = Float64Array.from(start.state);
	let level = start.fanLevel;
	if (onPiece === undefined) {
		const maps = segmentMaps(model);
		for (const { startSeconds, durationSeconds, on } of segments(schedule, untilSeconds)) {
			onSegment?.(startSeconds, state);
			state = apply(maps(on, level, durationSeconds), state);
			level = fanLevel(model, on, level, durationSeconds);
		}
		return { state, fanLevel: level };
	}
	const parts = segmentParts(model);
	for (const { startSeconds, durationSeconds, on } of segments(schedule, untilSeconds)) {
		onSegment?.(startSeconds, state);
		for (const { solution, fromSeconds, seconds } of parts(on, level, durationSeconds)) {
			if (onPiece(solution.piece(startSeconds + fromSeconds, seconds, state)) === "stop")
				return { state, fanLevel: fanLevel(model, on, level, fromSeconds) };
			state = solution.advance(state, seconds);
		}
		level = fanLevel(model, on, level, durationSeconds);
	}
	return { state, fanLevel: level };
}

/**
 * State that repeats after a period of a linear model [ppm above supply], if fan or leak move air at all.
 * The map of a period is affine, x → M x + c, so the state is the solution of (1 - M) x = c.
 */
export function periodicExact(
	model: Model,
	schedule: Schedule,
	periodSeconds: number,
	startLevel: number,
): Float64Array | null {
	const maps = segmentMaps(model);
	const n = balance(model).states;
	let lost: Matrix = new Float64Array(n * n);
	let add: Float64Array = new Float64Array(n);
	let level = startLevel;
	for (const { durationSeconds, on } of segments(schedule, periodSeconds)) {
		const segment = maps(on, level, durationSeconds);
		const later = multiply(segment.map, lost, n);
		lost = segment.lost.map((x, i) => x + later[i]!);
		add = apply(segment, add);
		level = fanLevel(model, on, level, durationSeconds);
	}
	return solve(lost, add, n);
}
