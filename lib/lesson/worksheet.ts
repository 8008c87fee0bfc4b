import type { Model } from "../model/chamber.ts";
import { continuousState } from "../solve/continuous.ts";
import { makeCycle, makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { simulate } from "../solve/simulate.ts";
import { summarize } from "../solve/summary.ts";
import { seededUniform } from "../statistics/random.ts";
import { CUBIC_FOOT } from "../units/factors.ts";
import { formatDuration, type UnitSystem } from "../units/format.ts";
import { findBurstNeeded } from "./ceilingsettings.ts";

export interface WorksheetOptions {
	/** A whole number; another seed gives other numbers. Default 1. */
	readonly seed?: number;
	/** Units of volume and flow. Default si. */
	readonly units?: UnitSystem;
}

/** A result that is asked for. */
export interface Answer {
	readonly what: string;
	/** In `unit`, unrounded. */
	readonly value: number;
	readonly unit: "" | "%" | "ppm" | "ppm/min" | "s";
	/** Rounded as one would say it, with its unit. */
	readonly shown: string;
}

export interface Question {
	readonly id: string;
	readonly text: string;
	readonly answers: readonly Answer[];
	/** The way there, in a line. */
	readonly working: string;
}

/** Questions about one invented chamber without leak, with their answers. */
export interface Worksheet {
	readonly seed: number;
	/** The chamber of all questions. */
	readonly model: Model;
	readonly ceilingPpm: number;
	readonly onSeconds: number;
	readonly offSeconds: number;
	/** What is given, as on the sheet. */
	readonly given: readonly { readonly symbol: string; readonly what: string; readonly value: string }[];
	readonly questions: readonly Question[];
}

/** Formulas that a pupil may use, in words and signs. */
export const FORMULAS: readonly (readonly [what: string, formula: string])[] = [
	["air changes of a burst that lasts t", "n = Q · t / V"],
	["share of the excess that a burst replaces", "1 − e^(−n)"],
	["rise in a pause that lasts t, in ppm", "10⁶ · G · t / V"],
	["level under a flow q that never stops, in ppm", "Cs + 10⁶ · G / q"],
	["peak of the pattern that repeats", "Cs + 10⁶ · G / Q + rise / (1 − e^(−n))"],
	["trough", "peak − rise"],
];

const MILLILITRE = 1e-6;
const HOUR = 3600;
const MINUTE = 60;

/** Sizes that people choose, and the flow that goes with them. */
const UNITS = {
	si: {
		volumes: [60, 80, 100, 120, 150, 200, 250, 300, 400],
		m3: 1e-3,
		volume: "L",
		flowM3PerS: 1 / HOUR,
		flow: "m³/h",
	},
	us: {
		volumes: [2, 3, 4, 5, 6, 8, 10, 12],
		m3: CUBIC_FOOT,
		volume: "ft³",
		flowM3PerS: CUBIC_FOOT / MINUTE,
		flow: "cfm",
	},
} as const;

const twoDigits = (value: number): number => Number(value.toPrecision(2));

/** A worksheet whose numbers come from a seed; the same seed gives the same sheet. */
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
		flowText: (m3PerS) => `${Number((m3PerS / unit.flowM3PerS).toPrecision(2))} ${unit.flow}`,
		flowOf: (m3PerS) => twoDigits(m3PerS / unit.flowM3PerS) * unit.flowM3PerS,
		pick,
	};
	return {
		seed,
		model,
		ceilingPpm,
		onSeconds,
		offSeconds,
		given: [
			{ symbol: "V", what: "air in the chamber", value: `${volume} ${unit.volume}` },
			{ symbol: "Q", what: "flow of the fan while it is on", value: `${flow} ${unit.flow}` },
			{ symbol: "G", what: "pure CO2 given off by the crop", value: `${co2} mL/h` },
			{ symbol: "Cs", what: "CO2 of the air drawn in", value: `${intakePpm} ppm` },
			{ symbol: "", what: "ceiling", value: `${ceilingPpm} ppm` },
			{ symbol: "", what: "timer", value: `${onSeconds} s on, ${formatDuration(offSeconds)} off` },
		],
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
	flowText(m3PerS: number): string;
	/** The nearest flow that its text says. */
	flowOf(m3PerS: number): number;
	pick<T>(list: readonly T[]): T;
}

const ppmAnswer = (what: string, value: number): Answer => ({
	what,
	value,
	unit: "ppm",
	shown: `${Math.round(value)} ppm`,
});
const percentAnswer = (what: string, share: number): Answer => ({
	what,
	value: 100 * share,
	unit: "%",
	shown: `${threeDigits(100 * share)} %`,
});
const secondsAnswer = (what: string, value: number): Answer => ({
	what,
	value,
	unit: "s",
	shown:
		value < 100 ? `${threeDigits(value)} s` : `${Math.round(value)} s (${formatDuration(Math.round(value))})`,
});
const plainAnswer = (what: string, value: number): Answer => ({
	what,
	value,
	unit: "",
	shown: threeDigits(value),
});
const threeDigits = (value: number): string => String(Number(value.toPrecision(3)));

function airChanges({ model, onSeconds, offSeconds, ceilingPpm }: Chamber): Question {
	const { airChangesPerBurst, replacedFraction } = summarize(model, makeCycle(onSeconds, offSeconds), {
		ceilingPpm,
	});
	return {
		id: "air changes",
		text: `How many air changes does one burst make, and which share of the excess does it replace?`,
		answers: [plainAnswer("air changes", airChangesPerBurst!), percentAnswer("replaced", replacedFraction!)],
		working: `n = Q · t / V = ${threeDigits(airChangesPerBurst!)}, and 1 − e^(−n) = ${threeDigits(replacedFraction!)}. Mind the units: bring Q to the second first.`,
	};
}

