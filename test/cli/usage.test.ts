import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { lullgust } from "./lullgust.ts";

const { version } = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8"));

const verbs = [
	"new",
	"compare",
	"choose",
	"next",
	"simulate",
	"read",
	"fit",
	"verify",
	"rig",
	"lesson",
	"explore",
	"species",
	"demo",
	"completion",
];

test("--version prints the version of package.json and nothing else", () => {
	expect(lullgust(["--version"])).toEqual({ code: 0, stdout: `${version}\n`, stderr: "" });
	expect(lullgust(["compare", "--version"])).toEqual({ code: 0, stdout: `${version}\n`, stderr: "" });
});

test("help lists every command and tells the exit codes", () => {
	const { code, stdout, stderr } = lullgust(["help"]);
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	for (const verb of verbs) expect(stdout).toMatch(new RegExp(`^  lullgust ${verb} `, "m"));
	expect(stdout).toContain(
		"Exit code: 0 done and the target is met, 1 done but the answer is no, 2 usage or input.",
	);
	expect(lullgust(["--help"]).stdout).toBe(stdout);
});

test("no command at all shows the help and counts as wrong usage", () => {
	const { code, stdout } = lullgust([]);
	expect(code).toBe(2);
	expect(stdout).toBe(lullgust(["help"]).stdout);
});

test.each(verbs)("the help of %s has examples, and no line is wider than 100 columns", (verb) => {
	const { code, stdout } = lullgust([verb, "--help"]);
	expect(code).toBe(0);
	expect(stdout).toContain(`Examples:\n  lullgust ${verb}`);
	expect(lullgust(["help", verb]).stdout).toBe(stdout);
	expect(stdout.split("\n").filter((line) => line.length > 100)).toEqual([]);
});

