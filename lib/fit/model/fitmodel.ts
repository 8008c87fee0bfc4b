import { InputError } from "../../errors.ts";
import { balance, isLinear, type Model } from "../../model/chamber.ts";
import type { Schedule } from "../../model/schedule/schedule.ts";
import type { Method } from "../../solve/propagate/propagate.ts";
import { simulate } from "../../solve/simulate.ts";
import type { FitName } from "../fittypes.ts";
import {
	BLOCK,
	type Edge,
	type ReadingBlock,
	type ReadingModel,
	readingBlock,
	readings,
	type SlopePlaces,
} from "./readings.ts";
import { loggedEdges, scheduleEdges } from "./switchevents.ts";

/** How the fan ran while the log was written. */
export type FanRun =
	| { readonly kind: "logged"; readonly onAtStart: boolean; readonly switchesSeconds: readonly number[] }
	| { readonly kind: "scheduled"; readonly schedule: Schedule };

/** Predicts what the sensor shows from the values of named parameters. */
export interface FitModel {
	readonly names: readonly FitName[];
	/**
	 * Hands over the readings, the CO2 where the sensor hangs, and the slopes of the readings over the values.
	 * `wanted`: places of the names whose slopes are asked for, ascending; none when empty.
	 */
	run(
		values: ArrayLike<number>,
		timesSeconds: ArrayLike<number>,
		wanted: readonly number[],
		take: (block: ReadingBlock) => void,
	): void;
	/** The fan as the values have it. */
	edges(values: ArrayLike<number>): readonly Edge[];
}

/**
 * The forward model of a fit. One mixed zone whose source does not feel CO2 is propagated in closed form with exact slopes;
 * a chamber with a dead corner, or a crop that CO2 inhibits, goes through the whole solver, with slopes by central differences.
 *
 * Names: respiration [m3/s at the shape's 1], flow, leak [m3/s], offset [ppm], lag [s], start, reading [ppm], phase [s], drift [-].
 */
export function fitModel(
	model: Model,
	fan: FanRun,
	untilSeconds: number,
	daysFrom: readonly number[] = [],
	method?: Method,
): FitModel {
	const sources: FitName[] =
		daysFrom.length === 0 ? ["respiration"] : daysFrom.map((_, k) => `respiration of day ${k + 1}` as const);
	const names: FitName[] = [
		...sources,
		"flow",
		"leak",
		"offset",
		"lag",
		"start",
		"reading",
		"phase",
		"drift",
	];
	const of = Object.fromEntries(names.map((name, index) => [name, index])) as Record<FitName, number>;
	let last: { phaseSeconds: number; drift: number; edges: readonly Edge[] } | null = null;
	const edges = (values: ArrayLike<number>): readonly Edge[] => {
		const [phaseSeconds, drift] = [values[of.phase]!, values[of.drift]!];
		if (last === null || last.phaseSeconds !== phaseSeconds || last.drift !== drift)
			last = {
				phaseSeconds,
				drift,
				edges:
					fan.kind === "logged"
						? loggedEdges(fan, daysFrom)
						: scheduleEdges(fan.schedule, { phaseSeconds, drift }, untilSeconds, model, daysFrom),
			};
		return last.edges;
	};
	const oneZone = balance(model).stagnant < 0 && (isLinear(model) || model.source?.variesWithPpm === false);
	if (oneZone && method === undefined) {
		const { source } = model;
		const mean = model.generationM3PerS;
		const shape =
			source === undefined || !source.variesInTime
				? undefined
				: (seconds: number) => source.m3PerS(seconds, model.supplyPpm) / mean;
		return {
			names,
			edges,
			run: (values, timesSeconds, wanted, take) =>
				readings(
					readingModel(model, values, of, sources.length, shape),
					edges(values),
					timesSeconds,
					take,
					placesOf(of, wanted),
				),
		};
	}
	if (daysFrom.length > 0)
		throw new InputError(
			"respiration day by day is fitted for one mixed zone only; leave --days out for a chamber with a stagnant zone or an inhibited crop",
		);
	return { names, edges, run: throughSolver(model, edges, of, untilSeconds, method) };
}

/** Where each name stands among the values; those that a model does not have are left out. */
export type Places = Readonly<Partial<Record<FitName, number>>>;

/** Places of the slopes of `readings` in a row of those wanted. */
export function placesOf(of: Places, wanted: readonly number[]): SlopePlaces {
	const place = (name: FitName) => wanted.indexOf(of[name] ?? -1);
	return {
		width: wanted.length,
		// The first of the sources has the first place of all.
		source: wanted.includes(0) ? 0 : -1,
		fan: place("flow"),
		leak: place("leak"),
		lag: place("lag"),
		offset: place("offset"),
		start: place("start"),
		reading: place("reading"),
		phase: place("phase"),
		drift: place("drift"),
	};
}

/** One mixed zone in the plain numbers of `readings`; the values begin with its sources. */
export function readingModel(
	model: Model,
	values: ArrayLike<number>,
	of: Places,
	days = 1,
	shape?: ReadingModel["shape"],
): ReadingModel {
	return {
		volumeM3: model.volumeM3,
		supplyPpm: model.supplyPpm,
		mixing: model.mixing ?? 1,
		fanM3PerS: values[of.flow!]!,
		leakM3PerS: values[of.leak!]!,
		sources: Array.from({ length: days }, (_, k) => values[k]!),
		...(shape === undefined ? {} : { shape }),
		lagSeconds: values[of.lag!]!,
		offsetPpm: values[of.offset!]!,
		startPpm: values[of.start!]!,
		readingPpm: values[of.reading!]!,
	};
}

