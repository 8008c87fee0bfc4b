import { chooseCleaning } from "../../../lib/fit/fit.ts";
import type { FitOptions } from "../../../lib/fit/fitoptions.ts";
import { cleanSeries } from "../../../lib/logs/clean/clean.ts";
import type { CleanSeries } from "../../../lib/logs/log.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";
import type { Scenario } from "../../../lib/scenario/scenario.ts";
import { seriesOf } from "../syntheticlog.ts";

/**
 * A chamber on a timer and the log of its sensor, with everything that may go wrong while a log is written. Its physics are its own:
 * small steps in which flow and source are level, so that each is an exponential; its noise is its own too.
 */
export interface Premises {
	readonly airM3: number;
	/** CO2 of the air that enters [ppm]. */
	readonly intakePpm: number | ((seconds: number) => number);
	readonly sourceM3PerS: number | ((seconds: number) => number);
	readonly flowM3PerS: number | ((seconds: number) => number);
	readonly leakM3PerS: number;
	readonly lagSeconds: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** When a burst began, on the logger's clock [s]. */
	readonly phaseSeconds: number;
	/** Share by which the timer's seconds last longer than the logger's. */
	readonly timerRateError?: number;
	readonly hours: number;
	readonly stepSeconds: number;
	/** Standard deviation of the noise, and correlation of neighbours a step apart. */
	readonly noisePpm: number;
	readonly rho: number;
	readonly roundPpm?: number;
	readonly seed: number;
	/** Doors that stand open so long, and let the air change so often [1/s]. */
	readonly doors?: readonly {
		readonly atSeconds: number;
		readonly seconds: number;
		readonly perSecond: number;
	}[];
	/** A sensor that sets its own baseline. */
	readonly steps?: readonly { readonly atSeconds: number; readonly ppm: number }[];
	/** What the sensor reads too high, changing over the log. */
	readonly driftPpm?: (seconds: number) => number;
	/** CO2 at the first sample [ppm]; absent: the chamber has run for a while. */
	readonly startPpm?: number;
}

const at = (of: number | ((seconds: number) => number), seconds: number): number =>
	typeof of === "number" ? of : of(seconds);

/** Longest step of the integration [s]. */
const STEP = 5;

export interface DisturbedLog {
	readonly seconds: Float64Array;
	readonly ppm: Float64Array;
	readonly peakPpm: number;
	readonly meanSourceM3PerS: number;
}

