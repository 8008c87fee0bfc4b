import type { CleanSeries, Log } from "../../lib/logs/log.ts";
import type { Model } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { segments } from "../../lib/model/schedule/timeline.ts";
import type { ModelState } from "../../lib/solve/propagate/odex.ts";
import { initialState } from "../../lib/solve/propagate/propagate.ts";
import { simulate } from "../../lib/solve/simulate.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

export interface Synthetic {
	readonly model: Model;
	readonly schedule: Schedule;
	readonly durationSeconds: number;
	readonly stepSeconds: number;
	/** Where in the schedule the log begins [s]. */
	readonly fromSeconds?: number;
	/** Seconds of the timer that one of the logger lasts, less 1. */
	readonly timerRateError?: number;
	readonly offsetPpm?: number;
	/** Standard deviation and neighbour correlation of the noise. */
	readonly noisePpm: number;
	readonly rho: number;
	/** Readings are rounded to this [ppm]. */
	readonly quantumPpm?: number;
	readonly seed: number;
}

/** A log made by the simulator, with seeded noise: nothing of it comes from the fit. */
export function syntheticSeries(of: Synthetic): CleanSeries {
	const { model, schedule, durationSeconds, stepSeconds, fromSeconds = 0, timerRateError = 0, seed } = of;
	const count = Math.floor(durationSeconds / stepSeconds) + 1;
	const stretch = 1 + timerRateError;
	const { start, switches } = laterOn(
		model,
		stretched(schedule, stretch),
		fromSeconds * stretch,
		count * stepSeconds,
	);
	// On a grid of its own the simulator samples fast.
	const run = simulate(model, switches, {
		durationSeconds: (count - 1) * stepSeconds,
		sampleIntervalSeconds: stepSeconds,
		start,
	});
	const truth = run.sensorPpm ?? run.co2Ppm;
	const random = seededUniform(seed);
	const normal = () => normalQuantile(random());
	const quantum = of.quantumPpm ?? 1;
	let noise = of.noisePpm * normal();
	const co2Ppm = Float64Array.from(truth, (ppm) => {
		const shown = Math.round((ppm + (of.offsetPpm ?? 0) + noise) / quantum) * quantum;
		noise = of.rho * noise + of.noisePpm * Math.sqrt(1 - of.rho ** 2) * normal();
		return shown;
	});
	const timesSeconds = Float64Array.from({ length: count }, (_, i) => i * stepSeconds);
	return seriesOf(timesSeconds, co2Ppm, stepSeconds);
}

/** State of a chamber some time into a schedule, and what is left of the schedule from there on. */
function laterOn(
	model: Model,
	schedule: Schedule,
	fromSeconds: number,
	lengthSeconds: number,
): { readonly start: ModelState; readonly switches: Schedule } {
	if (fromSeconds === 0) return { start: initialState(model), switches: schedule };
	const { end } = simulate(model, schedule, {
		durationSeconds: fromSeconds,
		sampleIntervalSeconds: fromSeconds,
	});
	const later = [...segments(schedule, fromSeconds + lengthSeconds)]
		.filter(({ startSeconds, durationSeconds }) => startSeconds + durationSeconds > fromSeconds)
		.map(({ startSeconds, isOn }) => ({ at: startSeconds - fromSeconds, on: isOn }));
	const changes = later.filter(({ at, on }, k) => at > 0 && on !== later[k - 1]?.on);
	return {
		start: end,
		switches: {
			kind: "switches",
			switchSeconds: changes.map(({ at }) => at),
			startsWith: later[0]?.on === true ? "on" : "off",
		},
	};
}

/** The schedule of a timer whose seconds last so long. */
function stretched(schedule: Schedule, stretch: number): Schedule {
	if (schedule.kind !== "cycle") return schedule;
	return { ...schedule, onSeconds: schedule.onSeconds * stretch, offSeconds: schedule.offSeconds * stretch };
}

/** A series without a file. */
export function seriesOf(
	timesSeconds: Float64Array,
	co2Ppm: Float64Array,
	stepSeconds: number,
	excluded = new Uint8Array(timesSeconds.length),
): CleanSeries {
	const channel = { name: "CO2", column: 1, kind: "co2", place: "chamber", values: co2Ppm } as const;
	const log: Log = {
		fileName: "synthetic.csv",
		layout: {
			encoding: "utf-8",
			delimiter: ",",
			decimal: ".",
			preambleLines: 0,
			headerLines: 1,
			timeFormat: "elapsed seconds",
			zone: null,
			zoneFrom: null,
		},
		startUtcSeconds: null,
		timesSeconds,
		lines: Uint32Array.from(timesSeconds, (_, i) => i + 2),
		channels: [channel],
		sampleIntervalSeconds: stepSeconds,
		rawRows: timesSeconds.length,
		rows: timesSeconds.length,
		gaps: [],
		notes: [],
	};
	return { log, channel, timesSeconds, co2Ppm, excluded, exclusions: [], fan: null, warnings: [] };
}
