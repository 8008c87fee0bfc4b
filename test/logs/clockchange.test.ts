import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import { readLog, summaryReader } from "../../lib/logs/read.ts";
import { momentWords } from "../../reports/charts/log/logtime.ts";
import { refusalOf } from "./refusal.ts";

const utc = (text: string): number => Date.parse(`${text}Z`) / 1000;
/** Times that a clock of a zone shows every `step` seconds from an instant, by the platform's own calendar. */
const wall = (zone: string, from: string, count: number, step: number): string[] =>
	Array.from({ length: count }, (_, i) =>
		new Date((utc(from) + i * step) * 1000).toLocaleString("sv-SE", { timeZone: zone }).replace(",", ""),
	);
/** A value for each row that the row an hour later has not. */
const ppm = (i: number): number => 600 + ((i * 37) % 211);
const rowsOf = (times: readonly string[]): string[] => times.map((time, i) => `${time},${ppm(i)}`);
const textOf = (rows: readonly string[]): string => ["time,co2", ...rows].join("\n");

const changes = [
	["Europe/Berlin", "2026-10-24T20:00:00", "Europe/Berlin"],
	["Europe/London", "2026-10-24T20:00:00", "Europe/London"],
	["America/New_York", "2026-11-01T00:00:00", "America/New_York"],
	["America/Los_Angeles", "2026-11-01T04:00:00", "America/New_York"],
	["Australia/Sydney", "2026-04-04T10:00:00", "Australia/Sydney"],
	["Australia/Lord_Howe", "2026-04-04T10:00:00", "Australia/Lord_Howe"],
	// At midnight, so that the hour before it comes twice.
	["America/Santiago", "2026-04-04T22:00:00", "America/Santiago"],
	["Europe/Berlin", "2026-03-28T20:00:00", "Europe/Berlin"],
	["America/New_York", "2026-03-08T00:00:00", "America/New_York"],
	["Australia/Sydney", "2026-10-03T10:00:00", "Australia/Sydney"],
	["Australia/Lord_Howe", "2026-10-03T10:00:00", "Australia/Lord_Howe"],
] as const;

test.each(changes)(
	"a log that goes over the change of the clocks of %s from %s is refused without a zone, and read with the one that is named",
	(zone, from, named) => {
		for (const step of [30, 420, 600]) {
			const times = wall(zone, from, Math.ceil((10 * 3600) / step), step);
			for (const newestFirst of [false, true]) {
				const rows = rowsOf(newestFirst ? [...times].reverse() : times);
				const [fault, ...rest] = refusalOf(() => readLog(textOf(rows), { fileName: "night.csv" }));
				expect(rest).toEqual([]);
				expect(fault).toMatchObject({ file: "night.csv", path: "zone" });
				expect(fault!.message).toContain(`--zone ${named})`);
				expect(fault!.message).toContain("--zone UTC");
				const log = readLog(textOf(rows), { zone: named });
				expect([...log.timesSeconds]).toEqual(times.map((_, i) => step * i));
			}
		}
	},
);

test("the refusal tells the lines that repeat an hour, and those between which one is left out", () => {
	const autumn = textOf(rowsOf(wall("Europe/Berlin", "2026-10-24T22:00:00", 120, 180)));
	const [twice] = refusalOf(() => readLog(autumn));
	// 60 rows to 03:00 summer time, which is 02:00 in winter time; then 20 rows once more.
	expect(twice).toMatchObject({ line: 62 });
	expect(twice!.message).toMatch(/^lines 62 to 81 show 2026-10-25 02:00 to 02:57 once more/);
	const spring = textOf(rowsOf(wall("Europe/Berlin", "2026-03-28T22:00:00", 120, 180)));
	const [left] = refusalOf(() => readLog(spring));
	expect(left!.message).toMatch(
		/^between lines 61 and 62 the times pass from 2026-03-29 01:57 to 03:00 and run steadily on/,
	);
});

test("a year over both changes is refused with both, and with a zone that has both", () => {
	const times = wall("Europe/London", "2026-03-20T00:00:00", 22_000, 900);
	const faults = refusalOf(() => readLog(textOf(rowsOf(times))));
	expect(faults).toHaveLength(2);
	for (const { message } of faults) expect(message).toContain("--zone Europe/London)");
});

