import { covarianceOf } from "../statistics/covariance.ts";
import { triangle } from "../statistics/triangle.ts";

/** One burst as a log of an empty, dosed chamber shows it. */
export interface CountedBurst {
	/** Begin of the fall [s]. */
	readonly atSeconds: number;
	/** CO2 before and after, the plateaus on both sides carried on to that instant [ppm]. */
	readonly beforePpm: number;
	readonly afterPpm: number;
	/** ln((before - supply)/(after - supply)), and its standard error from the scatter on the plateaus [-]. */
	readonly airChanges: number;
	readonly standardError: number;
}

/** A straight piece between two falls. */
export interface Plateau {
	readonly fromSeconds: number;
	readonly toSeconds: number;
	/** Value at `fromSeconds` [ppm], slope [ppm/s]. */
	readonly ppm: number;
	readonly slope: number;
}

/** Samples that a plateau needs for a straight line with an error. */
const FEWEST = 4;
/** Time constants of the sensor after which what is left of its answer to a burst is a plain exponential. */
const ANSWERED = 1.5;
/** A fall stands out by so many standard deviations of the noise, and by this share of the excess. */
const PLAIN = 4;
const LEAST_SHARE = 0.05;

/**
 * Finds the bursts in a log of CO2 that falls in steps, and the air changes of each:
 * n = ln((C_before - Cs)/(C_after - Cs)), both taken from straight lines through the plateaus, so that leak or crop between the bursts
 * and the wait for the sensor are accounted for.
 *
 * @param supplyPpm CO2 of the air drawn in, as this sensor shows it [ppm]
 * @param responseSeconds time constant of the sensor [s]; the rest of its answer to a burst is fitted beside the plateau
 */
export function countBursts(
	timesSeconds: ArrayLike<number>,
	co2Ppm: ArrayLike<number>,
	excluded: ArrayLike<number>,
	supplyPpm: number,
	responseSeconds = 0,
): { readonly bursts: readonly CountedBurst[]; readonly plateaus: readonly Plateau[] } {
	const used = Array.from({ length: timesSeconds.length }, (_, i) => i).filter((i) => excluded[i] === 0);
	const t = used.map((i) => timesSeconds[i]!);
	const y = used.map((i) => co2Ppm[i]!);
	const noise = stepNoise(y);
	const step = (t.at(-1)! - t[0]!) / Math.max(t.length - 1, 1);
	const span = Math.max(1, Math.round(responseSeconds / step));
	const falls = fallsOf(y, span, noise, supplyPpm);
	const lines: Line[] = [];
	let from = 0;
	for (const end of [...falls.map(({ first }) => first), y.length - 1]) {
		lines.push(line(t, y, from, end, lines.length > 0 ? responseSeconds : 0));
		const fall = falls[lines.length - 1];
		if (fall === undefined) break;
		const next = falls[lines.length]?.first ?? y.length - 1;
		from = fall.last;
		while (t[from]! < t[fall.first]! + ANSWERED * responseSeconds && next - from >= FEWEST) from++;
	}
	const bursts = falls.flatMap(({ first }, k): CountedBurst[] => {
		const [before, after] = [lines[k]!, lines[k + 1]!];
		const atSeconds = t[first]!;
		const [cb, ca] = [before.at(atSeconds), after.at(atSeconds)];
		if (before.count < FEWEST || after.count < FEWEST || !(ca.ppm > supplyPpm) || !(cb.ppm > ca.ppm))
			return [];
		return [
			{
				atSeconds,
				beforePpm: cb.ppm,
				afterPpm: ca.ppm,
				airChanges: Math.log((cb.ppm - supplyPpm) / (ca.ppm - supplyPpm)),
				standardError: Math.hypot(
					cb.standardError / (cb.ppm - supplyPpm),
					ca.standardError / (ca.ppm - supplyPpm),
				),
			},
		];
	});
	return {
		bursts,
		plateaus: lines
			.filter(({ count }) => count >= FEWEST)
			.map(({ fromSeconds, toSeconds, at, slope }) => ({
				fromSeconds,
				toSeconds,
				ppm: at(fromSeconds).ppm,
				slope,
			})),
	};
}

