import { expect, test } from "vitest";
import { fanStrip, fullHeightPercent, isDutyStrip } from "../../reports/charts/section/fanstrip.ts";
import { type Point, thinCurve } from "../../reports/charts/section/path.ts";
import { readingsOf } from "../../reports/charts/section/reading.ts";
import { overflowOf, sawtooth } from "../../reports/charts/section/sawtooth.ts";
import { ppmScale, timeScale } from "../../reports/charts/section/scale.ts";
import { glyph, oddsSquares, plate, sectionDefs } from "../../reports/charts/section/states.ts";
import { timeTicks } from "../../reports/charts/section/timemarks.ts";

const room = (levels: readonly number[]) =>
	ppmScale({ ceilingPpm: 1000, intakePpm: 500, levels }, { top: 20, bottom: 220 });

/** A triangle wave: up from 600 to 900 ppm in a cycle, down in no time. */
const saw = (cycleSeconds: number, windowSeconds: number, peakPpm = 900) => {
	const starts = Array.from({ length: Math.floor(windowSeconds / cycleSeconds) }, (_, i) => i * cycleSeconds);
	return {
		timesSeconds: [...starts.flatMap((start) => [start, start + 0.999 * cycleSeconds]), windowSeconds],
		co2Ppm: [...starts.flatMap(() => [600, peakPpm]), 600],
	};
};
const bursts = (cycleSeconds: number, onSeconds: number, windowSeconds: number) =>
	Array.from({ length: Math.floor(windowSeconds / cycleSeconds) }, (_, i) => ({
		startSeconds: i * cycleSeconds,
		endSeconds: i * cycleSeconds + onSeconds,
	}));

test("the intake air is the floor, and the attic at most twice the room", () => {
	const scale = room([600, 900]);
	expect([scale.floorPpm, scale.y(500), scale.y(scale.topPpm)]).toEqual([500, 220, 20]);
	expect(scale.y(1000)).toBeLessThan(scale.y(900));
	expect(room([600, 90_000]).topPpm).toBe(2000);
	expect(room([600, 90_000]).y(90_000)).toBe(20);
	// What starts below the intake air is drawn too.
	expect(room([300]).floorPpm).toBe(300);
	expect(ppmScale({ ceilingPpm: 400, intakePpm: 450, levels: [450] }, { top: 0, bottom: 100 }).y(450)).toBe(
		0,
	);
});

test("a curve loses points, but never strays from itself", () => {
	const wave: Point[] = Array.from({ length: 2000 }, (_, x) => [x / 4, 50 * Math.sin(x / 60)]);
	const kept = thinCurve(wave);
	expect(kept.length).toBeLessThan(300);
	const farthest = Math.max(
		...wave.map(([x, y]) => {
			const next = Math.max(
				1,
				kept.findIndex(([at]) => at >= x),
			);
			const [[ax, ay], [bx, by]] = [kept[next - 1]!, kept[next]!];
			return Math.abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / Math.hypot(bx - ax, by - ay);
		}),
	);
	expect(farthest).toBeLessThan(0.4);
	expect(
		thinCurve([
			[0, 0],
			[1, 90],
			[2, 0],
		]),
	).toHaveLength(3);
});

test("what is above the ceiling starts and ends on it", () => {
	const line: Point[] = [
		[0, 10],
		[10, -10],
		[20, 10],
		[30, -10],
	];
	expect(overflowOf(line, 0)).toEqual([
		[
			[5, 0],
			[10, -10],
			[15, 0],
		],
		[
			[25, 0],
			[30, -10],
			[30, 0],
		],
	]);
	expect(
		overflowOf(
			[
				[0, 5],
				[10, 9],
			],
			0,
		),
	).toEqual([]);
});

test("the red in the bar is as wide as the time above the ceiling", () => {
	const time = timeScale(0, 400, 0, 7200);
	const drawn = sawtooth(saw(3600, 7200, 1400), time, room([600, 1400]), {
		className: "cu",
		thickness: 7,
		cycleSeconds: 3600,
	}).html;
	const bar = /class="broken" d="([^"]*)"/.exec(drawn)![1]!;
	const width = [...bar.matchAll(/M([\d.]+) [\d.]+H([\d.]+)/g)].reduce(
		(sum, [, a, b]) => sum + Number(b) - Number(a),
		0,
	);
	// From 1000 to 1400 of 600 to 1400 ppm: half of the rise.
	expect(width).toBeCloseTo(200, -1);
	expect(
		sawtooth(saw(3600, 7200), time, room([600, 900]), { className: "cu", thickness: 7, cycleSeconds: 3600 })
			.html,
	).not.toContain("broken");
});