/** Parts of a burst at whose ends the CO2 is worked out: a burst is short against the hours, but its fall is curved. */
const PARTS = 4;

/** CO2 in the chamber where the fan switches and within the bursts, which may lie between two samples. */
export function chamberThrough(
	model: Pick<FitModel, "run">,
	values: ArrayLike<number>,
	bursts: readonly { readonly startSeconds: number; readonly endSeconds: number }[],
): { readonly timesSeconds: Float64Array; readonly chamberPpm: Float64Array } {
	const timesSeconds = Float64Array.from(
		bursts.flatMap(({ startSeconds, endSeconds }) =>
			Array.from(
				{ length: PARTS + 1 },
				(_, part) => startSeconds + ((endSeconds - startSeconds) * part) / PARTS,
			),
		),
	);
	const chamberPpm = new Float64Array(timesSeconds.length);
	if (timesSeconds.length > 0)
		model.run(values, timesSeconds, [], ({ first, count, chamberPpm: ppm }) =>
			chamberPpm.set(ppm.subarray(0, count), first),
		);
	return { timesSeconds, chamberPpm };
}

/** Step of the differences, relative to a value's natural size: the solver's exact path is smooth to 1e-12. */
const DIFFERENCE = 1e-4;

function throughSolver(
	base: Model,
	edges: (values: ArrayLike<number>) => readonly Edge[],
	of: Record<FitName, number>,
	untilSeconds: number,
	method: Method | undefined,
): FitModel["run"] {
	const { source } = base;
	const at = (values: ArrayLike<number>, times: ArrayLike<number>) => {
		const scale = values[of.respiration]! / base.generationM3PerS;
		const lag = Math.max(values[of.lag]!, 0);
		const model: Model = {
			...base,
			generationM3PerS: values[of.respiration]!,
			...(source === undefined
				? {}
				: { source: { ...source, m3PerS: (t: number, ppm: number) => scale * source.m3PerS(t, ppm) } }),
			fanM3PerS: values[of.flow]!,
			leakM3PerS: values[of.leak]!,
			sensorSeconds: lag,
			// The edges carry the equal square burst already.
			spinUpSeconds: 0,
			coastDownSeconds: 0,
		};
		const list = edges(values);
		const inside = list.filter(({ timeSeconds }) => timeSeconds > 0 && timeSeconds < untilSeconds);
		const first = list.findLast(({ timeSeconds }) => timeSeconds <= 0)!;
		const b = balance(model);
		const state = new Float64Array(b.states).fill(values[of.start]! - base.supplyPpm);
		if (b.sensor >= 0) state[b.sensor] = values[of.reading]! - values[of.offset]! - base.supplyPpm;
		const run = simulate(
			model,
			{
				kind: "switches",
				switchSeconds: inside.map(({ timeSeconds }) => timeSeconds),
				startsWith: first.on ? "on" : "off",
			},
			{
				durationSeconds: untilSeconds,
				sampleTimes: times,
				start: { state, fanLevel: first.on ? 1 : 0 },
				...(method === undefined ? {} : { method }),
			},
		);
		const sensed = model.sensorZone === "stagnant" ? (run.stagnantPpm ?? run.co2Ppm) : run.co2Ppm;
		return { reading: run.sensorPpm ?? sensed, sensed, offset: values[of.offset]! };
	};
	return (values, times, wanted, take) => {
		const here = at(values, times);
		const block = readingBlock(wanted.length);
		const differences = wanted.map((k) => {
			const step = DIFFERENCE * natural(k, values, of);
			// No lower than 0 where nothing can be negative.
			const signed = k === of.offset || k === of.phase || k === of.drift;
			const back = signed ? step : Math.min(step, values[k]!);
			const moved = (by: number) =>
				at(
					Float64Array.from(values, (v, j) => (j === k ? v + by : v)),
					times,
				);
			const [up, down] = [moved(step), moved(-back)];
			return up.reading.map((ppm, i) => (ppm + up.offset - down.reading[i]! - down.offset) / (step + back));
		});
		for (let first = 0; first < times.length; first += BLOCK) {
			const end = Math.min(first + BLOCK, times.length);
			for (const [k, column] of differences.entries())
				block.columns.set(column.subarray(first, end), k * BLOCK);
			block.readingPpm.set(here.reading.subarray(first, end).map((ppm) => ppm + here.offset));
			block.chamberPpm.set(here.sensed.subarray(first, end));
			block.first = first;
			block.count = end - first;
			take(block);
		}
	};
}

function natural(k: number, values: ArrayLike<number>, of: Record<FitName, number>): number {
	const floor =
		k === of.drift
			? 1e-4
			: k === of.phase || k === of.lag
				? 10
				: k === of.offset || k === of.start || k === of.reading
					? 100
					: 1e-3 * values[of.flow]!;
	return Math.max(Math.abs(values[k]!) * (k === of.phase || k === of.drift ? 0 : 1), floor);
}
