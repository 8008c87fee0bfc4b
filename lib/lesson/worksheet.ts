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

/** A result that is asked for, unrounded. */
export type Answer = Question["answers"][number];
/** A question with the numbers that it gives; the sentence is made where it is read. */
export type Question = Worksheet["questions"][number];
/** Questions about one invented chamber without leakage, with their answers. */
export type Worksheet = ReturnType<typeof worksheet>;

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
export function worksheet({ seed = 1, units = "si" }: WorksheetOptions = {}) {
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
	const chamber = { model, ceilingPpm, onSeconds, offSeconds };
	const roundFlow = (m3PerS: number): number => twoDigits(m3PerS / unit.flowM3PerS) * unit.flowM3PerS;
	return {
		seed,
		/** Units in which volume and flow are round. */
		units,
		...chamber,
		// The order in which they draw their numbers.
		questions: [
			airChanges(chamber),
			closedRise(chamber),
			steadyFlow(chamber, pick([250, 300, 400, 500, 600]), roundFlow),
			peakAndTrough(chamber),
			shorterCycle(chamber, pick([2, 3, 4, 5])),
			maxOffTime(chamber),
			twiceThePause(chamber),
			countedBurst(chamber, pick([2000, 2500, 3000, 4000]), pick([0.4, 0.6, 0.8, 1, 1.3])),
			slowSensor(chamber, pick([30, 45, 60, 90, 120])),
		],
	};
}

interface Chamber {
	readonly model: Model;
	readonly ceilingPpm: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
}

const question = <const Id extends string, const Data extends object>(id: Id, data: Data) => ({
	id,
	...data,
});
const answer = <const Code extends string, const Unit extends "" | "%" | "ppm" | "ppm/min" | "s">(
	code: Code,
	value: number,
	unit: Unit,
) => ({ code, value, unit });

function airChanges({ model, onSeconds, offSeconds, ceilingPpm }: Chamber) {
	const cycle = makeCycle(onSeconds, offSeconds);
	const { airChangesPerBurst, replacedFraction } = summarize(model, cycle, { ceilingPpm });
	return question("air changes", {
		answers: [
			answer("air changes", airChangesPerBurst!, ""),
			answer("replaced", 100 * replacedFraction!, "%"),
		],
	});
}

function closedRise({ model }: Chamber) {
	const { co2Ppm } = simulate(model, { kind: "off" }, { durationSeconds: MINUTE, sampleTimes: [MINUTE] });
	return question("closed rise", { answers: [answer("rise", co2Ppm[0]! - model.intakePpm, "ppm/min")] });
}

/** A fan that never stops [m3/s]. */
function steadyFlow({ model }: Chamber, excessPpm: number, roundFlow: (m3PerS: number) => number) {
	const flowM3PerS = roundFlow((1e6 * model.generationM3PerS) / excessPpm);
	const level = continuousState({ ...model, deliveredM3PerS: flowM3PerS }, { kind: "continuous" })!;
	return question("steady flow", { flowM3PerS, answers: [answer("level", level, "ppm")] });
}

function peakAndTrough({ model, onSeconds, offSeconds }: Chamber) {
	const { peakPpm, troughPpm } = makeCycleStats(model)({ onSeconds, offSeconds });
	return question("peak and trough", {
		risePpm: peakPpm - troughPpm,
		answers: [answer("peak", peakPpm, "ppm"), answer("trough", troughPpm, "ppm")],
	});
}

/** Burst and pause are so many times as short; peak and ripple were [ppm]. */
function shorterCycle({ model, onSeconds, offSeconds }: Chamber, parts: number) {
	const stats = makeCycleStats(model);
	const after = stats({ onSeconds: onSeconds / parts, offSeconds: offSeconds / parts });
	const before = stats({ onSeconds, offSeconds });
	return question("shorter cycle", {
		parts,
		formerPeakPpm: before.peakPpm,
		formerRipplePpm: before.peakPpm - before.troughPpm,
		answers: [answer("peak", after.peakPpm, "ppm"), answer("ripple", after.peakPpm - after.troughPpm, "ppm")],
	});
}

const maxOffTime = ({ model, ceilingPpm }: Chamber) =>
	question("longest off-time", {
		answers: [answer("longest off-time", maxOffSeconds(model, ceilingPpm)!, "s")],
	});

/** The shorter of the two pauses [s]. */
function twiceThePause({ model, ceilingPpm }: Chamber) {
	const pauseSeconds = Math.max(10, 10 * Math.round(maxOffSeconds(model, ceilingPpm)! / 40));
	return question("twice the pause", {
		pauseSeconds,
		answers: [pauseSeconds, 2 * pauseSeconds].map((off) =>
			answer("burst", findBurstNeeded(model, ceilingPpm, off)!, "s"),
		),
	});
}

function countedBurst({ model: { intakePpm } }: Chamber, beforePpm: number, airChangesLeft: number) {
	const left = (beforePpm - intakePpm) * Math.exp(-airChangesLeft);
	const afterPpm = 10 * Math.round((intakePpm + left) / 10);
	const changes = Math.log((beforePpm - intakePpm) / (afterPpm - intakePpm));
	return question("counted burst", { beforePpm, afterPpm, answers: [answer("air changes", changes, "")] });
}

function slowSensor({ model }: Chamber, responseSeconds: number) {
	const durationSeconds = 40 * responseSeconds;
	const run = { durationSeconds, sampleTimes: [durationSeconds] };
	const { co2Ppm, sensorPpm } = simulate({ ...model, responseSeconds }, { kind: "off" }, run);
	return question("slow sensor", {
		responseSeconds,
		answers: [answer("reads low by", co2Ppm[0]! - sensorPpm![0]!, "ppm")],
	});
}
