import { expect, test } from "vitest";
import type { ReadOptions } from "../../lib/logs/log.ts";
import { readLog, summaryReader } from "../../lib/logs/read.ts";
import { noteWords } from "../../reports/words/logremarks.ts";
import { refusalOf } from "./refusal.ts";

const COUNT = 40;
const two = (x: number): string => String(x).padStart(2, "0");
const stamp = (i: number): string => `2026-03-24 ${two(8 + Math.floor(i / 60))}:${two(i % 60)}:00`;
const START = Date.UTC(2026, 2, 24, 8) / 1000;
/** An invented sawtooth. */
const ppmAt = (i: number): number => 442.617 + 37.104 * (i % 10);
const rows = (head: string, row: (i: number) => string): string =>
	[head, ...Array.from({ length: COUNT }, (_, i) => row(i))].join("\n");
const read = (text: string, options: ReadOptions = {}) => {
	const log = readLog(text, { zone: "UTC", ...options });
	const chamber = log.channels.find(({ place }) => place === "chamber")!;
	return { log, chamber, ppm: [...chamber.values] };
};
const exact = Array.from({ length: COUNT }, (_, i) => Number(ppmAt(i).toFixed(3)));

test("three decimals are decimals, alone and beside other decimals", () => {
	expect(read(rows("time,CO2 (ppm)", (i) => `${stamp(i)},${ppmAt(i).toFixed(3)}`)).ppm).toEqual(exact);
	const beside = read(rows("time,CO2 (ppm),signal", (i) => `${stamp(i)},${ppmAt(i).toFixed(3)},0.3366`));
	expect(beside.ppm).toEqual(exact);
	const comma = rows("time;CO2 (ppm)", (i) => `${stamp(i)};${ppmAt(i).toFixed(3).replace(".", ",")}`);
	expect(read(comma).ppm).toEqual(exact);
});

test("a sign that can be either is asked for, and the option settles it", () => {
	// 1.032 % or 1032 ppm: the header tells no unit.
	const text = rows("time;CO2", (i) => `${stamp(i)};1.${String(100 + i)}`);
	const [fault] = refusalOf(() => read(text));
	expect(fault).toMatchObject({ path: "decimal" });
	expect(fault!.message).toContain("--decimal");
	expect(read(text, { decimal: "," }).ppm[0]).toBe(1100);
	expect(read(text, { decimal: ".", unit: "%" }).ppm[0]).toBe(11_000);
});

test("a sign that changes its meaning midway is refused with its line", () => {
	const text = rows("time;CO2 (ppm)", (i) => `${stamp(i)};${i < 30 ? `${500 + i}.5` : `${500 + i},617`}`);
	expect(refusalOf(() => read(text))[0]).toMatchObject({ path: "decimal", line: 32 });
});

test("a header that lacks the name of the row numbers is aligned, and another misfit is refused", () => {
	const shifted = rows(
		"time,H2O (ppm),CO2 (ppm)",
		(i) => `${i + 1},${stamp(i)},12000,${ppmAt(i).toFixed(3)}`,
	);
	const { chamber, ppm } = read(shifted);
	expect([chamber.column, ppm]).toEqual([3, exact]);
	const epochs = rows("time,CO2 (ppm)", (i) => `${i + 1},${START + 60 * i},${ppmAt(i).toFixed(3)}`);
	expect(read(epochs, {}).ppm).toEqual(exact);
	const misfit = rows("time,CO2 (ppm)", (i) => `${stamp(i)},${ppmAt(i).toFixed(1)},20.1`);
	const [fault] = refusalOf(() => read(misfit));
	expect(fault).toMatchObject({ path: "header" });
	expect(fault!.message).toMatch(/2 names .*3 values.*--accept-implausible/);
	expect(read(misfit, { acceptImplausible: true }).ppm[0]).toBe(442.6);
});

test.each([
	["names and units", "H2O,CO2,time\nppm,ppm,-"],
	["names, units and process", "H2O,CO2,time\nppm,ppm,\nAvg,Avg,"],
	["a title row, names, units and process", "Tower,Tower,\nH2O,CO2,time\nppm,ppm,TS\nSmp,Smp,"],
])("a header of %s names the columns, and water in ppm is no CO2", (_, head) => {
	const { chamber, ppm, log } = read(rows(head, (i) => `12000,${ppmAt(i).toFixed(3)},${stamp(i)}`));
	expect([chamber.column, chamber.unit, ppm]).toEqual([1, "ppm", exact]);
	expect(log.notes).toMatchObject([{ kind: "unused column" }]);
});

