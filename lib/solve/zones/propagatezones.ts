import type { Transition } from "../propagate/linear.ts";
import { identity } from "../propagate/matrix.ts";
import { applyTransition } from "../propagate/segmentpropagator.ts";
import type { SolutionSegment } from "../propagate/solutionsegment.ts";
import type { Combination, CompiledZones, ZoneObserver, ZoneState } from "./compilezones.ts";
import { type Interval, mergeIntervals } from "./intervals.ts";
import { largestLoss } from "./operator.ts";
import { makeZoneRungeKutta } from "./rungekuttazones.ts";
import {
	advanceStep,
	makeZoneStep,
	type Pull,
	stepSeconds,
	type ZoneStep,
	type ZoneSystem,
} from "./series.ts";

/** What is left of a change of speed when it counts as over. */
const OVER = 1e-17;

const NO_PULLS: readonly Pull[] = [];

/** What moves in an interval, from its start on. */
export function findPulls(
	zones: CompiledZones,
	{ isOn, speeds }: Pick<Interval, "isOn" | "speeds">,
): readonly Pull[] {
	if (zones.areInstant) return NO_PULLS;
	const pulls: Pull[] = [];
	for (const [i, actuator] of zones.actuators.entries()) {
		const tauSeconds = (isOn[i] ? actuator.spinUpTauSeconds : actuator.coastDownTauSeconds) ?? 0;
		const away = speeds[i]! - (isOn[i] ? 1 : 0);
		if (tauSeconds > 0 && Math.abs(away) > OVER)
			pulls.push({ actuator: i, matrix: zones.matrixOf(i), away, tauSeconds });
	}
	return pulls;
}

/** The steps of an interval, each with what still moves in it. */
export function* splitInterval(
	system: ZoneSystem,
	pulls: readonly Pull[],
	seconds: number,
): Generator<{ system: ZoneSystem; pulls: readonly Pull[]; from: number; h: number }> {
	for (let from = 0; from < seconds; ) {
		const moving = pulls
			.map((pull) => ({ ...pull, away: pull.away * Math.exp(-from / pull.tauSeconds) }))
			.filter(({ away }) => Math.abs(away) > 2 * OVER);
		// What coasts down still carries air away.
		const lossPerS = moving.reduce(
			(sum, { matrix, away }) => sum + Math.max(away, 0) * largestLoss(matrix),
			system.lossPerS,
		);
		const raised = moving.length === 0 ? system : { ...system, lossPerS };
		// The end of the last change of speed is the end of a step.
		const still = moving.reduce(
			(least, { away, tauSeconds }) => Math.min(least, tauSeconds * Math.log(Math.abs(away) / OVER)),
			seconds - from,
		);
		const h = stepSeconds(
			raised,
			moving,
			moving.length === 0 ? seconds - from : Math.min(still, seconds - from),
		);
		yield { system: raised, pulls: moving, from, h };
		from = seconds - from - h <= 1e-12 * seconds ? seconds : from + h;
	}
}

/** Durations that differ by less come back as one [1/s]. */
const DURATIONS_PER_S = 1_073_741_824;
const MAX_TRANSITIONS = 4096;

function computeTransition(
	zones: CompiledZones,
	combination: Combination,
	pulls: readonly Pull[],
	seconds: number,
): Transition {
	const n = zones.balance.states;
	const matrix = identity(n);
	const oneMinusMatrix = new Float64Array(n * n);
	const input = new Float64Array(n);
	const steps = [...splitInterval(combination, pulls, seconds)];
	for (let column = 0; column < n; column++) {
		const x = new Float64Array(n);
		const change = new Float64Array(n);
		x[column] = 1;
		for (const step of steps) advanceStep(step.system, step.pulls, x, step.h, 0, change);
		for (let row = 0; row < n; row++) {
			matrix[row * n + column] = x[row]!;
			oneMinusMatrix[row * n + column] = -change[row]!;
		}
	}
	for (const step of steps) advanceStep(step.system, step.pulls, input, step.h);
	return { matrix, input, oneMinusMatrix };
}

