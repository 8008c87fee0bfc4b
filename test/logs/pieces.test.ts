import { describe, expect, test } from "vitest";
import { listClockStretches, selectNights } from "../../lib/logs/pieces/nights.ts";
import { findRuns } from "../../lib/logs/pieces/runs.ts";
import { type Stretch, sliceLog } from "../../lib/logs/pieces/slice.ts";
import { readLog } from "../../lib/logs/read.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

const HOUR = 3600;

/** CO2 that goes towards a level at a rate per second, switched from piece to piece, as a lagging sensor shows it. */
function readings(
	pieces: readonly { readonly until: number; readonly level: number; readonly rate: number }[],
	start: number,
	{
		step,
		lag,
		noise,
		seed,
		fine = 1,
	}: { step: number; lag: number; noise: number; seed: number; fine?: number },
): { readonly times: number[]; readonly ppm: number[] } {
	const random = seededUniform(seed);
	const times: number[] = [];
	const ppm: number[] = [];
	let [x, r, piece] = [start, start, 0];
	for (let t = 0; t < pieces.at(-1)!.until; t += fine) {
		while (t >= pieces[piece]!.until) piece++;
		if (t % step < fine) {
			times.push(t);
			ppm.push(Math.round(r + noise * normalQuantile(random())));
		}
		const { level, rate } = pieces[piece]!;
		x += (level - x) * -Math.expm1(-rate * fine);
		r += lag > 0 ? (x - r) * -Math.expm1(-fine / lag) : x - r;
	}
	return { times, ppm };
}

/** Found stretches lie within the true ones, and hold most of each. */
function expectPieces(
	found: readonly Stretch[],
	truth: readonly Stretch[],
	early: number,
	late: number,
): void {
	expect(found).toHaveLength(truth.length);
	for (const [k, { fromSeconds, toSeconds }] of found.entries()) {
		const [begins, ends] = [truth[k]!.fromSeconds, truth[k]!.toSeconds];
		expect(fromSeconds).toBeGreaterThanOrEqual(begins - early);
		expect(fromSeconds).toBeLessThanOrEqual(begins + late);
		expect(toSeconds).toBeLessThanOrEqual(ends + early);
		expect(toSeconds).toBeGreaterThanOrEqual(ends - late);
	}
}

describe("closures are found by themselves", () => {
	test.each(Array.from({ length: 15 }, (_, k) => k + 1))("in chamber %i", (seed) => {
		const random = seededUniform(100 + seed);
		const between = (low: number, high: number) => low + (high - low) * random();
		const step = Math.round(between(1, 10));
		const lag = between(0, 2) * step;
		const pieces: { until: number; level: number; rate: number }[] = [];
		const truth: Stretch[] = [];
		let t = 0;
		for (let k = 0; k < 6; k++) {
			t += Math.round(between(180, 600));
			pieces.push({ until: t, level: 420, rate: 1 / between(5, 20) });
			const fromSeconds = t;
			t += Math.round(between(300, 1200));
			// From nearly straight to well bent.
			const rate = between(0.0001, 0.002);
			pieces.push({ until: t, level: 420 + between(0.3, 1.5) / rate, rate });
			truth.push({ fromSeconds, toSeconds: t });
		}
		t += 300;
		pieces.push({ until: t, level: 420, rate: 1 / 10 });
		const { times, ppm } = readings(pieces, 420, { step, lag, noise: between(0.5, 3), seed });
		expectPieces(findRuns(times, ppm, 1), truth, 3 * step + lag + 10, 3 * step + 2 * lag + 45);
	});
});

