import { expect, test } from "vitest";
import type { Log, ReadOptions } from "../../lib/logs/log.ts";
import { readLog } from "../../lib/logs/read.ts";
import { noteWords } from "../../reports/words/logremarks.ts";
import { refusalOf } from "./refusal.ts";

const START = Date.UTC(2026, 2, 24, 8) / 1000;
const COUNT = 40;
/** An invented sawtooth in whole ppm that crosses 1000. */
const ppmAt = (i: number): number => 850 + 37 * (i % 10);
const two = (x: number): string => String(x).padStart(2, "0");

interface Moment {
	readonly i: number;
	readonly ppm: number;
	readonly y: number;
	readonly mo: string;
	readonly d: string;
	readonly h: string;
	readonly mi: string;
	readonly s: string;
	/** 8:05:00 AM */
	readonly twelve: string;
	readonly unix: number;
}
const moments: readonly Moment[] = Array.from({ length: COUNT }, (_, i) => {
	const date = new Date((START + 60 * i) * 1000);
	const hours = date.getUTCHours();
	const [mi, s] = [two(date.getUTCMinutes()), two(date.getUTCSeconds())];
	return {
		i,
		ppm: ppmAt(i),
		y: date.getUTCFullYear(),
		mo: two(date.getUTCMonth() + 1),
		d: two(date.getUTCDate()),
		h: two(hours),
		mi,
		s,
		twelve: `${hours % 12 === 0 ? 12 : hours % 12}:${mi}:${s} ${hours < 12 ? "AM" : "PM"}`,
		unix: START + 60 * i,
	};
});
const rows = (head: string, row: (at: Moment) => string, lineEnd = "\n"): string =>
	[head, ...moments.map(row)].join(lineEnd) + lineEnd;
const chamberOf = (log: Log) => log.channels.find(({ place }) => place === "chamber")!;

/** The log as it must be: 40 samples, a minute apart, in ppm. */
function expectTheLog(log: Log, startUtcSeconds: number | null = START): void {
	expect(log.startUtcSeconds).toBe(startUtcSeconds);
	expect([...log.timesSeconds]).toEqual(moments.map(({ i }) => 60 * i));
	expect([...chamberOf(log).values]).toEqual(moments.map(({ ppm }) => ppm));
	expect(log.sampleIntervalSeconds).toBe(60);
	expect(log.gaps).toEqual([]);
}

