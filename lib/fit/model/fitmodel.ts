import { InputError } from "../../errors.ts";
import type { CleanSeries } from "../../logs/log.ts";
import { type Model, meanSourceM3PerS } from "../../model/chamber.ts";
import type { Schedule } from "../../model/schedule/schedule.ts";
import { compile } from "../../solve/compile.ts";
import type { Method } from "../../solve/propagate/propagate.ts";
import { sinceMidnight } from "../../time.ts";
import type { FitName } from "../fitoptions.ts";
import {
	type JacobianColumns,
	predictReadings,
	type ReadingBlock,
	type ReadingModel,
	type SwitchEvent,
} from "./readings.ts";
import { loggedSwitchEvents, scheduledSwitchEvents } from "./switchevents.ts";
import { predictThroughSolver } from "./throughsolver.ts";

/** How the fan ran while the log was written. */
export type FanRun =
	| ({ readonly kind: "logged" } & NonNullable<CleanSeries["fan"]>)
	| { readonly kind: "scheduled"; readonly schedule: Schedule };

/** Predicts what the sensor shows from the values of named parameters. */
export interface FitModel {
	readonly names: readonly FitName[];
	/** What the scenario has for each respiration: the mean over the log, or over a day of it [m3/s]. */
	readonly assumedM3PerS: readonly number[];
	/**
	 * Hands over the readings, the CO2 where the sensor hangs, and the slopes of the readings over the values.
	 * `wanted`: places of the names whose slopes are asked for, ascending; none when empty.
	 */
	predict(
		values: ArrayLike<number>,
		timesSeconds: ArrayLike<number>,
		wanted: readonly number[],
		take: (block: ReadingBlock) => void,
	): void;
	/** The fan as the values have it. */
	switchEvents(values: ArrayLike<number>): readonly SwitchEvent[];
}

/**
 * The forward model of a fit. One mixed zone whose source does not feel CO2 is propagated in closed form with exact slopes;
 * a chamber with a dead corner, or a crop that CO2 inhibits, goes through the whole solver, with slopes by central differences.
 *
 * Time 0 of the model's source is the first sample, and the mean of the source over the log is its `generationM3PerS`. Start and first
 * reading are those at `fromSeconds`, the first sample that counts: no value could be told through hours that are left out.
 *
 * Names: respiration [m3/s, on the mean of the log or of a day of it], flow, leak [m3/s], offset [ppm], lag [s], start, reading [ppm], phase [s], drift [-]; with a fan column its shifts [s] in place of the last two.
 */
export function createFitModel(
	model: Model,
	fan: FanRun,
	untilSeconds: number,
	daysFrom: readonly number[] = [],
	method?: Method,
	fromSeconds = 0,
): FitModel {
	const sources: FitName[] =
		daysFrom.length === 0 ? ["generation"] : daysFrom.map((_, k) => `generation of day ${k + 1}` as const);
	const names: FitName[] = [
		...sources,
		"flow",
		"leak",
		"offset",
		"response",
		"initialCo2",
		"initialReading",
		...(fan.kind === "logged"
			? (["switchShift", "offShift"] as const)
			: (["phase", "timerRateError"] as const)),
	];
	const of = Object.fromEntries(names.map((name, index) => [name, index])) as Record<FitName, number>;
	if (fan.kind === "logged") [of.phase, of.timerRateError] = [of.switchShift, of.offShift];
	let last: { phaseSeconds: number; timerRateError: number; events: readonly SwitchEvent[] } | null = null;
	const switchEvents = (values: ArrayLike<number>): readonly SwitchEvent[] => {
		const [phaseSeconds, timerRateError] = [values[of.phase]!, values[of.timerRateError]!];
		if (last === null || last.phaseSeconds !== phaseSeconds || last.timerRateError !== timerRateError)
			last = {
				phaseSeconds,
				timerRateError,
				events:
					fan.kind === "logged"
						? loggedSwitchEvents(fan, [phaseSeconds, timerRateError], model, daysFrom)
						: scheduledSwitchEvents(
								fan.schedule,
								{ phaseSeconds, timerRateError },
								untilSeconds,
								model,
								daysFrom,
							),
			};
		return last.events;
	};
	const compiled = compile(model);
	const oneZone =
		compiled.balance.stagnant < 0 &&
		model.intakeExcess === undefined &&
		(compiled.isLinear || model.source?.isPpmDependent === false);
	if (oneZone && method === undefined) {
		const assumedM3PerS =
			daysFrom.length === 0
				? [model.generationM3PerS]
				: daysFrom.map((from, k) => meanOfDay(model, from, daysFrom[k + 1] ?? untilSeconds));
		const shape = createSourceShape(model, assumedM3PerS);
		return {
			names,
			assumedM3PerS,
			switchEvents,
			predict: (values, timesSeconds, wanted, take) =>
				predictReadings(
					{ ...createReadingModel(model, values, of, sources.length, shape), fromSeconds },
					switchEvents(values),
					timesSeconds,
					take,
					findJacobianColumns(of, wanted),
				),
		};
	}
	if (daysFrom.length > 0)
		throw new InputError(
			"respiration day by day is fitted for one mixed zone only; leave --days out for a chamber with a stagnant zone or an inhibited crop",
		);
	return {
		names,
		assumedM3PerS: [model.generationM3PerS],
		switchEvents,
		predict: predictThroughSolver(model, switchEvents, of, [fromSeconds, untilSeconds], method),
	};
}

