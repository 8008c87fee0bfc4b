import { balance, type Model, sourceM3PerS } from "../../model/chamber.ts";
import { fanLevel } from "../../model/fan/fanspeed.ts";
import { type Schedule, segments } from "../../model/schedule/schedule.ts";
import { type AffineMap, constantSolution, type LinearSolution } from "./linear.ts";
import { type Matrix, multiply, solve } from "./matrix.ts";
import type { Instant } from "./odex.ts";
import type { Watch } from "./solutionsegment.ts";
import { fanTransients, type TransientStep } from "./transient.ts";

/** Part of a segment: its solution, and where in the segment it lies [s]. */
interface Part {
	readonly solution: LinearSolution;
	readonly fromSeconds: number;
	readonly seconds: number;
}

/** What the segments of one model have in common. */
interface Player {
	/** A segment as pieces: the fan's transient in Taylor steps, then the state that lasts. */
	parts(on: boolean, level: number, seconds: number): Part[];
	/** A segment as an affine map. */
	map(on: boolean, level: number, seconds: number): AffineMap;
}

/** Bursts and lulls come back by the hundred, in one walk and in the next; models do not change. */
const players = new WeakMap<Model, Player>();
const MOST_MAPS = 4096;

function playerOf(model: Model): Player {
	let player = players.get(model);
	if (player === undefined) {
		player = makePlayer(model);
		players.set(model, player);
	}
	return player;
}

function makePlayer(model: Model): Player {
	const b = balance(model);
	const n = b.states;
	const source = sourceM3PerS(model, 0, model.supplyPpm);
	const [off, on] = [false, true].map((runs) => constantSolution(model.supplyPpm, b, source, runs));
	const transients = fanTransients(model, b, source);
	const known = new Map<string, AffineMap>();
	const wholes = new WeakMap<readonly TransientStep[], AffineMap>();
	const lasting = (runs: boolean) => (runs ? on! : off!);
	const parts = (runs: boolean, level: number, seconds: number) => {
		const found: Part[] = [];
		let from = 0;
		for (const { solution, untilSeconds } of transients(runs, level)) {
			if (from >= seconds) return found;
			const until = Math.min(untilSeconds, seconds);
			found.push({ solution, fromSeconds: from, seconds: until - from });
			from = until;
		}
		if (from < seconds) found.push({ solution: lasting(runs), fromSeconds: from, seconds: seconds - from });
		return found;
	};
	const composed = (list: readonly Part[]) =>
		list
			.map((part) => part.solution.affine(part.seconds))
			.reduce((first, second) => compose(first, second, n));
	/** A transient that runs to its end is the same before any pause, so it is composed once. */
	const work = (runs: boolean, level: number, seconds: number) => {
		const steps = transients(runs, level);
		const end = steps.at(-1)?.untilSeconds ?? 0;
		if (end === 0 || end >= seconds) return composed(parts(runs, level, seconds));
		let whole = wholes.get(steps);
		if (whole === undefined) {
			whole = composed(parts(runs, level, end));
			wholes.set(steps, whole);
		}
		return compose(whole, lasting(runs).affine(seconds - end), n);
	};
	return {
		parts,
		map(runs, level, seconds) {
			const key = `${runs} ${level} ${seconds}`;
			let whole = known.get(key);
			if (whole === undefined) {
				if (known.size >= MOST_MAPS) known.clear();
				whole = work(runs, level, seconds);
				known.set(key, whole);
			}
			return whole;
		},
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
	const player = playerOf(model);
	if (onPiece === undefined) {
		for (const { startSeconds, durationSeconds, on } of segments(schedule, untilSeconds)) {
			onSegment?.(startSeconds, state);
			state = apply(player.map(on, level, durationSeconds), state);
			level = fanLevel(model, on, level, durationSeconds);
		}
		return { state, fanLevel: level };
	}
	for (const { startSeconds, durationSeconds, on } of segments(schedule, untilSeconds)) {
		onSegment?.(startSeconds, state);
		for (const { solution, fromSeconds, seconds } of player.parts(on, level, durationSeconds)) {
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
	const player = playerOf(model);
	const n = balance(model).states;
	let lost: Matrix = new Float64Array(n * n);
	let add: Float64Array = new Float64Array(n);
	let level = startLevel;
	for (const { durationSeconds, on } of segments(schedule, periodSeconds)) {
		const segment = player.map(on, level, durationSeconds);
		const later = multiply(segment.map, lost, n);
		lost = segment.lost.map((x, i) => x + later[i]!);
		add = apply(segment, add);
		level = fanLevel(model, on, level, durationSeconds);
	}
	return solve(lost, add, n);
}

/**
 * CO2 of the crop's zone at the two switches of a cycle with an instant fan [ppm above supply]: worked out by itself and not
 * kept, for models that are judged once.
 */
export function switchStates(
	model: Model,
	onSeconds: number,
	offSeconds: number,
): { afterPause: number; afterBurst: number } {
	const b = balance(model);
	const source = sourceM3PerS(model, 0, model.supplyPpm);
	const burst = constantSolution(model.supplyPpm, b, source, true).affine(onSeconds);
	const pause = constantSolution(model.supplyPpm, b, source, false).affine(offSeconds);
	const cycle = compose(burst, pause, b.states);
	const state = solve(cycle.lost, cycle.add, b.states);
	if (state === null) return { afterPause: Number.POSITIVE_INFINITY, afterBurst: Number.POSITIVE_INFINITY };
	return { afterPause: state[b.crop]!, afterBurst: apply(burst, state)[b.crop]! };
}
