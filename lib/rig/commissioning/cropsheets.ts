import { moistureLoss } from "../../compare/moistureloss.ts";
import { buildModel } from "../../model/build.ts";
import { averageSource } from "../../model/chamber.ts";
import { continuousState } from "../../solve/continuous.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import { simulate } from "../../solve/simulate.ts";
import { HOUR, MINUTE } from "../../time.ts";
import type { SheetFacts } from "./sheetfacts.ts";
import type { AcceptanceSheet, RiseSheet } from "./sheets.ts";

/** A rise is stopped at this level, or this much above the intake [ppm], or after this time [s]: judgement. */
const MAX_RISE_PPM = 2000;
const MAX_RISE_EXCESS_PPM = 1500;
const MAX_RISE_SECONDS = HOUR;
const MIN_RISE_SECONDS = 15 * MINUTE;

export function planRiseSheet({ model: chamber, scenario }: SheetFacts): RiseSheet {
	// Nobody knows the hour of the test: what is expected is what the crop gives off on the mean of the day.
	const model = averageSource(chamber);
	const start = continuousState(model, { kind: "continuous" }) ?? model.intakePpm;
	const perMinute = (source: number): number => (1e6 * source * MINUTE) / model.volumeM3;
	const [low, high] = (["low", "high"] as const).map((end) => {
		const substrate = scenario.substrate.map((one) => ({
			...one,
			respirationRate: {
				...one.respirationRate,
				value: one.respirationRate[end] ?? one.respirationRate.value,
			},
		}));
		return perMinute(buildModel({ ...scenario, substrate }).generationM3PerS);
	});
	const stopPpm = Math.round(Math.max(MAX_RISE_PPM, model.intakePpm + MAX_RISE_EXCESS_PPM) / 100) * 100;
	const stopSeconds = maxOffSeconds(model, stopPpm);
	const logSeconds = Math.min(MAX_RISE_SECONDS, Math.max(MIN_RISE_SECONDS, stopSeconds ?? MAX_RISE_SECONDS));
	const purge = (3 * model.volumeM3) / Math.max((model.mixingEfficiency ?? 1) * model.deliveredM3PerS, 1e-9);
	const readAt = [0.25, 0.5, 0.75, 1].map((part) => part * logSeconds);
	const { co2Ppm } = simulate(
		model,
		{ kind: "off" },
		{ startPpm: start, durationSeconds: logSeconds, sampleTimes: readAt },
	);
	return {
		id: "P6",
		startPpm: start,
		risePpmPerMinute: perMinute(model.generationM3PerS),
		lowPpmPerMinute: low!,
		highPpmPerMinute: high!,
		stopPpm,
		stopSeconds,
		purgeSeconds: Math.max(purge, 5 * MINUTE),
		minSeconds: MIN_RISE_SECONDS,
		maxSeconds: MAX_RISE_SECONDS,
		logSeconds,
		readings: readAt.map((seconds, k) => ({ seconds, ppm: co2Ppm[k]! })),
	};
}

export function planAcceptanceSheet({ scenario, model, comparedSchedule }: SheetFacts): AcceptanceSheet {
	const { ceiling, on } = scenario.target;
	const accuracy = scenario.sensor?.accuracy;
	const summary = comparedSchedule?.summary ?? null;
	const moisture =
		comparedSchedule === null ? null : moistureLoss(scenario, model, comparedSchedule.schedule);
	return {
		id: "P7",
		air: summary === null ? null : pickStats(summary),
		logged: summary?.sensor == null ? null : pickStats(summary.sensor),
		statistic: on,
		ceilingPpm: ceiling.value,
		missedPpm: summary !== null && !summary.criterion.isMet ? summary.criterion.valuePpm : null,
		accuracyPpm: accuracy?.ppm.value ?? 50,
		accuracyShare: accuracy?.share.value ?? 0.03,
		relativeHumidityAfterBurst: moisture?.relativeHumidityAfterBurst ?? null,
		settlingSeconds: summary?.settlingSeconds ?? null,
	};
}

const pickStats = ({ peakPpm, meanPpm, troughPpm }: NonNullable<AcceptanceSheet["air"]>) => ({
	peakPpm,
	meanPpm,
	troughPpm,
});
