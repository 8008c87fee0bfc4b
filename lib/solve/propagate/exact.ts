import { fanSpeedFraction } from "../../model/fan/fanspeed.ts";
import { playTimeline, type Timeline } from "../../model/schedule/timeline.ts";
import type { CompiledModel } from "../compile.ts";
import { type Matrix, multiply, solve } from "./matrix.ts";
import type { ModelState } from "./odex.ts";
import { applyTransition } from "./segmentpropagator.ts";
import type { Observer } from "./solutionsegment.ts";

/**
 * Walks a linear model through a schedule from time 0 and shows each segment as one exact piece, or as a few where the fan
 * takes time to change speed.
 * @returns the instant at the end
 */
export function propagateExact(
	{ model, segmentPropagator }: CompiledModel,
	timeline: Timeline,
	untilSeconds: number,
	start: ModelState,
	{ onSolution, onSegment }: Observer,
): ModelState {
	let state: Float64Array = Float64Array.from(start.state);
	let fraction = start.fanSpeedFraction;
	for (const segment of playTimeline(timeline, untilSeconds, model, fraction)) {
		const { startSeconds, durationSeconds, isOn, fanSpeedFraction: before } = segment;
		onSegment?.(startSeconds, state);
		if (onSolution === undefined)
			state = applyTransition(segmentPropagator.computeTransition(isOn, before, durationSeconds), state);
		else
			for (const { solution, fromSeconds, seconds, offset } of segmentPropagator.splitSegment(
				isOn,
				before,
				durationSeconds,
			)) {
				if (onSolution(solution.makeSegment(startSeconds + fromSeconds, seconds, state, offset)) === "stop")
					return { state, fanSpeedFraction: fanSpeedFraction(model, isOn, before, fromSeconds) };
				state = solution.advance(state, seconds, offset);
			}
		fraction = fanSpeedFraction(model, isOn, before, durationSeconds);
	}
	return { state, fanSpeedFraction: fraction };
}

/**
 * State that repeats after a period of a linear model [ppm above supply], if fan or leak move air at all.
 * The map of a period is affine, x → M x + c, so the state is the solution of (1 - M) x = c.
 */
export function solvePeriodMapExact(
	{ model, balance: b, segmentPropagator }: CompiledModel,
	timeline: Timeline,
	periodSeconds: number,
	startFraction: number,
): Float64Array | null {
	const n = b.states;
	let oneMinusMatrix: Matrix = new Float64Array(n * n);
	let input: Float64Array = new Float64Array(n);
	for (const { durationSeconds, isOn, fanSpeedFraction: fraction } of playTimeline(
		timeline,
		periodSeconds,
		model,
		startFraction,
	)) {
		const segment = segmentPropagator.computeTransition(isOn, fraction, durationSeconds);
		const later = multiply(segment.matrix, oneMinusMatrix, n);
		oneMinusMatrix = segment.oneMinusMatrix.map((x, i) => x + later[i]!);
		input = applyTransition(segment, input);
	}
	return solve(oneMinusMatrix, input, n);
}
