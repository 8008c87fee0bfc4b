import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { listInputs } from "../../lib/model/inputs.ts";
import { type ScenarioChange, updateScenario } from "../../lib/scenario/edit/update.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";
import { anyScenario, chanceOf, type Entries, layOut, type Node, seeds } from "./layouts.ts";

const folder = new URL("../../fixtures/scenarios/", import.meta.url);
const files: [string, string][] = [
	["the starter", starterScenario()],
	...readdirSync(folder).map((name): [string, string] => [name, readFileSync(new URL(name, folder), "utf8")]),
];
const stamp = { log: "day.csv", on: "2026-03-10" };
const all: ScenarioChange[] = [
	{ path: "fan.flow", text: "63.2 m3/h ±1.4 %" },
	{ path: "substrate[0].rate", text: "118 mg/(kg h) ±3.1 %" },
	{ path: "chamber.leak", text: "0.27 /h ±22 %" },
	{ path: "sensor.offset", text: "-23 ppm ±6 ppm" },
	{ path: "sensor.response", text: "71 s ±4 s" },
	{ path: "intake.co2", text: "452 ppm ±8 ppm" },
];

const withoutChanged = (scenario: Scenario, changes: readonly ScenarioChange[]): string[] =>
	listInputs(scenario)
		// What follows from a changed value, or belongs to a section that was not there.
		.filter(
			({ path }) => !changes.some((one) => one.path === path) && !/^start$|\.stage$|^sensor\./.test(path),
		)
		.map(({ path, quantity: { value, low, high, text } }) => JSON.stringify([path, value, low, high, text]));

const old = { log: "old.csv", on: "2026-02-01" };
const earlier = (changes: readonly ScenarioChange[]): ScenarioChange[] =>
	changes.map(({ path, text }) => ({ path, text: text.replace(/\d/, "4") }));

