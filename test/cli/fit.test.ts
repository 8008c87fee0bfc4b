import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { fitScenario, sampleSeries } from "../reports/fitsample.ts";
import { lullgust } from "./lullgust.ts";
import { folderWith, logText } from "./samplelog.ts";

const scenario = `# A comment that is to stay.\n${fitScenario().text}`;
const day = logText(sampleSeries({ days: 1, trouble: false }));
const known = ["--fix", "leak=0.42/h", "--fix", "lag=75s", "--fix", "offset=0 ppm"];
const folder = (): string => folderWith({ "cabinet.yaml": scenario, "day.csv": day });
const learn = (cwd: string, ...words: string[]) =>
	lullgust(["fit", "day.csv", "--scenario", "cabinet.yaml", ...words], { cwd });

test("fit gives the result first, then the parameters, what is not determined, the next test and what to write", () => {
	const { code, stdout, stderr } = learn(folder());
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toMatch(/^This log determines .*delivered flow/);
	for (const part of [
		/^parameter +value +SE +95 % +scenario +determined$/m,
		/^delivered flow +5\d(\.\d+)? m³\/h +[\d.]+ +[\d.]+ % +[\d.]+ to [\d.]+ +70 m³\/h +yes$/m,
		/^SE is one standard error/m,
		/^What this log does not determine\n- Leakage\. CO₂ output and leakage are strongly/m,
		/^Next test: leak test\./m,
		/^ {2}lullgust fit decay\.csv --test decay --scenario cabinet\.yaml$/m,
		/^ {2}fan\.flow: [\d.]+ m3\/h ±[\d.]+ %$/m,
	])
		expect(stdout).toMatch(part);
	expect(stdout).not.toContain("\u001b");
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test("--quiet prints only the result", () => {
	const cwd = folder();
	const short = learn(cwd, "--quiet").stdout;
	expect(short.split("\n").length).toBeLessThan(9);
	expect(learn(cwd).stdout.startsWith(short)).toBe(true);
});

test("known values are fixed, however many, and so the others are determined better", () => {
	const cwd = folder();
	const free = JSON.parse(learn(cwd, "--json").stdout);
	const held = JSON.parse(learn(cwd, "--json", ...known).stdout);
	const of = (answer: typeof free, name: string) =>
		answer.parameters.find((one: { name: string }) => one.name === name);
	for (const name of ["leak", "response", "offset"]) expect(of(held, name).status).toBe("fixed");
	expect(of(held, "response").value).toBe(75);
	expect(of(held, "generation").standardError).toBeLessThan(of(free, "generation").standardError / 3);
	const commas = JSON.parse(learn(cwd, "--json", "--fix", "leak=0.42/h,response=75 s,offset=0ppm").stdout);
	expect(commas.parameters).toEqual(held.parameters);
});

test("--json keeps its field names and leaves the samples to --csv", () => {
	const { code, stdout, stderr } = learn(folder(), "--json");
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
	const answer = JSON.parse(stdout);
	expect(answer).toMatchObject({
		format: "lullgust/fit@3",
		scenario: { name: "Two-shelf oyster cabinet", file: "cabinet.yaml" },
		log: {
			fileName: "day.csv",
			column: "CO2 (ppm)",
			sampleIntervalSeconds: 60,
			exclusions: expect.any(Array),
		},
		residuals: {
			used: expect.any(Number),
			effectiveSampleSize: expect.any(Number),
			rmsPpm: expect.any(Number),
		},
		test: "log",
		scheduleName: "usual",
		respirationRate: { value: expect.any(Number) },
	});
	expect(answer).not.toHaveProperty("curve");
	expect(answer.residuals).not.toHaveProperty("ppm");
	expect(stdout.length).toBeLessThan(40_000);
});

test("--csv has a line a sample with log, model, residual and fan", () => {
	const cwd = folder();
	expect(learn(cwd, "--csv", "curve.csv", ...known).code).toBe(0);
	const [head, ...rows] = readFileSync(join(cwd, "curve.csv"), "utf8").trimEnd().split("\n");
	expect(head).toBe("time_s,utc,logged_ppm,sensor_model_ppm,chamber_model_ppm,residual_ppm,excluded,fan_s");
	expect(rows).toHaveLength(1441);
	expect(rows[0]).toMatch(/^0,2026-03-10T07:12:00\.000Z,[\d.]+,[\d.]+,[\d.]+,-?[\d.]+,,0$/);
	for (const row of rows.slice(0, 50)) {
		const [, , logged, sensor, , residual] = row.split(",").map(Number) as number[];
		// Three columns of two decimals.
		expect(Math.abs(logged! - sensor! - residual!)).toBeLessThan(0.0151);
	}
	// Bursts of 12 s between samples 60 s apart are all counted.
	const ran = rows.map((row) => Number(row.split(",").at(-1)));
	expect(ran.reduce((sum, seconds) => sum + seconds, 0)).toBeCloseTo(144 * 12, 0);
	expect(ran.filter((seconds) => seconds > 0).length).toBeLessThan(200);
});

describe("--update", () => {
	test("writes what the log determines with its range, the log and the log's last day, and nothing else", () => {
		const cwd = folder();
		const { code, stdout } = learn(cwd, ...known, "--update", "cabinet.yaml");
		expect(code).toBe(0);
		expect(stdout).toMatch(/\nWrote cabinet\.yaml\.\n$/);
		const after = readFileSync(join(cwd, "cabinet.yaml"), "utf8");
		const [before, changed] = [scenario, after].map((text) => text.split("\n"));
		// One line more: how the errors go together.
		expect(changed).toHaveLength(before!.length + 1);
		const lines = changed!.filter((line) => !before!.includes(line));
		expect(lines).toHaveLength(5);
		expect(lines.find((line) => line.startsWith("correlations"))).toMatch(
			/^correlations: \[\{ between: \[fan\.flow, "substrate\[0\]\.rate"\], matrix: \[\[1\], \[-?0\.\d+, 1\]\], fitted: day\.csv, on: 2026-03-11 \}\] {2}# correlated errors of the fit; choose draws with them$/,
		);
		expect(lines[1]).toMatch(
			/^substrate: .* mass: 8 kg, rate: \{ value: 1\d\d(\.\d+)? mg\/\(kg h\) ±[\d.]+ %, fitted: day\.csv, on: 2026-03-11 \}, volume: 12 L, reference: \{ value: 17 C, fitted: day\.csv, on: 2026-03-11 \} \}$/,
		);
		expect(lines[2]).toMatch(
			/^fan: \{ flow: \{ value: 5\d(\.\d+)? m3\/h ±[\d.]+ %, fitted: day\.csv, on: 2026-03-11 \} \}$/,
		);
		// A fixed value is no finding, and says so.
		expect(lines[0]).toContain(
			"leak: { value: 0.42 /h, source: given for the fit of day.csv, on: 2026-03-11 }",
		);
		// The file is a scenario still.
		const { stdout: again } = lullgust(["compare", "cabinet.yaml", "--json"], { cwd });
		expect(JSON.parse(again).inputs.find(({ path }: { path: string }) => path === "fan.flow").origin).toEqual(
			{
				kind: "fitted",
				log: "day.csv",
				on: "2026-03-11",
			},
		);
	});

	test("with --days writes the respiration of the last whole day, and says so in the file", () => {
		const cwd = folderWith({
			"cabinet.yaml": scenario,
			"day.csv": logText(sampleSeries({ days: 3, trouble: false })),
		});
		const { code, stdout } = learn(
			cwd,
			...known,
			"--days",
			"--zone",
			"Europe/Berlin",
			"--update",
			"cabinet.yaml",
		);
		expect(code).toBe(0);
		expect(stdout).toMatch(/^ {2}day 3 · 2026-03-12 +0\.\d+ L\/h/m);
		expect(readFileSync(join(cwd, "cabinet.yaml"), "utf8")).toMatch(
			/rate: \{ value: [\d.]+ mg\/\(kg h\) ±[\d.]+ %, fitted: "day\.csv, last whole day, 2026-03-12", on: 2026-03-13 \}/,
		);
	});

	test("leaves the file alone when something else is wrong", () => {
		const cwd = folder();
		for (const words of [
			["--html", "nowhere/fit.html"],
			["--fix", "leak=3 kg"],
			["--free", "fog"],
		])
			expect(learn(cwd, ...words, "--update", "cabinet.yaml").code).toBe(2);
		expect(readFileSync(join(cwd, "cabinet.yaml"), "utf8")).toBe(scenario);
		expect(readdirSync(cwd).sort()).toEqual(["cabinet.yaml", "day.csv"]);
	});

	test("names the scenario that the log was fitted with, and no other", () => {
		expect(learn(folder(), "--update", "other.yaml")).toMatchObject({
			code: 2,
			stderr:
				"--update names other.yaml, but the log was fitted with cabinet.yaml; use the same file for both\n",
		});
	});
});

test("a report and a picture are written beside what is printed", () => {
	const cwd = folder();
	const { code, stdout } = learn(cwd, ...known, "--html", "fit.html", "--svg", "fit.svg");
	expect(code).toBe(0);
	expect(stdout).toMatch(/\nWrote fit\.html, fit\.svg\.\n$/);
	const page = readFileSync(join(cwd, "fit.html"), "utf8");
	expect(page).toMatch(/<p class="word">(\d OF \d )?DETERMINED<\/p>/);
	expect(page).toContain("Table of the estimates");
	expect(readFileSync(join(cwd, "fit.svg"), "utf8")).toMatch(/^<svg /);
	expect(learn(cwd, "--html", "fit.html")).toMatchObject({
		code: 2,
		stderr: "fit.html: exists already; --force replaces it\n",
	});
});

test("the log may come from standard input, and then its name says so", () => {
	const cwd = folder();
	const { code, stdout } = lullgust(["fit", "-", "--scenario", "cabinet.yaml", "--json", ...known], {
		cwd,
		input: day,
	});
	expect(code).toBe(0);
	expect(JSON.parse(stdout).log.fileName).toBe("standard input");
	expect(lullgust(["fit", "-", "--scenario", "-"], { cwd, input: day })).toMatchObject({
		code: 2,
		stderr: "log and scenario cannot both come from standard input\n",
	});
});

test("a log that determines nothing exits with 1, and --update says why it writes nothing", () => {
	const cwd = folder();
	// Nothing rises in a chamber that stays at the level of its intake.
	const flat = Array.from({ length: 40 }, (_, i) => `${i * 60},${480 + ((i * 7) % 5)}`).join("\n");
	writeFileSync(join(cwd, "flat.csv"), `seconds,CO2 (ppm)\n${flat}\n`);
	const { code, stdout } = lullgust(
		["fit", "flat.csv", "--scenario", "cabinet.yaml", "--test", "decay", "--update", "cabinet.yaml"],
		{ cwd },
	);
	expect(code).toBe(1);
	expect(stdout).toMatch(/^This log determines none of the values sought\. It does not determine leakage\./);
	expect(stdout.replace(/\n +/g, " ")).toContain(
		"cabinet.yaml: not written, because this log determines no value",
	);
	expect(readFileSync(join(cwd, "cabinet.yaml"), "utf8")).toBe(scenario);
});

test.each([
	["--fix leak", '--fix needs a name and a value such as leak=0.3/h, got "leak"'],
	[
		"--keep fog",
		'--keep needs one of missing, clipped, warm-up, stuck, door opening, outlier, baseline step, got "fog"',
	],
	[
		"--phase 25:00",
		'--phase needs a time of day such as 08:15, or a time from the first sample such as 40s, got "25:00"',
	],
	["--warm-up 3kg", '--warm-up needs a time such as "4 s" or "3 min 56 s", got "3kg"'],
	["--interval 0s", '--interval needs a time such as "4 s" or "3 min 56 s", got "0s"'],
	["--test fog", '--test must be one of "log", "rise", "decay", "bursts", got "fog"'],
	["--date-order ymd", '--date-order must be one of "dmy", "mdy", got "ymd"'],
	["--html day.csv", "day.csv: is the input itself; give another name"],
])("wrong usage: fit day.csv %s", (words, complaint) => {
	expect(learn(folder(), ...words.split(" "))).toEqual({ code: 2, stdout: "", stderr: `${complaint}\n` });
});

test("the scenario is asked for, and files that are none are named", () => {
	const cwd = folder();
	expect(lullgust(["fit", "day.csv"], { cwd }).stderr).toBe(
		'fit needs --scenario; see "lullgust fit --help"\n',
	);
	expect(lullgust(["fit", ".", "--scenario", "cabinet.yaml"], { cwd }).stderr).toBe(
		".: is a folder, not a file\n",
	);
	expect(lullgust(["fit", "nope.csv", "--scenario", "cabinet.yaml"], { cwd }).stderr).toBe(
		"nope.csv: no such file\n",
	);
});
