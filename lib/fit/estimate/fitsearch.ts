import { InputError } from "../../errors.ts";
import type { Model } from "../../model/chamber.ts";
import type { Parameter } from "../../statistics/leastsquares.ts";
import { formatDuration } from "../../units/format.ts";
import type { FitOptions } from "../fitoptions.ts";
import type { FitModel } from "../model/fitmodel.ts";
import type { FanHistory } from "../model/fitrun.ts";
import { estimateTimerClock } from "../model/phase.ts";
import { findBursts } from "../model/switchevents.ts";
import { type Estimate, estimate, type FitSamples, GOLDEN } from "./estimate.ts";

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

/** Samples so far apart cannot show when a cycle begins. */
export const isTooSlow = (stepSeconds: number, periodSeconds: number): boolean =>
	stepSeconds > periodSeconds / 2.5;

/** Starting points: every likely phase of the timer, from the scenario's values scaled to the level of the log. */
export function listInitials(
	first: readonly Parameter[],
	base: Model,
	run: FanHistory,
	samples: FitSamples,
	options: FitOptions,
): readonly (readonly Parameter[])[] {
	if (run.seek === null || options.averagesCycles === true) return [first];
	const at = (name: string) => first.find((one) => one.name === name);
	const isRateErrorSought = at("timerRateError")!.fixed !== true;
	const used = samples.co2Ppm.map((ppm, i) => (samples.excluded[i] === 0 ? ppm : Number.NaN));
	const period = run.seek.onSeconds + run.seek.offSeconds;
	if (isTooSlow(samples.stepSeconds, period))
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
				? // A cycle later is the same clock again.
					{
						...one,
						initial: clock.phaseSeconds,
						lower: clock.phaseSeconds - period / 2,
						upper: clock.phaseSeconds + period / 2,
					}
				: one.name === "timerRateError" && one.fixed !== true
					? { ...one, initial: Math.min(Math.max(clock.timerRateError, one.lower!), one.upper!) }
					: one,
		),
	);
}

/** Shares of flow and response from which a search begins again, where the model does not follow the log from the scenario's values. */
const RESTARTS: readonly (readonly [flow: number, response: number])[] = [
	[1, 1],
	[0.3, 1],
	[3, 1],
	[0.1, 1],
	[10, 1],
	[1, 0.3],
	[1, 3],
];
/** Searches from elsewhere see about so many samples; only the best of them goes on with all. */
const MAX_RESTART_SAMPLES = 1000;

/**
 * The fit from the scenario's values, or where the model then does not follow the log the best of those from elsewhere: other flows and
 * responses, each with the CO2 output that balances it at the mean of the log.
 * @param follows whether the model follows the log with what was found
 */
export function searchBest(
	model: FitModel,
	samples: FitSamples,
	from: readonly (readonly Parameter[])[],
	base: Model,
	follows: (found: Estimate) => boolean,
): Estimate {
	let found: Estimate | null = null;
	let clock = from[0]!;
	for (const parameters of from) {
		const one = estimate(model, samples, parameters);
		if (found === null || one.noisePpm < found.noisePpm) [found, clock] = [one, parameters];
		if (follows(found)) return found;
	}
	const isFree = (name: string) => clock.some((one) => one.name === name && one.fixed !== true);
	if (!["generation", "flow", "response"].some(isFree)) return found!;
	const few = thinSamples(samples, MAX_RESTART_SAMPLES);
	let best: { readonly parameters: readonly Parameter[]; readonly noisePpm: number } | null = null;
	for (const [flow, response] of RESTARTS) {
		if ((flow !== 1 && !isFree("flow")) || (response !== 1 && !isFree("response"))) continue;
		const start = balance(model, clock, samples, base, flow, response);
		const { noisePpm, least } = estimate(model, few, start, false, 0);
		if (best === null || noisePpm < best.noisePpm)
			best = { parameters: start.map((one, k) => ({ ...one, initial: least.values[k]! })), noisePpm };
	}
	const again = estimate(model, samples, best!.parameters);
	return again.noisePpm < found!.noisePpm ? again : found!;
}

/** Other values of flow and response, and the CO2 output at which the chamber's mean is that of the log. */
function balance(
	model: FitModel,
	parameters: readonly Parameter[],
	{ timesSeconds, co2Ppm, excluded }: FitSamples,
	base: Model,
	flow: number,
	response: number,
): readonly Parameter[] {
	const scaled = parameters.map((one) => {
		const by = one.name === "flow" ? flow : one.name === "response" ? response : 1;
		return one.fixed === true || by === 1 ? one : { ...one, initial: Math.min(one.initial * by, one.upper!) };
	});
	const value = (name: string) => scaled.find((one) => one.name === name)!.initial;
	const until = timesSeconds.at(-1)!;
	const onSeconds = findBursts(model.switchEvents(scaled.map(({ initial }) => initial)), until).reduce(
		(sum, { startSeconds, endSeconds }) => sum + endSeconds - startSeconds,
		0,
	);
	const air = value("leak") + ((base.mixingEfficiency ?? 1) * value("flow") * onSeconds) / until;
	let excess = 0;
	let used = 0;
	for (const [i, ppm] of co2Ppm.entries())
		if (excluded[i] === 0) {
			excess += ppm - value("offset") - base.intakePpm;
			used++;
		}
	const generation = Math.max((1e-6 * air * excess) / used, 0);
	return scaled.map((one) =>
		one.fixed !== true && one.name.startsWith("generation") ? { ...one, initial: generation } : one,
	);
}

/** So many of the samples that count, spread over all phases of a cycle. */
export function thinSamples(samples: FitSamples, most: number): FitSamples {
	const { timesSeconds, co2Ppm, excluded, stepSeconds } = samples;
	const used = [...excluded.keys()].filter((i) => excluded[i] === 0);
	const kept = used.filter((_, k) => (k * GOLDEN) % 1 < most / used.length);
	return {
		timesSeconds: Float64Array.from(kept, (i) => timesSeconds[i]!),
		co2Ppm: Float64Array.from(kept, (i) => co2Ppm[i]!),
		excluded: new Uint8Array(kept.length),
		stepSeconds,
	};
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