const utf16 = (text: string, littleEndian: boolean, withMark: boolean): Uint8Array => {
	const marked = withMark ? `\ufeff${text}` : text;
	const bytes = new Uint8Array(2 * marked.length);
	const view = new DataView(bytes.buffer);
	for (let k = 0; k < marked.length; k++) view.setUint16(2 * k, marked.charCodeAt(k), littleEndian);
	return bytes;
};
const iso = rows(
	"Zeit;CO₂ (ppm);Temperatur (°C)",
	(at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}:${at.s}Z;${at.ppm};20,5`,
);

test.each([
	["UTF-8 with a byte order mark", new TextEncoder().encode(`\ufeff${iso}`), "utf-8"],
	["UTF-16, little endian, marked", utf16(iso, true, true), "utf-16le"],
	["UTF-16, big endian, marked", utf16(iso, false, true), "utf-16be"],
	["UTF-16, little endian, unmarked", utf16(iso, true, false), "utf-16le"],
	["UTF-16, big endian, unmarked", utf16(iso, false, false), "utf-16be"],
	["Latin-1", Uint8Array.from(iso.replace("₂", "2"), (c) => c.charCodeAt(0)), "latin1"],
] as const)("reads %s", (_, bytes, encoding) => {
	const log = readLog(bytes);
	expectTheLog(log);
	expect(log.layout).toMatchObject({ encoding, delimiter: ";", decimal: ",", headerLines: 1 });
	expect(log.channels.map(({ kind }) => kind)).toEqual(["co2", "temperature"]);
	expect(log.channels[1]!.name).toBe("Temperatur (°C)");
});

test.each<[string, string, ReadOptions, string]>([
	[
		"US dates, 12-hour clock",
		rows("Date Time,CO2 (ppm)", (at) => `${at.mo}/${at.d}/${at.y} ${at.twelve},${at.ppm}`),
		{ zone: "UTC" },
		"month/day/year, 12-hour clock",
	],
	[
		"US dates with short years and no zeros, in two columns",
		rows("Date,Time,CO2", (at) => `${Number(at.mo)}/${Number(at.d)}/26,${at.twelve.toLowerCase()},${at.ppm}`),
		{ zone: "UTC" },
		"month/day/year in two columns, 12-hour clock",
	],
	[
		"European dates with slashes, in two columns, semicolons",
		rows("Fecha;Hora;CO2 (ppm)", (at) => `${at.d}/${at.mo}/${at.y};${at.h}:${at.mi};${at.ppm},0`),
		{ zone: "UTC" },
		"day/month/year in two columns",
	],
	[
		"European dates with dots in one column",
		rows("Datum/Zeit;CO2 in ppm", (at) => `${at.d}.${at.mo}.${at.y} ${at.h}:${at.mi}:${at.s};${at.ppm}`),
		{ zone: "UTC" },
		"day.month.year",
	],
	[
		"a date that names its month",
		rows("Time,CO2 ppm", (at) => `${at.d}-Mar-${at.y} ${at.h}:${at.mi},${at.ppm}`),
		{ zone: "UTC" },
		"date with the month by name",
	],
	[
		"ISO dates with slashes and a fraction of a second",
		rows("time|co2", (at) => `${at.y}/${at.mo}/${at.d} ${at.h}:${at.mi}:${at.s}.000|${at.ppm}`),
		{ zone: "UTC" },
		"year-month-day",
	],
	[
		"ISO dates without separators",
		rows("t,CO2", (at) => `${at.y}${at.mo}${at.d}T${at.h}:${at.mi}:${at.s}Z,${at.ppm}`),
		{},
		"ISO 8601 in UTC",
	],
	[
		"two columns with the offset behind the time",
		rows(
			"date,time,CO2",
			(at) => `${at.y}-${at.mo}-${at.d},${two(Number(at.h) + 2)}:${at.mi}:${at.s}+02:00,${at.ppm}`,
		),
		{},
		"ISO 8601 in two columns with offset",
	],
	["epoch in seconds", rows("unix_time,co2_ppm", (at) => `${at.unix},${at.ppm}`), {}, "Unix seconds"],
	[
		"epoch in milliseconds",
		rows("timestamp,co2", (at) => `${at.unix}000,${at.ppm}`),
		{},
		"Unix milliseconds",
	],
	[
		"spreadsheet serial days with a decimal comma",
		rows("Zeit;CO2", (at) => `${(at.unix / 86_400 + 25_569).toFixed(7).replace(".", ",")};${at.ppm}`),
		{ zone: "UTC" },
		"spreadsheet serial days",
	],
	[
		"blanks between the columns",
		rows(
			"date       time     co2_ppm  temp_c",
			(at) => `${at.y}-${at.mo}-${at.d} ${at.h}:${at.mi}:${at.s}  ${at.ppm}  20.5`,
		),
		{ zone: "UTC" },
		"year-month-day in two columns",
	],
	[
		"quotes around everything, thousands commas",
		rows(
			'"Time","CO2 (ppm)"',
			(at) => `"${at.y}-${at.mo}-${at.d} ${at.h}:${at.mi}","${at.ppm.toLocaleString("en-US")}"`,
		),
		{ zone: "UTC" },
		"year-month-day",
	],
	[
		"thousands points beside decimal commas",
		rows(
			"Zeit;CO2 [ppm];Temperatur",
			(at) => `${at.d}.${at.mo}.${at.y} ${at.h}:${at.mi};${at.ppm.toLocaleString("de-DE")};20,5`,
		),
		{ zone: "UTC" },
		"day.month.year",
	],
	[
		"thousands points without any other sign",
		rows(
			"Zeit;CO2 [ppm]",
			(at) => `${at.d}.${at.mo}.${at.y} ${at.h}:${at.mi};${at.ppm.toLocaleString("de-DE")}`,
		),
		{ zone: "UTC" },
		"day.month.year",
	],
	[
		"CO2 in per cent",
		rows(
			"time,CO2 [%]",
			(at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${(at.ppm / 10_000).toFixed(4)}`,
		),
		{},
		"ISO 8601 in UTC",
	],
	[
		"CO2 in volume per cent, decimal comma",
		rows(
			"Zeit;CO2 (Vol.-%)",
			(at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z;${(at.ppm / 10_000).toFixed(4).replace(".", ",")}`,
		),
		{},
		"ISO 8601 in UTC",
	],
	[
		"a unit behind each value",
		rows("time,CO2,temp", (at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${at.ppm} ppm,20.5 °C`),
		{},
		"ISO 8601 in UTC",
	],
	[
		"carriage returns alone",
		rows("time,CO2", (at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${at.ppm}`, "\r"),
		{},
		"ISO 8601 in UTC",
	],
	[
		"a zone in the header",
		rows(
			"Date Time (GMT+02:00),CO2",
			(at) => `${at.y}-${at.mo}-${at.d} ${two(Number(at.h) + 2)}:${at.mi},${at.ppm}`,
		),
		{},
		"year-month-day",
	],
	[
		"a zone in the preamble",
		`Device: logger 3\nTime zone: Europe/Helsinki\n${rows("Time,CO2", (at) => `${at.y}-${at.mo}-${at.d} ${two(Number(at.h) + 2)}:${at.mi},${at.ppm}`)}`,
		{},
		"year-month-day",
	],
	[
		"a trailing delimiter on each row",
		rows("time,CO2,", (at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${at.ppm},`),
		{},
		"ISO 8601 in UTC",
	],
])("reads %s", (_, text, options, timeFormat) => {
	const log = readLog(text, options);
	expectTheLog(log);
	expect(log.layout.timeFormat).toBe(timeFormat);
	expect(log.rows).toBe(COUNT);
	expect(log.rawRows).toBe(COUNT);
	expect(log.notes.filter(({ kind }) => kind !== "unused column")).toEqual([]);
});