test("nights are found by the fall after the last person has left", () => {
	/** How long before the last person has left a night begins, where people leave one after the other [h]. */
	const early: number[] = [];
	for (let seed = 1; seed <= 8; seed++) {
		const random = seededUniform(500 + seed);
		const between = (low: number, high: number) => low + (high - low) * random();
		const perHour = between(0.25, 0.9);
		const rate = perHour / HOUR;
		/** Level that so many persons drive the room to. */
		const level = (persons: number) => 430 + (persons * 160) / perHour;
		const pieces: { until: number; level: number; rate: number }[] = [];
		const truth: Stretch[] = [];
		for (let day = 0; day < 5; day++) {
			const at = (hour: number, persons: number) =>
				pieces.push({ until: Math.round((24 * day + hour) * HOUR), level: level(persons), rate });
			const arrives = between(7.5, 9);
			if (truth.length > 0) truth.push({ ...truth.pop()!, toSeconds: (24 * day + arrives) * HOUR });
			at(arrives, 0);
			at(12, 3);
			at(between(12.7, 13.3), 0);
			at(between(16, 17), 3);
			const leaves = between(17.5, 20);
			at(leaves, 1.5);
			truth.push({ fromSeconds: (24 * day + leaves) * HOUR, toSeconds: (24 * day + 24) * HOUR });
			at(24, 0);
		}
		const { times, ppm } = readings(pieces, 430, {
			step: 120,
			lag: 90,
			noise: between(2, 8),
			seed,
			fine: 10,
		});
		const rows = times.map((t, i) => `${new Date(1000 * (1_767_225_600 + t)).toISOString()},${ppm[i]}`);
		const log = readLog(["time,CO2 (ppm)", ...rows].join("\n"));
		const nights = selectNights(log, findRuns(log.timesSeconds, log.channels[0]!.values, -1));
		expectPieces(nights, truth, HOUR, 0.5 * HOUR);
		early.push(...nights.map(({ fromSeconds }, k) => (truth[k]!.fromSeconds - fromSeconds) / HOUR));
	}
	expect(early).toHaveLength(40);
	expect(early.filter((hours) => hours > 0.15).length).toBeLessThanOrEqual(2);
});

test("a log that only wanders about has no pieces", () => {
	const random = seededUniform(3);
	const ppm = Array.from({ length: 500 }, () => 430 + 5 * normalQuantile(random()));
	const times = ppm.map((_, i) => 60 * i);
	expect(findRuns(times, ppm, 1)).toEqual([]);
	expect(findRuns(times, ppm, -1)).toEqual([]);
	expect(findRuns([0, 1], [400, 900], 1)).toEqual([]);
	expect(findRuns([], [], 1)).toEqual([]);
	expect(findRuns(times, ppm.fill(500), 1)).toEqual([]);
});

test("nights by the clock keep to it over a change of the clocks", () => {
	const start = Date.parse("2026-10-24T10:00:00Z") / 1000;
	const rows = Array.from(
		{ length: 48 * 4 },
		(_, i) => `${new Date(1000 * (start + 900 * i)).toISOString()},${500 + (i % 7)}`,
	);
	const log = readLog(["time,CO2 (ppm)", ...rows].join("\n"), { zone: "Europe/Berlin" });
	const nights = listClockStretches(log, 22 * HOUR, 6 * HOUR)!;
	expect(nights.map(({ fromSeconds, toSeconds }) => (toSeconds - fromSeconds) / HOUR)).toEqual([9, 8]);
});

test("a part of a log is a log of its own, at its own time of day", () => {
	const rows = Array.from(
		{ length: 100 },
		(_, i) => `2026-03-01T10:${String(i % 60).padStart(2, "0")}:00Z,${500 + i}`,
	).slice(0, 60);
	const log = readLog(["time,CO2 (ppm)", ...rows.filter((_, i) => i < 30 || i > 40)].join("\n"));
	const part = sliceLog(log, { fromSeconds: 1201, toSeconds: 3000 });
	expect(part.startUtcSeconds! - log.startUtcSeconds!).toBe(1260);
	expect([...part.timesSeconds.slice(0, 2)]).toEqual([0, 60]);
	expect(part.channels[0]!.values[0]).toBe(521);
	expect(part.lines[0]).toBe(log.lines[21]);
	expect(part.gaps).toEqual([{ fromSeconds: 480, lengthSeconds: 720 }]);
	expect(part.timesSeconds.at(-1)).toBeLessThanOrEqual(3000 - 1260);
	expect(() => sliceLog(log, { fromSeconds: 1e6, toSeconds: 2e6 })).toThrow(/no readings/);
});

test("four days by the second have their closures found", () => {
	const times = Float64Array.from({ length: 4 * 86_400 }, (_, i) => i);
	const ppm = times.map((t) => 430 + (t % 86_400 < 43_200 ? (t % 86_400) / 50 : 0));
	expect(findRuns(times, ppm, 1)).toHaveLength(4);
});