test("an hour by the half or quarter hour suffices; one row more at one hour does not", () => {
	for (const step of [900, 1800])
		expect(
			refusalOf(() => readLog(textOf(rowsOf(wall("Europe/Berlin", "2026-10-24T12:00:00", 100, step))))),
		).toHaveLength(1);
	const hourly = readLog(textOf(rowsOf(wall("Europe/Berlin", "2026-10-24T12:00:00", 100, 3600))));
	expect(hourly.notes.map(({ kind }) => kind)).toContain("conflicting duplicate");
});

test("a log that begins or ends within the hour is refused as well", () => {
	const times = wall("Europe/Berlin", "2026-10-24T22:00:00", 120, 180);
	for (const [from, to] of [
		[45, 120],
		[0, 70],
		[50, 70],
	])
		expect(refusalOf(() => readLog(textOf(rowsOf(times).slice(from, to))))).toHaveLength(1);
});

test("the sample log over the end of summer time is refused without its zone, kept whole or passed through", () => {
	const bytes = readFileSync(new URL("../../fixtures/logs/08_clock_change_local.csv", import.meta.url));
	const passed = (): unknown => {
		const reader = summaryReader();
		reader.push(bytes);
		return reader.end();
	};
	for (const read of [() => readLog(bytes), passed])
		expect(refusalOf(read)[0]).toMatchObject({ line: 22, path: "zone" });
});

test("spreadsheet days without a zone are watched too", () => {
	const times = wall("Europe/Berlin", "2026-10-24T22:00:00", 120, 180);
	const serial = times.map((time) => (utc(time.replace(" ", "T")) / 86_400 + 25_569).toFixed(7));
	expect(refusalOf(() => readLog(textOf(rowsOf(serial))))).toHaveLength(1);
});

test("times that tell their zone, or are told it, are taken as they are", () => {
	const times = wall("Europe/Berlin", "2026-10-24T22:00:00", 120, 180);
	for (const zone of ["UTC", "+01:00", "Asia/Tokyo"]) {
		const log = readLog(textOf(rowsOf(times)), { zone });
		expect(log.notes.find(({ kind }) => kind === "conflicting duplicate")).toMatchObject({ count: 20 });
	}
	const inHeader = ["time (UTC),co2", ...rowsOf(times)].join("\n");
	expect(readLog(inHeader).layout).toMatchObject({ zone: "UTC", zoneFrom: "file" });
});

/** A logger that stays on one clock all night, by the minute, over the hours at which clocks change somewhere. */
const steady = (from: string, count = 600, step = 60): string[] =>
	rowsOf(
		Array.from({ length: count }, (_, i) =>
			new Date(1000 * (utc(from) + step * i)).toISOString().slice(0, 19).replace("T", " "),
		),
	);
const night = "2026-10-24T22:00:00";
const at = (rows: readonly string[], time: string): number =>
	rows.findIndex((row) => row.includes(` ${time}`));

test("a gap of an hour is no change of the clocks, unless it is where one was", () => {
	const rows = steady(night);
	const without = (all: readonly string[], from: string, length: number) =>
		all.filter((_, i) => i < at(all, from) || i >= at(all, from) + length);
	for (const from of ["02:00", "01:00", "01:30", "03:00"]) readLog(textOf(without(rows, from, 60)));
	const spring = steady("2026-03-28T22:00:00");
	for (const [from, length] of [
		["01:30", 60],
		["02:00", 50],
		["02:00", 70],
		["04:30", 60],
	] as const)
		expect(readLog(textOf(without(spring, from, length))).gaps).toHaveLength(1);
	expect(refusalOf(() => readLog(textOf(without(spring, "02:00", 60))))).toHaveLength(1);
	// A week later no clock changes.
	readLog(textOf(without(steady("2026-04-05T22:00:00"), "02:00", 60)));
	// By the half hour, an hour is two rows, which may have failed.
	const coarse = steady("2026-03-28T10:00:00", 60, 1800);
	readLog(textOf(coarse.filter((row) => !row.startsWith("2026-03-29 02:"))));
});