test("cycles too short for a line are an envelope without a beat", () => {
	const time = timeScale(0, 400, 0, 86_400);
	const drawn = sawtooth(saw(240, 86_400), time, room([600, 900]), {
		className: "cu",
		thickness: 7,
		cycleSeconds: 240,
	}).html;
	expect(drawn).toContain('class="envband"');
	// Peaks are one level line.
	const upper = /class="cu" d="([^"]*)"/.exec(drawn)![1]!;
	expect(upper.match(/[ML]/g)).toHaveLength(2);
	expect(
		sawtooth(saw(3600, 86_400), time, room([600, 900]), { className: "cu", thickness: 7, cycleSeconds: 3600 })
			.html,
	).not.toContain("envband");
});

test("5, 25 and 100 % of the time on look different, near and far", () => {
	for (const [cycle, window] of [
		[600, 7200],
		[60, 86_400],
	] as const) {
		const time = timeScale(0, 500, 0, window);
		const strips = [0.05, 0.25, 1].map((share) => bursts(cycle, share * cycle, window));
		const area = strips.map((strip) => {
			const { html } = fanStrip(strip, time, 0, 20, 100);
			const path = /class="fan" d="([^"]*)"/.exec(html)![1]!;
			return [...path.matchAll(/M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)/g)].reduce(
				(sum, [, x0, y0, x1, y1]) => sum + (Number(x1) - Number(x0)) * (Number(y1) - Number(y0)),
				0,
			);
		});
		area.forEach((found, place) => {
			expect(found / (500 * 20)).toBeCloseTo([0.05, 0.25, 1][place]!, 1);
		});
		expect(area[0]! * 3).toBeLessThan(area[1]!);
	}
});

test("close bursts are as high as their share, on the least round scale that holds all strips", () => {
	const time = timeScale(0, 500, 0, 86_400);
	expect(isDutyStrip(bursts(240, 4, 86_400), time)).toBe(true);
	expect(isDutyStrip(bursts(3600, 60, 86_400), time)).toBe(false);
	expect(fullHeightPercent([bursts(240, 4, 86_400)], time)).toBe(5);
	expect(fullHeightPercent([bursts(240, 4, 86_400), bursts(240, 50, 86_400)], time)).toBe(25);
});

test("round times stand on the axis, so many at most", () => {
	expect(timeTicks(timeScale(0, 1, 0, 7200), 5)).toEqual([0, 1800, 3600, 5400, 7200]);
	for (const window of [45, 7200, 86_400, 30 * 86_400, 1e8])
		expect(timeTicks(timeScale(0, 1, 0, window), 5).length).toBeLessThanOrEqual(6);
});

test("a reading is the curve's value, or from trough to peak where cycles are shorter than a step", () => {
	const read = readingsOf(7200, false, [{ name: "slow", trace: saw(3600, 7200), cycleSeconds: 3600 }]);
	const [, low, high] = read.series[0]!;
	expect(low).toEqual(high);
	expect(low[60]).toBe(750);
	const fast = readingsOf(86_400, false, [{ name: "fast", trace: saw(240, 86_400), cycleSeconds: 240 }])
		.series[0]!;
	expect([fast[1][100], fast[2][100]]).toEqual([600, 900]);
});

test("each state has a plate and a glyph of its own, and a hundred squares are filled for the chance", () => {
	const defs = sectionDefs().html;
	for (const state of ["holds", "doubt", "fails"] as const) {
		expect(plate(state).html).toContain(`#plate-${state}`);
		expect(glyph(state, "so").html).toMatch(new RegExp(`#g-${state}"/></svg>so<`));
		expect(defs).toContain(`id="plate-${state}"`);
		expect(defs).toContain(`id="g-${state}"`);
	}
	const squares = oddsSquares("o", 0.9).html;
	expect(squares).toContain("Holds in 90 of 100 cases");
	for (const [, holds] of squares.matchAll(/class="sq-h" d="([^"]*)"/g))
		expect(holds!.match(/M/g)).toHaveLength(90);
});
