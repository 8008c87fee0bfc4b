import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { cleanSeries } from "../../lib/logs/clean/clean.ts";
import type { Log, ReadOptions } from "../../lib/logs/log.ts";
import { summarizeLog } from "../../lib/logs/logsummary.ts";
import { readLog, summaryReader } from "../../lib/logs/read.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { noteWords } from "../../reports/words/logremarks.ts";

const folder = new URL("../../fixtures/logs/", import.meta.url);
const seeds: readonly Uint8Array[] = readdirSync(folder)
	.filter((name) => /^\d\d_/.test(name))
	.map((name) => Uint8Array.from(readFileSync(new URL(name, folder))));

const random = seededUniform(20_260_310);
const below = (n: number): number => Math.floor(random() * n);
const oneOf = <T>(items: readonly T[]): T => items[below(items.length)]!;
const linesOf = (bytes: Uint8Array): string[] => Buffer.from(bytes).toString("latin1").split("\n");
const fromLines = (lines: readonly string[]): Uint8Array =>
	Uint8Array.from(Buffer.from(lines.join("\n"), "latin1"));
const splice = (bytes: Uint8Array, at: number, remove: number, insert: Uint8Array): Uint8Array =>
	Uint8Array.from([...bytes.subarray(0, at), ...insert, ...bytes.subarray(at + remove)]);
const noise = (length: number): Uint8Array => Uint8Array.from({ length }, () => below(256));

const nasty = [
	'"',
	",,,,,,,",
	"\0\0\0\0",
	"\r",
	"\t",
	";",
	"1e999",
	"-",
	"NaN",
	"99/99/9999",
	"9".repeat(400),
	"ÿþ",
	"2026-02-30",
	"24:60:60",
	"\n\n\n",
	"1.2.3,4,5",
	"−12",
	"#",
];

const mutations: Readonly<Record<string, (bytes: Uint8Array) => Uint8Array>> = {
	"flipped bytes": (bytes) => {
		const out = bytes.slice();
		for (let k = 1 + below(20); k > 0; k--) if (out.length > 0) out[below(out.length)]! ^= 1 << below(8);
		return out;
	},
	"cut off": (bytes) => bytes.slice(0, below(bytes.length + 1)),
	"cut at the front": (bytes) => bytes.slice(below(bytes.length + 1)),
	"lines shuffled": (bytes) => {
		const lines = linesOf(bytes);
		for (let k = lines.length - 1; k > 0; k--) {
			const j = below(k + 1);
			[lines[k], lines[j]] = [lines[j]!, lines[k]!];
		}
		return fromLines(lines);
	},
	"lines dropped and doubled": (bytes) =>
		fromLines(linesOf(bytes).flatMap((line) => Array<string>(below(3)).fill(line))),
	"two files mixed": (bytes) => {
		const others = linesOf(oneOf(seeds));
		return fromLines(linesOf(bytes).map((line, k) => (random() < 0.4 ? (others[k] ?? line) : line)));
	},
	"two files joined": (bytes) => splice(bytes, bytes.length, 0, oneOf(seeds)),
	"binary within": (bytes) => splice(bytes, below(bytes.length + 1), below(50), noise(below(200))),
	"binary alone": () => noise(below(3000)),
	"something nasty": (bytes) => {
		let out = bytes;
		for (let k = 1 + below(6); k > 0; k--)
			out = splice(out, below(out.length + 1), below(3), Uint8Array.from(Buffer.from(oneOf(nasty), "utf8")));
		return out;
	},
	"columns exchanged": (bytes) =>
		fromLines(linesOf(bytes).map((line) => (random() < 0.5 ? line.split(",").reverse().join(",") : line))),
	"another delimiter": (bytes) =>
		fromLines(linesOf(bytes).map((line) => line.replaceAll(",", oneOf([";", "\t", "|", " "])))),
};

const optionsOf = (): ReadOptions => ({
	...(random() < 0.2 ? { zone: oneOf(["UTC", "Europe/Berlin", "+05:30", "nowhere"]) } : {}),
	...(random() < 0.2 ? { dateOrder: oneOf(["dmy", "mdy"] as const) } : {}),
	...(random() < 0.1 ? { column: oneOf(["co2", "column 2", "", "x"]) } : {}),
	...(random() < 0.1 ? { sampleIntervalSeconds: oneOf([60, 0.5, 0, Number.NaN]) } : {}),
});