test("a tag in front of each row hides neither names nor units", () => {
	const head = "HEAD,time,H2O,CO2\nUNITS,,ppm,ppm";
	const { chamber, ppm } = read(rows(head, (i) => `DATA,${stamp(i)},12000,${ppmAt(i).toFixed(3)}`));
	expect([chamber.column, ppm]).toEqual([3, exact]);
});

test("first rows without a value are rows of data, and stay in the log", () => {
	const text = rows("time,CO2 (ppm),temp,mode", (i) =>
		i < 6 ? `${stamp(i)},NA,NA,start` : `${stamp(i)},${ppmAt(i).toFixed(3)},20.5,auto`,
	);
	const { log, ppm } = read(text);
	expect(log.rawRows).toBe(COUNT);
	expect(ppm.slice(0, 6).every(Number.isNaN)).toBe(true);
	expect(ppm.slice(6)).toEqual(exact.slice(6));
	expect(log.layout).toMatchObject({ preambleLines: 0, headerLines: 1 });
});

test.each([
	["more fields", (i: number) => `${stamp(i)},${ppmAt(i).toFixed(1)},20.5,7`],
	["more fields and words", (i: number) => `${stamp(i)},${ppmAt(i).toFixed(1)},20.5,"mode auto"`],
	[
		"other names",
		(i: number) => (i === 25 ? "time,temp,CO2 (ppm)" : `${stamp(i)},20.5,${ppmAt(i).toFixed(1)}`),
	],
	["other columns without a word", (i: number) => `${stamp(i)},20.5,${ppmAt(i).toFixed(1)}`],
])("rows that change their layout midway, to %s, are refused", (_, row) => {
	const text = rows("time,CO2 (ppm),temp", (i) =>
		i < 25 ? `${stamp(i)},${ppmAt(i).toFixed(1)},20.5` : row(i),
	);
	const [fault] = refusalOf(() => read(text));
	expect(fault!.message).toMatch(/changes its layout|no air of a chamber/);
});

test.each([
	"CO2 (V)",
	"CO2 Absorptance",
	"co2_slope (ppm)",
	"co2_sd",
	"CO2 flag",
	"CO2 sensor temperature (°C)",
])("%s is no CO2", (name) => {
	const beside = read(rows(`time,${name},CO2 (ppm)`, (i) => `${stamp(i)},0.3366,${ppmAt(i).toFixed(3)}`));
	expect([beside.chamber.column, beside.ppm]).toEqual([2, exact]);
	const [fault] = refusalOf(() => read(rows(`time,${name}`, (i) => `${stamp(i)},0.33${two(i)}`)));
	expect(fault).toMatchObject({ path: "co2 column" });
});

test("per cent is asked for where nothing says per cent", () => {
	const text = rows("time,CO2", (i) => `${stamp(i)},0.0${444 + i}`);
	const [fault] = refusalOf(() => read(text));
	expect(fault).toMatchObject({ path: "unit" });
	expect(fault!.message).toContain("--unit");
	expect(read(text, { unit: "%" }).ppm[0]).toBe(444);
	expect(refusalOf(() => read(text, { unit: "furlong" }))[0]).toMatchObject({ path: "unit" });
});

test("codes for no value in most cells hide no row", () => {
	const text = rows("time,CO2 (ppm),a,b,c", (i) =>
		i % 3 === 0 ? `${stamp(i)},${ppmAt(i).toFixed(3)},#N/A,#N/A,1` : `${stamp(i)},#N/A,#N/A,#N/A,#N/A`,
	);
	const { log, ppm } = read(text);
	expect([log.timesSeconds.length, ppm.filter((x) => !Number.isNaN(x))]).toEqual([
		COUNT,
		exact.filter((_, i) => i % 3 === 0),
	]);
});