export function disturbedLog(of: Premises): DisturbedLog {
	const { airM3, lagSeconds, onSeconds, phaseSeconds, stepSeconds, doors = [], steps = [] } = of;
	const stretch = 1 + (of.timerRateError ?? 0);
	const period = (onSeconds + of.offSeconds) * stretch;
	const last = 3600 * of.hours;
	// The chamber has run for a while before its log begins, unless it starts from a stated level.
	const begin = of.startPpm === undefined ? -Math.ceil(Math.max(8 * 3600, 20 * period)) : 0;
	const edges: { at: number; on: boolean }[] = [];
	if (onSeconds > 0)
		for (let k = Math.floor((begin - phaseSeconds) / period); phaseSeconds + k * period < last; k++) {
			edges.push({ at: phaseSeconds + k * period, on: true });
			edges.push({ at: phaseSeconds + k * period + onSeconds * stretch, on: false });
		}
	let on = false;
	let edge = 0;
	for (; edge < edges.length && edges[edge]!.at <= begin; edge++) on = edges[edge]!.on;
	let t = begin;
	let c = of.startPpm ?? at(of.intakePpm, begin) + 200;
	let s = c;
	let peakPpm = 0;
	let given = 0;
	const shown: number[] = [];
	const count = Math.floor(last / stepSeconds) + 1;
	while (shown.length < count) {
		const sample = shown.length * stepSeconds;
		let until = Math.min(sample, edges[edge]?.at ?? Number.POSITIVE_INFINITY);
		for (const door of doors)
			for (const limit of [door.atSeconds, door.atSeconds + door.seconds])
				if (limit > t && limit < until) until = limit;
		while (t < until) {
			const h = Math.min(STEP, until - t);
			const mid = t + h / 2;
			const open = doors.find(({ atSeconds, seconds }) => mid > atSeconds && mid < atSeconds + seconds);
			const rate = (of.leakM3PerS + (on ? at(of.flowM3PerS, mid) : 0)) / airM3 + (open?.perSecond ?? 0);
			const gain = (1e6 * at(of.sourceM3PerS, mid)) / airM3;
			const goal = rate > 0 ? gain / rate + at(of.intakePpm, mid) : 0;
			const next = rate > 0 ? goal + (c - goal) * Math.exp(-rate * h) : c + gain * h;
			// Through a lag the air's line from c to next.
			const slope = (next - c) / h;
			s =
				lagSeconds > 0
					? next - slope * lagSeconds + (s - c + slope * lagSeconds) * Math.exp(-h / lagSeconds)
					: next;
			c = next;
			t += h;
			if (t >= 0) {
				peakPpm = Math.max(peakPpm, c);
				given += h * at(of.sourceM3PerS, mid);
			}
		}
		t = until;
		for (; edge < edges.length && edges[edge]!.at <= t; edge++) on = edges[edge]!.on;
		if (t === sample) shown.push(s);
	}
	const random = normals(of.seed);
	const round = of.roundPpm ?? 1;
	let noise = of.noisePpm * random();
	const ppm = Float64Array.from(shown, (value, i) => {
		const time = i * stepSeconds;
		const step = steps.reduce((sum, one) => sum + (time >= one.atSeconds ? one.ppm : 0), 0);
		const reading = value + step + (of.driftPpm?.(time) ?? 0) + noise;
		noise = of.rho * noise + of.noisePpm * Math.sqrt(1 - of.rho ** 2) * random();
		return Math.round(reading / round) * round;
	});
	return {
		seconds: Float64Array.from(shown, (_, i) => i * stepSeconds),
		ppm,
		peakPpm,
		meanSourceM3PerS: given / last,
	};
}

/** Uniform numbers of a multiplicative generator, and standard normal ones by sums of twelve. */
export function uniforms(seed: number): () => number {
	let state = (seed * 48_271 + 11) % 2_147_483_647 || 1;
	const next = () => {
		state = (state * 48_271) % 2_147_483_647;
		return state / 2_147_483_647;
	};
	for (let k = 0; k < 10; k++) next();
	return next;
}

const normals = (seed: number): (() => number) => {
	const uniform = uniforms(seed);
	return () => {
		let sum = -6;
		for (let k = 0; k < 12; k++) sum += uniform();
		return sum;
	};
};

/** What a grower believes, as a file. */
export interface Belief {
	readonly litres: number;
	readonly leakPerH: number;
	readonly flowM3PerH: number;
	readonly kg: number;
	readonly rate: number;
	readonly responseSeconds: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly ceilingPpm?: number;
	readonly more?: string;
}

export const scenarioOf = (of: Belief): Scenario =>
	parseScenario(
		`
chamber: { volume: ${of.litres} L, leak: ${of.leakPerH} /h, temperature: 18 C }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: ${of.kg} kg, rate: ${of.rate} mg/(kg h)${of.more ?? ""} }
fan: { flow: ${of.flowM3PerH} m3/h }
sensor: { response: ${of.responseSeconds} s }
target: { ceiling: ${of.ceilingPpm ?? 3000} ppm, on: peak }
schedules: { usual: { on: ${of.onSeconds} s, off: ${of.offSeconds} s } }
`,
		"cabinet.yaml",
	);

/** The log as a file would bring it, cleaned for these options. */
export function seriesOfLog(
	scenario: Scenario,
	{ seconds, ppm }: Pick<DisturbedLog, "seconds" | "ppm">,
	options: FitOptions = {},
): CleanSeries {
	const { log } = seriesOf(seconds, ppm, seconds[1]! - seconds[0]!);
	return cleanSeries(log, chooseCleaning(scenario, options));
}