/** Standard deviation of the noise [ppm], from the median of second differences, which neither plateaus nor falls disturb. */
function stepNoise(y: readonly number[]): number {
	const second = y.slice(2).map((value, i) => Math.abs(value - 2 * y[i + 1]! + y[i]!));
	const median = second.sort((a, b) => a - b)[second.length >> 1] ?? 0;
	// Median of |N(0, 6 σ²)| is 0.6745 √6 σ; below half a ppm lies the rounding of the display.
	return Math.max(median / (0.6745 * Math.sqrt(6)), 0.5);
}

/**
 * Falls, as indices of the last sample before and the first sample after. A fall goes down, over the time in which the sensor
 * answers, plainly more than the log usually does over that time.
 */
function fallsOf(
	y: readonly number[],
	span: number,
	noise: number,
	supplyPpm: number,
): readonly { readonly first: number; readonly last: number }[] {
	const down = y.map((value, i) => (i < span ? 0 : y[i - span]! - value));
	const usual = down.slice(span).sort((a, b) => a - b)[(y.length - span) >> 1] ?? 0;
	const falls: { first: number; last: number }[] = [];
	for (let i = span; i < y.length; i++) {
		const least = Math.max(PLAIN * Math.SQRT2 * noise, LEAST_SHARE * (y[i - span]! - supplyPpm));
		if (!(down[i]! - usual > least)) continue;
		const open = falls.at(-1);
		// One sample that the noise held up does not end a fall.
		if (open !== undefined && i - open.last <= 2) open.last = i;
		else falls.push({ first: i - span, last: i });
	}
	return falls.map(({ first, last }) => {
		let begin = first;
		while (begin + 1 < last && y[begin]! - y[begin + 1]! < noise) begin++;
		return { first: begin, last };
	});
}

interface Line {
	readonly fromSeconds: number;
	readonly toSeconds: number;
	readonly count: number;
	readonly slope: number;
	at(seconds: number): { readonly ppm: number; readonly standardError: number };
}

/**
 * Straight line through samples `from` to `to`, ends included; after a fall with what is left of the sensor's answer beside it:
 * S = a + b (t - t0) + c e^-(t - t0)/τ, of which the line alone is the air.
 */
function line(
	t: readonly number[],
	y: readonly number[],
	from: number,
	to: number,
	answerSeconds: number,
): Line {
	const count = to - from + 1;
	const start = t[from]!;
	const columns = answerSeconds > 0 && count > FEWEST ? 3 : 2;
	const fold = triangle(columns);
	const row = new Float64Array(columns);
	for (let i = from; i <= to; i++) {
		row[0] = 1;
		row[1] = t[i]! - start;
		if (columns === 3) row[2] = Math.exp(-(t[i]! - start) / answerSeconds);
		fold.add(y[i]!, row);
	}
	const { r, qtr } = fold.finish();
	const values = new Float64Array(columns);
	let explained = 0;
	for (let i = columns - 1; i >= 0; i--) {
		let left = qtr[i]!;
		for (let j = i + 1; j < columns; j++) left -= r[i * columns + j]! * values[j]!;
		const diagonal = r[i * columns + i]!;
		values[i] = diagonal === 0 ? 0 : left / diagonal;
		explained += qtr[i]! ** 2;
	}
	const variance = Math.max(fold.sumOfSquares() - explained, 0) / Math.max(count - columns, 1);
	const { covariance } = covarianceOf(r, columns, variance);
	const [level, slope] = [values[0]!, values[1]!];
	return {
		fromSeconds: start,
		toSeconds: t[to]!,
		count,
		slope,
		at: (seconds) => {
			const far = seconds - start;
			const [aa, ab, bb] = [covariance[0]![0]!, covariance[0]![1]!, covariance[1]![1]!];
			return {
				ppm: level + slope * far,
				standardError: Math.sqrt(Math.max(aa + 2 * far * ab + far * far * bb, 0)),
			};
		},
	};
}