test.each<[string, string, (i: number) => string, number | null]>([
	[
		"year, month, day, hour and minute",
		"Year,Month,Day,Hour,Min,CO2 (ppm)",
		(i) => `2026,3,24,8,${i}`,
		START,
	],
	["day, month, hour and minute", "Day,Month,Hour,Min,CO2 (ppm)", (i) => `24,3,8,${i}`, null],
	["year, day of the year and hhmm", "Year,DOY,HHMM,CO2 (ppm)", (i) => `2026,83,8${two(i)}`, START],
	[
		"year and a fraction of the day",
		"Year,DOY,CO2 (ppm)",
		(i) => `2026,${(83 + (480 + i) / 1440).toFixed(6)}`,
		START,
	],
	["a date, hour and minute", "Date,Hour,Minute,CO2 (ppm)", (i) => `2026-03-24,8,${i}`, START],
	["hour and minute", "Hour,Minute,CO2 (ppm)", (i) => `8,${i}`, null],
])("times in columns of %s are put together", (_, head, time, start) => {
	const { log, ppm } = read(
		rows(head, (i) => `${time(i)},${ppmAt(i).toFixed(3)}`),
		start === null ? { zone: undefined! } : {},
	);
	expect(log.startUtcSeconds).toBe(start);
	expect([...log.timesSeconds]).toEqual(exact.map((_, i) => 60 * i));
	expect(ppm).toEqual(exact);
	if (start === null) expect(log.startsAtSeconds).toBe(8 * 3600);
});

test("dates without a year run on over New Year and over 29 February where it stands in the file", () => {
	const days = ["30,12", "31,12", "1,1", "2,1", "27,2", "28,2", "29,2", "1,3"].map(
		(day, i) => `${day},0,0,${500 + i}`,
	);
	const { log } = read(["Day,Month,Hour,Min,CO2", ...days].join("\n"), {
		zone: undefined!,
		acceptImplausible: true,
	});
	expect([...log.timesSeconds].map((s) => s / 86_400)).toEqual([0, 1, 2, 3, 59, 60, 61, 62]);
});

test.each([
	"Time zone: UTC+2",
	"Zeitzone;UTC+02:00",
	"# All times in UTC+2",
	"TZ=+0200",
	"Times are in Africa/Cairo",
])("the zone in the preamble is taken: %s", (line) => {
	const { log } = read(
		`Logger 7\n${line}\n${rows("time,CO2 (ppm)", (i) => `${stamp(i)},${500 + (i % 9)}`)}`,
		{ zone: undefined! },
	);
	expect(log.startUtcSeconds).toBe(START - 7200);
	expect(log.layout.zoneFrom).toBe("file");
});

test("columns of one name are told apart by number, place, and unit", () => {
	const text = rows("time,CO2 (ppm),CO2 (%)", (i) => `${stamp(i)},${500 + (i % 9)},0.06${two(i)}`);
	expect(refusalOf(() => read(text))[0]).toMatchObject({ path: "column" });
	for (const column of ["column 3", "CO2#2", "CO2 (%)"]) expect(read(text, { column }).ppm[0]).toBe(600);
	expect(read(text, { column: "co2#1" }).ppm[0]).toBe(500);
	const same = rows("time,CO2,CO2", (i) => `${stamp(i)},${500 + (i % 9)},${600 + (i % 9)}`);
	expect(read(same, { column: "CO2#2" }).ppm[0]).toBe(600);
});

test("another column's unit does not overrule the column that is asked for", () => {
	const text = rows(
		"time,CO2 (mg/m3),reading,CO2 (ppm)",
		(i) => `${stamp(i)},${900 + (i % 9)},${700 + (i % 9)},${500 + (i % 9)}`,
	);
	expect(read(text, { column: "reading" }).ppm[0]).toBe(700);
	expect(read(text).ppm[0]).toBe(500);
});

test("what stands now and then in a column that is not read is told with its lines", () => {
	const text = rows(
		"time,CO2 (ppm),note",
		(i) => `${stamp(i)},${ppmAt(i).toFixed(3)},${i === 11 ? "door opened" : ""}`,
	);
	const { log, ppm } = read(text);
	expect(ppm).toEqual(exact);
	const note = log.notes.find(({ kind }) => kind === "remark")!;
	expect(note).toMatchObject({ column: "note", text: "door opened", count: 1, lines: [13] });
	expect(noteWords(note)).toContain("door opened");
});

