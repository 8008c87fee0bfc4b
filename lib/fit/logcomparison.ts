import { findClockStart } from "../logs/times/clockstart.ts";
import { offsetReader } from "../logs/times/zone.ts";
import { HOUR, timeOfDay } from "../time.ts";
import type { Fit } from "./fittypes.ts";
import type { Verification } from "./verification.ts";

export interface LogComparison {
	readonly loggedPeakPpm: number;
	readonly loggedMeanPpm: number;
	readonly predictedPeakPpm: number;
	readonly predictedMeanPpm: number;
	/** Mean of logged less predicted in the last quarter, less that in the first [ppm]. */
	readonly trendPpm: number;
}

export function compareMeans({ curve, residuals }: Fit): LogComparison {
	const { loggedPpm, sensorPpm, timesSeconds, excluded } = curve;
	const last = timesSeconds.at(-1) ?? 0;
	/** Mean over the samples used, and over those of a stretch of the log as shares of its length. */
	const mean = (of: Float64Array, from = 0, to = 1): number => {
		let sum = 0;
		let count = 0;
		for (let i = 0; i < of.length; i++) {
			if (excluded[i] !== 0 || timesSeconds[i]! < from * last || timesSeconds[i]! > to * last) continue;
			sum += of[i]!;
			count++;
		}
		return count > 0 ? sum / count : 0;
	};
	const highest = (of: Float64Array) =>
		of.reduce((top, ppm, i) => (excluded[i] === 0 ? Math.max(top, ppm) : top), 0);
	return {
		loggedPeakPpm: highest(loggedPpm),
		loggedMeanPpm: mean(loggedPpm),
		predictedPeakPpm: highest(sensorPpm),
		predictedMeanPpm: mean(sensorPpm),
		trendPpm: mean(residuals.ppm, 0.75, 1) - mean(residuals.ppm, 0, 0.25),
	};
}

/** First and last hour of the day for the comparison with the night [s after midnight]. */
const MORNING = 6 * HOUR;
const EVENING = 18 * HOUR;

export function compareDayNight({
	curve,
	residuals,
	series,
}: Fit): Pick<Verification, "dayPpm" | "nightPpm"> {
	const { startUtcSeconds, layout } = series.log;
	const start = findClockStart(series.log);
	if (start === null) return { dayPpm: null, nightPpm: null };
	const sums = { day: 0, night: 0 };
	const counts = { day: 0, night: 0 };
	// The zone is asked once an hour of the log: a clock change falls on a full hour.
	const offsetAt = offsetReader(layout.zone ?? "UTC");
	let hour = Number.NaN;
	let offset = 0;
	for (const [i, time] of curve.timesSeconds.entries()) {
		const residual = residuals.ppm[i]!;
		if (Number.isNaN(residual)) continue;
		// Day and night are those of the clock on the wall, which a change of the clocks moves.
		const utc = startUtcSeconds === null ? start + time : startUtcSeconds + time;
		if (startUtcSeconds !== null && Math.floor(utc / HOUR) !== hour) {
			hour = Math.floor(utc / HOUR);
			offset = offsetAt(hour * HOUR);
		}
		const seconds = timeOfDay(utc + offset);
		const part = seconds >= MORNING && seconds < EVENING ? "day" : "night";
		sums[part] += residual;
		counts[part]++;
	}
	const mean = (part: "day" | "night") => (counts[part] > 0 ? sums[part] / counts[part] : null);
	return { dayPpm: mean("day"), nightPpm: mean("night") };
}
