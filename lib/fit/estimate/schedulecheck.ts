import type { Model } from "../../model/chamber.ts";
import type { CycleSchedule, Schedule } from "../../model/schedule/schedule.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { whitener } from "../../statistics/autocorrelation.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { powerSpectrum } from "../../statistics/spectrum.ts";
import type { Waves } from "../../statistics/waves.ts";
import type { LackOfFit } from "../findings.ts";
import { createFitModel, type FitModel } from "../model/fitmodel.ts";
import type { FanHistory } from "../model/fitrun.ts";
import { MAX_TIMER_RATE_ERROR, subtractRunningMean } from "../model/phase.ts";
import { type Estimate, estimate, type FitSamples, listUsed } from "./estimate.ts";
import { isTooSlow, listInitials, thinSamples } from "./fitsearch.ts";
import { type Explained, type FoundFit, isPlain } from "./residualpatterns.ts";

/** Cycles of the reading whose sum of squares, over the noise's variance, is below this may be chance: a search over phase and rate finds some in any noise. */
const MIN_CYCLE_GAIN = 100;
/** A schedule hides its cycles when the scenario's own values would show them so many times as plainly. */
const MIN_HIDDEN = 10;
/** An on-time contradicts the schedule's from such a factor on: air that mixes slowly looks like a somewhat longer burst. */
const MIN_ON_TIME_FACTOR = 1.5;
/** Chi-square of the on-time from which it is gone after. */
const MIN_HINT = 4;
/** How the on-time moves the reading shows from this share of it more. */
const MAX_ON_TIME_STEP = 0.01;
/** Another schedule is named when it leaves so much less of the residuals. */
const MAX_RMS_SHARE = 0.8;
/** What leaves no more than so many times the least is as good. */
const MAX_AS_GOOD = 1.05;
const MAX_SAMPLES = 1000;
/** On-times that are tried are so many times the schedule's. */
const ON_TIMES = [0.1, 0.3, 3, 10] as const;
/** Periods that the log itself shows. */
const MAX_PERIODS = 4;
/** Values are seen on a grid of so many at most [a power of two], and waves of so many turns at least. */
const MAX_GRID = 1 << 15;
const MIN_TURNS = 4;

/** How much the cycles of a reading stand out of noise: their sum of squares, freed of autocorrelation, over the noise's variance; and their RMS [ppm]. */
function cycleGain(
	{ samples, found }: Pick<FoundFit, "samples" | "found">,
	reading: ArrayLike<number>,
	periodSeconds: number,
): { readonly gain: number; readonly ppm: number } {
	const used = listUsed(samples);
	const times = Float64Array.from(used, (i) => samples.timesSeconds[i]!);
	const { ppm: cycles } = subtractRunningMean(
		times,
		Float64Array.from(used, (i) => reading[i]!),
		periodSeconds,
	);
	const sum = () => cycles.reduce((total, one) => total + one * one, 0);
	const ppm = Math.sqrt(sum() / used.length);
	whitener(found.lag1Autocorrelation, samples.stepSeconds, 1, 1 / found.noisePpm)(
		times,
		0,
		used.length,
		cycles,
	);
	return { gain: sum(), ppm };
}

/** No cycle of the schedule shows in the log, where the scenario's own values would make it plain. */
export function findHiddenCycles(
	of: Pick<FoundFit, "model" | "samples"> & { readonly found: Estimate },
	planned: readonly Parameter[],
	{ onSeconds, offSeconds }: CycleSchedule,
): readonly LackOfFit[] {
	// A flow that is told so plainly is told by its cycles.
	const flow = planned.findIndex(({ name }) => name === "flow");
	const error = of.found.standardErrors[flow];
	if (error != null && of.found.least.values[flow]! ** 2 > MIN_CYCLE_GAIN * error ** 2) return [];
	const period = onSeconds + offSeconds;
	if (
		isTooSlow(of.samples.stepSeconds, period) ||
		cycleGain(of, of.found.readingPpm, period).gain > MIN_CYCLE_GAIN
	)
		return [];
	const initials = planned.map(({ initial }) => initial);
	const expected = cycleGain(of, predict(of.model, initials, of.samples), period);
	return expected.gain > MIN_HIDDEN * MIN_CYCLE_GAIN
		? [{ code: "no cycles", expectedPpm: expected.ppm }]
		: [];
}

