import type { Model } from "../model/chamber.ts";
import { power } from "../power.ts";
import { compile } from "../solve/compile.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import { makeCycle, makeCyclePeaks, makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { findRoot } from "../solve/root.ts";
import { DAY } from "../time.ts";

/** A setting under which a figure is just the ceiling. */
export interface CeilingSetting {
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** Air through the fan a day [m3/day]. */
	readonly airM3PerDay: number;
}

/** `count` values from one end to the other, evenly apart in the logarithm. */
export const logSpaced = (from: number, to: number, count: number): number[] =>
	Array.from({ length: count }, (_, i) => from * power(to / from, i / (count - 1)));

/** Pauses longer than this are no pauses. */
const MAX_OFF_SECONDS = 60 * DAY;

/** Time in which the fan moves as much air as the chamber holds, mixing counted [s]. */
export const nominalTimeConstantSeconds = ({
	volumeM3,
	deliveredM3PerS,
	mixingEfficiency = 1,
}: Model): number => volumeM3 / (mixingEfficiency * deliveredM3PerS);

/**
 * For bursts of so many air changes [-], the longest pause after which the figure is just the ceiling [ppm].
 * Bursts for which there is none are left out: the fan is too weak, or the leak alone holds the ceiling.
 * @param airChanges ascending
 */
export function findCeilingSettings(
	model: Model,
	ceilingPpm: number,
	statistic: "peak" | "mean",
	airChanges: readonly number[],
): CeilingSetting[] {
	const over = overCeiling(model, ceilingPpm, statistic);
	const settings: CeilingSetting[] = [];
	for (const n of airChanges) {
		const onSeconds = n * nominalTimeConstantSeconds(model);
		// A longer burst allows a longer pause, but rarely one that grows as much: the last setting is a good place to start.
		const last = settings.at(-1);
		let high = last === undefined ? onSeconds : (last.offSeconds * onSeconds) / last.onSeconds;
		while (high <= MAX_OFF_SECONDS && over(onSeconds, high) <= 0) high *= 4;
		if (high > MAX_OFF_SECONDS) continue;
		const near = last?.offSeconds ?? 0;
		const low = near < high && over(onSeconds, near) <= 0 ? near : 1e-9 * high;
		if (over(onSeconds, low) > 0) continue;
		const offSeconds = findRoot((off) => over(onSeconds, off), low, high);
		settings.push(settingOf(model, onSeconds, offSeconds));
	}
	return settings;
}

/** Shortest burst that keeps the peak at the ceiling after a pause [s]; null when none does. */
export function findBurstNeeded(model: Model, ceilingPpm: number, offSeconds: number): number | null {
	const over = overCeiling(model, ceilingPpm, "peak");
	let high = nominalTimeConstantSeconds(model);
	while (over(high, offSeconds) > 0) {
		if (high > 100 * nominalTimeConstantSeconds(model)) return null;
		high *= 4;
	}
	const low = 1e-9 * high;
	return over(low, offSeconds) <= 0 ? null : findRoot((on) => over(on, offSeconds), low, high);
}

/** Setting of a given cycle under which the figure is just the ceiling; null when there is none. */
export function findSettingOfCycle(
	model: Model,
	ceilingPpm: number,
	statistic: "peak" | "mean",
	cycleSeconds: number,
): CeilingSetting | null {
	const over = overCeiling(model, ceilingPpm, statistic);
	const excess = (on: number) => over(on, cycleSeconds - on);
	const [low, high] = [1e-9 * cycleSeconds, (1 - 1e-9) * cycleSeconds];
	if (excess(high) > 0 || excess(low) <= 0) return null;
	const onSeconds = findRoot(excess, low, high);
	return settingOf(model, onSeconds, cycleSeconds - onSeconds);
}

const settingOf = (model: Model, onSeconds: number, offSeconds: number): CeilingSetting => ({
	onSeconds,
	offSeconds,
	airM3PerDay: DAY * meanDeliveredM3PerS(model, makeCycle(onSeconds, offSeconds)),
});

function overCeiling(model: Model, ceilingPpm: number, statistic: "peak" | "mean") {
	const compiled = compile(model);
	const peaks = makeCyclePeaks(compiled);
	const stats = makeCycleStats(compiled);
	return (on: number, off: number): number => {
		const cycle = makeCycle(on, off);
		return (statistic === "peak" ? peaks(cycle) : stats(cycle).meanPpm) - ceilingPpm;
	};
}
