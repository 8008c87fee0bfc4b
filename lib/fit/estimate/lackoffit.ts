import { power } from "../../power.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { type Waves, wavesOf } from "../../statistics/waves.ts";
import type { LackOfFit } from "../findings.ts";
import type { FitModel } from "../model/fitmodel.ts";
import { type Estimate, listUsed } from "./estimate.ts";
import {
	collectPatterns,
	type FoundFit,
	isPlain,
	PLAIN_Z,
	type ResidualPatterns,
} from "./residualpatterns.ts";
import { noiseBeside, roundingPpm } from "./rounding.ts";
import { findHiddenCycles, findOtherOnTime, type Timer } from "./schedulecheck.ts";

/** Independent readings that a fit needs, and as many more for each parameter that is found. */
const MIN_INDEPENDENT = 6;
const MIN_INDEPENDENT_PER_PARAMETER = 1.5;
/** Residuals still so alike once the sensor has forgotten are no noise; it forgets within its response, and not faster than this [s]. */
const MAX_MEMORY = 0.95;
const MIN_FORGETTING_SECONDS = 60;
/** Residuals below this share of the sensor's accuracy are as good as none. */
const MIN_SEEN_SHARE = 0.01;
/** A pattern matters when it is no smaller than this share of the sensor's accuracy. */
const MIN_PATTERN_SHARE = 0.1;
/** Halves of a log contradict each other when a value differs by this share, too. */
const MIN_HALVES_SHARE = 0.15;
/** A value contradicts what was known of it from so many standard deviations on. */
const MAX_PRIOR_DEVIATIONS = 4;
/** Waves over the log and over a cycle. */
const SLOW_WAVES = 8;
const CYCLE_WAVES = 4;
const MIN_BURSTS = 4;
/** Means of parts are looked at for runs when each is so many times as long as the noise remembers. */
const MEMORIES_PER_PART = 6;
const MIN_PARTS = 12;
/** What the halves of a log are compared in, and what may be 0 in a sound chamber. */
const HALVED: readonly string[] = ["generation", "flow"];
const NATURALLY_ZERO: readonly string[] = ["leak", "response"];

/**
 * What of the residuals of a fit is no noise: slow waves over the log, waves over a cycle, another value of a parameter for the second
 * half of the log, a bound against which the search pushes, runs, and noise that remembers so long that hardly anything is left of it.
 *
 * Source: this project; each pattern by an F test beside the parameters, freed of autocorrelation.
 */