function closedRise({ model }: Chamber): Question {
	const { co2Ppm } = simulate(model, { kind: "off" }, { durationSeconds: MINUTE, sampleTimes: [MINUTE] });
	const perMinute = co2Ppm[0]! - model.intakePpm;
	return {
		id: "closed rise",
		text: "The fan is off. By how many ppm does the CO2 rise in a minute?",
		answers: [
			{ what: "rise", value: perMinute, unit: "ppm/min", shown: `${threeDigits(perMinute)} ppm a minute` },
		],
		working: "10⁶ · G · 1 min / V: what the crop gives off in a minute, as parts of a million of the air.",
	};
}

function steadyFlow({ model, flowText, flowOf, pick }: Chamber): Question {
	const deliveredM3PerS = flowOf((1e6 * model.generationM3PerS) / pick([250, 300, 400, 500, 600]));
	const level = continuousState({ ...model, deliveredM3PerS }, { kind: "continuous" })!;
	return {
		id: "steady flow",
		text: `A weaker fan never stops and moves ${flowText(deliveredM3PerS)}. At how many ppm does the CO2 settle?`,
		answers: [ppmAnswer("level", level)],
		working: `Cs + 10⁶ · G / q: the excess is ${Math.round(level - model.intakePpm)} ppm.`,
	};
}

function peakAndTrough({ model, onSeconds, offSeconds }: Chamber): Question {
	const { peakPpm, troughPpm } = makeCycleStats(model)(onSeconds, offSeconds);
	return {
		id: "peak and trough",
		text: "What are peak and trough under the timer's setting, once the pattern repeats?",
		answers: [ppmAnswer("peak", peakPpm), ppmAnswer("trough", troughPpm)],
		working: `The rise in a pause is ${Math.round(peakPpm - troughPpm)} ppm; each burst must blow out just that and what comes in meanwhile.`,
	};
}

function shorterCycle({ model, onSeconds, offSeconds, pick }: Chamber): Question {
	const parts = pick([2, 3, 4, 5]);
	const stats = makeCycleStats(model);
	const { peakPpm, ripplePpm } = withRipple(stats(onSeconds / parts, offSeconds / parts));
	const before = withRipple(stats(onSeconds, offSeconds));
	return {
		id: "shorter cycle",
		text: `The timer is set to bursts and pauses ${parts} times as short. The air a day is the same. What are the new peak and the new ripple (peak less trough)?`,
		answers: [ppmAnswer("peak", peakPpm), ppmAnswer("ripple", ripplePpm)],
		working: `Pauses ${parts} times as short: a ripple of ${Math.round(before.ripplePpm)} ppm / ${parts}. The peak comes down from ${Math.round(before.peakPpm)} ppm.`,
	};
}

const withRipple = ({ peakPpm, troughPpm }: { peakPpm: number; troughPpm: number }) => ({
	peakPpm,
	ripplePpm: peakPpm - troughPpm,
});

function maxOffTime({ model, ceilingPpm }: Chamber): Question {
	const longest = maxOffSeconds(model, ceilingPpm)!;
	return {
		id: "longest off-time",
		text: "Which off-time is too long, however strong the fan?",
		answers: [secondsAnswer("longest off-time", longest)],
		working: `From Cs up to the ceiling there are ${ceilingPpm - model.intakePpm} ppm; divide by the rise per second.`,
	};
}

function twiceThePause({ model, ceilingPpm }: Chamber): Question {
	const pause = Math.max(10, 10 * Math.round(maxOffSeconds(model, ceilingPpm)! / 40));
	const [one, two] = [pause, 2 * pause].map((off) => findBurstNeeded(model, ceilingPpm, off)!) as [
		number,
		number,
	];
	return {
		id: "twice the pause",
		text: `The peak is to be just the ceiling. Which burst is needed after a pause of ${formatDuration(pause)}, and which after one of ${formatDuration(2 * pause)}? Is it twice as long?`,
		answers: [
			secondsAnswer(`burst after ${formatDuration(pause)}`, one),
			secondsAnswer(`burst after ${formatDuration(2 * pause)}`, two),
		],
		working: `Solve the peak for n: n = −ln(1 − rise / (ceiling − Cs − 10⁶ · G / Q)), then t = n · V / Q. Twice the pause takes ${threeDigits(two / one)} times the burst.`,
	};
}

function countedBurst({ model, pick }: Chamber): Question {
	const before = pick([2000, 2500, 3000, 4000]);
	const after =
		10 *
		Math.round(
			(model.intakePpm + (before - model.intakePpm) * Math.exp(-pick([0.4, 0.6, 0.8, 1, 1.3]))) / 10,
		);
	const n = Math.log((before - model.intakePpm) / (after - model.intakePpm));
	return {
		id: "counted burst",
		text: `An empty chamber was lifted to ${before} ppm. After one burst, and after the sensor has had time, it shows ${after} ppm. How many air changes was the burst?`,
		answers: [plainAnswer("air changes", n)],
		working: `Take Cs off both readings: n = ln(${before - model.intakePpm} / ${after - model.intakePpm}).`,
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
	const behind = co2Ppm[0]! - sensorPpm![0]!;
	return {
		id: "slow sensor",
		text: `A sensor takes ${responseSeconds} s for 63 % of a step, so in a steady rise it shows the CO2 of ${responseSeconds} s ago. By how much does it read too low late in a long pause?`,
		answers: [ppmAnswer("too low by", behind)],
		working: `The rise of ${responseSeconds} s. A peak that the sensor shows is always too low.`,
	};
}