test("files that overlap by the very hour, and rows that were stored twice, are read", () => {
	const rows = steady(night);
	const hour = at(rows, "02:00");
	const overlapping = [...rows.slice(0, hour + 60), ...rows.slice(hour)];
	expect(readLog(textOf(overlapping)).notes.find(({ kind }) => kind === "duplicate")).toMatchObject({
		count: 60,
	});
	const twice = rows.flatMap((row) => [row, row]);
	expect(readLog(textOf(twice)).rows).toBe(600);
	// A few rows of the hour with another value.
	const few = [...rows.slice(0, hour + 60), ...rows.slice(hour + 20, hour + 25).map((row) => `${row}1`)];
	readLog(textOf([...few, ...rows.slice(hour + 60)]));
	// Another sensor's log of the same night behind the first.
	readLog(textOf([...rows, ...rows.map((row) => row.replace(/,\d+/, ",777"))]));
	// Files of an hour each, in the wrong order.
	const hours = Array.from({ length: 10 }, (_, k) => rows.slice(60 * k, 60 * k + 60));
	for (const order of [
		[0, 1, 2, 3, 5, 4, 6, 7, 8, 9],
		[4, 3, 2, 1, 0],
		[0, 2, 4, 1, 3, 5],
	])
		readLog(textOf(order.flatMap((k) => hours[k]!)));
});

test("steps back by an hour all through a file are no change of the clocks, even where one was", () => {
	const rows = steady("2026-10-24T00:00:00", 2000);
	const pieces: string[] = [];
	for (let from = 0; from + 180 <= rows.length; from += 120)
		// Each piece begins an hour before the last one ended, with values of its own.
		pieces.push(...rows.slice(from, from + 180).map((row) => `${row}${(from / 120) % 10}`));
	readLog(textOf(pieces));
});

test("no log of a clock that never changed is refused, however its rows were cut, moved, doubled and exchanged", () => {
	const nights = ["2026-10-24T20:00:00", "2026-03-28T20:00:00", "2026-11-01T00:00:00", "2026-04-04T08:00:00"];
	const place = fc.integer({ min: 0, max: 899 });
	const length = fc.oneof(fc.constant(60), fc.constant(30), fc.integer({ min: 1, max: 200 }));
	const change = fc.oneof(
		fc.record({ kind: fc.constant("move" as const), from: place, length, to: place }),
		fc.record({ kind: fc.constant("copy" as const), from: place, length, to: place }),
		fc.record({ kind: fc.constant("exchange" as const), from: place, length: fc.constant(1), to: place }),
		fc.record({ kind: fc.constant("other value" as const), from: place, length: fc.constant(1), to: place }),
	);
	fc.assert(
		fc.property(
			fc.constantFrom(...nights),
			fc.constantFrom(10, 60, 300),
			fc.array(change, { maxLength: 5 }),
			fc.boolean(),
			(from, step, list, newestFirst) => {
				const rows = steady(from, 900, step);
				for (const { kind, from: at, length, to } of list) {
					const piece = rows.slice(at, at + length);
					if (kind === "move") rows.splice(at, length);
					if (kind === "exchange") [rows[at], rows[to]] = [rows[to]!, rows[at]!];
					else rows.splice(to, 0, ...(kind === "other value" ? piece.map((row) => `${row}1`) : piece));
				}
				const usable = rows.filter((row) => row !== undefined);
				readLog(textOf(newestFirst ? usable.reverse() : usable));
			},
		),
		{ seed: 6, numRuns: 150 },
	);
});

test("after a change of the clocks, times are told as the clock on the wall showed them", () => {
	const clock = { startUtcSeconds: Date.UTC(2026, 9, 24, 22) / 1000, zone: "Europe/Berlin" };
	expect([0, 3 * 3600, 12 * 3600].map((seconds) => momentWords(clock, seconds))).toEqual([
		"25 Oct 2026 00:00",
		"25 Oct 2026 02:00",
		"25 Oct 2026 11:00",
	]);
});