export function findLackOfFit(
	of: FoundFit & {
		readonly model: Pick<FitModel, "predict" | "names">;
		readonly planned: readonly Parameter[];
		readonly patterns: ResidualPatterns;
		/** Steps in which the sensor shows CO2; 0 for none. */
		readonly stepPpm: number;
		readonly timer: Timer | null;
		readonly found: Estimate;
	},
	bursts: readonly { readonly startSeconds: number }[],
	responseSeconds: number,
	accuracyPpm: number,
): readonly LackOfFit[] {
	const { model, samples, found, free, planned, patterns, stepPpm, timer } = of;
	const { least, lag1Autocorrelation: rho, varianceInflation } = found;
	const { stepSeconds, timesSeconds } = samples;
	const used = listUsed(samples);
	const lack: LackOfFit[] = [];

	const sought = free.filter((k) => !/^initial|^generation of day ([2-9]|1\d)/.test(model.names[k]!)).length;
	const needed = MIN_INDEPENDENT + MIN_INDEPENDENT_PER_PARAMETER * sought;
	const effective = (used.length * (1 - rho)) / (1 + rho) / varianceInflation;
	// Residuals that no sensor could show may be as alike as they like.
	const isSeen = used.some((i) => Math.abs(found.residuals[i]!) > MIN_SEEN_SHARE * accuracyPpm);
	if (isSeen && effective < needed) lack.push({ code: "few independent readings", effective, needed });
	const apartSeconds = Math.max(MIN_FORGETTING_SECONDS, responseSeconds, stepSeconds);
	const memory = rho > 0 ? power(rho, apartSeconds / stepSeconds) : 0;
	if (isSeen && memory > MAX_MEMORY)
		lack.push({ code: "autocorrelation near 1", correlation: memory, apartSeconds });

	const [begin, end] = [timesSeconds[used[0]!]!, timesSeconds[used.at(-1)!]!];
	const shown = ({ count, fill }: Waves): number => {
		const [sums, row] = [new Float64Array(count), new Float64Array(count)];
		for (const i of used) {
			fill(timesSeconds[i]!, row, 0, 1);
			for (let k = 0; k < count; k++) sums[k]! += row[k]! * found.residuals[i]!;
		}
		return Math.hypot(...sums) / used.length;
	};
	// What is rounded alike cycle by cycle makes a pattern, too, and by no more than a half of the step where noise leaves it whole.
	const rounded = Math.sqrt(3) * roundingPpm(stepPpm, noiseBeside(stepPpm, found.noisePpm));
	const minPpm = Math.max(MIN_PATTERN_SHARE * accuracyPpm, rounded);
	// How large a pattern is shows in the residuals alone; only of one that matters it is asked whether chance makes it.
	const look = (code: "slow pattern" | "cycle pattern", waves: Waves, gain: () => number): void => {
		const ppm = shown(waves);
		if (ppm > minPpm && isPlain(gain(), waves.count)) lack.push({ code, ppm });
	};
	const slow = wavesOf((time) => (Math.PI * (time - begin)) / (end - begin), SLOW_WAVES, false);
	look("slow pattern", slow, () => patterns.slow(slow).gain);
	const phase = cyclePhase(bursts);
	if (phase !== null) {
		const cycle = wavesOf((time) => 2 * Math.PI * phase(time), CYCLE_WAVES, true);
		look("cycle pattern", cycle, () => collectPatterns(of, [0], cycle).named().gain);
	}

	const halved =
		phase === null ? [] : free.filter((k) => HALVED.includes(model.names[k]!) && !least.isAtBound[k]);
	if (halved.length > 0) {
		const { gain, ppm, firsts, differences } = patterns.halves(halved);
		const share = (i: number) => Math.abs(differences[i]! / (firsts[i]! + differences[i]! / 2));
		const worst = halved.map((_, i) => i).reduce((a, b) => (share(b) > share(a) ? b : a));
		if (isPlain(gain, halved.length) && ppm > rounded && share(worst) > MIN_HALVES_SHARE)
			lack.push({
				code: "contradicting halves",
				name: model.names[halved[worst]!]!,
				first: firsts[worst]!,
				second: firsts[worst]! + differences[worst]!,
			});
	}
	for (const k of free) {
		const { prior } = planned[k]!;
		const value = least.values[k]!;
		if (prior !== undefined && Math.abs(value - prior.mean) > MAX_PRIOR_DEVIATIONS * prior.standardDeviation)
			lack.push({
				code: "against prior",
				name: model.names[k]!,
				value,
				expected: prior.mean,
				standardDeviation: prior.standardDeviation,
			});
	}
	for (const k of free.filter((k) => least.isAtBound[k])) {
		const name = model.names[k]!;
		const isNatural = least.values[k] === 0 && NATURALLY_ZERO.includes(name);
		const beyond = patterns.released(k);
		if (!isNatural || (isPlain(beyond.gain, 1) && beyond.ppm > rounded))
			lack.push({ code: "at bound", name });
	}
	if (timer !== null) {
		lack.push(
			...findHiddenCycles(of, planned, timer.cycle),
			...findOtherOnTime(of, planned, timer, patterns.named()),
		);
	}
	const memories = rho > 0 ? -stepSeconds / Math.log(rho) : 0;
	const parts = Math.min(
		patterns.edges.length,
		Math.floor((end - begin) / (MEMORIES_PER_PART * Math.max(memories, stepSeconds / 2))),
	);
	const runs = parts < MIN_PARTS ? null : countRuns(used, found.residuals, parts);
	if (runs !== null && runs.ppm > minPpm && runs.z < -PLAIN_Z)
		lack.push({ code: "runs", runs: runs.runs, expected: runs.expected });
	return lack;
}

/** Turns since a burst began [-], from burst to burst; null where there are too few. */
function cyclePhase(bursts: readonly { readonly startSeconds: number }[]): ((time: number) => number) | null {
	if (bursts.length < MIN_BURSTS) return null;
	const starts = bursts.map(({ startSeconds }) => startSeconds);
	const usual = (starts.at(-1)! - starts[1]!) / (starts.length - 2);
	let k = 0;
	return (time) => {
		if (time < starts[k]!) k = 0;
		while (k + 1 < starts.length && starts[k + 1]! <= time) k++;
		return (time - starts[k]!) / ((starts[k + 1] ?? starts[k]! + usual) - starts[k]!);
	};
}

/** Runs of means of equal sign (Wald and Wolfowitz): how many there are and should be, how far off, and the size of the means. */
function countRuns(used: readonly number[], residuals: ArrayLike<number>, parts: number) {
	const means = Array.from({ length: parts }, (_, k) => {
		const of = used.slice(Math.floor((k * used.length) / parts), Math.floor(((k + 1) * used.length) / parts));
		return of.reduce((sum, i) => sum + residuals[i]!, 0) / of.length;
	});
	const up = means.filter((one) => one > 0).length;
	const down = parts - up;
	const runs = means.reduce((sum, one, k) => sum + (k === 0 || one > 0 !== means[k - 1]! > 0 ? 1 : 0), 0);
	const twice = (2 * up * down) / parts;
	const expected = twice + 1;
	const variance = (twice * (twice - 1)) / (parts - 1);
	return {
		runs,
		expected,
		z: variance > 0 ? (runs - expected) / Math.sqrt(variance) : 0,
		ppm: Math.sqrt(means.reduce((sum, one) => sum + one * one, 0) / parts),
	};
}
