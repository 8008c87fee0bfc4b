import { HOUR } from "../time.ts";
import type { SolutionSegment } from "./propagate/solutionsegment.ts";

/** Nodes in a long piece; a short one needs none but its ends. */
const NODES = 24;

/** Highest mean over any window of one hour, gathered piece by piece. */
export interface MaxHourlyMean {
	add(solution: SolutionSegment): void;
	/** @param repeats the pieces are one period of a regime, so a window may run on into the next one */
	meanPpm(repeats: boolean): number;
}

/**
 * Keeps the integral I of the CO2 at nodes that crowd after each switch and searches the largest I(t + 1 h) - I(t).
 * Between nodes I is a cubic with the true slopes (which are the CO2 itself); the error is far below 0.001 ppm of the mean.
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
			const nodes = solution.isShort ? 1 : NODES;
			for (let j = 0; j < nodes; j++) {
				const t = solution.durationSeconds * (j / nodes) ** 3;
				times.push(solution.startSeconds + t);
				integrals.push(total + (t === 0 ? 0 : solution.integralTo(state, t)));
				levels.push(solution.ppmAt(state, t));
			}
			end = solution.startSeconds + solution.durationSeconds;
			total += solution.integralTo(state, solution.durationSeconds);
			atEnd = solution.ppmAt(state, solution.durationSeconds);
		},
		meanPpm(repeats) {
			const begin = times[0]!;
			const span = end - begin;
			if (span < HOUR && !repeats) return total / span;
			if (repeats && Math.abs(HOUR / span - Math.round(HOUR / span)) < 1e-9) return total / span;
			times.push(end);
			integrals.push(total);
			levels.push(atEnd);
			const integralAt = (t: number): number => {
				const turns = repeats ? Math.floor((t - begin) / span) : 0;
				const local = t - turns * span;
				return turns * total + cubic(times, integrals, levels, local);
			};
			const window = (t: number) => integralAt(t + HOUR) - integralAt(t);
			const last = repeats ? end : end - HOUR;
			let best = Number.NEGATIVE_INFINITY;
			let at = begin;
			for (const node of times)
				for (const t of [
					node,
					node - HOUR + (repeats && node - HOUR < begin ? span * Math.ceil((begin - node + HOUR) / span) : 0),
				]) {
					if (t < begin || t > last) continue;
					const value = window(t);
					if (value > best) [best, at] = [value, t];
				}
			// The best node is next to the best window; walk up from there.
			for (let step = Math.min(span, HOUR) / 64; step > 1e-6; step /= 2)
				for (const t of [at - step, at + step])
					if (t >= begin && t <= last && window(t) > best) [best, at] = [window(t), t];
			return best / HOUR;
		},
	};
}

/** Cubic through the neighbours' values and slopes. */
function cubic(x: number[], y: number[], slope: number[], at: number): number {
	let low = 0;
	let high = x.length - 1;
	while (high - low > 1) {
		const middle = (low + high) >> 1;
		if (x[middle]! <= at) low = middle;
		else high = middle;
	}
	const h = x[high]! - x[low]!;
	if (h === 0) return y[low]!;
	const u = (at - x[low]!) / h;
	const v = 1 - u;
	return (
		v * v * (1 + 2 * u) * y[low]! +
		u * u * (1 + 2 * v) * y[high]! +
		h * u * v * (v * slope[low]! - u * slope[high]!)
	);
}
