import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { scenarioText } from "../reports/sample.ts";
import { emptyFolder, lullgust } from "./lullgust.ts";

test("without a scenario the lesson is about an invented chamber, in the terminal too", () => {
	const { code, stdout, stderr } = lullgust(["lesson"]);
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toMatch(
		/^Why short bursts can stand in for continuous flow\n\nA chamber invented for this lesson/,
	);
	for (const number of [1, 2, 3, 4, 5, 6, 7]) expect(stdout).toMatch(new RegExp(`^${number} {2}[A-Z]`, "m"));
	expect(stdout).toContain("What do you think?");
	expect(stdout).not.toContain("\u001b");
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test("with a scenario it has the scenario's own figures, and writes page and worksheets", () => {
	const cwd = emptyFolder();
	writeFileSync(join(cwd, "cabinet.yaml"), scenarioText());
	const { code, stdout } = lullgust(
		[
			"lesson",
			"cabinet.yaml",
			"--html",
			"lesson.html",
			"--worksheet",
			"sheets.html",
			"--pupils",
			"3",
			"--seed",
			"10",
		],
		{ cwd },
	);
	expect(code).toBe(0);
	expect(stdout).toContain("“Two-shelf oyster cabinet”");
	expect(stdout).toContain("Wrote lesson.html, sheets.html.");
	const page = readFileSync(join(cwd, "lesson.html"), "utf8");
	expect(page).toContain("short and often");
	expect(Buffer.byteLength(page)).toBeLessThan(1_200_000);
	const sheets = readFileSync(join(cwd, "sheets.html"), "utf8");
	expect([...sheets.matchAll(/Sheet (\d+): bursts of air/g)].map((match) => match[1])).toEqual([
		"10",
		"11",
		"12",
	]);
	expect(sheets).toContain("Answers to sheet 12");
	expect(lullgust(["lesson", "--html", "lesson.html"], { cwd })).toEqual({
		code: 2,
		stdout: "",
		stderr: "lesson.html: exists already; --force replaces it\n",
	});
});

test("the same seed gives the same sheet; us units are feet and cfm", () => {
	const sheet = (...words: string[]) => lullgust(["lesson", "--worksheet", "-", ...words]).stdout;
	expect(sheet("--seed", "4")).toBe(sheet("--seed", "4"));
	expect(sheet("--seed", "4")).not.toBe(sheet("--seed", "5"));
	expect(sheet("--units", "us")).toContain("cfm");
	expect(sheet()).not.toContain("cfm");
});

test("--json is plain numbers with their unit in the name, and no NaN", () => {
	const { code, stdout, stderr } = lullgust(["lesson", "--json"]);
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
	const answer = JSON.parse(stdout);
	expect(answer).toMatchObject({
		format: "lullgust/lesson@2",
		isInvented: true,
		notes: [{ code: "invented", message: expect.stringContaining("invented") }],
		ceilingPpm: 1000,
		bucket: { continuousPpm: expect.closeTo(920, 6) },
		maxOffTime: { isFeasible: true, maxOffSeconds: expect.closeTo(835.2, 6) },
	});
	expect(Array.isArray(answer.equalAir.cycles[0].curve.co2Ppm)).toBe(true);
});

test("a scenario may lack schedules and come from standard input", () => {
	const text = scenarioText().replace(/^schedules:[\s\S]*/m, "");
	const { code, stdout } = lullgust(["lesson", "-"], { input: text });
	expect(code).toBe(0);
	expect(stdout).toContain("makes one up");
});

test.each([
	["--seed x", '--seed needs a whole number, 0 or more, got "x"\n'],
	["--seed=-1 --worksheet s.html", '--seed needs a whole number, 0 or more, got "-1"\n'],
	[
		"--pupils 0 --seed 1.5",
		'--seed needs a whole number, 0 or more, got "1.5"\n--pupils needs a whole number from 1 to 1000, got "0"\n',
	],
	["--pupils 1001 --worksheet s.html", '--pupils needs a whole number from 1 to 1000, got "1001"\n'],
	["--pupils 3", "--seed and --pupils are for worksheets; give --worksheet a file name too\n"],
	["nowhere.yaml", "nowhere.yaml: no such file\n"],
])("wrong usage: lesson %s", (line, complaint) => {
	const cwd = emptyFolder();
	expect(lullgust(["lesson", ...line.split(" ")], { cwd })).toEqual({
		code: 2,
		stdout: "",
		stderr: complaint,
	});
	expect(readdirSync(cwd)).toEqual([]);
});