test("a pause over midnight tells the order of day and month, for the other order makes a month of it", () => {
	const clock = (minutes: number) => `${two(Math.floor(minutes / 60) % 24)}:${two(minutes % 60)}`;
	const lines = moments.map(({ i, ppm }) => {
		const minutes = 22 * 60 + 43 + 5 * i + (i > 6 ? 75 : 0);
		return `${minutes < 1440 ? "10" : "11"}/01/2027 ${clock(minutes)},${ppm}`;
	});
	const log = readLog(["time,CO2 (ppm)", ...lines].join("\n"));
	expect(log.timesSeconds[39]! - log.timesSeconds[0]!).toBe(60 * (5 * 39 + 75));
	expect(log.gaps).toHaveLength(1);
});

test("an epoch behind a tag is the time without a header too", () => {
	const log = readLog(moments.map((at) => `DATA|${1000 * at.unix}|${at.i % 2}|${at.ppm}\n`).join(""));
	expectTheLog(log);
	expect(log.layout.timeFormat).toBe("Unix milliseconds");
});

test("a header in a comment that comes again is the same header", () => {
	const head = '# "time","CO2 (ppm)","temp (C)"';
	const lines = rows(head, (at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${at.ppm},20.5`).split("\n");
	lines.splice(20, 0, head);
	expectTheLog(readLog(lines.join("\n")));
});

test.each<[string, string, ReadOptions, string]>([
	["elapsed seconds", rows("Elapsed (s),CO2", (at) => `${60 * at.i},${at.ppm}`), {}, "elapsed seconds"],
	["elapsed minutes", rows("time [min];CO2", (at) => `${at.i};${at.ppm}`), {}, "elapsed minutes"],
	[
		"elapsed hours, decimal comma",
		rows("Zeit (h);CO2", (at) => `${(at.i / 60).toFixed(9).replace(".", ",")};${at.ppm}`),
		{},
		"elapsed hours",
	],
	[
		"milliseconds since power-up",
		rows("millis,CO2", (at) => `${60_000 * at.i},${at.ppm}`),
		{},
		"elapsed milliseconds",
	],
	[
		"elapsed h:mm:ss",
		rows("Elapsed,CO2", (at) => `${Math.floor(at.i / 60)}:${two(at.i % 60)}:00,${at.ppm}`),
		{},
		"elapsed h:mm:ss",
	],
	[
		"record numbers, given their distance",
		rows("Record,CO2 (ppm)", (at) => `${at.i + 1},${at.ppm}`),
		{ sampleIntervalSeconds: 60 },
		"record numbers",
	],
	[
		"one column, given the distance of its rows",
		rows("CO2 (ppm)", (at) => `${at.ppm}`),
		{ sampleIntervalSeconds: 60 },
		"one row after the other",
	],
])("reads %s, without a date", (_, text, options, timeFormat) => {
	const log = readLog(text, options);
	expect(log.startUtcSeconds).toBeNull();
	expect([...log.timesSeconds].map((at) => Math.round(at * 1e4) / 1e4)).toEqual(
		moments.map(({ i }) => 60 * i),
	);
	expect([...chamberOf(log).values]).toEqual(moments.map(({ ppm }) => ppm));
	expect(log.layout).toMatchObject({ timeFormat, zone: null, zoneFrom: null });
});

test("a date that is the same in all rows leaves the time to a column of elapsed seconds", () => {
	const log = readLog("date,elapsed_s,co2\n2026-03-10,0,900\n2026-03-10,60,901\n2026-03-10,120,902\n");
	expect([...log.timesSeconds]).toEqual([0, 60, 120]);
	expect(log.layout.timeFormat).toBe("elapsed seconds");
});

test("times of day without a date run on over midnight", () => {
	const log = readLog("time,CO2\n23:58:00,900\n23:59:00,901\n00:00:00,902\n00:01:00,903\n");
	expect([...log.timesSeconds]).toEqual([0, 60, 120, 180]);
	expect(log.layout.timeFormat).toBe("time of day without a date");
});

test("a header of names and units in rows of their own, and what is above it, is told from the data", () => {
	const head = "Logger,XY-3\nSerial,000123\n\nTime,CO2,CO2,Fan\n,Inlet,Chamber,\n,ppm,ppm,on/off";
	const log = readLog(
		rows(
			head,
			(at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,431,${at.ppm},${at.i % 10 === 9 ? "on" : "off"}`,
		),
	);
	expectTheLog(log);
	expect(log.layout).toMatchObject({ preambleLines: 3, headerLines: 3 });
	expect(log.channels.map(({ name, kind, place }) => [name, kind, place])).toEqual([
		["CO2 Inlet ppm", "co2", "intake"],
		["CO2 Chamber ppm", "co2", "chamber"],
		["Fan on/off", "fan", null],
	]);
	expect([...log.channels[2]!.values].slice(8, 11)).toEqual([0, 1, 0]);
});

