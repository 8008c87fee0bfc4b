import { InputError } from "../errors.ts";
import { balance, type Model } from "../model/chamber.ts";
import { checkSchedule, type Schedule } from "../model/schedule/schedule.ts";
import type { ModelState, SolverStats } from "./propagate/odex.ts";
import {
	initialState,
	type Method,
	methodFor,
	propagate,
	type SolverOptions,
	uniformState,
} from "./propagate/propagate.ts";
import {
	accumulate,
	type ConcentrationStats,
	computeStats,
	makeStatsAccumulator,
	type SolutionSegment,
} from "./propagate/solutionsegment.ts";
import { maxHourlyMean } from "./worsthour.ts";

export interface SimulateOptions extends SolverOptions {
	/** CO2 of all states at time 0 [ppm]. Default: the model's own start, else supply air. */
	readonly startPpm?: number;
	/** A whole state to start from, as a `PeriodicState` has it; goes before `startPpm`. */
	readonly start?: ModelState;
	/** [s] */
	readonly durationSeconds: number;
	/** Distance of the samples [s]; they lie at 0, Δ, 2Δ … up to the duration. */
	readonly sampleIntervalSeconds?: number;
	/** Or their times [s], ascending, within the duration. */
	readonly sampleTimes?: ArrayLike<number>;
}

/** CO2 over time, sampled. */
export interface Trajectory {
	/** [s] */
	readonly timesSeconds: Float64Array;
	/** Mixed zone [ppm]. */
	readonly co2Ppm: Float64Array;
	/** Stagnant zone [ppm]; null when the model has none. */
	readonly stagnantPpm: Float64Array | null;
	/** What the sensor shows [ppm]; null when the model has none. */
	readonly sensorPpm: Float64Array | null;
	/** 1 where the fan is switched on; a switch instant belongs to the new state. */
	readonly fanOn: Uint8Array;
	readonly method: Method;
	readonly stats: SolverStats;
	/** State at the end, to go on from. */
	readonly end: ModelState;
}

const MAX_SAMPLES = 50_000_000;

/** Time into a piece [s]; a sample on a switch may lie before it by a rounding. */
const into = (timeSeconds: number, solution: SolutionSegment): number =>
	Math.max(timeSeconds - solution.startSeconds, 0);

/**
 * The CO2 of a chamber under a schedule from time 0, exactly where the model is linear and by odex where it is not.
 * @throws InputError for options that make no sense, SolverError when odex cannot vouch for its answer
 */
export function simulate(model: Model, schedule: Schedule, options: SimulateOptions): Trajectory {
	checkSchedule(schedule);
	const { durationSeconds } = options;
	const { count, timeAt, stepSeconds } = sampling(options);
	const b = balance(model);
	const method = methodFor(model, options);
	const start =
		options.start ??
		(options.startPpm === undefined ? initialState(model) : uniformState(model, options.startPpm));
	const series: { state: number; out: Float64Array }[] = [{ state: 0, out: new Float64Array(count) }];
	for (const state of [b.stagnant, b.sensor])
		if (state > 0) series.push({ state, out: new Float64Array(count) });
	const fanOn = new Uint8Array(count);
	let next = 0;
	let isLastOn = false;
	const visit = (solution: SolutionSegment) => {
		const end = solution.startSeconds + solution.durationSeconds;
		let stop = next;
		if (stepSeconds !== null) {
			stop = Math.min(count, Math.max(next, Math.floor(end / stepSeconds)));
			while (stop > next && timeAt(stop - 1) >= end) stop--;
		}
		while (stop < count && timeAt(stop) < end) stop++;
		isLastOn = solution.isOn;
		if (stop === next) return;
		for (const { state, out } of series) {
			if (stepSeconds !== null)
				solution.sampleInto(state, into(timeAt(next), solution), stepSeconds, stop - next, out, next);
			else for (let i = next; i < stop; i++) out[i] = solution.ppmAt(state, into(timeAt(i), solution));
		}
		if (solution.isOn) fanOn.fill(1, next, stop);
		next = stop;
	};
	const end = propagate(model, schedule, durationSeconds, start, options, { onSolution: visit });
	// What is left lies at the very end, to which no half-open piece reaches.
	for (; next < count; next++) {
		for (const { state, out } of series) out[next] = model.intakePpm + end.state[state]!;
		fanOn[next] = isLastOn ? 1 : 0;
	}
	let times: Float64Array | undefined;
	return {
		// A month by the second has millions of them; they are spelt out when somebody asks.
		get timesSeconds() {
			if (times === undefined) {
				times = new Float64Array(count);
				for (let i = 0; i < count; i++) times[i] = timeAt(i);
			}
			return times;
		},
		co2Ppm: series[0]!.out,
		stagnantPpm: b.stagnant > 0 ? series[1]!.out : null,
		sensorPpm: b.sensor > 0 ? series.at(-1)!.out : null,
		fanOn,
		method,
		stats: end.stats,
		end: { state: end.state, fanSpeedFraction: end.fanSpeedFraction },
	};
}

