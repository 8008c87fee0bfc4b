import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import type { ReadOptions } from "../../lib/logs/log.ts";
import { type ChannelSummary, type LogSummary, summarizeLog } from "../../lib/logs/logsummary.ts";
import { logReader, readLog, type StreamingReader, summaryReader } from "../../lib/logs/read.ts";

const folder = new URL("../../fixtures/logs/", import.meta.url);
const sample = (name: string): Uint8Array => readFileSync(new URL(name, folder));
const samples: readonly (readonly [string, ReadOptions])[] = [
	["01_iso_utc.csv", {}],
	["02_preamble_offset.csv", {}],
	["04_eu_semicolon_latin1.csv", { zone: "UTC" }],
	["05_elapsed_tab.txt", {}],
	["08_clock_change_local.csv", { zone: "Europe/Berlin" }],
	["09_gaps_dupes_order.csv", {}],
	["12_sheet_serial.csv", { zone: "UTC" }],
	["15_ambiguous_dmy.csv", { dateOrder: "dmy" }],
	["17_two_channels_fan.csv", {}],
];

function inPieces<T>(bytes: Uint8Array, sizes: readonly number[], reader: StreamingReader<T>): T {
	// A piece that is written over after it was pushed, as a file's buffer is.
	const buffer = new Uint8Array(Math.max(...sizes));
	for (let at = 0, k = 0; at < bytes.length; k++) {
		const piece = bytes.subarray(at, at + sizes[k % sizes.length]!);
		buffer.set(piece);
		reader.push(buffer.subarray(0, piece.length));
		buffer.fill(0x2c);
		at += piece.length;
	}
	return reader.end();
}

/** 200 kB of a log in UTF-8 or UTF-16, so that the first part does not hold it all. */
function longLog(encoding: "utf-8" | "utf-16le"): Uint8Array {
	const lines = ["Time;CO₂ [ppm];Feuchte [%]"];
	for (let i = 0; i < 6000; i++) {
		const time = new Date(Date.UTC(2026, 2, 10) + 10_000 * i).toISOString().slice(0, 19).replace("T", " ");
		lines.push(
			i % 97 === 5 ? `${time};;90,1` : i % 501 === 7 ? '# "door' : `${time};${800 + (i % 60)};9${i % 10},5`,
		);
	}
	const text = lines.join("\r\n");
	return encoding === "utf-8"
		? new TextEncoder().encode(text)
		: Uint8Array.from(Buffer.from(`\ufeff${text}`, "utf16le"));
}

test("a log is the same however its file comes in pieces", () => {
	const files = [
		...samples.map(([name, options]) => [sample(name), options] as const),
		...(["utf-8", "utf-16le"] as const).map(
			(encoding) => [longLog(encoding), { zone: "Europe/Berlin" }] as const,
		),
	];
	const whole = files.map(([bytes, options]) => readLog(bytes, options));
	fc.assert(
		fc.property(
			fc.integer({ min: 0, max: files.length - 1 }),
			fc.array(fc.integer({ min: 1, max: 40_000 }), { minLength: 1, maxLength: 6 }),
			(k, sizes) => {
				const [bytes, options] = files[k]!;
				const tiny = bytes.length < 5000 ? sizes.map((size) => 1 + (size % 23)) : sizes;
				expect(inPieces(bytes, tiny, logReader(options))).toEqual(whole[k]);
			},
		),
		{ seed: 3, numRuns: 80 },
	);
	expect(whole.at(-1)!.rows).toBe(5938 - 12);
});

test("text and its bytes are read alike", () => {
	const bytes = sample("02_preamble_offset.csv");
	expect(readLog(new TextDecoder().decode(bytes))).toEqual(readLog(bytes));
});

const withoutMedians = ({ channels, ...rest }: LogSummary) => ({
	...rest,
	channels: channels.map(({ median: _, medianStep: __, ...channel }) => channel),
});

test.each(samples)("of %s the figures are the same whether its samples are kept or not", (name, options) => {
	const figures = summarizeLog(readLog(sample(name), options));
	const passed = inPieces(sample(name), [100], summaryReader(options));
	if (name.startsWith("09")) {
		// A row out of order is sorted in one case and left out in the other.
		expect(passed.rows).toBe(figures.rows - 1);
		expect(Object.fromEntries(passed.notes.map(({ kind, count }) => [kind, count]))).toEqual({
			"out of order": 1,
			duplicate: 1,
			"missing value": 5,
			gap: 3,
		});
		return;
	}
	expect(withoutMedians(passed)).toEqual(withoutMedians(figures));
	for (const [k, { median, medianStep }] of passed.channels.entries())
		expect(Math.abs(median! - figures.channels[k]!.median!)).toBeLessThanOrEqual(medianStep + 1e-9);
});

test("figures of a long log without its samples: counts, gaps, newest first", () => {
	const rows = Array.from(
		{ length: 30_000 },
		(_, i) => `${1_770_000_000 + 10 * i + (i >= 20_000 ? 3600 : 0)},${600 + (i % 300)},${i % 2}`,
	);
	const text = ["unix_time,co2,fan", ...rows.reverse()].join("\n");
	const figures = inPieces(new TextEncoder().encode(text), [7001], summaryReader({}));
	expect(figures).toMatchObject({
		startUtcSeconds: 1_770_000_000,
		durationSeconds: 299_990 + 3600,
		sampleIntervalSeconds: 10,
		rows: 30_000,
		gapCount: 1,
		gaps: [{ fromSeconds: 199_990, lengthSeconds: 3610 }],
	});
	const [co2, fan] = figures.channels as [ChannelSummary, ChannelSummary];
	expect(co2).toMatchObject({ count: 30_000, min: 600, median: 749, max: 899, medianStep: 1 });
	expect(fan).toMatchObject({ min: 0, median: 0, max: 1, medianStep: 0 });
	expect(figures.notes.map(({ kind }) => kind)).toEqual(["out of order", "gap"]);
});
