import { balance, type Model, sourceM3PerS } from "../model/chamber.ts";
import { fanLevel } from "../model/fan.ts";
import { type Schedule, segments } from "../model/schedule.ts";
import type { Instant } from "./integrate.ts";
import { constantSolution, type LinearSolution } from "./linear.ts";
import { type Matrix, multiply, solve } from "./matrix.ts";
import type { Visitor } from "./piece.ts";
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
		const lasting = runs ? on! : off!;
		const steps = transients(runs, level);
		const parts: Part[] = [];
		let from = 0;
		for (const { solution, untilSeconds } of steps) {
			if (from >= seconds) return parts;
			const until = Math.min(untilSeconds, seconds);
			parts.push({ solution, fromSeconds: from, seconds: until - from });
			from = until;
		}
		if (from < seconds) parts.push({ solution: lasting, fromSeconds: from, seconds: seconds - from });
		return parts;
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
	visit?: Visitor,
): Instant {
	const parts = segmentParts(model);
	let state: Float64Array = Float64Array.from(start.state);
	let level = start.fanLevel;
	for (const { startSeconds, durationSeconds, on } of segments(schedule, untilSeconds)) {
		for (const { solution, fromSeconds, seconds } of parts(on, level, durationSeconds)) {
			if (visit?.(solution.piece(startSeconds + fromSeconds, seconds, state)) === "stop")
				return { state, fanLevel: fanLevel(model, on, level, fromSeconds) };
			state = solution.advance(state, seconds);
		}
		level = fanLevel(model, on, level, durationSeconds);
	}
	return { state, fanLevel: level };
}

/**
 * State that repeats after a period of a linear model [ppm above supply], if fan or leak move air at all.
 * The map of a period is affine, x → M x + c, so the state is the solution of (1 - M) x = c; and 1 - M is gathered from
 * the losses of the parts, 1 - M2 M1 = (1 - M2) + M2 (1 - M1), so that it keeps its digits in the shortest cycle.
 */
export function periodicExact(
	model: Model,
	schedule: Schedule,
	periodSeconds: number,
	startLevel: number,
): Float64Array | null {
	const parts = segmentParts(model);
	const n = balance(model).states;
	let lost: Matrix = new Float64Array(n * n);
	let add: Float64Array = new Float64Array(n);
	let level = startLevel;
	for (const { durationSeconds, on } of segments(schedule, periodSeconds)) {
		for (const { solution, seconds } of parts(on, level, durationSeconds)) {
			const step = solution.affine(seconds);
			const later = multiply(step.map, lost, n);
			lost = step.lost.map((x, i) => x + later[i]!);
			add = solution.advance(add, seconds);
		}
		level = fanLevel(model, on, level, durationSeconds);
	}
	return solve(lost, add, n);
}
