import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { emptyFolder, lullgust } from "./lullgust.ts";
import { cabinet, strict } from "./scenarios.ts";

function folderWith(text: string): string {
	const cwd = emptyFolder();
	writeFileSync(join(cwd, "cabinet.yaml"), text);
	return cwd;
}

test("compare answers in a sentence, then in figures, and exits with 0 when a schedule holds", () => {
	const { code, stdout, stderr } = lullgust(["compare", "cabinet.yaml"], { cwd: folderWith(cabinet) });
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toMatch(/^Yes\. Only “often” keeps the CO₂ peak under the 1200 ppm ceiling: \d+ ppm, with/);
	expect(stdout).toMatch(
		/^schedule +peak +mean +trough +ripple +above ceiling +fresh air +bursts +headroom +meets\n.* target$/m,
	);
	expect(stdout).toMatch(/^rarely .+ × 0\.\d\d +✗ no$/m);
	expect(stdout).toMatch(/^often .+ × 1\.\d\d +✓ yes$/m);
	expect(stdout).toMatch(
		/Headroom is the factor by which CO₂ output can grow[\s\S]+longest\s+possible\s+off-time\s+in\s+this\s+chamber\s+is\s+\d+\s+min/,
	);
	expect(stdout.replace(/\s+/g, " ")).toMatch(
		/“rarely” has an off-time of 59 min\. With any fan, the longest possible off-time in this chamber is [\d hmins]+\./,
	);
	expect(stdout).not.toContain("\u001b");
});

test("compare exits with 1 when no schedule holds", () => {
	const { code, stdout } = lullgust(["compare", "cabinet.yaml", "--quiet"], { cwd: folderWith(strict) });
	expect(code).toBe(1);
	expect(stdout).toMatch(
		/^No\. None of the 2 schedules keeps the CO₂ peak under the 700 ppm ceiling\. The closest is “often”/,
	);
	expect(
		stdout
			.trim()
			.split("\n")
			.every((line) => line.length <= 100),
	).toBe(true);
});

test("--quiet prints only the verdict", () => {
	const cwd = folderWith(cabinet);
	const verdict = lullgust(["compare", "cabinet.yaml", "--quiet"], { cwd }).stdout;
	expect(lullgust(["compare", "cabinet.yaml"], { cwd }).stdout.startsWith(verdict)).toBe(true);
	expect(verdict).not.toContain("schedule ");
});

