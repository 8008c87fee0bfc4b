import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { cleanSeries } from "../../lib/logs/clean/clean.ts";
import type { Log, LogLayout, ReadOptions } from "../../lib/logs/log.ts";
import { readLog } from "../../lib/logs/read.ts";
import { refusalOf } from "./refusal.ts";

interface Expected {
	readonly rawRows: number;
	readonly rows: number;
	readonly firstUtc: string | null;
	readonly intervalSeconds: number;
	readonly firstPpm: number;
	readonly lastPpm: number;
	readonly gapsSeconds: readonly number[];
	readonly notes: Readonly<Record<string, number>>;
	readonly options: ReadOptions;
	readonly layout: LogLayout;
	readonly channels: Readonly<Record<string, number>>;
	readonly clipped?: { readonly ppm: number; readonly count: number };
	readonly refused?: string;
	readonly withOrder?: Readonly<Record<"dmy" | "mdy", string>>;
}

const folder = new URL("../../fixtures/logs/", import.meta.url);
const bytesOf = (name: string): Uint8Array => readFileSync(new URL(name, folder));
const { files } = JSON.parse(readFileSync(new URL("expected.json", folder), "utf8")) as {
	files: Record<string, Expected>;
};
const names = Object.keys(files);
const good = names.filter((name) => files[name]!.refused === undefined);

const iso = (seconds: number | null): string | null =>
	seconds === null ? null : new Date(seconds * 1000).toISOString().replace(".000Z", "Z");
const usable = (log: Log): readonly number[] => {
	const chamber = log.channels.find(({ place }) => place === "chamber")!;
	return [...chamber.values].filter((value) => !Number.isNaN(value));
};

test("every sample log with a number has its expectation", () => {
	expect(
		readdirSync(folder)
			.filter((name) => /^\d\d_/.test(name))
			.sort(),
	).toEqual([...names].sort());
	expect(good.length).toBe(9);
});

test.each(good)("%s is read as expected", (name) => {
	const expected = files[name]!;
	const log = readLog(bytesOf(name), { fileName: name, ...expected.options });
	const ppm = usable(log);
	expect({
		rawRows: log.rawRows,
		rows: log.rows,
		firstUtc: iso(log.startUtcSeconds),
		intervalSeconds: log.sampleIntervalSeconds,
		firstPpm: ppm[0],
		lastPpm: ppm.at(-1),
		gapsSeconds: log.gaps.map(({ lengthSeconds }) => lengthSeconds),
		notes: Object.fromEntries(log.notes.map(({ kind, count }) => [kind, count])),
		layout: log.layout,
		channels: Object.fromEntries(log.channels.map(({ place, kind, column }) => [place ?? kind, column])),
	}).toEqual({
		rawRows: expected.rawRows,
		rows: expected.rows,
		firstUtc: expected.firstUtc,
		intervalSeconds: expected.intervalSeconds,
		firstPpm: expected.firstPpm,
		lastPpm: expected.lastPpm,
		gapsSeconds: expected.gapsSeconds,
		notes: expected.notes,
		layout: expected.layout,
		channels: expected.channels,
	});
	expect(ppm.length).toBe(expected.rows);
	expect(log.lines.length).toBe(log.timesSeconds.length);
	for (let i = 1; i < log.timesSeconds.length; i++)
		expect(log.timesSeconds[i]!).toBeGreaterThan(log.timesSeconds[i - 1]!);
});

test.each(good)("of %s a fit leaves out what is no measurement, and nothing else", (name) => {
	const { clipped, notes, options } = files[name]!;
	const series = cleanSeries(readLog(bytesOf(name), options));
	const left = Object.fromEntries(series.exclusions.map(({ reason, count }) => [reason, count]));
	const missing = notes["missing value"];
	expect(left).toEqual({
		...(clipped === undefined ? {} : { clipped: clipped.count }),
		...(missing === undefined ? {} : { missing }),
	});
});

test("the clipped samples are those at the ceiling", () => {
	const series = cleanSeries(readLog(bytesOf("10_clipped_5000.csv")));
	for (let i = 0; i < series.co2Ppm.length; i++)
		expect(series.excluded[i] !== 0).toBe(series.co2Ppm[i] === files["10_clipped_5000.csv"]!.clipped!.ppm);
	expect(series.exclusions[0]).toMatchObject({ reason: "clipped", limitPpm: 5000, strayReadings: 0 });
	expect(series.exclusions[0]!.intervals).toEqual([{ fromSeconds: 52 * 60, toSeconds: 59 * 60 }]);
});

test("a fan column that is never on between bursts of 10 s is not trusted, with and without the schedule", () => {
	const log = readLog(bytesOf("17_two_channels_fan.csv"));
	for (const options of [{}, { schedule: { onSeconds: 10, offSeconds: 590 } }]) {
		const { fan, warnings } = cleanSeries(log, options);
		expect(fan).toBeNull();
		expect(warnings).toMatchObject([{ code: "fan column", fault: "never on" }]);
	}
});

test.each(names.filter((name) => files[name]!.refused !== undefined))("%s is refused as expected", (name) => {
	const { refused, withOrder } = files[name]!;
	const [fault] = refusalOf(() => readLog(bytesOf(name), { fileName: name }));
	expect(fault).toMatchObject({ file: name, path: refused });
	if (withOrder === undefined) return;
	expect(fault!.message).toContain("--date-order dmy");
	for (const dateOrder of ["dmy", "mdy"] as const) {
		const log = readLog(bytesOf(name), { dateOrder, zone: "UTC" });
		expect(log.rows).toBe(20);
		expect(iso(log.startUtcSeconds)).toBe(withOrder[dateOrder]);
	}
});