test.each<[string, string, RegExp]>([
	[
		"a median that no chamber has",
		rows("time,CO2 (ppm)", (i) => `${stamp(i)},${40 + (i % 9)}`),
		/middle reading/,
	],
	[
		"a median above what the unit allows",
		rows("time,CO2 (%)", (i) => `${stamp(i)},${40 + (i % 9)}`),
		/middle reading/,
	],
	["a column that is constant", rows("time,CO2 (ppm)", (i) => `${stamp(i)},612`), /612 ppm in all 40/],
	[
		"a step of months",
		rows(
			"time,CO2 (ppm)",
			(i) => `20${two(20 + Math.floor(i / 12))}-${two(1 + (i % 12))}-01 08:00,${500 + (i % 9)}`,
		),
		/apart/,
	],
	[
		"times that are too coarse",
		rows("time,CO2 (ppm)", (i) => `${stamp(2 * Math.floor(i / 6))},${500 + (i % 9)}`),
		/too coarse/,
	],
])("%s is refused with the first rows as they were understood, and can be accepted", (_, text, words) => {
	const whole = refusalOf(() => read(text));
	const streamed = refusalOf(() => {
		const reader = summaryReader({ zone: "UTC" });
		reader.push(new TextEncoder().encode(text));
		reader.end();
	});
	for (const [fault] of [whole, streamed]) {
		expect(fault).toMatchObject({ path: "plausibility" });
		expect(fault!.message).toMatch(words);
		expect(fault!.message).toMatch(/line 2: 20.* UTC, .*line 4: .*--accept-implausible/);
	}
	expect(read(text, { acceptImplausible: true }).log.rows).toBeGreaterThan(0);
});

test.each([0, 20, 39])("a row of a clock that was not set is left out and named, at place %i", (at) => {
	for (const stray of ["1970-01-01 00:03:00", "2000-01-01 00:03:00"]) {
		const lines = rows("time,CO2 (ppm)", (i) => `${stamp(i)},${ppmAt(i).toFixed(3)}`).split("\n");
		lines.splice(1 + at, 0, `${stray},480`);
		const { log, ppm } = read(lines.join("\n"));
		expect(ppm).toEqual(exact);
		expect(log.timesSeconds.at(-1)).toBe(60 * (COUNT - 1));
		const note = log.notes.find(({ kind }) => kind === "stray time")!;
		expect(note).toMatchObject({ count: 1, lines: [2 + at] });
		expect(noteWords(note)).toContain("left out");
	}
});

test("a clock that was set anew midway is refused", () => {
	const text = rows(
		"time,CO2 (ppm)",
		(i) => `${i < 20 ? stamp(i).replace("2026", "2000") : stamp(i)},${500 + (i % 9)}`,
	);
	expect(refusalOf(() => read(text))[0]).toMatchObject({ path: "time column" });
});

test("lines that end in carriage returns alone are read in pieces of any size", () => {
	const bytes = new TextEncoder().encode(
		rows("time,CO2 (ppm)", (i) => `${stamp(i)},${ppmAt(i).toFixed(3)}`).replaceAll("\n", "\r"),
	);
	expect(read(new TextDecoder().decode(bytes)).ppm).toEqual(exact);
	const reader = summaryReader({ zone: "UTC" });
	for (let at = 0; at < bytes.length; at += 7) reader.push(bytes.subarray(at, at + 7));
	expect(reader.end()).toMatchObject({ rows: COUNT, rawRows: COUNT });
});

test("9999 stands for no value where no reading comes near it, and is asked about where one does", () => {
	const low = rows("time,CO2 (ppm)", (i) => `${stamp(i)},${i % 7 === 3 ? 9999 : 500 + (i % 9)}`);
	expect(read(low).ppm[3]).toBeNaN();
	const high = rows("time,CO2 (ppm)", (i) => `${stamp(i)},${i % 7 === 3 ? 9999 : 7000 + 900 * (i % 9)}`);
	expect(refusalOf(() => read(high))[0]!.message).toContain("9999");
	// A sensor that ends there comes near before.
	const clipped = rows("time,CO2 (ppm)", (i) => `${stamp(i)},${Math.min(9999, 6100 + 300 * (i % 20))}`);
	expect(read(clipped).ppm[19]).toBe(9999);
	const clippedBelow = rows(
		"time,CO2 (ppm)",
		(i) => `${stamp(i)},${i === 17 ? 9999 : Math.min(9998, 6100 + 300 * (i % 20))}`,
	);
	expect(refusalOf(() => read(clippedBelow))[0]!.message).toContain("9999");
});
