import { HOUR } from "../time.ts";
import type { SolutionSegment } from "./propagate/solutionsegment.ts";
import { findRoot } from "./root.ts";

/** What a cubic may be off by in the middle of two nodes [ppm s]: a hundred-thousandth of a ppm of the mean. */
const TOLERANCE_PPM_S = 0.02;
/** Parts of a piece at first: a switch is followed by what is fast. */
const FIRST_NODES = [0, 1 / 64, 1 / 8, 1] as const;
const MAX_HALVINGS = 30;

/** Highest mean over any window of one hour, gathered piece by piece. */
export interface MaxHourlyMean {
	add(solution: SolutionSegment): void;
	/** @param repeats the pieces are one period of a regime, so a window may run on into the next one */
	meanPpm(repeats: boolean): number;
}

/**
 * Keeps the integral I of the CO2 at nodes that lie close enough for a cubic with the true slopes (which are the CO2 itself), and
 * finds the largest W(t) = I(t + 1 h) - I(t): at an end of the run, or where W' = C(t + 1 h) - C(t) falls through 0. The error is
 * below 0.0001 ppm of the mean.
 */
export function maxHourlyMean(state: number): MaxHourlyMean {
	const times: number[] = [];
	const integrals: number[] = [];
	const levels: number[] = [];
	let end = 0;
	let total = 0;
	let atEnd = 0;
	return {
		add(solution) {
			const { startSeconds, durationSeconds, isShort } = solution;
			const at = (t: number): Node => ({
				t,
				integral: t === 0 ? 0 : solution.integralTo(state, t),
				level: solution.ppmAt(state, t),
			});
			/** Nodes from `a` to `b` without the last. */
			const keep = (a: Node, b: Node, halvings: number): void => {
				const middle = at((a.t + b.t) / 2);
				const isClose = Math.abs(middle.integral - cubic(a, b, 0.5)) <= TOLERANCE_PPM_S;
				if (!isClose && halvings > 0) {
					keep(a, middle, halvings - 1);
					keep(middle, b, halvings - 1);
					return;
				}
				times.push(startSeconds + a.t);
				integrals.push(total + a.integral);
				levels.push(a.level);
			};
			const nodes = (isShort ? [0, 1] : FIRST_NODES).map((share) => at(share * durationSeconds));
			for (let i = 1; i < nodes.length; i++) keep(nodes[i - 1]!, nodes[i]!, MAX_HALVINGS);
			end = startSeconds + durationSeconds;
			total += nodes.at(-1)!.integral;
			atEnd = nodes.at(-1)!.level;
		},
		meanPpm(repeats) {
			const begin = times[0]!;
			const span = end - begin;
			if (span < HOUR && !repeats) return total / span;
			if (repeats && Math.abs(HOUR / span - Math.round(HOUR / span)) < 1e-9) return total / span;
			times.push(end);
			integrals.push(total);
			levels.push(atEnd);
			const nodes = times.map((t, i): Node => ({ t, integral: integrals[i]!, level: levels[i]! }));
			const turnsAt = (t: number) => (repeats ? Math.floor((t - begin) / span) : 0);
			// Moments are asked in ascending order, and an hour later: each has its place near the one before.
			const places: [number, number] = [0, 0];
			const evaluate = (t: number, what: typeof cubic, isLater: 0 | 1): number => {
				const local = t - turnsAt(t) * span;
				const place = findPlace(times, local, places[isLater]);
				places[isLater] = place;
				const [a, b] = [nodes[place]!, nodes[place + 1]!];
				return what(a, b, b.t > a.t ? (local - a.t) / (b.t - a.t) : 0);
			};
			const integralAt = (t: number, isLater: 0 | 1) => turnsAt(t) * total + evaluate(t, cubic, isLater);
			const window = (t: number) => integralAt(t + HOUR, 1) - integralAt(t, 0);
			const slope = (t: number) => evaluate(t + HOUR, cubicSlope, 1) - evaluate(t, cubicSlope, 0);
			const last = repeats ? end : end - HOUR;
			const moments = Float64Array.from(
				[...times, ...times.map((t) => t - HOUR - turnsAt(t - HOUR) * span), begin, last].filter(
					(t) => t >= begin && t <= last,
				),
			).sort();
			const values = moments.map(window);
			let best = values.reduce((a, b) => Math.max(a, b));
			// Between nodes the CO2 leaves the range of the nodes by less than that range, and so does its change in an hour.
			const range = 2 * (levels.reduce((a, b) => Math.max(a, b)) - levels.reduce((a, b) => Math.min(a, b)));
			for (let i = 1; i < moments.length; i++) {
				const [a, b] = [moments[i - 1]!, moments[i]!];
				if (values[i - 1]! + range * (b - a) <= best) continue;
				const rise = slope(a);
				// What rises no faster than at its start stays below this.
				if (!(rise > 0 && values[i - 1]! + rise * (b - a) > best) || slope(b) >= 0) continue;
				best = Math.max(best, window(findRoot(slope, a, b)));
			}
			return best / HOUR;
		},
	};
}

interface Node {
	readonly t: number;
	/** [ppm s] */
	readonly integral: number;
	/** Its slope [ppm]. */
	readonly level: number;
}

/** Cubic through two nodes and their slopes, a share of the way from one to the other. */
function cubic(a: Node, b: Node, u: number): number {
	const h = b.t - a.t;
	const v = 1 - u;
	return (
		v * v * (1 + 2 * u) * a.integral +
		u * u * (1 + 2 * v) * b.integral +
		h * u * v * (v * a.level - u * b.level)
	);
}

function cubicSlope(a: Node, b: Node, u: number): number {
	const v = 1 - u;
	const mean = b.t > a.t ? (b.integral - a.integral) / (b.t - a.t) : a.level;
	return 6 * u * v * mean + v * (v - 2 * u) * a.level + u * (u - 2 * v) * b.level;
}

/** Last of the ascending times that is not after `t`, the very last aside; likely at `near` or soon after it. */
function findPlace(times: readonly number[], t: number, near: number): number {
	let low = times[near]! <= t ? near : 0;
	let high = times.length - 1;
	for (let step = 1; low + step < high; step *= 2) {
		if (times[low + step]! > t) {
			high = low + step;
			break;
		}
		low += step;
	}
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if (times[middle]! <= t) low = middle;
		else high = middle;
	}
	return low;
}
