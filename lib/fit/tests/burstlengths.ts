import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import { formatDuration } from "../../units/format.ts";

/** A burst that a fan column shows [s since the first sample]. */
export interface ColumnBurst {
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/** Longer and shorter bursts differ in air changes by their lengths' ratio, within these factors: a fan that speeds up parts them more. */
const MIN_RATIO = 0.6;
const MAX_RATIO = 4;
/** A burst that is further off, as a difference of logarithms, counts no more against a pair of levels. */
const MAX_COST = 0.35;
/** Lengths that a column shows are the same within so many of its samples, and that which was named when it is as near as that. */
const SAME = 1.01;
const NEAR = 1.5;

/** Whole bursts of a fan column that can be trusted; null without one. */
export function findColumnBursts({ fan }: Pick<CleanSeries, "fan">): readonly ColumnBurst[] | null {
	if (fan === null) return null;
	const switchesSeconds = fan.onAtStart ? fan.switchesSeconds.slice(1) : fan.switchesSeconds;
	return Array.from({ length: switchesSeconds.length >> 1 }, (_, k) => ({
		fromSeconds: switchesSeconds[2 * k]!,
		toSeconds: switchesSeconds[2 * k + 1]!,
	}));
}

/**
 * On-times of a column's bursts [s]. Its samples blur each by a step, so a named length that near is taken, else the mean of those alike.
 */
export function groupLengths(
	bursts: readonly ColumnBurst[],
	named: readonly number[],
	stepSeconds: number,
): readonly number[] {
	const logged = bursts.map(({ fromSeconds, toSeconds }) => toSeconds - fromSeconds);
	const sorted = [...logged].sort((a, b) => a - b);
	const groups: number[][] = [];
	for (const length of sorted) {
		const last = groups.at(-1);
		if (last !== undefined && length - last.at(-1)! <= SAME * stepSeconds) last.push(length);
		else groups.push([length]);
	}
	return logged.map((length) => {
		const near = named.filter((one) => Math.abs(one - length) <= NEAR * stepSeconds);
		if (near.length > 0) return near.reduce((a, b) => (Math.abs(b - length) < Math.abs(a - length) ? b : a));
		const alike = groups.find((group) => group.includes(length))!;
		return Number((alike.reduce((sum, one) => sum + one, 0) / alike.length).toFixed(1));
	});
}

/**
 * The one or two on-times that were named, each once, ascending.
 * @throws InputError when there are none, more, or none above 0 s
 */
export function checkLengths(onSeconds: readonly number[]): readonly number[] {
	const lengths = [...new Set(onSeconds)].sort((a, b) => a - b);
	if (lengths.length === 0 || lengths.length > 2 || lengths.some((length) => !(length > 0)))
		throw new InputError("counted bursts need one or two on-times above 0 s");
	return lengths;
}

/**
 * Which of two named on-times each burst had [s]: by the two levels of air changes, as far apart as the lengths let expect, that most bursts lie near.
 * @throws InputError when all bursts change the air alike
 */
export function assignLengths(airChanges: readonly number[], lengths: readonly number[]): readonly number[] {
	const [short, long] = [lengths[0]!, lengths[1]];
	if (long === undefined) return airChanges.map(() => short);
	const ratio = long / short;
	const off = (n: number, level: number) => Math.abs(Math.log(Math.max(n, Number.MIN_VALUE) / level));
	let best: { low: number; high: number; cost: number } | null = null;
	for (const low of airChanges)
		for (const high of airChanges) {
			if (!(low > 0 && high >= MIN_RATIO * ratio * low && high > low && high <= MAX_RATIO * ratio * low))
				continue;
			const cost = airChanges.reduce((sum, n) => sum + Math.min(off(n, low), off(n, high), MAX_COST), 0);
			if (best === null || cost < best.cost) best = { low, high, cost };
		}
	if (best === null)
		throw new InputError(
			`bursts of ${formatDuration(short)} and ${formatDuration(long)} are named, but all bursts of the log give similar air changes (${Math.min(...airChanges).toFixed(2)} to ${Math.max(...airChanges).toFixed(2)}); name their one length`,
		);
	const { low, high } = best;
	return airChanges.map((n) => (off(n, low) <= off(n, high) ? short : long));
}
