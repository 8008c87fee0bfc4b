import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import { type KeyEdits, scenarioRewriter } from "../../lib/scenario/edit/rewrite.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";
import { anyScenario, chanceOf, layOut, seeds } from "./layouts.ts";

const folder = new URL("../../fixtures/scenarios/", import.meta.url);
const files: [string, string][] = [
	["the starter", starterScenario()],
	...readdirSync(folder)
		.filter((name) => name.endsWith(".yaml"))
		.map((name): [string, string] => [name, readFileSync(new URL(name, folder), "utf8")]),
];
const schedules = { A: { on: "7 s", off: "3 min 1 s" }, B: { on: "1 min", off: "2 h" } };
const changes: KeyEdits = {
	chamber: { volume: "203 L", leak: "0.21 /h" },
	intake: { co2: "611 ppm" },
	substrate: { 0: { species: "lion's mane", mass: "3.1 kg", rate: "60..400 mg/(kg h)" } },
	fan: { flow: "31 m3/h", "spin-up": "1.2 s" },
	sensor: { response: "61 s" },
	target: { ceiling: "1210 ppm", on: "worst hour" },
	schedules,
};

const check = (text: string): string => {
	const written = scenarioRewriter(text)(changes);
	const { chamber, intake, substrate, fan, sensor, target, schedules } = parseScenario(written);
	const quantities = [
		chamber.volume,
		chamber.leak,
		intake.co2,
		substrate[0]!.mass,
		substrate[0]!.respirationRate,
		fan.flow,
		fan.spinUp,
		sensor!.response,
		target.ceiling,
	];
	expect(quantities.map((quantity) => quantity?.text)).toEqual(
		"203 L,0.21 /h,611 ppm,3.1 kg,60..400 mg/(kg h),31 m3/h,1.2 s,61 s,1210 ppm".split(","),
	);
	expect([substrate[0]!.species, target.on]).toEqual(["lion's mane", "worst hour"]);
	expect(schedules.map(({ name, schedule }) => [name, schedule])).toEqual([
		["A", { kind: "cycle", onSeconds: 7, offSeconds: 181 }],
		["B", { kind: "cycle", onSeconds: 60, offSeconds: 7200 }],
	]);
	return written;
};

const comments = (text: string) => text.match(/#.*$/gm) ?? [];

test.each(files)("%s says what it is to say, and keeps its comments", (_, text) => {
	const written = check(text);
	const before = comments(text.slice(0, text.indexOf("\nschedules:")));
	expect(comments(written).slice(0, before.length)).toEqual(before);
});

test.each(files)("%s is not touched where nothing is to change", (_, text) => {
	expect(scenarioRewriter(text)({})).toBe(text);
});

test("JSON stays JSON, and a mark and line ends of another system stay", () => {
	const json = JSON.stringify({
		chamber: { volume: "180 L" },
		substrate: { mass: "4 kg" },
		fan: { flow: "40 m3/h" },
		schedules: { short: { on: "6 s", off: "3 min" } },
	});
	expect(JSON.parse(check(json))).toMatchObject({ chamber: { volume: "203 L" }, schedules });
	const windows = `\uFEFF${starterScenario().replaceAll("\n", "\r\n")}`;
	const written = check(windows);
	expect(written.startsWith("\uFEFF")).toBe(true);
	expect(written.replaceAll("\r\n", "")).not.toContain("\n");
});

test("a flow takes the place of a curve, and a rate that of rates", () => {
	const text = `chamber: { volume: 200 L }
substrate:
  mass: 5 kg
  rates:
    - { at: 0 d, rate: 80 mg/(kg h) }
    - { at: 3 d, rate: 200 mg/(kg h) }
fan:
  curve: { free-flow: 60 m3/h, shut-off: 40 Pa } # from its data sheet
  spin-up:
    0.5 s
schedules: { short: { on: 4 s, off: 236 s } }
`;
	const written = check(text);
	expect(written).not.toContain("curve");
	expect(written).not.toContain("rates");
	expect(written).toContain("# from its data sheet");
});

test("a value with its source gives way to one without", () => {
	const text = files.find(([name]) => name === "walk-in-tent.yaml")![1];
	const written = scenarioRewriter(text)({ substrate: { 0: { rate: "150 mg/(kg h)" } } });
	expect(parseScenario(written).substrate[0]!.respirationRate).toMatchObject({ text: "150 mg/(kg h)" });
	expect(written).not.toContain("invented rise test");
});

test("in any layout the values are those that were said", () => {
	fc.assert(
		fc.property(seeds, fc.constantFrom("\n", "\r\n"), (seed, newLine) => {
			const chance = chanceOf(seed);
			check(layOut(anyScenario(chance), chance, newLine));
		}),
		{ seed: 1, numRuns: 300 },
	);
});