/** A cycle that ran, and the model of the log under another. */
export interface Timer {
	readonly cycle: CycleSchedule;
	modelOf(schedule: Schedule): Pick<FitModel, "predict">;
}

/**
 * Bursts of another length explain a log better. How the on-time would move the reading hints at it; that is gone after only where it might
 * be so, by fits with much longer or shorter bursts.
 */
export function findOtherOnTime(
	{ samples, found }: { readonly samples: FitSamples; readonly found: Estimate },
	planned: readonly Parameter[],
	{ cycle, modelOf }: Timer,
	{ gain, values }: Explained,
): readonly LackOfFit[] {
	const longer = values.at(-1)!;
	if (gain < MIN_HINT || Math.abs(longer) < Math.log(MIN_ON_TIME_FACTOR)) return [];
	const lack: LackOfFit[] = [
		{ code: "other on-time", isLonger: longer > 0, scheduledSeconds: cycle.onSeconds },
	];
	if (isPlain(gain, 1)) return lack;
	const deviance = ({ noisePpm, lag1Autocorrelation }: Estimate): number =>
		(found.used / found.varianceInflation) * Math.log(noisePpm ** 2 * (1 - lag1Autocorrelation ** 2));
	const from = planned.map((one, k) => ({ ...one, initial: found.least.values[k]! }));
	const isBetter = (factor: number): boolean =>
		isPlain(deviance(found) - deviance(estimate(modelOf(withOnTime(cycle, factor)), samples, from)), 1);
	return listOnTimes(cycle).some((factor) => factor > 1 === longer > 0 && isBetter(factor)) ? lack : [];
}

function predict(
	model: Pick<FitModel, "predict">,
	values: ArrayLike<number>,
	{ timesSeconds }: Pick<FitSamples, "timesSeconds">,
): Float64Array {
	const all = new Float64Array(timesSeconds.length);
	model.predict(values, timesSeconds, [], ({ first, count, readingPpm }) =>
		all.set(readingPpm.subarray(0, count), first),
	);
	return all;
}

/** The same cycle with another on-time. */
export const withOnTime = (
	{ onSeconds, offSeconds, ...rest }: CycleSchedule,
	factor: number,
): CycleSchedule => ({
	...rest,
	onSeconds: factor * onSeconds,
	offSeconds: offSeconds + (1 - factor) * onSeconds,
});

const listOnTimes = ({ onSeconds, offSeconds }: CycleSchedule): readonly number[] =>
	ON_TIMES.filter((factor) => factor * onSeconds < onSeconds + offSeconds);

/** What a longer on-time does to the reading, per natural logarithm of it. */
export function onTimeWaves(
	{ cycle, modelOf }: Timer,
	found: Pick<Estimate, "least" | "readingPpm">,
	samples: FitSamples,
): Waves {
	const step = Math.min(MAX_ON_TIME_STEP, (0.5 * cycle.offSeconds) / cycle.onSeconds);
	const longer = predict(modelOf(withOnTime(cycle, 1 + step)), found.least.values, samples);
	const column = listUsed(samples).map((k) => (longer[k]! - found.readingPpm[k]!) / step);
	let next = 0;
	return {
		count: 1,
		fill(_, to, first) {
			to[first] = column[next++]!;
		},
	};
}

/**
 * Under which other schedule a log that the model does not follow was taken: another of the scenario, this one with another start or on-time or
 * with on and off exchanged, or one of a period that the log itself shows. The one that leaves least is named, where it is plainly less.
 */