/** The transition of an interval, kept where nothing moves in it. */
export function transitionOf(
	zones: CompiledZones,
	combination: Combination,
	pulls: readonly Pull[],
	seconds: number,
): Transition {
	if (pulls.length > 0) return computeTransition(zones, combination, pulls, seconds);
	const key = Math.round(seconds * DURATIONS_PER_S);
	const known = combination.transitions.get(key);
	if (typeof known === "object") return known;
	const made = computeTransition(zones, combination, pulls, seconds);
	if (combination.transitions.size >= MAX_TRANSITIONS) combination.transitions.clear();
	combination.transitions.set(key, made);
	return made;
}

/** A duration that came back so often is worth its matrix, which costs as much as a walk of as many states. */
const OFTEN = 32;

/** The transition of a duration, or how often it was asked for. */
function countUse({ transitions }: Combination, seconds: number): Transition | number {
	const key = Math.round(seconds * DURATIONS_PER_S);
	const known = transitions.get(key) ?? 0;
	if (typeof known === "object" || known === OFTEN) return known;
	if (transitions.size >= MAX_TRANSITIONS) transitions.clear();
	transitions.set(key, known + 1);
	return known + 1;
}

/** Follows the combinations of a walk. */
export function makeCombinationWalk(zones: CompiledZones): (interval: Interval) => Combination {
	let now: Combination | undefined;
	return ({ isOn, switched }) => {
		if (now === undefined || switched.length !== 1) {
			if (now === undefined || switched.length > 0) now = zones.combine(isOn);
			return now;
		}
		const before: Combination = now;
		now = before.switched[switched[0]!] ??= zones.combine(isOn);
		return now;
	};
}

/** A step, or its beginning, as those see it who look on; levels count from the origin of each state. */
export function makeZoneSegment(
	step: ZoneStep,
	originOf: (state: number) => number,
	startSeconds: number,
	durationSeconds: number,
	isOn: boolean,
): SolutionSegment {
	const level = (i: number, t: number) => originOf(i) + step.at(i, t);
	return {
		startSeconds,
		durationSeconds,
		isOn,
		isShort: true,
		ppmAt: level,
		integralTo: (i, t) => originOf(i) * t + step.integral(i, t),
		turningPoints: (i) => step.turningPoints(i).filter((t) => t < durationSeconds),
		sampleInto(i, first, each, count, out, offset) {
			for (let j = 0; j < count; j++) out[offset + j] = level(i, first + j * each);
		},
	};
}

/**
 * Walks zones through their schedules from time 0: exactly where no source is a function, by Runge-Kutta where one is.
 * @returns where the run stands at its end
 * @throws SolverError when Runge-Kutta cannot vouch for its answer
 */
export function propagateZones(
	zones: CompiledZones,
	untilSeconds: number,
	start: ZoneState,
	observer: ZoneObserver = {},
	relativeTolerance = 1e-9,
): ZoneState {
	const { balance, actuators } = zones;
	const walk = makeCombinationWalk(zones);
	const runge = zones.isLinear ? null : makeZoneRungeKutta(zones, relativeTolerance);
	let state: Float64Array = Float64Array.from(start.state);
	let speeds: Float64Array = Float64Array.from(start.speeds);
	const { onSolution, onInterval } = observer;
	for (const interval of mergeIntervals(actuators, untilSeconds, start.speeds)) {
		const { startSeconds, durationSeconds, isOn } = interval;
		speeds = interval.speeds;
		onInterval?.(startSeconds, state);
		const combination = walk(interval);
		const pulls = findPulls(zones, interval);
		if (runge !== null) {
			if (!runge(state, combination, pulls, interval, onSolution)) return { state, speeds };
			continue;
		}
		if (onSolution === undefined) {
			const known = pulls.length > 0 ? undefined : countUse(combination, durationSeconds);
			if (known === OFTEN || typeof known === "object") {
				state = applyTransition(transitionOf(zones, combination, pulls, durationSeconds), state);
				continue;
			}
			for (const { system, pulls: moving, h } of splitInterval(combination, pulls, durationSeconds))
				advanceStep(system, moving, state, h);
			continue;
		}
		for (const { system, pulls: moving, from, h } of splitInterval(combination, pulls, durationSeconds)) {
			const step = makeZoneStep(system, moving, state, h);
			const solution = makeZoneSegment(step, () => balance.origin, startSeconds + from, h, isOn[0] ?? false);
			if (onSolution(solution, isOn) === "stop") return { state, speeds };
			state = state.map((_, i) => step.at(i, h));
		}
	}
	return { state, speeds };
}
