import { type Model, type Source, startModelAt } from "../../model/chamber.ts";
import { compile } from "../../solve/compile.ts";
import type { Method } from "../../solve/propagate/propagate.ts";
import { simulate } from "../../solve/simulate.ts";
import { sinceMidnight } from "../../time.ts";
import type { FitName } from "../fitoptions.ts";
import { BLOCK, createReadingBlock, type ReadingBlock, type SwitchEvent } from "./readings.ts";

/** Step of the differences, relative to a value's natural size: the solver's exact path is smooth to 1e-12. */
const RELATIVE_STEP = 1e-4;

/** A crop that gives off so many times as much. */
export const scaleSource = (source: Source, factor: number): Source => ({
	...source,
	m3PerS: (time, ppm) => factor * source.m3PerS(time, ppm),
});

/** Slopes by central differences of whole runs, for chambers that no closed form has. */
export function predictThroughSolver(
	base: Model,
	eventsOf: (values: ArrayLike<number>) => readonly SwitchEvent[],
	of: Record<FitName, number>,
	[fromSeconds, untilSeconds]: readonly [number, number],
	method: Method | undefined,
) {
	const { source } = startModelAt(base, sinceMidnight(fromSeconds));
	const at = (values: ArrayLike<number>, times: ArrayLike<number>) => {
		const scale = values[of.generation]! / base.generationM3PerS;
		const responseSeconds = Math.max(values[of.response]!, 0);
		const model: Model = {
			...base,
			generationM3PerS: values[of.generation]!,
			...(source === undefined ? {} : { source: scaleSource(source, scale) }),
			deliveredM3PerS: values[of.flow]!,
			infiltrationM3PerS: values[of.leak]!,
			responseSeconds,
			// The edges carry the equal square burst already.
			spinUpTauSeconds: 0,
			coastDownTauSeconds: 0,
		};
		const events = eventsOf(values);
		const inside = events.filter(
			({ timeSeconds }) => timeSeconds > fromSeconds && timeSeconds < untilSeconds,
		);
		const first = events.findLast(({ timeSeconds }) => timeSeconds <= fromSeconds)!;
		const shown = Float64Array.from(times).subarray(Array.from(times).filter((t) => t < fromSeconds).length);
		const padded = (ppm: Float64Array): Float64Array => {
			const all = new Float64Array(times.length).fill(Number.NaN);
			all.set(ppm, times.length - ppm.length);
			return all;
		};
		const compiled = compile(model);
		const b = compiled.balance;
		const state = new Float64Array(b.states).fill(values[of.initialCo2]! - base.intakePpm);
		if (b.sensor >= 0) state[b.sensor] = values[of.initialReading]! - values[of.offset]! - base.intakePpm;
		const run = simulate(
			compiled,
			{
				kind: "switches",
				switchSeconds: inside.map(({ timeSeconds }) => timeSeconds - fromSeconds),
				startsWith: first.isOn ? "on" : "off",
			},
			{
				durationSeconds: untilSeconds - fromSeconds,
				sampleTimes: shown.map((time) => time - fromSeconds),
				start: { state, fanSpeedFraction: first.isOn ? 1 : 0 },
				...(method === undefined ? {} : { method }),
			},
		);
		const sensed = model.sensorZone === "stagnant" ? (run.stagnantPpm ?? run.co2Ppm) : run.co2Ppm;
		return { reading: padded(run.sensorPpm ?? sensed), sensed: padded(sensed), offset: values[of.offset]! };
	};
	return (
		values: ArrayLike<number>,
		times: ArrayLike<number>,
		wanted: readonly number[],
		take: (block: ReadingBlock) => void,
	): void => {
		const here = at(values, times);
		const block = createReadingBlock(wanted.length);
		const differences = wanted.map((k) => {
			const step = RELATIVE_STEP * naturalSize(k, values, of);
			// No lower than 0 where nothing can be negative.
			const isSigned = k === of.offset || k === of.phase || k === of.timerRateError;
			const back = isSigned ? step : Math.min(step, values[k]!);
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

function naturalSize(k: number, values: ArrayLike<number>, of: Record<FitName, number>): number {
	const floor =
		k === of.timerRateError && of.offShift === undefined
			? 1e-4
			: k === of.phase || k === of.response
				? 10
				: k === of.offset || k === of.initialCo2 || k === of.initialReading
					? 100
					: 1e-3 * values[of.flow]!;
	return Math.max(Math.abs(values[k]!) * (k === of.phase || k === of.timerRateError ? 0 : 1), floor);
}