test("preamble rows of as many fields as the data are no header", () => {
	const log = readLog(
		rows(
			"Serial,000123\nDescription,chamber\nTime,CO2",
			(at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${at.ppm}`,
		),
	);
	expectTheLog(log);
	expect(log.layout).toMatchObject({ preambleLines: 2, headerLines: 1 });
	expect(chamberOf(log).name).toBe("CO2");
});

test("a file without a header is read when only one column can be CO2, and says so", () => {
	const log = readLog(moments.map((at) => `${at.unix},${at.ppm},20.5`).join("\n"));
	expectTheLog(log);
	expect(log.layout.headerLines).toBe(0);
	expect(log.notes.map(({ kind }) => kind)).toEqual(["assumption", "unused column"]);
	expect(chamberOf(log).name).toBe("column 2");
});

test("temperature in °F and humidity in per cent become °C and a share", () => {
	const log = readLog(
		"time,CO2 ppm,Temp (°F),RH (%)\n2026-03-10T08:00Z,900,68,95\n2026-03-10T08:01Z,901,212,100\n",
	);
	expect([...log.channels[1]!.values]).toEqual([20, 100]);
	expect([...log.channels[2]!.values]).toEqual([0.95, 1]);
});

test("event lines, a header that comes again, a trailer and cut rows are told apart, with their lines", () => {
	const at = (minute: number) => `2026-03-10T08:${two(minute)}:00Z`;
	const text = [
		"time,co2,temp", // 1
		`${at(0)},900,20.1`,
		"# door opened", // 3
		`${at(1)},901,20.1`,
		`${at(2)},Button pressed,`, // 5
		`${at(3)},903,20.1`,
		"time,co2,temp", // 7
		`${at(4)},904,20.1`,
		`${at(5)},90`, // 9
		`${at(6)},906,20.1,7`, // 10
		"2026-13-45T99:00:00Z,907,20.1", // 11
		`${at(8)},908,20.1`,
		"", // 13
		`${at(9)},909,20.1`,
		"Mean,904,20.1", // 15
		"End of data", // 16
	].join("\n");
	const log = readLog(text);
	expect(Object.fromEntries(log.notes.map(({ kind, count, lines }) => [kind, [count, lines]]))).toEqual({
		"event line": [3, [3, 5, 7]],
		"malformed row": [3, [9, 10, 11]],
		footer: [2, [15, 16]],
		gap: [2, []],
	});
	expect([...log.lines]).toEqual([2, 4, 6, 8, 12, 14]);
	expect({ rows: log.rows, rawRows: log.rawRows }).toEqual({ rows: 6, rawRows: 9 });
});

test("codes for no value leave a hole, in every channel", () => {
	const codes = ["", "NaN", "--", "N/A", "-999", "65535", "null", "ERR", "0", "-1", "#N/A", "99999999"];
	const text = [
		"time,co2,temp",
		...["900", ...codes, "901"].map(
			(cell, k) => `${k * 60},${cell},${cell === "900" || cell === "901" ? "20" : cell}`,
		),
	];
	const log = readLog(text.join("\n").replace("time", "time (s)"));
	expect([...chamberOf(log).values].map((value) => (Number.isNaN(value) ? null : value))).toEqual([
		900,
		...codes.map(() => null),
		901,
	]);
	expect(log.rows).toBe(2);
	expect(
		log.notes.find((note) => note.kind === "missing value" && note.column.startsWith("co2")),
	).toMatchObject({
		kind: "missing value",
		count: codes.length,
	});
	// 0 and -1 are temperatures.
	expect(
		log.notes.find((note) => note.kind === "missing value" && note.column.startsWith("temp"))!.count,
	).toBe(codes.length - 2);
});

test("rows are sorted stably, and of rows at one instant the first is kept", () => {
	const log = readLog(
		`time,co2\n${["0,900", "2,902", "1,901", "2,999", "2,902", "3,903"].map((row) => `2026-03-10T08:0${row.replace(",", ":00Z,")}`).join("\n")}`,
	);
	expect([...log.timesSeconds]).toEqual([0, 60, 120, 180]);
	expect([...chamberOf(log).values]).toEqual([900, 901, 902, 903]);
	expect([...log.lines]).toEqual([2, 4, 3, 7]);
	const met = Object.fromEntries(log.notes.map(({ kind, lines }) => [kind, lines]));
	expect(met).toMatchObject({ "out of order": [4], "conflicting duplicate": [5], duplicate: [6] });
});

test("a log with its newest row first is turned round", () => {
	const lines = rows("time,CO2", (at) => `${at.y}-${at.mo}-${at.d}T${at.h}:${at.mi}Z,${at.ppm}`)
		.trimEnd()
		.split("\n");
	const log = readLog([lines[0], ...lines.slice(1).reverse()].join("\n"));
	expectTheLog(log);
	expect(log.lines[0]).toBe(COUNT + 1);
	expect(log.notes.map(({ kind, count }) => [kind, count])).toEqual([["out of order", COUNT]]);
});

test.each([
	["dmy", "03/04/2026", "04/04/2026", "day/month/year"],
	["mdy", "04/03/2026", "04/04/2026", "month/day/year"],
])(
	"where no date settles day and month, times that run on over midnight do: %s",
	(_, first, second, timeFormat) => {
		const text = `time,co2\n${first} 23:58,900\n${first} 23:59,901\n${second} 00:00,902\n${second} 00:01,903\n`;
		const log = readLog(text, { zone: "UTC" });
		expect([...log.timesSeconds]).toEqual([0, 60, 120, 180]);
		expect(log.layout.timeFormat).toBe(timeFormat);
		expect(log.notes.map(({ kind }) => kind)).toEqual(["assumption"]);
	},
);

test("a date beyond the twelfth anywhere in the file settles day and month", () => {
	const days = Array.from(
		{ length: 4000 },
		(_, k) => `1/4/2026 ${two(Math.floor(k / 180))}:${two(Math.floor(k / 3) % 60)}:${two(20 * (k % 3))},900`,
	);
	const log = readLog(["time,co2", ...days, "13/4/2026 08:00:00,901"].join("\n"), { zone: "UTC" });
	expect(log.layout.timeFormat).toBe("day/month/year");
	expect(new Date(log.startUtcSeconds! * 1000).toISOString()).toBe("2026-04-01T00:00:00.000Z");
});

test("local times without a zone are read as UTC, and that is said; with the zone they are moved", () => {
	const text = rows("time,CO2", (at) => `${at.y}-${at.mo}-${at.d} ${at.h}:${at.mi},${at.ppm}`);
	const assumed = readLog(text);
	expectTheLog(assumed);
	expect(assumed.notes).toHaveLength(1);
	expect(assumed.notes[0]).toMatchObject({ kind: "assumption", assumed: "UTC" });
	expect(noteWords(assumed.notes[0]!)).toContain("--zone");
	expectTheLog(readLog(text, { zone: "America/New_York" }), START + 4 * 3600);
	expectTheLog(readLog(text, { zone: "UTC-4" }), START + 4 * 3600);
	expect(readLog(text, { zone: "-4" }).layout).toMatchObject({ zone: "-04:00", zoneFrom: "option" });
});

const pair =
	"time,CO2 rack A (ppm),CO2 rack B (ppm)\n2026-03-10T08:00Z,900,1000\n2026-03-10T08:01Z,901,1001\n";

test("several CO2 columns that cannot be told apart are asked for", () => {
	const [fault] = refusalOf(() => readLog(pair));
	expect(fault).toMatchObject({ path: "column" });
	expect(fault!.message).toContain("--column");
	for (const column of ["CO2 rack B (ppm)", "rack b", "column 3"]) {
		const log = readLog(pair, { column });
		expect([...chamberOf(log).values]).toEqual([1000, 1001]);
		expect(log.channels[0]!.place).toBeNull();
		expect(readLog(pair, { column, intake: "rack A" }).channels[0]!.place).toBe("intake");
	}
	expect([...chamberOf(readLog(pair, { intake: "rack A" })).values]).toEqual([1000, 1001]);
});

test.each<[string, string | Uint8Array, ReadOptions, string, string]>([
	["an empty file", "", {}, "data", "empty"],
	["a header alone", "time,co2\n", {}, "data", "no rows of data"],
	["prose", "Dear diary,\nthe mushrooms are well.\n", {}, "data", "no rows of data"],
	[
		"rows without a CO2 value",
		"time,co2\n2026-03-10T08:00Z,NaN\n2026-03-10T08:01Z,\n",
		{},
		"data",
		"usable CO2",
	],
	[
		"a picture",
		Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13, 0, 0, 1, 2]),
		{},
		"encoding",
		"binary",
	],
	["a workbook", Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0, 6, 0]), {}, "encoding", "save the sheet as CSV"],
	["a packed file", Uint8Array.from([0x1f, 0x8b, 8, 0]), {}, "encoding", "unpack"],
	[
		"no CO2 column",
		"time,temp,rh\n2026-03-10T08:00Z,20,90\n2026-03-10T08:01Z,20,90\n",
		{},
		"co2 column",
		"--column",
	],
	["no time", "co2,temp\n900,20\n880,20\n910,21\n", {}, "time column", "--interval"],
	["record numbers alone", "record,co2\n1,900\n2,901\n3,902\n", {}, "time column", "--interval"],
	[
		"CO2 by mass",
		"time,CO2 (mg/m3)\n2026-03-10T08:00Z,1600\n2026-03-10T08:01Z,1601\n",
		{},
		"co2 column",
		"ppm",
	],
	["a column that is not there", pair, { column: "rack C" }, "column", '"CO2 rack A (ppm)"'],
	["a part of two names", pair, { column: "rack" }, "column", "more than one"],
	["one column as both", pair, { column: "rack A", intake: "rack A" }, "intake", "same column"],
	["a zone that is none", pair, { column: "rack A", zone: "Mars/Olympus" }, "zone", "Europe/Berlin"],
	["a zone for elapsed times", "time (s),co2\n0,900\n60,901\n", { zone: "UTC" }, "zone", "no dates"],
	[
		"a distance for rows with times",
		pair,
		{ column: "rack A", sampleIntervalSeconds: 60 },
		"interval",
		"leave --interval out",
	],
	["a distance that is none", "co2\n900\n901\n", { sampleIntervalSeconds: 0 }, "interval", "longer than 0"],
	[
		"elapsed times that begin anew",
		`time (s),co2\n${[0, 60, 120, 180, 0, 60, 120, 180].map((t, k) => `${t},${900 + k}`).join("\n")}`,
		{},
		"time column",
		"split it",
	],
	[
		"dates that contradict each other",
		"time,co2\n13/04/2026 08:00,900\n04/13/2026 08:01,901\n",
		{},
		"date order",
		"--date-order",
	],
	[
		"more broken rows than whole ones",
		"time,co2\n2026-03-10T08:00Z,900\n2026-03-10T08:01Z,900\n2026-03-10T08:02Z,900\n1\n1,2,3\n1,2,3,4\n1,2,3,4,5\n",
		{},
		"rows",
		"4 of 7 rows",
	],
])("refuses %s", (_, text, options, path, words) => {
	const [fault] = refusalOf(() => readLog(text, { ...options, fileName: "a.csv" }));
	expect(fault).toMatchObject({ file: "a.csv", path });
	expect(fault!.message).toContain(words);
});