/** A day's mean is taken over parts of so many seconds. */
const LEVEL = 300;

const meanOfDay = (model: Model, from: number, to: number): number =>
	meanSourceM3PerS(model, model.intakePpm, from, to, Math.max(Math.ceil((to - from) / LEVEL), 1));

/** A source that varies in time over its mean in each stretch; undefined for one that is level. */
export function createSourceShape(model: Model, means: readonly number[]): ReadingModel["shape"] {
	const { source, intakePpm } = model;
	if (source === undefined || !source.isTimeVarying) return undefined;
	// The model is in the time of the log already.
	return (seconds, stretch) => source.m3PerS(sinceMidnight(seconds), intakePpm) / means[stretch]!;
}

/** Where each name stands among the values; those that a model does not have are left out. */
export type ParameterPlaces = Readonly<Partial<Record<FitName, number>>>;

/** Places of the slopes of `predictReadings` in a row of those wanted. */
export function findJacobianColumns(of: ParameterPlaces, wanted: readonly number[]): JacobianColumns {
	const place = (name: FitName) => wanted.indexOf(of[name] ?? -1);
	return {
		width: wanted.length,
		// The first of the sources has the first place of all.
		source: wanted.includes(0) ? 0 : -1,
		flow: place("flow"),
		leak: place("leak"),
		response: place("response"),
		offset: place("offset"),
		initialCo2: place("initialCo2"),
		initialReading: place("initialReading"),
		phase: place("phase"),
		timerRateError: place("timerRateError"),
	};
}

/** One mixed zone in the plain numbers of `predictReadings`; the values begin with its sources. */
export function createReadingModel(
	model: Model,
	values: ArrayLike<number>,
	of: ParameterPlaces,
	days = 1,
	shape?: ReadingModel["shape"],
): ReadingModel {
	return {
		volumeM3: model.volumeM3,
		intakePpm: model.intakePpm,
		mixingEfficiency: model.mixingEfficiency ?? 1,
		deliveredM3PerS: values[of.flow!]!,
		infiltrationM3PerS: values[of.leak!]!,
		sources: Array.from({ length: days }, (_, k) => values[k]!),
		...(shape === undefined ? {} : { shape }),
		responseSeconds: values[of.response!]!,
		offsetPpm: values[of.offset!]!,
		initialCo2Ppm: values[of.initialCo2!]!,
		initialReadingPpm: values[of.initialReading!]!,
	};
}

/** Parts of a burst at whose ends the CO2 is worked out: a burst is short against the hours, but its fall is curved. */
const PARTS_OF_BURST = 4;

/** CO2 in the chamber where the fan switches and within the bursts, which may lie between two samples. */
export function predictThroughBursts(
	model: Pick<FitModel, "predict">,
	values: ArrayLike<number>,
	bursts: readonly { readonly startSeconds: number; readonly endSeconds: number }[],
): { readonly timesSeconds: Float64Array; readonly chamberPpm: Float64Array } {
	const timesSeconds = Float64Array.from(
		bursts.flatMap(({ startSeconds, endSeconds }) =>
			Array.from(
				{ length: PARTS_OF_BURST + 1 },
				(_, part) => startSeconds + ((endSeconds - startSeconds) * part) / PARTS_OF_BURST,
			),
		),
	);
	const chamberPpm = new Float64Array(timesSeconds.length);
	if (timesSeconds.length > 0)
		model.predict(values, timesSeconds, [], ({ first, count, chamberPpm: ppm }) =>
			chamberPpm.set(ppm.subarray(0, count), first),
		);
	return { timesSeconds, chamberPpm };
}
