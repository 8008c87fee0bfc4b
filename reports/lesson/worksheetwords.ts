import type { Answer, Question, Worksheet } from "../../lib/lesson/worksheet.ts";
import { CUBIC_FOOT } from "../../lib/units/factors.ts";
import { formatDuration, type UnitSystem } from "../../lib/units/format.ts";

/** Formulas that a pupil may use. */
export const FORMULAS: readonly (readonly [what: string, formula: string])[] = [
	["air changes of a burst of length t", "n = Q · t / V"],
	["share of the excess that a burst replaces", "1 − e^(−n)"],
	["rise in a pause of length t, in ppm", "10⁶ · G · t / V"],
	["level under a continuous flow q, in ppm", "Cs + 10⁶ · G / q"],
	["peak of the settled pattern", "Cs + 10⁶ · G / Q + rise / (1 − e^(−n))"],
	["trough", "peak − rise"],
];

const UNITS = {
	si: { m3: 1e-3, volume: "L", m3PerS: 1 / 3600, flow: "m³/h" },
	us: { m3: CUBIC_FOOT, volume: "ft³", m3PerS: CUBIC_FOOT / 60, flow: "cfm" },
} as const;

const threeDigits = (value: number): string => String(Number(value.toPrecision(3)));
const twoDigits = (value: number): string => String(Number(value.toPrecision(2)));
const flowText = (m3PerS: number, units: UnitSystem): string =>
	`${twoDigits(m3PerS / UNITS[units].m3PerS)} ${UNITS[units].flow}`;

/** What is given on a sheet. */
export function givenRows({ units, model, ceilingPpm, onSeconds, offSeconds }: Worksheet): readonly {
	readonly symbol: string;
	readonly what: string;
	readonly value: string;
}[] {
	const unit = UNITS[units];
	return [
		{
			symbol: "V",
			what: "air in the chamber",
			value: `${threeDigits(model.volumeM3 / unit.m3)} ${unit.volume}`,
		},
		{ symbol: "Q", what: "flow of the fan while it is on", value: flowText(model.deliveredM3PerS, units) },
		{
			symbol: "G",
			what: "pure CO₂ from the crop",
			value: `${twoDigits(model.generationM3PerS * 3.6e9)} mL/h`,
		},
		{ symbol: "Cs", what: "CO₂ of the intake air", value: `${model.intakePpm} ppm` },
		{ symbol: "", what: "ceiling", value: `${ceilingPpm} ppm` },
		{ symbol: "", what: "timer", value: `${onSeconds} s on, ${formatDuration(offSeconds)} off` },
	];
}

/** A question of a sheet. */
export function questionText(question: Question, { units }: Worksheet): string {
	switch (question.id) {
		case "air changes":
			return "How many air changes does one burst make, and which share of the excess does it replace?";
		case "closed rise":
			return "The fan is off. By how many ppm does the CO₂ rise per minute?";
		case "steady flow":
			return `A weaker fan runs without a pause and moves ${flowText(question.flowM3PerS, units)}. At how many ppm does the CO₂ settle?`;
		case "peak and trough":
			return "What are peak and trough of the settled pattern with this timer setting?";
		case "shorter cycle":
			return `The timer is set to bursts and pauses ${question.parts} times as short. The air per day is the same. What are the new peak and the new ripple (peak minus trough)?`;
		case "longest off-time":
			return "What is the longest possible off-time, however strong the fan?";
		case "twice the pause": {
			const [one, two] = [question.pauseSeconds, 2 * question.pauseSeconds].map(formatDuration);
			return `The peak must just meet the ceiling. Which burst is needed after a pause of ${one}, and which after one of ${two}? Is it twice as long?`;
		}
		case "counted burst":
			return `An empty chamber was brought to ${question.beforePpm} ppm. After one burst, and after the sensor has had time, it shows ${question.afterPpm} ppm. How many air changes was the burst?`;
		case "slow sensor":
			return `A sensor takes ${question.responseSeconds} s for 63 % of a step, so in a steady rise it shows the CO₂ of ${question.responseSeconds} s ago. By how much does it read too low late in a long pause?`;
	}
}

/** What an answer is, and its value rounded with its unit. */
export function answerText(
	question: Question,
	place: number,
): { readonly what: string; readonly shown: string } {
	const answer = question.answers[place]!;
	const what =
		question.id === "twice the pause"
			? `burst after ${formatDuration(question.pauseSeconds * (place + 1))}`
			: answer.code;
	return { what, shown: valueText(answer) };
}

function valueText({ value, unit }: Answer): string {
	switch (unit) {
		case "ppm":
			return `${Math.round(value)} ppm`;
		case "ppm/min":
			return `${threeDigits(value)} ppm per minute`;
		case "%":
			return `${threeDigits(value)} %`;
		case "s":
			return value < 100
				? `${threeDigits(value)} s`
				: `${Math.round(value)} s (${formatDuration(Math.round(value))})`;
		case "":
			return threeDigits(value);
	}
}

/** The way to the answers, in a line. */
export function workingText(question: Question, { model, ceilingPpm }: Worksheet): string {
	const [first, second] = question.answers.map(({ value }) => value) as [number, number];
	switch (question.id) {
		case "air changes":
			return `n = Q · t / V = ${threeDigits(first)}, and 1 − e^(−n) = ${threeDigits(second / 100)}. Mind the units: convert Q to a flow per second first.`;
		case "closed rise":
			return "10⁶ · G · 1 min / V: the CO₂ output of one minute, as parts per million of the air.";
		case "steady flow":
			return `Cs + 10⁶ · G / q: the excess is ${Math.round(first - model.intakePpm)} ppm.`;
		case "peak and trough":
			return `The rise in a pause is ${Math.round(question.risePpm)} ppm; each burst must remove that and what comes in meanwhile.`;
		case "shorter cycle":
			return `Pauses ${question.parts} times as short: a ripple of ${Math.round(question.formerRipplePpm)} ppm / ${question.parts}. The peak comes down from ${Math.round(question.formerPeakPpm)} ppm.`;
		case "longest off-time":
			return `From Cs up to the ceiling there are ${ceilingPpm - model.intakePpm} ppm; divide by the rise per second.`;
		case "twice the pause":
			return `Solve the peak for n: n = −ln(1 − rise / (ceiling − Cs − 10⁶ · G / Q)), then t = n · V / Q. Twice the pause takes ${threeDigits(second / first)} times the burst.`;
		case "counted burst":
			return `Subtract Cs from both readings: n = ln(${question.beforePpm - model.intakePpm} / ${question.afterPpm - model.intakePpm}).`;
		case "slow sensor":
			return `The rise of ${question.responseSeconds} s. A peak that the sensor shows is always too low.`;
	}
}
