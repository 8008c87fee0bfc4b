import type { Model } from "../model/chamber.ts";
import { meanFanM3PerS } from "../solve/continuous.ts";
import { cycleFigures, cycleOf, cyclePeaks } from "../solve/cycles/cyclestats.ts";
import { findRoot } from "../solve/root.ts";

/** A setting under which a figure is just the ceiling. */
export interface CeilingSetting {
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** Air through the fan a day [m3/day]. */
	readonly airM3PerDay: number;
}

const DAY = 86_400;
/** Pauses longer than this are no pauses. */
const LONGEST = 60 * DAY;

/** Time in which the fan moves as much air as the chamber holds, mixing counted [s]. */
export const airChangeSeconds = ({ volumeM3, fanM3PerS, mixing = 1 }: Model): number =>
	volumeM3 / (mixing * fanM3PerS);

/**
 * For bursts of so many air changes [-], the longest pause after which the figure is just the ceiling [ppm].
 * Bursts for which there is none are left out: the fan is too weak, or the leak alone holds the ceiling.
 * @param airChanges ascending
 */
export function ceilingSettings(
	model: Model,
	ceilingPpm: number,
	figure: "peak" | "mean",
	airChanges: readonly number[],
): CeilingSetting[] {
	const over = overCeiling(model, ceilingPpm, figure);
	const settings: CeilingSetting[] = [];
	for (const n of airChanges) {
		const onSeconds = n * airChangeSeconds(model);
		// A longer burst allows a longer pause, but rarely one that grows as much: the last setting is a good place to start.
		const last = settings.at(-1);
		let high = last === undefined ? onSeconds : (last.offSeconds * onSeconds) / last.onSeconds;
		while (high <= LONGEST && over(onSeconds, high) <= 0) high *= 4;
		if (high > LONGEST) continue;
		const near = last?.offSeconds ?? 0;
		const low = near < high && over(onSeconds, near) <= 0 ? near : 1e-9 * high;
		if (over(onSeconds, low) > 0) continue;
		const offSeconds = findRoot((off) => over(onSeconds, off), low, high);
		settings.push({ onSeconds, offSeconds, airM3PerDay: airPerDay(model, onSeconds, offSeconds) });
	}
	return settings;
}

/** Shortest burst that keeps the peak at the ceiling after a pause [s]; null when none does. */
export function burstNeeded(model: Model, ceilingPpm: number, offSeconds: number): number | null {
	const over = overCeiling(model, ceilingPpm, "peak");
	let high = airChangeSeconds(model);
	while (over(high, offSeconds) > 0) {
		if (high > 100 * airChangeSeconds(model)) return null;
		high *= 4;
	}
	const low = 1e-9 * high;
	return over(low, offSeconds) <= 0 ? null : findRoot((on) => over(on, offSeconds), low, high);
}

/** Setting of a given cycle under which the figure is just the ceiling; null when there is none. */
export function settingOfCycle(
	model: Model,
	ceilingPpm: number,
	figure: "peak" | "mean",
	cycleSeconds: number,
): CeilingSetting | null {
	const over = overCeiling(model, ceilingPpm, figure);
	const excess = (on: number) => over(on, cycleSeconds - on);
	const [low, high] = [1e-9 * cycleSeconds, (1 - 1e-9) * cycleSeconds];
	if (excess(high) > 0 || excess(low) <= 0) return null;
	const onSeconds = findRoot(excess, low, high);
	const offSeconds = cycleSeconds - onSeconds;
	return { onSeconds, offSeconds, airM3PerDay: airPerDay(model, onSeconds, offSeconds) };
}

const airPerDay = (model: Model, on: number, off: number): number =>
	DAY * meanFanM3PerS(model, cycleOf(on, off));

function overCeiling(model: Model, ceilingPpm: number, figure: "peak" | "mean") {
	const peaks = cyclePeaks(model);
	const figures = cycleFigures(model);
	return (on: number, off: number): number =>
		(figure === "peak" ? peaks(on, off) : figures(on, off).meanPpm) - ceilingPpm;
}
