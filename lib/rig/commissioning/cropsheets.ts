import { waterBalance } from "../../compare/humidity.ts";
import { withValues } from "../../compare/uncertaininputs.ts";
import { buildModel } from "../../model/build.ts";
import { averageSource, type Model, meanSourceM3PerS } from "../../model/chamber.ts";

import { continuousState } from "../../solve/continuous.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import type { ConcentrationStats } from "../../solve/propagate/solutionsegment.ts";
import { simulate } from "../../solve/simulate.ts";
import { HOUR, MINUTE } from "../../time.ts";
import type { SheetFacts } from "./sheetfacts.ts";

/** A rise is stopped at this level, or this much above the intake [ppm], or after this time [s]: judgement. */
const MAX_RISE_PPM = 2000;
const MAX_RISE_EXCESS_PPM = 1500;
const MAX_RISE_SECONDS = HOUR;
const MIN_RISE_SECONDS = 15 * MINUTE;

/** P6: CO2 output, from the rise in the closed chamber. */
export function planRiseSheet({ model: chamber, scenario }: SheetFacts) {
	// Nobody knows the hour of the test: what is expected is what the crop gives off on the mean of the day.
	const model = averageSource(chamber);
	const start = continuousState(model, { kind: "continuous" }) ?? model.intakePpm;
	const risePpmPerMinute = (crop: Model): number =>
		(1e6 * meanSourceM3PerS(crop, start) * MINUTE) / crop.volumeM3;
	const atEnd = (end: "low" | "high"): number => {
		const rates = scenario.substrate.map(
			({ respirationRate: rate }) => [rate, rate[end] ?? rate.value] as const,
		);
		return risePpmPerMinute(buildModel(withValues(scenario, new Map(rates))));
	};
	const stopPpm = Math.round(Math.max(MAX_RISE_PPM, model.intakePpm + MAX_RISE_EXCESS_PPM) / 100) * 100;
	const stopSeconds = maxOffSeconds(model, stopPpm);
	const logSeconds = Math.min(MAX_RISE_SECONDS, Math.max(MIN_RISE_SECONDS, stopSeconds ?? MAX_RISE_SECONDS));
	const purge = (3 * model.volumeM3) / Math.max((model.mixingEfficiency ?? 1) * model.deliveredM3PerS, 1e-9);
	const readAt = [0.25, 0.5, 0.75, 1].map((part) => part * logSeconds);
	const run = { startPpm: start, durationSeconds: logSeconds, sampleTimes: readAt };
	const { co2Ppm } = simulate(model, { kind: "off" }, run);
	return {
		id: "P6" as const,
		startPpm: start,
		/** By hand, at first [ppm/min]; ends of the range of the respiration rate. */
		risePpmPerMinute: risePpmPerMinute(model),
		lowPpmPerMinute: atEnd("low"),
		highPpmPerMinute: atEnd("high"),
		stopPpm,
		/** Time to that level [s]; null where it is never reached. */
		stopSeconds,
		purgeSeconds: Math.max(purge, 5 * MINUTE),
		minSeconds: MIN_RISE_SECONDS,
		maxSeconds: MAX_RISE_SECONDS,
		logSeconds,
		/** What is expected on the way. */
		readings: readAt.map((seconds, k) => ({ seconds, ppm: co2Ppm[k]! })),
	};
}

/** P7: the schedule as it will run, with a logger. */
export function planAcceptanceSheet({ scenario, model, comparedSchedule }: SheetFacts) {
	const { ceiling, on } = scenario.target;
	const accuracy = scenario.sensor?.accuracy;
	const summary = comparedSchedule?.summary ?? null;
	const moisture =
		comparedSchedule === null ? null : waterBalance(scenario, model, comparedSchedule.schedule);
	return {
		id: "P7" as const,
		/** In the air; null without a schedule. */
		air: summary === null ? null : pickStats(summary),
		/** As the sensor shows it; null where its response is not given. */
		logged: summary?.sensor == null ? null : pickStats(summary.sensor),
		statistic: on,
		ceilingPpm: ceiling.value,
		/** What the model misses the target with [ppm]; null where it meets it. */
		missedPpm: summary !== null && !summary.criterion.isMet ? summary.criterion.valuePpm : null,
		accuracyPpm: accuracy?.ppm.value ?? 50,
		accuracyShare: accuracy?.share.value ?? 0.03,
		/** After a burst, before anything evaporates [0..1]. */
		relativeHumidityAfterBurst: moisture?.relativeHumidityAfterBurst ?? null,
		settlingSeconds: summary?.settlingSeconds ?? null,
	};
}

const pickStats = ({
	peakPpm,
	meanPpm,
	troughPpm,
}: Pick<ConcentrationStats, "peakPpm" | "meanPpm" | "troughPpm">) => ({
	peakPpm,
	meanPpm,
	troughPpm,
});
