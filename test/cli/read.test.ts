import { spawnSync } from "node:child_process";
import { closeSync, openSync, statSync, writeFileSync, writeSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { emptyFolder, lullgust, main } from "./lullgust.ts";

const log = (name: string): string => `fixtures/logs/${name}`;

test("read shows layout, times, columns, gaps, what was met with its lines, and what a fit leaves out", () => {
	const { code, stdout, stderr } = lullgust(["read", log("09_gaps_dupes_order.csv")]);
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(
		stdout,
	).toBe(`fixtures/logs/09_gaps_dupes_order.csv: 50 CO₂ readings, one every 1 min, over 59 min, from 10 Mar
2026 08:00 to 10 Mar 2026 08:59.
Layout: UTF-8, comma between values, decimal point; a header; 56 data lines, left out 1 line: 1
duplicate.
Time: ISO 8601 in UTC; UTC, as the file says.

column  name     content       unit in the file  readings      min   median       max
     2  co2_ppm  CO₂, chamber  ppm                     50  791 ppm  874 ppm  1044 ppm

Gaps (not filled in)
- 6 min after 10 Mar 2026 08:04
- 6 min after 10 Mar 2026 08:19

Notes on the file
- 1 row is out of order; sorted by time (line 43)
- 1 row repeats another row exactly; left out (line 33)
- "co2_ppm" has no usable value in 5 rows (lines 7, 8, 9, 10, 11)

Excluded from a fit
- missing, 5 readings: no usable value in the file; at 10 Mar 2026 08:05 (lines 7 to 11)
`);
});

test("read says which columns it took, what is clipped, and why a fan column is of no use", () => {
	const two = lullgust(["read", log("17_two_channels_fan.csv")]);
	expect(two.code).toBe(0);
	expect(two.stdout).toContain("CO2 inlet (ppm)    CO₂, intake ");
	expect(two.stdout).toContain("CO2 chamber (ppm)  CO₂, chamber");
	expect(two.stdout.replace(/\n {2}/g, " ")).toContain("never shows the fan on");
	expect(lullgust(["read", log("10_clipped_5000.csv")]).stdout).toContain(
		"- clipped, 8 readings: at the sensor limit of 5000 ppm",
	);
});

test("a zone that nobody tells is assumed aloud, and --zone settles it", () => {
	expect(lullgust(["read", log("04_eu_semicolon_latin1.csv")]).stdout).toContain("UTC, assumed.");
	const told = lullgust(["read", log("08_clock_change_local.csv"), "--zone", "Europe/Berlin"]);
	expect(told.stdout).toContain("Europe/Berlin, as given by --zone.");
	expect(told.stdout).toContain("20 rows are in the second of two hours");
	// Where the log shows that its clock changed, no zone is assumed.
	const untold = lullgust(["read", log("08_clock_change_local.csv")]);
	expect(untold).toMatchObject({ code: 2, stdout: "" });
	expect(untold.stderr).toMatch(
		/^fixtures\/logs\/08_clock_change_local\.csv:22 zone: lines 22 to 41 show 2026-10-25 02:00 to 02:57 once more, .*--zone Europe\/Berlin/,
	);
});

test("--json prints the whole reading", () => {
	const { code, stdout } = lullgust(["read", log("10_clipped_5000.csv"), "--json"]);
	expect(code).toBe(0);
	expect(JSON.parse(stdout)).toMatchObject({
		format: "lullgust/log@2",
		startUtcSeconds: Date.UTC(2026, 2, 10, 8) / 1000,
		sampleIntervalSeconds: 60,
		rows: 90,
		rawRows: 90,
		layout: { delimiter: ",", zone: "UTC" },
		channels: [{ name: "co2_ppm", column: 1, kind: "co2", place: "chamber", count: 90, min: 783, max: 5000 }],
		exclusions: [
			{
				reason: "clipped",
				count: 8,
				limitPpm: 5000,
				message: "at the sensor limit of 5000 ppm, in runs of 3 or more; no reading is higher",
			},
		],
		warnings: [],
	});
});

test.each([
	[
		[log("15_ambiguous_dmy.csv")],
		"date order: the dates fit both day-first and month-first order; choose --date-order dmy or --date-order mdy",
	],
	[[log("20_empty.csv")], "data: the file is empty"],
	[
		[log("01_iso_utc.csv"), "--column", "co3"],
		'column: no column is called "co3"; there are "co2_ppm", "temp_c", "rh_pct"',
	],
	[
		[log("01_iso_utc.csv"), "--zone", "Mars"],
		'zone: needs a time zone such as "Europe/Berlin", "UTC" or "+01:00", got "Mars"',
	],
])("read %s is refused with exit code 2 and the way out", (words, fault) => {
	expect(lullgust(["read", ...words])).toEqual({ code: 2, stdout: "", stderr: `${words[0]} ${fault}\n` });
});

test("a missing file and a wrong distance are said as everywhere", () => {
	expect(lullgust(["read", "nowhere.csv"])).toEqual({
		code: 2,
		stdout: "",
		stderr: "nowhere.csv: no such file\n",
	});
	const { code, stderr } = lullgust(["read", log("05_elapsed_tab.txt"), "--interval", "60"]);
	expect(code).toBe(2);
	expect(stderr).toContain("--interval needs a time such as");
});

test("--date-order, --interval and standard input are taken", () => {
	const dated = lullgust(["read", log("15_ambiguous_dmy.csv"), "--date-order", "mdy", "--json"]);
	expect(JSON.parse(dated.stdout).startUtcSeconds).toBe(Date.UTC(2026, 3, 5, 8) / 1000);
	const piped = lullgust(["read", "-", "--interval", "30s", "--json"], { input: "co2\n900\n905\n911\n" });
	expect(JSON.parse(piped.stdout)).toMatchObject({
		fileName: "standard input",
		sampleIntervalSeconds: 30,
		rows: 3,
	});
});

test("a file of 120 MB passes through in bounded memory, its samples not kept", () => {
	const path = join(emptyFolder(), "long.csv");
	const file = openSync(path, "w");
	const rows = 60_000;
	const pieces = 66;
	for (let piece = 0; piece < pieces; piece++) {
		let text = piece === 0 ? "unix_time,co2_ppm,temp_c,rh_pct\n" : "";
		for (let i = piece * rows; i < (piece + 1) * rows; i++)
			text += `${1_770_000_000 + i},${800 + (i % 400)},20.${10 + (i % 90)},9${i % 10}.1\n`;
		writeSync(file, text);
	}
	closeSync(file);
	const probe = join(emptyFolder(), "probe.mjs");
	// The system's own peak (maxRSS) begins with what the process that started this one holds: sample instead.
	writeFileSync(
		probe,
		[
			"let peak = 0;",
			"const look = () => { peak = Math.max(peak, process.memoryUsage.rss()); };",
			"setInterval(look, 10).unref();",
			'process.on("exit", () => { look(); console.error("peak", peak); });',
			"process.argv.splice(1, 1);",
			`await import(${JSON.stringify(`file://${main}`)});`,
		].join("\n"),
	);
	const { status, stdout, stderr } = spawnSync(process.execPath, [probe, main, "read", path, "--json"], {
		encoding: "utf8",
	});
	expect(status).toBe(0);
	expect(JSON.parse(stdout)).toMatchObject({
		rows: rows * pieces,
		sampleIntervalSeconds: 1,
		durationSeconds: rows * pieces - 1,
		gapCount: 0,
		exclusions: null,
		channels: [{ min: 800, max: 1199 }, { min: 20.1, max: 20.99 }, {}],
	});
	const [, peak] = /^peak (\d+)$/m.exec(stderr) ?? [];
	expect(statSync(path).size).toBeGreaterThan(100e6);
	// In bytes; 1 GB takes no more.
	expect(Number(peak)).toBeGreaterThan(50e6);
	expect(Number(peak)).toBeLessThan(300e6);
});