/** The times of the samples [s]: index × step, never a running sum, or as listed. */
interface Sampling {
	readonly count: number;
	timeAt(index: number): number;
	/** null when the times are a list. */
	readonly stepSeconds: number | null;
}

function sampling({ durationSeconds, sampleIntervalSeconds, sampleTimes }: SimulateOptions): Sampling {
	if (!(Number.isFinite(durationSeconds) && durationSeconds > 0))
		throw new InputError(`durationSeconds needs a time above 0 s, got ${durationSeconds}`);
	if (sampleIntervalSeconds !== undefined) {
		const count = Math.floor(durationSeconds / sampleIntervalSeconds + 1e-9) + 1;
		if (!(sampleIntervalSeconds > 0 && count <= MAX_SAMPLES))
			throw new InputError(
				`sampleIntervalSeconds needs a time above 0 s that gives at most ${MAX_SAMPLES} samples, got ${sampleIntervalSeconds} s over ${durationSeconds} s`,
			);
		// Rounding must not carry the last one past the end.
		return {
			count,
			timeAt: (i) => Math.min(i * sampleIntervalSeconds, durationSeconds),
			stepSeconds: sampleIntervalSeconds,
		};
	}
	if (sampleTimes === undefined)
		throw new InputError("simulate needs sampleIntervalSeconds or sampleTimes, or it has nothing to say");
	const times = Float64Array.from(sampleTimes);
	times.forEach((time, i) => {
		if (!(time >= (i === 0 ? 0 : times[i - 1]!) && time <= durationSeconds))
			throw new InputError(
				`sampleTimes[${i}] needs ascending times from 0 to ${durationSeconds} s, got ${time}`,
			);
	});
	return { count: times.length, timeAt: (i) => times[i]!, stepSeconds: null };
}

/** What a run does between its first and its last moment, whatever the samples. */
export interface RunStats extends ConcentrationStats {
	/** [s] */
	readonly durationSeconds: number;
	readonly zone: "mixed" | "stagnant";
	readonly startPpm: number;
	readonly endPpm: number;
	/** Highest mean over any 60 min, or over the whole of a shorter run [ppm]. */
	readonly maxHourlyMeanPpm: number;
	readonly exceedanceSeconds: number;
	readonly exceedancePercent: number;
	/** First time above the ceiling [s]; null: never. */
	readonly firstExceedanceSeconds: number | null;
	/** As the sensor shows it; null when the model has no sensor. */
	readonly sensor: ConcentrationStats | null;
}

/**
 * Figures of one run from time 0 in the zone of the crop: not from samples, so no peak lies between them.
 * @throws as `simulate`
 */
export function runStats(
	model: Model,
	schedule: Schedule,
	options: Pick<SimulateOptions, "startPpm" | "start" | "durationSeconds"> &
		SolverOptions & { readonly ceilingPpm: number },
): RunStats {
	checkSchedule(schedule);
	const b = balance(model);
	const start =
		options.start ??
		(options.startPpm === undefined ? initialState(model) : uniformState(model, options.startPpm));
	const crop = makeStatsAccumulator();
	const sensor = makeStatsAccumulator();
	const hour = maxHourlyMean(b.crop);
	const onSolution = (solution: SolutionSegment) => {
		hour.add(solution);
		accumulate(crop, solution, b.crop, options.ceilingPpm, Number.NEGATIVE_INFINITY);
		if (b.sensor > 0)
			accumulate(sensor, solution, b.sensor, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
	};
	const end = propagate(model, schedule, options.durationSeconds, start, options, { onSolution });
	return {
		...computeStats(crop),
		durationSeconds: options.durationSeconds,
		zone: b.crop === 0 ? "mixed" : "stagnant",
		startPpm: model.intakePpm + start.state[b.crop]!,
		endPpm: model.intakePpm + end.state[b.crop]!,
		maxHourlyMeanPpm: hour.meanPpm(false),
		exceedanceSeconds: crop.aboveSeconds,
		exceedancePercent: (100 * crop.aboveSeconds) / crop.durationSeconds,
		firstExceedanceSeconds: crop.firstExceedanceSeconds,
		sensor: b.sensor > 0 ? computeStats(sensor) : null,
	};
}
