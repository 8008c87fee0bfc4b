import { InputError } from "../../errors.ts";
import type { Model } from "../../model/chamber.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { formatDuration } from "../../units/units.ts";
import type { FitOptions } from "../fittypes.ts";
import type { FitModel } from "../model/fitmodel.ts";
import type { Run } from "../model/fitrun.ts";
import { findTimerClock } from "../model/phase.ts";
import { type Estimate, estimate, type Samples } from "./estimate.ts";

/** A fit that explains less than this share of the log's variance is tried from elsewhere too. */
const GOOD = 0.9;
/** @throws InputError when there are fewer samples than parameters and some */
export function checkEnough(parameters: readonly Parameter[], samples: Samples): void {
	const { excluded } = samples;
	if (varianceOf(samples) === 0)
		throw new InputError(
			"the log shows one and the same CO2 all the time, so it tells nothing; look at the sensor and its logger",
		);
	const free = parameters.filter(({ fixed }) => fixed !== true).length;
	const used = excluded.reduce((sum, code) => sum + (code === 0 ? 1 : 0), 0);
	if (used < free + 3)
		throw new InputError(
			`${used} usable samples cannot tell ${free} parameters; log longer or at a shorter step, fix some (--fix), or keep more samples (--keep)`,
		);
}

/** Starting points: every likely phase of the timer, from the scenario's values scaled to the level of the log. */
export function starts(
	first: readonly Parameter[],
	base: Model,
	run: Run,
	samples: Samples,
	options: FitOptions,
): readonly (readonly Parameter[])[] {
	if (run.seek === null) return [first];
	const at = (name: string) => first.find((one) => one.name === name);
	const seekDrift = at("drift")!.fixed !== true;
	const used = samples.co2Ppm.map((ppm, i) => (samples.excluded[i] === 0 ? ppm : Number.NaN));
	const period = run.seek.onSeconds + run.seek.offSeconds;
	if (samples.stepSeconds > period / 2.5)
		throw new InputError(
			`a sample every ${formatDuration(samples.stepSeconds)} cannot show when cycles of ${formatDuration(period)} begin; log at ${formatDuration(period / 10)} or faster, or say when a cycle began (--phase)`,
		);
	const clocks = findTimerClock(
		{
			volumeM3: base.volumeM3,
			supplyPpm: base.supplyPpm,
			mixing: base.mixing ?? 1,
			fanM3PerS: at("flow")!.start,
			leakM3PerS: at("leak")!.start,
			sources: [base.generationM3PerS],
			lagSeconds: at("lag")!.start,
			offsetPpm: 0,
			startPpm: base.supplyPpm,
			readingPpm: base.supplyPpm,
		},
		base,
		run.seek,
		samples.timesSeconds,
		used,
		samples.stepSeconds,
		seekDrift && options.fix?.drift === undefined,
	);
	return clocks.map((clock) =>
		first.map((one) =>
			one.name === "phase"
				? { ...one, start: clock.phaseSeconds }
				: one.name === "drift" && one.fixed !== true
					? { ...one, start: clock.drift }
					: one,
		),
	);
}

/**
 * The best of the fits from several starts. More starts are tried where the first explains the log badly, or has lost the lag
 * altogether: a burst between two samples leaves a false minimum there.
 */
export function best(model: FitModel, samples: Samples, from: readonly (readonly Parameter[])[]): Estimate {
	const variance = varianceOf(samples);
	let found: Estimate | null = null;
	const take = (parameters: readonly Parameter[]): boolean => {
		const one = estimate(model, samples, parameters);
		if (found === null || one.noisePpm < found.noisePpm) found = one;
		const lagLost = found.least.atBound[model.names.indexOf("lag")]! && free("lag");
		return found.noisePpm ** 2 <= (1 - GOOD) * variance && !lagLost;
	};
	const scaled = (parameters: readonly Parameter[], flow: number, lag: number) =>
		parameters.map((one) =>
			one.fixed === true
				? one
				: one.name === "flow"
					? { ...one, start: one.start * flow }
					: one.name === "lag"
						? { ...one, start: one.start * lag }
						: one,
		);
	const free = (name: string) => from[0]!.some((one) => one.name === name && one.fixed !== true);
	const scales: (readonly [number, number])[] = [[1, 1]];
	if (free("flow")) scales.push([0.35, 1], [2.5, 1]);
	if (free("lag")) scales.push([1, 0.3], [1, 3]);
	search: for (const [flow, lag] of scales)
		for (const parameters of from) if (take(scaled(parameters, flow, lag))) break search;
	return found!;
}

/** Variance of the samples that count [ppm2]. */
export function varianceOf({ co2Ppm, excluded }: Pick<Samples, "co2Ppm" | "excluded">): number {
	let n = 0;
	let mean = 0;
	let squares = 0;
	for (let i = 0; i < co2Ppm.length; i++) {
		if (excluded[i] !== 0) continue;
		n++;
		const d = co2Ppm[i]! - mean;
		mean += d / n;
		squares += d * (co2Ppm[i]! - mean);
	}
	return n > 1 ? squares / n : 0;
}
