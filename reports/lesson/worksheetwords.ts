import type { Answer, Question, Worksheet } from "../../lib/lesson/worksheet.ts";
import { HOUR, MINUTE } from "../../lib/time.ts";
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
	si: { m3: 1e-3, volume: "L", m3PerS: 1 / HOUR, flow: "m³/h" },
	us: { m3: CUBIC_FOOT, volume: "ft³", m3PerS: CUBIC_FOOT / MINUTE, flow: "cfm" },
} as const;

const threeDigits = (value: number): string => String(Number(value.toPrecision(3)));
const twoDigits = (value: number): string => String(Number(value.toPrecision(2)));
const flowText = (m3PerS: number, units: UnitSystem): string =>
	`${twoDigits(m3PerS / UNITS[units].m3PerS)} ${UNITS[units].flow}`;

/** What is given on a sheet. */
export const givenRows = ({ units, model, ceilingPpm, onSeconds, offSeconds }: Worksheet) => {
	const { m3, volume } = UNITS[units];
	return [
		{ symbol: "V", what: "air in the chamber", value: `${threeDigits(model.volumeM3 / m3)} ${volume}` },
		{ symbol: "Q", what: "flow of the fan while it is on", value: flowText(model.deliveredM3PerS, units) },
		{
			symbol: "G",
			what: "pure CO₂ from the crop",
			value: `${twoDigits(model.generationM3PerS * HOUR * 1e6)} mL/h`,
		},
		{ symbol: "Cs", what: "CO₂ of the intake air", value: `${model.intakePpm} ppm` },
		{ symbol: "", what: "ceiling", value: `${ceilingPpm} ppm` },
		{ symbol: "", what: "timer", value: `${onSeconds} s on, ${formatDuration(offSeconds)} off` },
	];
};

type QuestionOf<Id extends Question["id"]> = Extract<Question, { readonly id: Id }>;
interface QuestionWords<One> {
	readonly question: (one: One, worksheet: Worksheet) => string;
	/** The way to the answers, in a line. */
	readonly working: (one: One, worksheet: Worksheet, values: readonly [number, number]) => string;
}

/** Each question with the way to its answers. */
const WORDS: { readonly [Id in Question["id"]]: QuestionWords<QuestionOf<Id>> } = {
	"air changes": {
		question: () =>
			"How many air changes does one burst make, and which share of the excess does it replace?",
		working: (_, __, [changes, percent]) =>
			`n = Q · t / V = ${threeDigits(changes)}, and 1 − e^(−n) = ${threeDigits(percent / 100)}. Mind the units: convert Q to a flow per second first.`,
	},
	"closed rise": {
		question: () => "The fan is off. By how many ppm does the CO₂ rise per minute?",
		working: () => "10⁶ · G · 1 min / V: the CO₂ output of one minute, as parts per million of the air.",
	},
	"steady flow": {
		question: ({ flowM3PerS }, { units }) =>
			`A weaker fan runs without a pause and moves ${flowText(flowM3PerS, units)}. At how many ppm does the CO₂ settle?`,
		working: (_, { model }, [level]) =>
			`Cs + 10⁶ · G / q: the excess is ${Math.round(level - model.intakePpm)} ppm.`,
	},
	"peak and trough": {
		question: () => "What are peak and trough of the settled pattern with this timer setting?",
		working: ({ risePpm }) =>
			`The rise in a pause is ${Math.round(risePpm)} ppm; each burst must remove that and what comes in meanwhile.`,
	},
	"shorter cycle": {
		question: ({ parts }) =>
			`The timer is set to bursts and pauses ${parts} times as short. The air per day is the same. What are the new peak and the new ripple (peak minus trough)?`,
		working: ({ parts, formerPeakPpm, formerRipplePpm }) =>
			`Pauses ${parts} times as short: a ripple of ${Math.round(formerRipplePpm)} ppm / ${parts}. The peak comes down from ${Math.round(formerPeakPpm)} ppm.`,
	},
	"longest off-time": {
		question: () => "What is the longest possible off-time, however strong the fan?",
		working: (_, { ceilingPpm, model }) =>
			`From Cs up to the ceiling there are ${ceilingPpm - model.intakePpm} ppm; divide by the rise per second.`,
	},
	"twice the pause": {
		question: ({ pauseSeconds }) =>
			`The peak must just meet the ceiling. Which burst is needed after a pause of ${formatDuration(pauseSeconds)}, and which after one of ${formatDuration(2 * pauseSeconds)}? Is it twice as long?`,
		working: (_, __, [first, second]) =>
			`Solve the peak for n: n = −ln(1 − rise / (ceiling − Cs − 10⁶ · G / Q)), then t = n · V / Q. Twice the pause takes ${threeDigits(second / first)} times the burst.`,
	},
	"counted burst": {
		question: ({ beforePpm, afterPpm }) =>
			`An empty chamber was brought to ${beforePpm} ppm. After one burst, and after the sensor has had time, it shows ${afterPpm} ppm. How many air changes was the burst?`,
		working: ({ beforePpm, afterPpm }, { model: { intakePpm } }) =>
			`Subtract Cs from both readings: n = ln(${beforePpm - intakePpm} / ${afterPpm - intakePpm}).`,
	},
	"slow sensor": {
		question: ({ responseSeconds }) =>
			`A sensor takes ${responseSeconds} s for 63 % of a step, so in a steady rise it shows the CO₂ of ${responseSeconds} s ago. By how much does it read too low late in a long pause?`,
		working: ({ responseSeconds }) =>
			`The rise of ${responseSeconds} s. A peak that the sensor shows is always too low.`,
	},
};

const wordsOf = ({ id }: Question) => WORDS[id] as QuestionWords<Question>;

/** A question of a sheet. */
export const questionText = (one: Question, worksheet: Worksheet): string =>
	wordsOf(one).question(one, worksheet);

/** The way to the answers, in a line. */
export function workingText(one: Question, worksheet: Worksheet): string {
	const [first = 0, second = 0] = one.answers.map(({ value }) => value);
	return wordsOf(one).working(one, worksheet, [first, second]);
}

/** What an answer is, and its value rounded with its unit. */
export function answerText(one: Question, place: number) {
	const { code, value, unit } = one.answers[place]!;
	const what =
		one.id === "twice the pause" ? `burst after ${formatDuration(one.pauseSeconds * (place + 1))}` : code;
	return { what, shown: valueText(value, unit) };
}

function valueText(value: number, unit: Answer["unit"]): string {
	if (unit === "ppm") return `${Math.round(value)} ppm`;
	if (unit === "ppm/min") return `${threeDigits(value)} ppm per minute`;
	if (unit === "s" && value >= 100) return `${Math.round(value)} s (${formatDuration(Math.round(value))})`;
	return `${threeDigits(value)} ${unit}`.trim();
}
