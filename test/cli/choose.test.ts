import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { emptyFolder, lullgust } from "./lullgust.ts";

/** Invented; an instant fan, so that the search is quick; respiration and flow are only roughly known. */
const cabinet = `name: Test cabinet
chamber: { volume: 420 L, leak: 0.3 /h, temperature: 17 C }
intake: { co2: 480 ppm }
substrate: { species: oyster, mass: 8 kg, rate: 100..220 mg/(kg h), reference: 17 C, volume: 12 L }
fan: { flow: 70 m3/h ±10 % }
timer: { ranges: [1..999 s by 1 s], power-up: on, operations: 100000 }
target: { ceiling: 1000 ppm, on: peak }
`;
const hopeless = cabinet.replace("1000 ppm", "490 ppm").replace("70 m3/h ±10 %", "2 m3/h");

function folderWith(text: string): string {
	const cwd = emptyFolder();
	writeFileSync(join(cwd, "cabinet.yaml"), text);
	return cwd;
}
const choose = (cwd: string, ...words: string[]) => lullgust(["choose", "cabinet.yaml", ...words], { cwd });

test("choose tells what to set, the card, the alternatives, the chance and the limits, and exits with 0", () => {
	const { code, stdout, stderr } = choose(folderWith(cabinet));
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toMatch(
		/^Yes\. Set the timer to \d{3} s on and \d{3} s off\. The chance that the peak stays under 1000 ppm is 9\d(\.\d)?\s+%\s+\(asked:\s+90 %\)\./,
	);
	for (const part of [
		/^ {2}ON .*█/m,
		/^ {2}OFF .*█/m,
		/display \d{3} s$/m,
		/starts\s+with\s+ON/,
		/^ON and OFF swapped +on .+, off \d+ s +\d+ +[\d.]+ m³$/m,
		/^setting +on +off +peak +ripple +fresh air +water +bursts +contact +chance$/m,
		/^least air /m,
		/^fewest switchings /m,
		/^smallest ripple /m,
		/of\s+10,000\s+random\s+draws/,
		/^The respiration rate of oyster, .+, causes [\d.]+ % of the variation\. Measure it/m,
		/^Settings that hold with 90 %:$/m,
		/^central values /m,
		/What may happen in service is counted in:/,
		/^settings searched +[\d,]+$/m,
		/^what keeps the setting from less air +shortest on-time$/m,
	])
		expect(stdout).toMatch(part);
	expect(stdout).not.toContain("\u001b");
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test("the tall figures are those of the display", () => {
	const { stdout } = choose(
		folderWith(cabinet.replace("1..999 s by 1 s", "4.1..4.2 s by 0.1 s, 96.3..96.4 s by 0.1 s")),
	);
	const lines = stdout.split("\n");
	const at = lines.findIndex((line) => line.startsWith("  ON "));
	expect(lines.slice(at, at + 5).map((line) => line.slice(13, 33).trimEnd())).toEqual([
		"████  █  █        █",
		"█  █  █  █       ██",
		"█  █  ████        █",
		"█  █     █        █",
		"████     █  ██   ███",
	]);
	expect(stdout).toContain("display 04.1 s");
});

test("choose exits with 1 when no setting works, and tells why and what helps", () => {
	const cwd = folderWith(hopeless);
	const { code, stdout, stderr } = choose(cwd, "--card", "card.html", "--csv", "front.csv");
	expect({ code, stderr }).toEqual({
		code: 1,
		stderr: "card.html: not written, because no setting meets the target\n",
	});
	expect(stdout).toMatch(/^No\. /);
	expect(stdout).toMatch(/^flow: needed over .* m³\/h, available 2 m³\/h\.$/m);
	expect(stdout).toMatch(/^- /m);
	expect(stdout).toMatch(/^closest /m);
	expect(readdirSync(cwd).sort()).toEqual(["cabinet.yaml", "front.csv"]);
	expect(readFileSync(join(cwd, "front.csv"), "utf8").split("\n")).toHaveLength(2);
});

test("--quiet prints only the verdict", () => {
	const cwd = folderWith(cabinet);
	const verdict = choose(cwd, "--quiet").stdout;
	expect(choose(cwd).stdout.startsWith(verdict)).toBe(true);
	expect(verdict.split("\n").length).toBeLessThan(7);
});

test("--confidence names a setting with a higher chance and more air", () => {
	const cwd = folderWith(cabinet);
	const { code, stdout } = choose(cwd, "--confidence", "90");
	expect(code).toBe(0);
	expect(stdout.replaceAll("\n", " ")).toMatch(
		/Set the timer to \d{3} s on and \d{3} s off\. The chance that the peak stays under 1000 ppm is 9\d(\.\d)? % \(asked: 90 %\)\./,
	);
	expect(stdout).toMatch(/^Settings that hold with 90 %:$/m);
	const { best, chanceConstrained } = JSON.parse(choose(cwd, "--confidence", "90 %", "--json").stdout);
	expect(chanceConstrained.evaluated.summary.freshAirM3PerDay).toBeGreaterThan(best.summary.freshAirM3PerDay);
	expect(chanceConstrained.probability).toBeGreaterThanOrEqual(0.9);
});

test("--json keeps its field names, holds plain arrays and no NaN, and is the same for the same seed", () => {
	const cwd = folderWith(cabinet);
	const { code, stdout, stderr } = choose(cwd, "--json", "--confidence", "80");
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
	const answer = JSON.parse(stdout);
	expect(answer).toMatchObject({
		format: "lullgust/choice@4",
		scenario: { name: "Test cabinet", file: "cabinet.yaml" },
		isFeasible: true,
		status: "holds",
		complianceProbability: { draws: 10_000, seed: 1 },
		chanceConstrained: { reliabilityPercent: 80 },
	});
	expect(Object.keys(answer).sort()).toEqual([
		"activeLimits",
		"alternatives",
		"best",
		"chanceConstrained",
		"complianceProbability",
		"entryErrors",
		"feasibilityBoundary",
		"feasibilityLimits",
		"format",
		"front",
		"frontRule",
		"inputs",
		"isFeasible",
		"quiet",
		"recommended",
		"reliabilityPercent",
		"scenario",
		"searchErrorPpm",
		"status",
		"warnings",
	]);
	expect(Array.isArray(answer.feasibilityBoundary.offSeconds)).toBe(true);
	expect(answer.feasibilityBoundary.onSeconds).toHaveLength(answer.feasibilityBoundary.offSeconds.length);
	expect(Array.isArray(answer.complianceProbability.band.medianPpm)).toBe(true);
	expect(choose(cwd, "--json", "--confidence", "80").stdout).toBe(stdout);
	expect(choose(cwd, "--json", "--confidence", "80", "--seed", "2").stdout).not.toBe(stdout);
});

test("--json of a refusal tells the binding constraint", () => {
	const { code, stdout } = choose(folderWith(hopeless), "--json");
	expect(code).toBe(1);
	const answer = JSON.parse(stdout);
	expect(answer).toMatchObject({
		format: "lullgust/choice@4",
		isFeasible: false,
		bindingConstraint: {
			code: "delivered flow",
			message: expect.stringMatching(/^Even continuous flow must be over /),
		},
	});
	expect(answer.feasibilityBoundary.onSeconds.every((on: unknown) => on === null)).toBe(true);
	expect(stdout).not.toMatch(/NaN|Infinity|undefined/);
});

test("a setting that holds with central values only is uncertain: exit code 1, and the confidence may stand in the file", () => {
	const narrow = cabinet
		.replace("1..999 s by 1 s", "4..5 s by 1 s, 200..210 s by 1 s")
		.replace("on: peak }", "on: peak, confidence: 95 % }\nlimits: { pause: 100 s, cycle: 300 s }");
	const cwd = folderWith(narrow);
	const { code, stdout } = choose(cwd, "--quiet");
	expect(code).toBe(1);
	expect(stdout.replaceAll("\n", " ")).toMatch(
		/^(Likely|Even chance|Unlikely)\. No setting within the limits has a 95 % chance of meeting the target\. The highest is [\d.]+ %\. With central input values: Set the timer to/,
	);
	const answer = JSON.parse(choose(cwd, "--json").stdout);
	expect(answer).toMatchObject({ isFeasible: true, reliabilityPercent: 95 });
	expect(choose(cwd, "--quiet", "--draws", "0").code).toBe(0);
});

test("--on and --off judge the pair that is keyed in now, and name a better one", () => {
	const cwd = folderWith(cabinet);
	const { code, stdout } = choose(cwd, "--on", "11s", "--off", "709s", "--quiet");
	expect(code).toBe(1);
	expect(stdout.replaceAll("\n", " ")).toMatch(
		/^(No|Unlikely)\. 11 s on, 11 min 49 s off, 120 bursts per day: it does not keep .* Its chance of meeting the target is .* 90 % is asked for\. The nearest better pair on the dial is \d{3} s on and \d{3} s off/,
	);
	const answer = JSON.parse(choose(cwd, "--on", "6s", "--off", "60s", "--json").stdout);
	expect(answer).toMatchObject({ format: "lullgust/setting@2", status: "holds", faults: [], better: null });
	expect(choose(cwd, "--on", "6s")).toMatchObject({
		code: 2,
		stderr: "--off is missing; a pair of times needs both\n",
	});
});

test("--update writes the setting into the file, and simulate follows it by a short name", () => {
	const cwd = folderWith(`${cabinet}# the end\n`);
	const { code, stdout } = choose(cwd, "--update", "--name", "for the crop");
	expect(code).toBe(0);
	const [, on, off] = /Set the timer to (\d{3}) s on and (\d{3}) s off/.exec(stdout)!;
	const written = readFileSync(join(cwd, "cabinet.yaml"), "utf8");
	expect(written).toBe(
		`${cabinet}schedules: { for the crop: { on: ${Number(on)} s, off: ${Number(off)} s } }\n# the end\n`,
	);
	const run = lullgust(["simulate", "cabinet.yaml", "--schedule", "crop", "--for", "1h"], { cwd });
	expect(run.stdout).toContain("for the crop");
	const silent = choose(folderWith(cabinet), "--update", "--quiet");
	expect(silent.stderr).toMatch(/^Wrote the schedule “chosen” into cabinet\.yaml; .*\n$/);
});

test("--without leaves out what may happen, and says what can be left out", () => {
	const cwd = folderWith(cabinet);
	const all = JSON.parse(choose(cwd, "--json").stdout);
	const none = JSON.parse(choose(cwd, "--json", "--without", "all").stdout);
	const disturbances = ({ complianceProbability }: typeof all) =>
		complianceProbability.inputs.filter(({ disturbance }: { disturbance: unknown }) => disturbance !== null)
			.length;
	expect([disturbances(all), disturbances(none)]).toEqual([3, 0]);
	expect(none.recommended.summary.freshAirM3PerDay).toBeLessThan(all.recommended.summary.freshAirM3PerDay);
	expect(choose(cwd, "--without", "rain")).toMatchObject({
		code: 2,
		stderr: '--without needs all, or filter, warm-day, intake, flush, voltage, fan, timer, got "rain"\n',
	});
});

test("intake air at or above the ceiling is an answer, with exit code 1", () => {
	const { code, stdout, stderr } = choose(folderWith(cabinet.replace("480 ppm", "1100 ppm")), "--quiet");
	expect({ code, stderr }).toEqual({ code: 1, stderr: "" });
	expect(stdout).toMatch(/^No\. The intake air has 1100 ppm and the ceiling is 1000 ppm/);
});

test("--csv writes the trade-off, a line a setting, ascending in air", () => {
	const cwd = folderWith(cabinet);
	expect(choose(cwd, "--csv", "front.csv", "--quiet").code).toBe(0);
	const [head, ...rows] = readFileSync(join(cwd, "front.csv"), "utf8").trimEnd().split("\n");
	expect(head).toBe("on_seconds,off_seconds,fresh_air_m3_per_day,bursts_per_day,ripple_ppm,peak_ppm");
	const air = rows.map((row) => Number(row.split(",")[2]));
	expect(air.length).toBeGreaterThan(1);
	expect(air).toEqual(air.toSorted((a, b) => a - b));
	expect(Math.max(...rows.map((row) => Number(row.split(",")[5])))).toBeLessThanOrEqual(1000);
});

test("--html and --card write whole files that carry today's date and the verdict", () => {
	const cwd = folderWith(cabinet);
	const { code, stdout } = choose(cwd, "--html", "choice.html", "--card", "card.html");
	expect(code).toBe(0);
	expect(stdout).toContain("Wrote choice.html, card.html.");
	const verdict = /Set the timer to \d{3} s on and \d{3} s off\./.exec(stdout)![0];
	const page = readFileSync(join(cwd, "choice.html"), "utf8");
	expect(page.replaceAll("\u00a0", " ")).toContain(verdict);
	for (const html of [page, readFileSync(join(cwd, "card.html"), "utf8")]) {
		expect(html).toMatch(/<span>\d{4}-\d\d-\d\d<\/span>/);
		expect(html.trimEnd().endsWith("</html>")).toBe(true);
	}
	expect(choose(cwd, "--card", "card.html")).toEqual({
		code: 2,
		stdout: "",
		stderr: "card.html: exists already; --force replaces it\n",
	});
});

test("without a timer a three-digit display of seconds is assumed, and said to be", () => {
	const { code, stdout } = choose(folderWith(cabinet.replace(/^timer.*\n/m, "")), "--draws", "0");
	expect(code).toBe(0);
	expect(stdout).toContain("timer: not given");
	expect(stdout).not.toContain("random draws");
});

test.each([
	["--confidence 0", '--confidence needs a percentage from 50 to below 100, such as 90, got "0"'],
	["--confidence 100", '--confidence needs a percentage from 50 to below 100, such as 90, got "100"'],
	["--confidence high", '--confidence needs a percentage from 50 to below 100, such as 90, got "high"'],
	["--confidence NaN", '--confidence needs a percentage from 50 to below 100, such as 90, got "NaN"'],
	["--draws=-5", '--draws needs a whole number from 0 to 1000000, got "-5"'],
	["--draws 1e9", '--draws needs a whole number from 0 to 1000000, got "1e9"'],
	["--draws 1000001", '--draws needs a whole number from 0 to 1000000, got "1000001"'],
	["--draws=", '--draws needs a whole number from 0 to 1000000, got ""'],
	["--seed 1.5", '--seed needs a whole number, got "1.5"'],
	["--seed 99999999999999999999", '--seed needs a whole number, got "99999999999999999999"'],
	["--confidence 90 --draws 0", "--confidence needs draws; leave --draws out, or give more than 0"],
	["--confidance 90", "unknown option --confidance; did you mean --confidence?"],
])("wrong usage: choose %s", (line, complaint) => {
	expect(choose(folderWith(cabinet), ...line.split(" "))).toEqual({
		code: 2,
		stdout: "",
		stderr: `${complaint}\n`,
	});
});

test("several wrong options are told at once", () => {
	const { code, stderr } = choose(folderWith(cabinet), "--confidence", "0", "--seed", "x");
	expect(code).toBe(2);
	expect(stderr.trimEnd().split("\n")).toHaveLength(2);
});
