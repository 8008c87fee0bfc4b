import { type Fault, InputError, show } from "../errors.ts";
import type { Model } from "../model/chamber.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Timeline } from "../model/schedule/timeline.ts";
import type { CompiledModel } from "./compile.ts";
import type { ModelState, SolverStats } from "./propagate/odex.ts";
import {
	findSolverFaults,
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
import { checkOptionsObject, findNumberFault, prepareRun, type Run } from "./run.ts";
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
 * The CO2 of a chamber under a schedule from time 0: exactly where the model is linear, by Runge-Kutta where it is not.
 *
 * @param model the mass balance
 * @param schedule when the fan is on
 * @param options start [ppm], duration [s], sampling interval or times [s], method and tolerance of the solver
 * @returns samples: times [s], CO2 of the zones and what the sensor shows [ppm], fan state
 * @throws InputError for options that make no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project; Dormand and Prince 5(4), odex for a second opinion.
 * @example simulate({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "off" }, { durationSeconds: 600, sampleIntervalSeconds: 600 }).co2Ppm[1].toFixed(1) // => "629.3"
 */
export function simulate(
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	options: SimulateOptions,
): Trajectory {
	checkOptionsObject(options, "simulate");
	const named = withPresentNames(options);
	const faults = [...findRunFaults(named), ...findSamplingFaults(named)];
	const run = prepareRun(model, schedule, faults);
	const { compiled, timeline } = run;
	const { intakePpm } = compiled.model;
	const { durationSeconds } = named;
	const { count, timeAt, stepSeconds } = sampling(named);
	const b = compiled.balance;
	const method = methodFor(compiled, named);
	const start = startOf(run, named);
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
	const end = propagate(compiled, timeline, durationSeconds, start, named, { onSolution: visit });
	// What is left lies at the very end, to which no half-open piece reaches.
	for (; next < count; next++) {
		for (const { state, out } of series) out[next] = intakePpm + end.state[state]!;
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

function sampling({ durationSeconds, sampleIntervalSeconds: step, sampleTimes }: SimulateOptions): Sampling {
	if (step !== undefined)
		return {
			count: countSamples(durationSeconds, step),
			// Rounding must not carry the last one past the end.
			timeAt: (i) => Math.min(i * step, durationSeconds),
			stepSeconds: step,
		};
	const times = Float64Array.from(sampleTimes!);
	return { count: times.length, timeAt: (i) => times[i]!, stepSeconds: null };
}

const countSamples = (durationSeconds: number, stepSeconds: number): number =>
	Math.floor(durationSeconds / stepSeconds + 1e-9) + 1;

/** Name that an option had before; hand-written calls may still use it. */
const FORMER_NAME = "sampleSeconds";

function withPresentNames(options: SimulateOptions): SimulateOptions {
	const { [FORMER_NAME]: former, ...rest } = options as SimulateOptions & { [FORMER_NAME]?: number };
	if (former === undefined) return options;
	if (rest.sampleIntervalSeconds !== undefined)
		throw new InputError(
			`${FORMER_NAME} is the former name of sampleIntervalSeconds, which is given too; leave one of them out`,
		);
	return { ...rest, sampleIntervalSeconds: former };
}

function findSamplingFaults({
	durationSeconds,
	sampleIntervalSeconds,
	sampleTimes,
}: SimulateOptions): Fault[] {
	if (sampleIntervalSeconds !== undefined) {
		const isMet = (step: number) => step > 0 && !(countSamples(durationSeconds, step) > MAX_SAMPLES);
		return typeof sampleIntervalSeconds === "number" && isMet(sampleIntervalSeconds)
			? []
			: [
					{
						message: `sampleIntervalSeconds needs a time above 0 s that gives at most ${MAX_SAMPLES} samples, got ${show(sampleIntervalSeconds)} s over ${show(durationSeconds)} s`,
					},
				];
	}
	if (sampleTimes === undefined)
		return [{ message: "simulate needs sampleIntervalSeconds or sampleTimes, or it has nothing to say" }];
	if (!(Array.isArray(sampleTimes) || ArrayBuffer.isView(sampleTimes)))
		return [{ message: `sampleTimes needs a list of times in s, got ${show(sampleTimes)}` }];
	for (let i = 0; i < sampleTimes.length; i++) {
		const time: unknown = sampleTimes[i];
		const [least, most] = [i === 0 ? 0 : sampleTimes[i - 1]!, durationSeconds];
		if (!(typeof time === "number" && time >= least && !(time > most)))
			return [
				{
					message: `sampleTimes[${i}] needs ascending times from 0 to ${show(most)} s, got ${show(time)}`,
				},
			];
	}
	return [];
}

/** What is wrong with start and length of a run. */
function findRunFaults(
	options: Pick<SimulateOptions, "startPpm" | "start" | "durationSeconds"> & SolverOptions,
): Fault[] {
	const { durationSeconds, startPpm } = options;
	const isFiniteAbove = (x: number) => Number.isFinite(x) && x > 0;
	return [
		...findNumberFault("durationSeconds", durationSeconds, "a time above 0 s", isFiniteAbove),
		...(startPpm === undefined
			? []
			: findNumberFault("startPpm", startPpm, "0 ppm or more", (x) => Number.isFinite(x) && x >= 0)),
		...findSolverFaults(options),
	];
}

/** @throws InputError for a state that is not one of this model */
function startOf(
	{ compiled }: Run,
	{ start, startPpm }: Pick<SimulateOptions, "startPpm" | "start">,
): ModelState {
	if (start === undefined)
		return startPpm === undefined ? initialState(compiled) : uniformState(compiled, startPpm);
	const { states } = compiled.balance;
	const isState = (x: unknown): x is ArrayLike<number> =>
		(Array.isArray(x) || ArrayBuffer.isView(x)) &&
		(x as unknown as ArrayLike<number>).length === states &&
		Array.from(x as unknown as ArrayLike<number>).every(Number.isFinite);
	const fraction = start?.fanSpeedFraction;
	if (!isState(start?.state) || !(typeof fraction === "number" && fraction >= -1e-9 && fraction <= 1 + 1e-9))
		throw new InputError(
			`start needs a state of ${states} numbers in ppm and a fanSpeedFraction from 0 to 1, as periodicState or a former run gives it`,
		);
	return start;
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
 * Peak, mean and trough of one run from time 0 in the zone of the crop: not from samples, so no peak lies between them.
 *
 * @param model the mass balance
 * @param schedule when the fan is on
 * @param options start [ppm], duration [s], ceiling [ppm], method and tolerance of the solver
 * @returns CO2 [ppm] and times [s]
 * @throws InputError for options that make no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project.
 * @example runStats({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { kind: "off" }, { durationSeconds: 600, ceilingPpm: 1000 }).endPpm.toFixed(1) // => "629.3"
 */
export function runStats(
	model: Model | CompiledModel,
	schedule: Schedule | Timeline,
	options: Pick<SimulateOptions, "startPpm" | "start" | "durationSeconds"> &
		SolverOptions & { readonly ceilingPpm: number },
): RunStats {
	checkOptionsObject(options, "runStats");
	const isNoNaN = (x: number) => !Number.isNaN(x);
	const run = prepareRun(model, schedule, [
		...findRunFaults(options),
		...findNumberFault("ceilingPpm", options.ceilingPpm, "a level in ppm", isNoNaN),
	]);
	const { compiled, timeline } = run;
	const b = compiled.balance;
	const { intakePpm } = compiled.model;
	const start = startOf(run, options);
	const crop = makeStatsAccumulator();
	const sensor = makeStatsAccumulator();
	const hour = maxHourlyMean(b.crop);
	const onSolution = (solution: SolutionSegment) => {
		hour.add(solution);
		accumulate(crop, solution, b.crop, options.ceilingPpm, Number.NEGATIVE_INFINITY);
		if (b.sensor > 0)
			accumulate(sensor, solution, b.sensor, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
	};
	const end = propagate(compiled, timeline, options.durationSeconds, start, options, { onSolution });
	return {
		...computeStats(crop),
		durationSeconds: options.durationSeconds,
		zone: b.crop === 0 ? "mixed" : "stagnant",
		startPpm: intakePpm + start.state[b.crop]!,
		endPpm: intakePpm + end.state[b.crop]!,
		maxHourlyMeanPpm: hour.meanPpm(false),
		exceedanceSeconds: crop.aboveSeconds,
		exceedancePercent: (100 * crop.aboveSeconds) / crop.durationSeconds,
		firstExceedanceSeconds: crop.firstExceedanceSeconds,
		sensor: b.sensor > 0 ? computeStats(sensor) : null,
	};
}
