import { expect, test } from "vitest";
import { readFanColumn } from "../../lib/logs/columns/fancolumn.ts";
import { timeSwitchings } from "../../lib/logs/columns/fantiming.ts";
import { bracketFractions } from "../../lib/logs/columns/switchbrackets.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

const STEP = 30;

/** Brackets of a state of now, for bursts that begin at these instants. */
const bracketed = (starts: readonly number[], onSeconds: number) =>
	starts
		.flatMap((at) => [
			{ isOn: true, at },
			{ isOn: false, at: at + onSeconds },
		])
		.map(({ isOn, at }) => ({
			isOn,
			fromSeconds: STEP * (Math.ceil(at / STEP) - 1),
			toSeconds: STEP * Math.ceil(at / STEP),
		}));
const timer = (first: number, period: number, count = 30) =>
	Array.from({ length: count }, (_, k) => first + k * period);

test("the error that all switchings share is as large as stated, for periods of whole, broken and nearly broken steps", () => {
	for (const [name, period] of [
		["whole", 12 * STEP],
		["half", 12.5 * STEP],
		["nearly quarter", 12.2495 * STEP],
		["broken", 12.7213 * STEP],
	] as const) {
		let squares = 0;
		const rounds = 300;
		const random = seededUniform(5);
		for (let round = 0; round < rounds; round++) {
			const first = period * random();
			const onSeconds = STEP * (3 + 2 * random());
			const isTold = round % 2 === 0;
			const { switchesSeconds, timing } = timeSwitchings(
				bracketed(timer(first, period), onSeconds),
				"now",
				STEP,
				isTold ? onSeconds : null,
			);
			expect(timing.offShiftWithinSeconds === null).toBe(isTold);
			const truth = timer(first, period).flatMap((at) => [at, at + onSeconds]);
			const off = switchesSeconds.map((at, k) => at - truth[k]!).filter((_, k) => k % 2 === 0);
			const shift = off.reduce((sum, each) => sum + each, 0) / off.length;
			squares += (shift / (timing.shiftWithinSeconds / Math.sqrt(3))) ** 2;
			if (name === "broken") expect(timing.shiftWithinSeconds).toBeLessThan(0.1 * STEP);
		}
		expect(Math.sqrt(squares / rounds), name).toBeGreaterThan(0.75);
		expect(Math.sqrt(squares / rounds), name).toBeLessThan(1.2);
	}
});

test("switches by hand stand in the middle of their brackets, and share the mean of their errors", () => {
	const random = seededUniform(9);
	let at = 0;
	const starts = Array.from({ length: 25 }, () => {
		at += STEP * (8 + 30 * random());
		return at;
	});
	const brackets = bracketed(starts, 4.3 * STEP);
	const { switchesSeconds, timing } = timeSwitchings(brackets, "now", STEP, null);
	expect(switchesSeconds).toEqual(
		brackets.map(({ fromSeconds, toSeconds }) => (fromSeconds + toSeconds) / 2),
	);
	expect(timing.shiftWithinSeconds).toBeCloseTo(STEP / 2 / 5, 9);
});

test("where nobody knows whether a state is that of now, the switch-off may be a step earlier", () => {
	const brackets = bracketed(timer(100, 12 * STEP), 4 * STEP);
	const { timing } = timeSwitchings(brackets, null, STEP, null);
	expect(timing.shiftWithinSeconds).toBeCloseTo(STEP / 2, 6);
	expect(timing.offShiftWithinSeconds).toBeCloseTo(STEP, 6);
});

test("fractions tell the instants, and a burst within an interval its length", () => {
	const times = [0, 60, 120, 180, 240, 300, 360];
	const { onAtStart, brackets } = bracketFractions(times, [0, 0, 0.25, 1, 0.5, 0, 0.2], 0);
	expect(onAtStart).toBe(false);
	expect(brackets).toEqual([
		{ isOn: true, fromSeconds: 105, toSeconds: 105 },
		{ isOn: false, fromSeconds: 210, toSeconds: 210 },
		{ isOn: true, fromSeconds: 348, toSeconds: 348 },
	]);
	const within = bracketFractions(times, [0, 0, 0, 0.2, 0, 0, 0], 0).brackets;
	expect(within).toEqual([
		{ isOn: true, fromSeconds: 120, toSeconds: 168 },
		{ isOn: false, fromSeconds: 132, toSeconds: 180 },
	]);
});

test("a column of the fan's speed is none of fractions", () => {
	const times = Float64Array.from({ length: 60 }, (_, i) => STEP * i);
	const speed = times.map((_, i) => (i % 12 < 4 ? 0.4 : 0));
	const found = readFanColumn(times, speed, null, null);
	expect(found).toMatchObject({ timing: { state: null } });
});
