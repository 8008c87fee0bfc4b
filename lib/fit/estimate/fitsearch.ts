import { InputError } from "../../errors.ts";
import type { Model } from "../../model/chamber.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { formatDuration } from "../../units/format.ts";
import type { FitOptions } from "../fittypes.ts";
import type { FitModel } from "../model/fitmodel.ts";
import type { FanHistory } from "../model/fitrun.ts";
import { estimateTimerClock } from "../model/phase.ts";
import { type Estimate, estimate, type FitSamples } from "./estimate.ts";

/** A fit that explains less than this share of the log's variance is tried from elsewhere too. */
const MIN_EXPLAINED = 0.9;
/** @throws InputError when there are fewer samples than parameters and some */
export function checkEnough(parameters: readonly Parameter[], samples: FitSamples): void {
	const { excluded } = samples;
	if (computeVariance(samples) === 0)
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
export function listInitials(
	first: readonly Parameter[],
	base: Model,
	run: FanHistory,
	samples: FitSamples,
	options: FitOptions,
): readonly (readonly Parameter[])[] {
	if (run.seek === null) return [first];
	const at = (name: string) => first.find((one) => one.name === name);
	const isRateErrorSought = at("timerRateError")!.fixed !== true;
	const used = samples.co2Ppm.map((ppm, i) => (samples.excluded[i] === 0 ? ppm : Number.NaN));
	const period = run.seek.onSeconds + run.seek.offSeconds;
	if (samples.stepSeconds > period / 2.5)
		throw new InputError(
			`a sample every ${formatDuration(samples.stepSeconds)} cannot show when cycles of ${formatDuration(period)} begin; log at ${formatDuration(period / 10)} or faster, or say when a cycle began (--phase)`,
		);
	const clocks = estimateTimerClock(
		{
			volumeM3: base.volumeM3,
			intakePpm: base.intakePpm,
			mixingEfficiency: base.mixingEfficiency ?? 1,
			deliveredM3PerS: at("flow")!.initial,
			infiltrationM3PerS: at("leak")!.initial,
			sources: [base.generationM3PerS],
			responseSeconds: at("response")!.initial,
			offsetPpm: 0,
			initialCo2Ppm: base.intakePpm,
			initialReadingPpm: base.intakePpm,
		},
		base,
		run.seek,
		samples.timesSeconds,
		used,
		samples.stepSeconds,
		isRateErrorSought && options.fix?.timerRateError === undefined,
	);
	return clocks.map((clock) =>
		first.map((one) =>
			one.name === "phase"
				? { ...one, initial: clock.phaseSeconds }
				: one.name === "timerRateError" && one.fixed !== true
					? { ...one, initial: clock.timerRateError }
					: one,
		),
	);
}

/**
 * The best of the fits from several starts. More starts are tried where the first explains the log badly, or has lost the lag
 * altogether: a burst between two samples leaves a false minimum there.
 */
export function searchBest(
	model: FitModel,
	samples: FitSamples,
	from: readonly (readonly Parameter[])[],
): Estimate {
	const variance = computeVariance(samples);
	let found: Estimate | null = null;
	const take = (parameters: readonly Parameter[]): boolean => {
		const one = estimate(model, samples, parameters);
		if (found === null || one.noisePpm < found.noisePpm) found = one;
		const isResponseLost = found.least.isAtBound[model.names.indexOf("response")]! && free("response");
		return found.noisePpm ** 2 <= (1 - MIN_EXPLAINED) * variance && !isResponseLost;
	};
	const scaled = (parameters: readonly Parameter[], flow: number, response: number) =>
		parameters.map((one) =>
			one.fixed === true
				? one
				: one.name === "flow"
					? { ...one, initial: one.initial * flow }
					: one.name === "response"
						? { ...one, initial: one.initial * response }
						: one,
		);
	const free = (name: string) => from[0]!.some((one) => one.name === name && one.fixed !== true);
	const scales: (readonly [number, number])[] = [[1, 1]];
	if (free("flow")) scales.push([0.35, 1], [2.5, 1]);
	if (free("response")) scales.push([1, 0.3], [1, 3]);
	search: for (const [flow, response] of scales)
		for (const parameters of from) if (take(scaled(parameters, flow, response))) break search;
	return found!;
}

/** Variance of the samples that count [ppm2]. */
export function computeVariance({ co2Ppm, excluded }: Pick<FitSamples, "co2Ppm" | "excluded">): number {
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
