import { InputError } from "../../errors.ts";
import { studentQuantile } from "../../statistics/student.ts";
import type { OutlierReason } from "../fittypes.ts";
import { type BurstRegression, type BurstRegressionInput, regressBursts } from "./burstregression.ts";

/** A counted burst before it is known whether it belongs with the others. */
export interface CountedBurst {
	/** [s]; null for a fall in which the fan did not run. */
	readonly onSeconds: number | null;
	/** CO2 before it, above the air drawn in as the file has it [ppm]. */
	readonly excessPpm: number;
	/** [-] */
	readonly airChanges: number;
}

export interface BurstScreening {
	/** What the bursts that belong together say. */
	readonly regression: BurstRegression;
	/** Places of those bursts. */
	readonly counted: readonly number[];
	/** Why a burst is excluded; null when it counts. */
	readonly reasons: readonly (OutlierReason | null)[];
}

/** Fewest bursts that can say which of them is strange, and the greatest share that may be. */
const MIN_BURSTS = 4;
const MAX_OUTLIER_SHARE = 1 / 3;
/** A strange burst is off by so many of its errors, as rarely as that happens by chance, and by this share. */
const MIN_SIGMAS = 4;
const SIGNIFICANCE = 0.0005;
const MIN_DEVIATION = 0.1;
/** The furthest ones are looked at one by one. */
const MAX_TRIED = 3;
/** Below this share of what was expected the fan hardly ran. */
const MAX_STALLED_RATIO = 0.25;

/**
 * Judges which bursts follow one law. One that is plainly off what the others say of its length, in errors and in per cent, is left out, the furthest first.
 * @param covariance of the air changes; NaN where no error can be had
 * @throws InputError when no burst has an error
 */
export function screenBursts(
	bursts: readonly CountedBurst[],
	covariance: readonly (readonly number[])[],
	asked: BurstRegressionInput,
): BurstScreening {
	const regress = (places: readonly number[]) =>
		regressBursts(
			{
				onSeconds: places.map((k) => bursts[k]!.onSeconds!),
				excessPpm: places.map((k) => bursts[k]!.excessPpm),
				airChanges: places.map((k) => bursts[k]!.airChanges),
				covariance: places.map((i) => places.map((j) => covariance[i]![j]!)),
			},
			asked,
		);
	const reasons = bursts.map(({ onSeconds }, k): OutlierReason | null =>
		onSeconds === null
			? { code: "no burst in the fan column" }
			: Number.isFinite(covariance[k]![k]!)
				? null
				: { code: "too few samples" },
	);
	let counted = bursts.flatMap((_, k) => (reasons[k] === null ? [k] : []));
	if (counted.length === 0)
		throw new InputError(
			"no burst of this log has enough samples before and after it; use a shorter sampling interval, or wait longer between bursts",
		);
	let regression = regress(counted);
	const most = Math.floor(MAX_OUTLIER_SHARE * counted.length);
	for (let left = 0; left < most && counted.length >= MIN_BURSTS; left++) {
		const off = (k: number, by: BurstRegression) => {
			const { onSeconds, excessPpm, airChanges } = bursts[k]!;
			const { airChanges: expected, jacobian } = by.predictSeenAir(onSeconds!, excessPpm);
			const own = covariance[k]![k]! + by.betweenBurstSd ** 2;
			const ofRegression = jacobian.reduce(
				(sum, a, i) => sum + jacobian.reduce((part, b, j) => part + a * b * by.covariance[i]![j]!, 0),
				0,
			);
			return {
				k,
				by: airChanges - expected,
				sigmas: Math.abs(airChanges - expected) / Math.sqrt(own + ofRegression),
				expected,
			};
		};
		const outlier = counted
			.map((k) => off(k, regression))
			.sort((a, b) => b.sigmas - a.sigmas)
			.slice(0, MAX_TRIED)
			.flatMap(({ k }) => {
				const others = counted.filter((j) => j !== k);
				// The only one of its length cannot be told from that length.
				if (!others.some((j) => bursts[j]!.onSeconds === bursts[k]!.onSeconds)) return [];
				const without = regress(others);
				const limit =
					without.betweenBurstSd > 0
						? Math.max(studentQuantile(1 - SIGNIFICANCE, Math.max(without.degreesOfFreedom, 1)), MIN_SIGMAS)
						: MIN_SIGMAS;
				const one = off(k, without);
				return one.sigmas > limit && Math.abs(one.by) > MIN_DEVIATION * one.expected
					? [{ ...one, over: one.sigmas / limit, without, others }]
					: [];
			})
			.sort((a, b) => b.over - a.over)[0];
		if (outlier === undefined) break;
		reasons[outlier.k] = classifyOutlier(bursts[outlier.k]!.airChanges / outlier.expected);
		regression = outlier.without;
		counted = outlier.others;
	}
	return { regression, counted, reasons };
}

const classifyOutlier = (ratio: number): OutlierReason => ({
	code: ratio < MAX_STALLED_RATIO ? "fan hardly ran" : ratio < 1 ? "too little air" : "too much air",
	ratio,
});