/** What holds for every log. */
function expectSound(log: Log): void {
	const length = log.timesSeconds.length;
	expect(length).toBeGreaterThan(0);
	expect(log.timesSeconds[0]).toBe(0);
	let isAscending = true;
	for (let i = 1; i < length; i++) isAscending &&= log.timesSeconds[i]! > log.timesSeconds[i - 1]!;
	expect(isAscending).toBe(true);
	expect(log.lines.length).toBe(length);
	expect(log.rows).toBeGreaterThan(0);
	expect(log.rows).toBeLessThanOrEqual(length);
	expect(log.rawRows).toBeGreaterThanOrEqual(length);
	expect(log.channels.some(({ kind }) => kind === "co2")).toBe(true);
	for (const { kind, values } of log.channels) {
		expect(values.length).toBe(length);
		const [low, high] = { co2: [0, 1e6], fan: [0, 1], temperature: [-60, 150], humidity: [0, 1.05] }[
			kind
		] as [number, number];
		expect(values.every((value) => Number.isNaN(value) || (value >= low && value <= high))).toBe(true);
	}
	for (const note of log.notes) {
		expect(noteWords(note)).toMatch(/^(?!.*undefined)./);
		expect(note.count).toBeGreaterThan(0);
	}
}

test("2,400 mutated logs are read or refused with a clear fault, quickly, and nothing else happens", () => {
	const names = Object.keys(mutations);
	const outcomes = { read: 0, refused: 0 };
	let slowest = 0;
	for (let k = 0; k < 2400; k++) {
		const name = names[k % names.length]!;
		let bytes = mutations[name]!(oneOf(seeds));
		if (random() < 0.3) bytes = oneOf(Object.values(mutations))(bytes);
		const options = optionsOf();
		const before = process.cpuUsage().user;
		try {
			const log = readLog(bytes, options);
			expectSound(log);
			const { excluded, exclusions } = cleanSeries(log, { schedule: { onSeconds: 10, offSeconds: 590 } });
			expect(exclusions.reduce((sum, { count }) => sum + count, 0)).toBe(
				excluded.filter((code) => code > 0).length,
			);
			expect(summarizeLog(log).channels.length).toBe(log.channels.length);
			outcomes.read++;
		} catch (error) {
			if (!(error instanceof InputError)) throw new Error(`${name}, case ${k}`, { cause: error });
			for (const { message, path } of error.faults) {
				expect(message.length).toBeGreaterThan(10);
				expect(path).toMatch(
					/^(?:data|encoding|rows|time column|co2 column|column|intake|zone|interval|date order|header|decimal|unit|plausibility)$/,
				);
			}
			outcomes.refused++;
		}
		slowest = Math.max(slowest, process.cpuUsage().user - before);
		if (k % 4 !== 0) continue;
		try {
			const reader = summaryReader(options);
			reader.push(bytes);
			reader.end();
		} catch (error) {
			if (!(error instanceof InputError)) throw new Error(`figures of ${name}, case ${k}`, { cause: error });
		}
	}
	// Neither everything nor nothing passes, or the test would show little.
	expect(outcomes.read).toBeGreaterThan(600);
	expect(outcomes.refused).toBeGreaterThan(600);
	expect(slowest).toBeLessThan(500_000);
});

test("long bad input ends soon: one endless line, nothing but quotes, nothing but delimiters, zeros", () => {
	const long = (unit: string) =>
		Uint8Array.from(Buffer.from(`time,co2\n${unit.repeat(3_000_000 / unit.length)}`, "latin1"));
	const began = process.cpuUsage().user;
	for (const unit of ["x", '"', ",", "\0", "\n", "\r", '"\n', '",\n', "1,\n", "a,b\n"])
		expect(() => readLog(long(unit))).toThrow(InputError);
	expect(process.cpuUsage().user - began).toBeLessThan(20e6);
});
