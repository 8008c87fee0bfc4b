import { describe, expect, test } from "vitest";
import { type Worksheet, worksheet } from "../../lib/lesson/worksheet.ts";

import { answerText, givenRows, questionText } from "../../reports/lesson/worksheetwords.ts";

const SEEDS = Array.from({ length: 200 }, (_, seed) => seed);
const UNITS = ["si", "us"] as const;

/** The numbers of a text, in their order. */
const numbers = (text: string): number[] =>
	[...text.matchAll(/\d+(?:\.\d+)?/g)].map(([digits]) => Number(digits));
/** "4 min 20 s" as seconds. */
const duration = (text: string): number =>
	[...text.matchAll(/(\d+(?:\.\d+)?) (h|min|s)\b/g)].reduce(
		(sum, [, digits, unit]) => sum + Number(digits) * { h: 3600, min: 60, s: 1 }[unit as "h" | "min" | "s"],
		0,
	);

const FOOT3 = 0.028316846592;
const PER_S = { "m³/h": 1 / 3600, cfm: FOOT3 / 60 };
const flow = (text: string): number => {
	const [, digits, unit] = /([\d.]+) (m³\/h|cfm)/.exec(text)!;
	return Number(digits) * PER_S[unit as keyof typeof PER_S];
};

/** The answers of a sheet, worked out anew from nothing but the words on it. */
function byHand(sheet: Worksheet): Record<string, number[]> {
	const given = (what: string) => givenRows(sheet).find((row) => row.what.startsWith(what))!.value;
	const text = (id: string) => questionText(sheet.questions.find((question) => question.id === id)!, sheet);
	const V = numbers(given("air"))[0]! * (given("air").endsWith("L") ? 1e-3 : FOOT3);
	const Q = flow(given("flow"));
	const G = numbers(given("pure CO₂"))[0]! / 1e6 / 3600;
	const Cs = numbers(given("CO₂ of"))[0]!;
	const ceiling = numbers(given("ceiling"))[0]!;
	const [onText, offText] = given("timer").split(",") as [string, string];
	const [on, off] = [duration(onText), duration(offText)];

	const n = (Q * on) / V;
	const rise = (seconds: number) => (1e6 * G * seconds) / V;
	const fanLevel = (1e6 * G) / Q;
	const peak = (a: number, b: number) => Cs + fanLevel + rise(b) / (1 - Math.exp((-Q * a) / V));
	const parts = numbers(text("shorter cycle"))[0]!;
	const pauses = [...text("twice the pause").matchAll(/after (?:a pause|one) of ([^,?]*)/g)].map(
		([, words]) => duration(words!),
	);
	const [before, after] = numbers(text("counted burst")) as [number, number];
	return {
		"air changes": [n, 100 * (1 - Math.exp(-n))],
		"closed rise": [rise(60)],
		"steady flow": [Cs + (1e6 * G) / flow(text("steady flow"))],
		"peak and trough": [peak(on, off), peak(on, off) - rise(off)],
		"shorter cycle": [peak(on / parts, off / parts), rise(off) / parts],
		"longest off-time": [(ceiling - Cs) / rise(1)],
		"twice the pause": pauses.map(
			(pause) => (-Math.log(1 - rise(pause) / (ceiling - Cs - fanLevel)) * V) / Q,
		),
		"counted burst": [Math.log((before - Cs) / (after - Cs))],
		"slow sensor": [rise(numbers(text("slow sensor"))[0]!)],
	};
}

describe.each(UNITS)("worksheets in %s units", (units) => {
	test("have answers that follow from the words on the sheet by plain formulas", () => {
		for (const seed of SEEDS) {
			const sheet = worksheet({ seed, units });
			const expected = byHand(sheet);
			expect(sheet.questions.map(({ id }) => id)).toEqual(Object.keys(expected));
			for (const question of sheet.questions) {
				const { id, answers } = question;
				expect(answers, `${seed} ${id}`).toHaveLength(expected[id]!.length);
				for (const [i, { value }] of answers.entries()) {
					const { shown } = answerText(question, i);
					expect(Math.abs(value / expected[id]![i]! - 1), `${seed} ${id}`).toBeLessThan(1e-9);
					expect(Math.abs(numbers(shown)[0]! - value), `${seed} ${id} shown`).toBeLessThanOrEqual(
						Math.max(0.5, 0.005 * Math.abs(value)),
					);
				}
			}
		}
	});

	test("ask for nothing odd: the pattern has a ripple, pauses end before the longest off-time, bursts take seconds", () => {
		for (const seed of SEEDS) {
			const sheet = worksheet({ seed, units });
			const value = (id: string) =>
				sheet.questions.find((question) => question.id === id)!.answers.map((a) => a.value);
			const [n] = value("air changes") as [number];
			expect(n, String(seed)).toBeGreaterThan(0.15);
			expect(n, String(seed)).toBeLessThan(2);
			const [peak, trough] = value("peak and trough") as [number, number];
			expect(peak - trough, String(seed)).toBeGreaterThan(30);
			expect(trough, String(seed)).toBeGreaterThan(sheet.model.intakePpm);
			const [one, two] = value("twice the pause") as [number, number];
			expect(two / one, String(seed)).toBeGreaterThan(2);
			expect(two, String(seed)).toBeLessThan(60);
		}
	});
});

test("the same seed gives the same sheet, another seed another one", () => {
	const texts = SEEDS.map((seed) => JSON.stringify(givenRows(worksheet({ seed }))));
	expect(JSON.stringify(worksheet({ seed: 7 }))).toBe(JSON.stringify(worksheet({ seed: 7 })));
	expect(new Set(texts).size).toBeGreaterThan(190);
});
