import { findNeededFlow } from "../choose/search/bindingconstraint.ts";
import type { Model } from "../model/chamber.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { DAY, HOUR, MINUTE } from "../time.ts";
import {
	type CeilingSetting,
	findCeilingSettings,
	findSettingOfCycle,
	logSpaced,
} from "./ceilingsettings.ts";

/** Why a panel makes no sense in a chamber. */
export interface InfeasiblePanel {
	readonly isFeasible: false;
	readonly reason:
		| "stagnant zone"
		| "leakage suffices"
		| "fan too weak"
		| "fan hardly strong enough"
		| "every fan too weak";
	/** The strongest fan that was tried, times this one [-]. */
	readonly maxFanFactor: number;
}

const FAN_FACTORS = [2, 4];

const infeasible = (reason: InfeasiblePanel["reason"]): InfeasiblePanel => ({
	isFeasible: false,
	reason,
	maxFanFactor: Math.max(...FAN_FACTORS),
});

const BURSTS = logSpaced(0.005, 6, 36);

/** Settings with the peak just at the ceiling, by air changes of the burst; none where this fan is too weak. */
export const peakSettings = (model: Model, ceilingPpm: number): CeilingSetting[] =>
	findCeilingSettings(model, ceilingPpm, "peak", BURSTS);

/** Air per day that just meets the ceiling on the mean and on the peak, by length of the cycle. */
export function penaltyPanel(model: Model, ceilingPpm: number, peaks: readonly CeilingSetting[]) {
	const needed = findNeededFlow(model, ceilingPpm);
	if (needed === null) return infeasible("stagnant zone");
	if (needed === 0) return infeasible("leakage suffices");
	if (needed >= model.deliveredM3PerS) return infeasible("fan too weak");
	const longest = maxOffSeconds(model, ceilingPpm);
	const cycleSeconds = niceSeconds((longest ?? Number.POSITIVE_INFINITY) / 2);
	const mean = findSettingOfCycle(model, ceilingPpm, "mean", cycleSeconds);
	const peak = findSettingOfCycle(model, ceilingPpm, "peak", cycleSeconds);
	if (mean === null || peak === null) return infeasible("fan hardly strong enough");
	const continuousM3PerDay = DAY * needed;
	const penalty = ({ airM3PerDay }: CeilingSetting): number => airM3PerDay / continuousM3PerDay - 1;
	return {
		isFeasible: true as const,
		/** Continuous flow that just meets the ceiling [m3/day]. */
		continuousM3PerDay,
		mean: findCeilingSettings(model, ceilingPpm, "mean", BURSTS),
		peak: peaks,
		/** One cycle for an example: settings and what they need more than continuous flow [-]. */
		example: { cycleSeconds, mean, peak, meanPenalty: penalty(mean), peakPenalty: penalty(peak) },
	};
}

/** A round time not longer than this one, at most an hour [s]. */
const niceSeconds = (most: number): number =>
	[HOUR, ...[30, 20, 15, 10, 5, 4, 3, 2, 1].map((count) => count * MINUTE), 30, 20, 10, 5].find(
		(seconds) => seconds <= most,
	) ?? most;

/** Burst that keeps the peak at the ceiling, by length of the pause, for this fan and for stronger ones. */
export function maxOffTimePanel(model: Model, ceilingPpm: number, peaks: readonly CeilingSetting[]) {
	const longest = maxOffSeconds(model, ceilingPpm);
	if (longest === null) return infeasible("leakage suffices");
	const stronger = FAN_FACTORS.map((times) => ({
		times,
		settings: peakSettings({ ...model, deliveredM3PerS: times * model.deliveredM3PerS }, ceilingPpm),
	}));
	const fans = [{ times: 1, settings: peaks }, ...stronger];
	if (fans.every(({ settings }) => settings.length === 0)) return infeasible("every fan too weak");
	/** No pause may be longer, whatever the fan [s]. */
	return { isFeasible: true as const, maxOffSeconds: longest, fans };
}