test.each(verbs)("the help of %s says of each option what it is for, not of what type it is", (verb) => {
	const { stdout } = lullgust([verb, "--help"]);
	expect(stdout).not.toMatch(/\[(string|boolean|array|number|required|choices|default)/);
	expect(stdout).not.toMatch(/undefined|\$0/);
	const [, ...sections] = stdout.split(/\n\n(?=[A-Z][\w ]*:\n)/);
	const headings = sections.map((section) => section.split("\n")[0]);
	expect(headings.slice(-2)).toEqual(["General:", "Examples:"]);
	for (const section of sections.slice(0, -1)) {
		const entries = section.split("\n").filter((line) => /^ {2}-/.test(line));
		expect(entries.length).toBeGreaterThan(0);
		expect(section.replace(/^.*\n/, "")).toMatch(/^( {2}-.*( {2}|\n +)[A-Z][^\n]+(\n {4,}[^\n]+)*\n?)+/);
	}
	// An option belongs to one group.
	const names = sections
		.slice(0, -1)
		.flatMap((section) => [...section.matchAll(/^ {2}(?:-h, )?--([\w-]+)/gm)]);
	expect(new Set(names.map(([, name]) => name)).size).toBe(names.length);
});

test("the help of compare, to the letter", () => {
	expect(lullgust(["help", "compare"]).stdout).toBe(`lullgust compare <scenario> [options]

Compare the schedules of a scenario with its target.

  <scenario>  Scenario file; - reads standard input

Output:
  --html FILE    Write a report with curves, one page that needs no network
  --svg FILE     Write the curves as an SVG chart
  --csv FILE     Write all values for a spreadsheet, one line per schedule, in SI
  --json         Print everything for another program, in SI
  --units si|us  Units of text and pages: m³ (si) or ft³ (us). JSON and CSV stay in SI (default: si)
  --quiet        Print only the verdict
  --force        Replace files that already exist

General:
  -h, --help  Show this help
  --version   Show the version

Examples:
  lullgust compare cabinet.yaml
      Verdict and results in the terminal
  lullgust compare cabinet.yaml --html report.html --force
      Replace the report
  lullgust compare cabinet.yaml --json
      For another program
  lullgust compare - --csv - < cabinet.yaml
      From standard input to standard output

Exit code: 0 at least one schedule meets the target, 1 none does, 2 usage or input.
Where a file name is wanted, - is standard output.
`);
});

test("hints are typed the way the command was started", () => {
	const env = { npm_config_user_agent: "npm/10 node/v20" };
	expect(lullgust(["compare"], { env }).stderr).toBe(
		'compare needs <scenario>; see "npx lullgust compare --help"\n',
	);
	expect(lullgust(["help"], { env }).stdout).toContain("  npx lullgust compare ");
});

test.each([
	["compar cabinet.yaml", 'unknown command "compar"; did you mean compare?'],
	["xyzzyxyzzy", 'unknown command "xyzzyxyzzy"; "lullgust --help" lists the commands'],
	["--bogus", 'unknown option --bogus; see "lullgust --help"'],
	["compare", 'compare needs <scenario>; see "lullgust compare --help"'],
	["compare a b", 'unexpected "b"; see "lullgust compare --help"'],
	["compare a --htlm r.html", "unknown option --htlm; did you mean --html?"],
	["compare a --html", '--html needs a value; see "lullgust compare --help"'],
	["compare a --units uk", '--units must be one of "si", "us", got "uk"'],
	["compare a --quiet=perhaps", '--quiet takes no value, got "perhaps"'],
	["compare a --__proto__ 1", 'unexpected "___proto___"; see "lullgust compare --help"'],
	[
		"simulate a --for NaN",
		'--for needs a time such as "4 s" or "3 min 56 s", got "NaN" (it must be a finite number)',
	],
	[
		"simulate a --for Infinity",
		'--for needs a time such as "4 s" or "3 min 56 s", got "Infinity" (it must be a finite number)',
	],
	["simulate a --for 24", '--for needs a time such as "4 s" or "3 min 56 s", got "24"'],
	["simulate a --for=", '--for needs a time such as "4 s" or "3 min 56 s", got ""'],
	["simulate a --for 180L", '--for needs a time such as "4 s" or "3 min 56 s", got "180L"'],
	["simulate a --for -1h", "--for must be longer than 0 s, got -3600 s"],
	["simulate a --every 0s", "--every must be longer than 0 s, got 0 s"],
	["simulate a --every 2h --for 1h", "--every 2 h is longer than --for 1 h"],
	["simulate a --every 1ms --for 1d", "--every 0.001 s makes more than 10000000 samples; take at least 1 s"],
	[
		"simulate a --start NaN",
		'--start needs fresh, settled or a CO₂ concentration such as "900 ppm", got "NaN" (it must be a finite number)',
	],
	[
		"simulate a --start 900",
		'--start needs fresh, settled or a CO₂ concentration such as "900 ppm", got "900"',
	],
	[
		"species oistre",
		'unknown species "oistre"; did you mean "oyster"? Known: oyster, king oyster, shiitake, button, lion\'s mane, enoki, reishi, unknown',
	],
])("wrong usage: lullgust %s", (line, complaint) => {
	expect(lullgust(line.split(" "))).toEqual({ code: 2, stdout: "", stderr: `${complaint}\n` });
});

test("an option that is given twice keeps its last value", () => {
	expect(lullgust(["compare", "a", "--units", "us", "--units", "uk"]).stderr).toContain('got "uk"');
});

test("species shows ceilings, priors, worth and conflicts", () => {
	const { code, stdout, stderr } = lullgust(["species"]);
	expect({ code, stderr }).toEqual({ code: 0, stderr: "" });
	expect(stdout).toMatch(/^oyster +1000 +600\.\.1500 +moderate /m);
	expect(stdout).toMatch(/^oyster +18 °C +155 +60\.\.400 +moderate /m);
	expect(stdout).toContain("Disagreement between sources");
});

test("species takes other names and any case", () => {
	expect(lullgust(["species", "Agaricus Bisporus"]).stdout).toBe(lullgust(["species", "button"]).stdout);
	expect(lullgust(["species", "button"]).stdout).toContain("Korean J. Mycology");
});

test("species --json carries every figure with source and worth", () => {
	const all = JSON.parse(lullgust(["species", "--json"]).stdout);
	expect(all.format).toBe("lullgust/species@2");
	expect(all.species).toHaveLength(8);
	for (const { rate, stages, records } of all.species) {
		expect(rate).toMatchObject({
			unit: "mg/(kg h)",
			source: expect.any(String),
			evidence: expect.any(String),
		});
		for (const { ceiling } of stages)
			expect(ceiling).toMatchObject({ unit: "ppm", evidence: expect.any(String) });
		for (const record of records) expect(record.source).not.toBe("");
	}
});