/** Whether a list is another with nothing but insertions. */
const isWithin = <T>(part: Iterable<T>, whole: readonly T[]): boolean => {
	let at = 0;
	for (const item of part) {
		at = whole.indexOf(item, at) + 1;
		if (at === 0) return false;
	}
	return true;
};
const remarks = (text: string) => text.match(/# remark \d+\./g) ?? [];

const check = (text: string, changes: readonly ScenarioChange[], log = stamp.log): string => {
	const before = parseScenario(text);
	const after = updateScenario(text, changes, { ...stamp, log });
	const scenario = parseScenario(after);
	const inputs = listInputs(scenario);
	for (const { path, text: written } of changes)
		expect(inputs.find((row) => row.path === path)?.quantity).toMatchObject({
			text: written,
			origin: { kind: "fitted", log, on: stamp.on },
		});
	expect(withoutChanged(scenario, changes)).toEqual(withoutChanged(before, changes));
	expect([
		scenario.name,
		scenario.notes,
		scenario.schedules.map(({ name, schedule }) => [name, schedule]),
	]).toEqual([before.name, before.notes, before.schedules.map(({ name, schedule }) => [name, schedule])]);
	expect(updateScenario(after, changes, { ...stamp, log })).toBe(after);
	return after;
};

describe.each(files)("fitted values in %s", (_, text) => {
	it.each(all)("$path is written, and no other line changes", (change) => {
		const lines = text.split("\n");
		const after = check(text, [change]).split("\n");
		const added = after.length - lines.length;
		expect(added).toBeGreaterThanOrEqual(0);
		const at = after.findIndex((line, i) => line !== lines[i]);
		expect(after.slice(0, at)).toEqual(lines.slice(0, at));
		// One line is changed, or one or two (with a blank one) are added.
		expect(after.slice(at + Math.max(1, added))).toEqual(lines.slice(at + (added > 0 ? 0 : 1)));
	});
	it("all at once, with any line end, and a byte order mark stays", () => {
		const after = check(text, all);
		expect(check(text.replaceAll("\n", "\r\n"), all)).toBe(after.replaceAll("\n", "\r\n"));
		expect(check(`\uFEFF${text}`, all)).toBe(`\uFEFF${after}`);
	});
	it("a later fit takes the place of an earlier one", () => {
		const once = updateScenario(text, all, stamp);
		expect(updateScenario(updateScenario(text, earlier(all), old), all, stamp)).toBe(once);
	});
});

it("in any layout the new values are read, and every comment and every other character stays", () => {
	fc.assert(
		fc.property(
			seeds,
			fc.subarray(all, { minLength: 1 }),
			fc.constantFrom("\n", "\r\n"),
			(seed, changes, newLine) => {
				const chance = chanceOf(seed);
				const scenario = anyScenario(chance);
				const text = layOut(scenario, chance, newLine);
				const after = check(text, changes);
				expect(updateScenario(updateScenario(text, earlier(changes), old), changes, stamp)).toBe(after);
				expect(remarks(after)).toEqual(remarks(text));
				if (newLine === "\r\n") expect(after).not.toMatch(/[^\r]\n/);
				// What was there, less the words that were replaced, is there still and in its order.
				const replaced = new Set(changes.flatMap(({ path }) => wordsAt(scenario, path)));
				const rest = [...replaced]
					.sort((a, b) => b.length - a.length)
					.reduce((held, word) => held.replaceAll(word, ""), text);
				expect(isWithin(rest.replace(/[>|]-|["'|>\s]/g, ""), [...after])).toBe(true);
				// A change touches one line, or a few where the keys of a value stand on lines of their own.
				const before = text.split(newLine);
				const lines = after.split(newLine);
				const kept = before.filter((line) => lines.includes(line));
				const single = kept.filter((line) => before.indexOf(line) === before.lastIndexOf(line));
				expect(isWithin(single, lines)).toBe(true);
				expect(before.length - kept.length).toBeLessThanOrEqual(4 * changes.length);
			},
		),
		{ seed: 1, numRuns: 250 },
	);
});

describe("what cannot be written", () => {
	const refusal = (text: string, path = "fan.flow"): string => {
		try {
			updateScenario(text, [{ path, text: "63 m3/h" }], stamp, "box.yaml");
		} catch (error) {
			if (error instanceof InputError) return error.message;
			throw error;
		}
		throw new Error("was written");
	};
	it.each([
		[
			"chamber: &c { volume: 180 L }\nfan: *c\n",
			"box.yaml:2:6: aliases (*c) are not read here; write the value out",
		],
		["fan: &f { flow: 4 m3/h }\nspare: { <<: *f }\n", "merge keys (<<) are not read here"],
		["fan: !old { flow: 4 m3/h }\n", "tags (!old) are not read here"],
		["fan: [4 m3/h]\n", "box.yaml:1:6 fan: holds no keys, so fan.flow cannot be written to it"],
		["fan: { flow: [4 m3/h, 5 m3/h] }\n", "box.yaml:1:14 fan.flow: holds something else than one value"],
		["fan: { flow: { low: 4 m3/h } }\n", "box.yaml:1:14 fan.flow: holds something else than one value"],
		["fan:\n  flow:\n", "box.yaml:2:3 fan.flow: holds something else than one value"],
		["fan: { flow: 4 m3/h\n", "is not valid YAML"],
		["", "is empty"],
	])("%j is refused with its line", (text, message) => expect(refusal(text)).toContain(message));
	it("a substrate that is not there is refused", () => {
		const text = "substrate:\n  - mass: 4 kg\n";
		expect(refusal(text, "substrate[1].rate")).toContain(
			"box.yaml:2:3 substrate: has no entry 2 for substrate[1].rate to be written to",
		);
	});
	it("an anchor that nothing refers to stays", () => {
		expect(updateScenario("fan: &f\n  flow: &q 4 m3/h # so\n", all.slice(0, 1), stamp)).toBe(
			"fan: &f\n  flow: &q { value: 63.2 m3/h ±1.4 %, fitted: day.csv, on: 2026-03-10 } # so\n",
		);
	});
});

describe("a name of a log", () => {
	const text =
		"chamber: { volume: 180 L }\nfan: { flow: 4 m3/h }\nsubstrate: { mass: 4 kg }\nschedules: { a: off }\n";
	it.each([
		"day, 2.csv",
		"C:\\logs\\day.csv",
		"a: b # c.csv",
		"2026",
		"true",
		"null",
		"~",
		"-",
		"- a",
		"{x}",
		"día.csv",
		'"q".csv',
		"'",
		" a ",
	])("%j is read back as it is", (log) => void check(text, all, log));
	it("of any letters is read back as it is", () => {
		fc.assert(
			fc.property(fc.string({ minLength: 1, unit: "binary" }), (log) => {
				// A scenario takes no control characters, raw or not, but tab, line feed and return.
				fc.pre(!/[\uFFFE\uFFFF]|\p{Cs}/u.test(log));
				check(text, all.slice(0, 2), log);
			}),
			{ seed: 1, numRuns: 300 },
		);
	});
});

describe("a scenario in JSON", () => {
	const value = {
		chamber: { volume: "180 L" },
		fan: { flow: "4 m3/h" },
		substrate: [{ mass: "4 kg" }],
		schedules: { a: "off" },
	};
	const fitted = (path: string) => ({
		value: all.find((one) => one.path === path)?.text,
		fitted: "day.csv",
		on: "2026-03-10",
	});
	const expected = {
		chamber: { volume: "180 L", leak: fitted("chamber.leak") },
		// A section that was not there stands where the file format has it; two of them in the order of the format.
		intake: { co2: fitted("intake.co2") },
		fan: { flow: fitted("fan.flow") },
		sensor: { offset: fitted("sensor.offset"), response: fitted("sensor.response") },
		substrate: [{ mass: "4 kg", rate: fitted("substrate[0].rate") }],
		schedules: { a: "off" },
	};
	it.each([undefined, 1, 2, "\t"])("indented by %j stays JSON, all its lines as they were", (indent) => {
		const text = JSON.stringify(value, null, indent);
		const after = check(text, all);
		expect(JSON.parse(after)).toEqual(expected);
		expect(Object.keys(JSON.parse(after))).toEqual(Object.keys(expected));
		if (indent === undefined) expect(after).toBe(JSON.stringify(expected));
		// Commas apart, the lines that hold no changed value are those of before.
		const lines = (json: string) => json.split("\n").map((line) => line.replace(/,$/, ""));
		const kept = lines(text).filter((line) => indent !== undefined && !line.includes("m3/h"));
		expect(isWithin(kept, lines(after))).toBe(true);
	});
});

/** The words that stand for a value, its source included. */
function wordsAt(scenario: Entries, path: string): string[] {
	const leaves = (node: Node | undefined): string[] =>
		node === undefined
			? []
			: typeof node === "string"
				? [node]
				: Array.isArray(node)
					? node.flatMap(leaves)
					: (node as Entries).entries.flatMap(([key, value]) => [
							...(key === "source" ? [key] : []),
							...leaves(value),
						]);
	let node: Node | undefined = scenario;
	for (const part of path.split(/\.|\[0\]\.?/)) {
		if (Array.isArray(node)) node = node[0];
		node = (node as Entries | undefined)?.entries.find(([key]) => key === part)?.[1];
	}
	return leaves(node);
}

describe("a value that was given for a fit", () => {
	const given = [{ path: "chamber.leak", text: "0.35 /h", isGiven: true }];
	const leakOf = (leak: string) => {
		const after = updateScenario(`chamber: { volume: 1 m3, leak: ${leak} } # kept\n`, given, stamp);
		return /leak: (.*) \} # kept/.exec(after)![1];
	};
	const written = "{ value: 0.35 /h, source: given for the fit of day.csv, on: 2026-03-10 }";

	it.each([
		["a plain value", "0.3 /h"],
		["a fitted one", "{ value: 0.27 /h ±22 %, fitted: old.csv, on: 2026-01-02 }"],
		["one with a source", '{ value: 0.2 /h, source: "a guess", on: 2026-01-02 }'],
	])("takes the place of %s and says so", (_, leak) => {
		expect(leakOf(leak)).toBe(written);
	});

	it("makes room again for one that is fitted", () => {
		const change = [{ path: "chamber.leak", text: "0.27 /h ±22 %" }];
		expect(updateScenario(`chamber: { volume: 1 m3, leak: ${written} }\n`, change, stamp)).toBe(
			"chamber: { volume: 1 m3, leak: { value: 0.27 /h ±22 %, fitted: day.csv, on: 2026-03-10 } }\n",
		);
	});
});