test("a name too long for the terminal is shortened, and no line is wider than 100 columns", () => {
	const long = "the way the old timer behind the second shelf was set before it was moved";
	const { stdout } = lullgust(["compare", "cabinet.yaml"], {
		cwd: folderWith(cabinet.replace("rarely", long)),
	});
	expect(stdout).toMatch(/^the way the old t\S*… .+ ✗ no$/m);
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test("with a stagnant zone and a sensor the terminal names the zones of both", () => {
	const text = cabinet
		.replace("leak: 0.3 /h,", "leak: 0.3 /h, stagnant: { share: 30 %, source: 80 %, exchange: 5 m3/h },")
		.replace("target:", "sensor: { response: 60 s, zone: mixed }\ntarget:");
	const { stdout } = lullgust(["compare", "cabinet.yaml"], { cwd: folderWith(text) });
	expect(stdout).toMatch(/ ppm\s+in\s+the\s+stagnant\s+zone,\s+with\s/);
	expect(stdout).toMatch(/^CO₂ where the crop stands: stagnant zone\nschedule/m);
	expect(stdout).toMatch(/^As the sensor shows it, in the mixed zone\nschedule +peak +mean$/m);
});

test("--units us shows the air in cubic feet and leaves ppm, JSON and CSV alone", () => {
	const cwd = folderWith(cabinet);
	const si = lullgust(["compare", "cabinet.yaml"], { cwd }).stdout;
	const us = lullgust(["compare", "cabinet.yaml", "--units", "us"], { cwd }).stdout;
	// 70 m3/h for 4 s in 240 s: 28 m3 a day.
	expect(si).toContain("28 m³");
	expect(us).toContain("988.8 ft³");
	for (const format of [["--json"], ["--csv", "-"]])
		expect(lullgust(["compare", "cabinet.yaml", "--units", "us", ...format], { cwd }).stdout).toBe(
			lullgust(["compare", "cabinet.yaml", ...format], { cwd }).stdout,
		);
});

test("--json keeps its field names", () => {
	const { code, stdout } = lullgust(["compare", "-", "--json"], { input: cabinet });
	expect(code).toBe(0);
	const answer = JSON.parse(stdout);
	expect(answer).toMatchObject({
		format: "lullgust/comparison@2",
		scenario: { name: "Test cabinet", file: "standard input" },
		isMet: true,
		best: "often",
		closest: null,
	});
	expect(Object.keys(answer)).toEqual([
		"format",
		"scenario",
		"isMet",
		"best",
		"closest",
		"ties",
		"maxOffSeconds",
		"highRespiration",
		"schedules",
		"inputs",
		"warnings",
	]);
	expect(Object.keys(answer.schedules[0]).sort()).toMatchInlineSnapshot(`
		[
		  "airChangesPerBurst",
		  "airChangesPerHour",
		  "basis",
		  "belowFloorPercent",
		  "belowFloorSecondsPerHour",
		  "burstsPerDay",
		  "continuousPpm",
		  "criterion",
		  "exceedancePercent",
		  "exceedanceSecondsPerHour",
		  "firstExceedanceSeconds",
		  "freshAirM3PerDay",
		  "inWords",
		  "infiltrationM3PerDay",
		  "maxHourlyMeanPpm",
		  "meanPenaltyPpm",
		  "meanPpm",
		  "name",
		  "noPeriodicState",
		  "peakPenaltyPpm",
		  "peakPpm",
		  "replacedFraction",
		  "ripplePpm",
		  "schedule",
		  "sensor",
		  "settlingSeconds",
		  "troughPpm",
		  "water",
		  "windowFromSeconds",
		  "windowSeconds",
		  "zone",
		]
	`);
	expect(Object.keys(answer.schedules[0].criterion).sort()).toMatchInlineSnapshot(`
		[
		  "ceilingPpm",
		  "floorPpm",
		  "headroomFactor",
		  "isMet",
		  "statistic",
		  "valuePpm",
		]
	`);
	for (const warning of answer.warnings)
		expect(warning).toMatchObject({ code: expect.any(String), message: expect.stringMatching(/\.$/) });
	expect(answer.inputs.find((input: { path: string }) => input.path === "chamber.volume")).toEqual({
		path: "chamber.volume",
		value: 0.42,
		low: null,
		high: null,
		unit: "m3",
		text: "420 L",
		origin: { kind: "given", line: 2, column: 20 },
	});
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
});

test("--csv writes a line a schedule with its units in the head", () => {
	const cwd = folderWith(cabinet.replace("rarely", '"=rare, and \\"long\\""'));
	const { code, stdout } = lullgust(["compare", "cabinet.yaml", "--csv", "all.csv", "--quiet"], { cwd });
	expect(code).toBe(0);
	expect(stdout).toMatch(/^Yes\./);
	const [head, first, second, ...rest] = readFileSync(join(cwd, "all.csv"), "utf8").split("\n");
	expect(head).toBe(
		"schedule,in_words,is_met,statistic,value_ppm,ceiling_ppm,floor_ppm,headroom_factor,peak_ppm,mean_ppm,trough_ppm,ripple_ppm," +
			"max_hourly_mean_ppm,exceedance_seconds_per_hour,exceedance_percent,below_floor_seconds_per_hour,below_floor_percent," +
			"first_exceedance_seconds,settling_seconds,bursts_per_day,air_changes_per_burst,replaced_fraction,air_changes_per_hour," +
			"fresh_air_m3_per_day,infiltration_m3_per_day,continuous_ppm,mean_penalty_ppm,peak_penalty_ppm,sensor_peak_ppm," +
			"sensor_mean_ppm,sensor_trough_ppm,zone,basis,window_from_seconds,window_seconds",
	);
	// A name that a spreadsheet would run as a formula is kept a text.
	expect(first).toMatch(/^"'=rare, and ""long""",/);
	expect(second).toMatch(/^often,"4 s on, [^"]+",true,peak,/);
	expect(second!.replace(/"[^"]*"/, "").split(",")).toHaveLength(head!.split(",").length);
	expect(rest).toEqual([""]);
});

test("--html and --svg write whole files, and a report is worded as the terminal is", () => {
	const cwd = folderWith(cabinet);
	const { code, stdout } = lullgust(["compare", "cabinet.yaml", "--html", "r.html", "--svg", "r.svg"], {
		cwd,
	});
	expect(code).toBe(0);
	expect(stdout).toContain("Wrote r.html, r.svg.");
	const page = readFileSync(join(cwd, "r.html"), "utf8").replaceAll("\u00a0", " ");
	expect(page).toMatch(/^<!doctype html>/i);
	expect(page).toContain("Only “often” keeps the CO₂ peak under the 1200 ppm ceiling");
	expect(page).toContain("</html>");
	expect(readFileSync(join(cwd, "r.svg"), "utf8")).toMatch(/^<svg[\s\S]*<\/svg>\s*$/);
	expect(readdirSync(cwd).sort()).toEqual(["cabinet.yaml", "r.html", "r.svg"]);
});

test("all faults of a scenario come at once, one a line, with their places", () => {
	const cwd = folderWith(
		cabinet.replace("420 L", "420 kg").replace("70 m3/h", "NaN m3/h").replace("leak:", "leek:"),
	);
	const { code, stdout, stderr } = lullgust(["compare", "cabinet.yaml", "--html", "r.html"], { cwd });
	expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
	const lines = stderr.trimEnd().split("\n");
	expect(lines).toHaveLength(3);
	for (const line of lines) expect(line).toMatch(/^cabinet\.yaml:\d+:\d+ /);
	expect(stderr).toContain("chamber.volume");
	expect(stderr).toContain('did you mean "leak"?');
	expect(readdirSync(cwd)).toEqual(["cabinet.yaml"]);
});

test.each([
	["an empty file", ""],
	["on + off = 0", cabinet.replace("on: 4 s, off: 236 s", "on: 0 s, off: 0 s")],
	["a substrate bigger than the chamber", cabinet.replace("mass: 8 kg", "mass: 8 kg, volume: 500 L")],
	["a schedule name twice", cabinet.replace("rarely:", "often:")],
	["an unknown species", cabinet.replace("oyster", "oistre")],
	["__proto__ as a key", `${cabinet}__proto__: { x: 1 }\n`],
	["an infinite value", cabinet.replace("70 m3/h", ".inf")],
	[
		"anchors that explode",
		`a: &a [1,1,1,1,1,1,1,1,1]\n${[..."bcdefgh"].map((x, i) => `${x}: &${x} [${`*${"abcdefg"[i]},`.repeat(9)}]`).join("\n")}\n`,
	],
])("%s is one clear line each, exit 2, nothing written", (_, text) => {
	const cwd = folderWith(text);
	const { code, stdout, stderr } = lullgust(
		["compare", "cabinet.yaml", "--html", "r.html", "--csv", "r.csv"],
		{ cwd },
	);
	expect({ code, stdout }).toEqual({ code: 2, stdout: "" });
	expect(stderr).toMatch(/^(cabinet\.yaml(:\d+:\d+)?:? .+\n)+$/);
	expect(stderr).not.toMatch(/\bat .+:\d+:\d+\)?\n|internal error/);
	expect(readdirSync(cwd)).toEqual(["cabinet.yaml"]);
});

test("a ceiling below the intake air is an answer with its way out, exit 1", () => {
	const cwd = folderWith(cabinet.replace("1200 ppm", "400 ppm"));
	const { code, stdout } = lullgust(["compare", "cabinet.yaml"], { cwd });
	expect(code).toBe(1);
	expect(stdout.replace(/\s+/g, " ")).toMatch(
		/^No\. None of the 2 schedules .* The intake air has \d+ ppm and the ceiling is 400 ppm, so no schedule meets the target\. Draw in fresher air, or raise the ceiling\./,
	);
	expect(stdout).not.toMatch(/-\d|longest possible off-time/);
});

test("names reach the terminal without their control characters and the page as text", () => {
	const cwd = folderWith(cabinet.replace("often", '"<script>alert(1)</script>\\e[31m"'));
	const { stdout } = lullgust(["compare", "cabinet.yaml", "--html", "r.html"], { cwd });
	expect(stdout).toContain("<script>alert(1)</script>\\u001b[31m");
	expect(stdout).not.toContain("\u001b");
	expect(readFileSync(join(cwd, "r.html"), "utf8")).not.toContain("<script>alert(1)");
});