export function findOtherSchedule(
	scenario: Scenario,
	base: Model,
	run: FanHistory,
	cycle: CycleSchedule,
	{
		samples,
		found,
		model,
	}: Pick<FoundFit, "samples" | "found"> & { readonly model: Pick<FitModel, "names"> },
	planned: readonly Parameter[],
): readonly LackOfFit[] {
	const few = thinSamples(samples, MAX_SAMPLES);
	const until = samples.timesSeconds.at(-1)!;
	const from = samples.timesSeconds[samples.excluded.indexOf(0)];
	/** RMS residual that a schedule leaves at best. */
	const leaves = (schedule: Schedule): number => {
		const other = createFitModel(base, { kind: "scheduled", schedule }, until, [], undefined, from);
		const seek = schedule.kind === "cycle" ? schedule : null;
		const parameters = other.names.map((name): Parameter => {
			const one = planned[Math.max(model.names.indexOf(name), 0)]!;
			return name === "phase" || name === "timerRateError"
				? { ...one, initial: 0, fixed: seek === null }
				: { ...one, name };
		});
		const starts = listInitials(parameters, base, { ...run, seek }, few, {});
		return Math.min(...starts.map((one) => estimate(other, few, one, false, 0).noisePpm));
	};
	const period = cycle.onSeconds + cycle.offSeconds;
	const tried: readonly { readonly schedule: Schedule; readonly as: Suspect }[] = [
		...scenario.schedules
			.filter(({ name, schedule }) => name !== run.scheduleName && schedule.kind !== "switches")
			.map(({ name, schedule }) => ({ schedule, as: { name } })),
		...(run.seek === null ? [{ schedule: cycle, as: "start" as const }] : []),
		{
			schedule: { ...cycle, onSeconds: cycle.offSeconds, offSeconds: cycle.onSeconds },
			as: "exchanged" as const,
		},
		...listOnTimes(cycle).map((factor) => ({
			schedule: withOnTime(cycle, factor),
			as: "on-time" as const,
		})),
		...findPeriods(samples, period).map((seconds) => {
			const onSeconds = Math.min(cycle.onSeconds, seconds / 3);
			return { schedule: { ...cycle, onSeconds, offSeconds: seconds - onSeconds }, as: "period" as const };
		}),
	];
	const own = found.noisePpm;
	const left = tried.map((one) => ({
		...one,
		rmsPpm:
			one.schedule.kind === "cycle" &&
			isTooSlow(samples.stepSeconds, one.schedule.onSeconds + one.schedule.offSeconds)
				? Number.POSITIVE_INFINITY
				: leaves(one.schedule),
	}));
	// Of those that are as good the first, which changes least.
	const least = Math.min(...left.map(({ rmsPpm }) => rmsPpm));
	const best = left.find(({ rmsPpm }) => rmsPpm <= MAX_AS_GOOD * least)!;
	if (!(best.rmsPpm < MAX_RMS_SHARE * own)) return [];
	const rms = { rmsPpm: best.rmsPpm, ownRmsPpm: own };
	if (typeof best.as !== "string") return [{ code: "other schedule", name: best.as.name, ...rms }];
	const { onSeconds, offSeconds } = best.schedule as CycleSchedule;
	return [{ code: "other cycle", change: best.as, onSeconds, offSeconds, scheduled: cycle, ...rms }];
}

type Suspect = { readonly name: string } | Extract<LackOfFit, { readonly code: "other cycle" }>["change"];

/** The periods other than the schedule's by which a log repeats most plainly [s]. */
function findPeriods(samples: FitSamples, scheduledSeconds: number): readonly number[] {
	const used = listUsed(samples);
	const [begin, end] = [samples.timesSeconds[used[0]!]!, samples.timesSeconds[used.at(-1)!]!];
	const { times, ppm } = subtractRunningMean(
		Float64Array.from(used, (i) => samples.timesSeconds[i]!),
		Float64Array.from(used, (i) => samples.co2Ppm[i]!),
		(end - begin) / MIN_TURNS,
	);
	const step = Math.max(samples.stepSeconds, (end - begin) / MAX_GRID);
	const sums = new Float64Array(Math.round((end - begin) / step) + 1);
	for (const [k, time] of times.entries()) sums[Math.round((time - begin) / step)]! += ppm[k]!;
	const power = powerSpectrum(sums);
	const padded = 2 * power.length * step;
	const isPeak = (k: number) => power[k]! > power[k - 1]! && power[k]! >= (power[k + 1] ?? 0);
	return Array.from({ length: power.length - 1 }, (_, k) => k + 1)
		.filter((k) => isPeak(k) && k * (end - begin) >= MIN_TURNS * padded)
		.map((k) => ({ seconds: padded / k, power: power[k]! }))
		.filter(({ seconds }) => Math.abs(seconds / scheduledSeconds - 1) > MAX_TIMER_RATE_ERROR)
		.sort((a, b) => b.power - a.power)
		.slice(0, MAX_PERIODS)
		.map(({ seconds }) => seconds);
}
