import type { Model } from "../model/chamber.ts";
import { continuousState } from "../solve/continuous.ts";
import { makeCycle, makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { simulate } from "../solve/simulate.ts";
import { summarize } from "../solve/summary.ts";
import { seededUniform } from "../statistics/random.ts";
import { HOUR, MINUTE } from "../time.ts";
import { CUBIC_FOOT } from "../units/factors.ts";
import type { UnitSystem } from "../units/format.ts";
import { findBurstNeeded } from "./ceilingsettings.ts";

export interface WorksheetOptions {
	/** A whole number; another seed gives other numbers. Default 1. */
	readonly seed?: number;
	/** Units of volume and flow. Default si. */
	readonly units?: UnitSystem;
}

/** A result that is asked for. */
export interface Answer {
	readonly code:
		| "air changes"
		| "replaced"
		| "rise"
		| "level"
		| "peak"
		| "trough"
		| "ripple"
		| "longest off-time"
		| "burst"
		| "reads low by";
	/** In `unit`, unrounded. */
	readonly value: number;
	readonly unit: "" | "%" | "ppm" | "ppm/min" | "s";
}

interface Asked<Id extends string> {
	readonly id: Id;
	readonly answers: readonly Answer[];
}

/** A question with the numbers that it gives; the sentence is made where it is read. */
export type Question =
	| Asked<"air changes">
	| Asked<"closed rise">
	/** Flow of a fan that never stops [m3/s]. */
	| (Asked<"steady flow"> & { readonly flowM3PerS: number })
	| (Asked<"peak and trough"> & { readonly risePpm: number })
	/** Burst and pause are so many times as short; peak and ripple were [ppm]. */
	| (Asked<"shorter cycle"> & {
			readonly parts: number;
			readonly formerPeakPpm: number;
			readonly formerRipplePpm: number;
	  })
	| Asked<"longest off-time">
	/** The shorter of the two pauses [s]. */
	| (Asked<"twice the pause"> & { readonly pauseSeconds: number })
	| (Asked<"counted burst"> & { readonly beforePpm: number; readonly afterPpm: number })
	| (Asked<"slow sensor"> & { readonly responseSeconds: number });

/** Questions about one invented chamber without leakage, with their answers. */
export interface Worksheet {
	readonly seed: number;
	/** Units in which volume and flow are round. */
	readonly units: UnitSystem;
	/** The chamber of all questions. */
	readonly model: Model;
	readonly ceilingPpm: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	readonly questions: readonly Question[];
}

const MILLILITRE = 1e-6;

/** Sizes that people choose, and the flow that goes with them. */
const UNITS = {
	si: {
		volumes: [60, 80, 100, 120, 150, 200, 250, 300, 400],
		m3: 1e-3,
		flowM3PerS: 1 / HOUR,
	},
	us: {
		volumes: [2, 3, 4, 5, 6, 8, 10, 12],
		m3: CUBIC_FOOT,
		flowM3PerS: CUBIC_FOOT / MINUTE,
	},
} as const;

const twoDigits = (value: number): number => Number(value.toPrecision(2));

/**
 * A worksheet whose numbers come from a seed; the same seed gives the same sheet.
 *
 * @param options seed (a whole number) and units (`si` or `us`)
 * @returns a chamber and questions with their answers
 * @throws InputError for a seed or units that make no sense
 *
 * Source: this project; the numbers are invented.
 * @example worksheet({ seed: 1 }).questions.length // => 9
 */
export function worksheet({ seed = 1, units = "si" }: WorksheetOptions = {}): Worksheet {
	const random = seededUniform(seed);
	const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
	const unit = UNITS[units];

	const volume = pick(unit.volumes);
	const volumeM3 = volume * unit.m3;
	const flow = twoDigits(volumeM3 / pick([8, 10, 12, 15, 18]) / unit.flowM3PerS);
	const co2 = twoDigits(((pick([15, 20, 25, 30, 40, 50]) * volumeM3) / MILLILITRE / 1e6) * MINUTE);
	const intakePpm = pick([400, 420, 450, 480, 500, 550, 600]);
	const ceilingPpm = pick([1000, 1100, 1200, 1500]);
	const onSeconds = pick([4, 5, 6, 8, 10, 12]);
	const offSeconds = MINUTE * pick([4, 5, 6, 8, 10, 12]);
	const model: Model = {
		volumeM3,
		intakePpm,
		generationM3PerS: (co2 * MILLILITRE) / HOUR,
		infiltrationM3PerS: 0,
		deliveredM3PerS: flow * unit.flowM3PerS,
	};
	const chamber: Chamber = {
		model,
		ceilingPpm,
		onSeconds,
		offSeconds,
		flowOf: (m3PerS) => twoDigits(m3PerS / unit.flowM3PerS) * unit.flowM3PerS,
		pick,
	};
	return {
		seed,
		units,
		model,
		ceilingPpm,
		onSeconds,
		offSeconds,
		questions: [
			airChanges(chamber),
			closedRise(chamber),
			steadyFlow(chamber),
			peakAndTrough(chamber),
			shorterCycle(chamber),
			maxOffTime(chamber),
			twiceThePause(chamber),
			countedBurst(chamber),
			slowSensor(chamber),
		],
	};
}

interface Chamber {
	readonly model: Model;
	readonly ceilingPpm: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** The nearest flow that is round in the units of the sheet. */
	flowOf(m3PerS: number): number;
	pick<T>(list: readonly T[]): T;
}

function airChanges({ model, onSeconds, offSeconds, ceilingPpm }: Chamber): Question {
	const { airChangesPerBurst, replacedFraction } = summarize(model, makeCycle(onSeconds, offSeconds), {
		ceilingPpm,
	});
	return {
		id: "air changes",
		answers: [
			{ code: "air changes", value: airChangesPerBurst!, unit: "" },
			{ code: "replaced", value: 100 * replacedFraction!, unit: "%" },
		],
	};
}

function closedRise({ model }: Chamber): Question {
	const { co2Ppm } = simulate(model, { kind: "off" }, { durationSeconds: MINUTE, sampleTimes: [MINUTE] });
	return {
		id: "closed rise",
		answers: [{ code: "rise", value: co2Ppm[0]! - model.intakePpm, unit: "ppm/min" }],
	};
}

function steadyFlow({ model, flowOf, pick }: Chamber): Question {
	const deliveredM3PerS = flowOf((1e6 * model.generationM3PerS) / pick([250, 300, 400, 500, 600]));
	const level = continuousState({ ...model, deliveredM3PerS }, { kind: "continuous" })!;
	return {
		id: "steady flow",
		flowM3PerS: deliveredM3PerS,
		answers: [{ code: "level", value: level, unit: "ppm" }],
	};
}

function peakAndTrough({ model, onSeconds, offSeconds }: Chamber): Question {
	const { peakPpm, troughPpm } = makeCycleStats(model)({ onSeconds, offSeconds });
	return {
		id: "peak and trough",
		risePpm: peakPpm - troughPpm,
		answers: [
			{ code: "peak", value: peakPpm, unit: "ppm" },
			{ code: "trough", value: troughPpm, unit: "ppm" },
		],
	};
}

function shorterCycle({ model, onSeconds, offSeconds, pick }: Chamber): Question {
	const parts = pick([2, 3, 4, 5]);
	const stats = makeCycleStats(model);
	const after = stats({ onSeconds: onSeconds / parts, offSeconds: offSeconds / parts });
	const before = stats({ onSeconds, offSeconds });
	return {
		id: "shorter cycle",
		parts,
		formerPeakPpm: before.peakPpm,
		formerRipplePpm: before.peakPpm - before.troughPpm,
		answers: [
			{ code: "peak", value: after.peakPpm, unit: "ppm" },
			{ code: "ripple", value: after.peakPpm - after.troughPpm, unit: "ppm" },
		],
	};
}

function maxOffTime({ model, ceilingPpm }: Chamber): Question {
	return {
		id: "longest off-time",
		answers: [{ code: "longest off-time", value: maxOffSeconds(model, ceilingPpm)!, unit: "s" }],
	};
}

function twiceThePause({ model, ceilingPpm }: Chamber): Question {
	const pauseSeconds = Math.max(10, 10 * Math.round(maxOffSeconds(model, ceilingPpm)! / 40));
	return {
		id: "twice the pause",
		pauseSeconds,
		answers: [pauseSeconds, 2 * pauseSeconds].map((off) => ({
			code: "burst",
			value: findBurstNeeded(model, ceilingPpm, off)!,
			unit: "s",
		})),
	};
}

function countedBurst({ model, pick }: Chamber): Question {
	const beforePpm = pick([2000, 2500, 3000, 4000]);
	const left = Math.exp(-pick([0.4, 0.6, 0.8, 1, 1.3]));
	const afterPpm = 10 * Math.round((model.intakePpm + (beforePpm - model.intakePpm) * left) / 10);
	return {
		id: "counted burst",
		beforePpm,
		afterPpm,
		answers: [
			{
				code: "air changes",
				value: Math.log((beforePpm - model.intakePpm) / (afterPpm - model.intakePpm)),
				unit: "",
			},
		],
	};
}

function slowSensor({ model, pick }: Chamber): Question {
	const responseSeconds = pick([30, 45, 60, 90, 120]);
	const durationSeconds = 40 * responseSeconds;
	const { co2Ppm, sensorPpm } = simulate(
		{ ...model, responseSeconds },
		{ kind: "off" },
		{ durationSeconds, sampleTimes: [durationSeconds] },
	);
	return {
		id: "slow sensor",
		responseSeconds,
		answers: [{ code: "reads low by", value: co2Ppm[0]! - sensorPpm![0]!, unit: "ppm" }],
	};
}
