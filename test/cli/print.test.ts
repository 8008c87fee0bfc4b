import { expect, test } from "vitest";
import { plotLines } from "../../cli/print/plot.ts";
import { displayWidth, table, visible, wrap } from "../../cli/print/print.ts";

test("a table aligns names to the left and figures to the right, wide characters too", () => {
	expect(
		table(
			["name", "ppm"],
			[
				["平茸", "9"],
				["ab", "1000"],
			],
			[1],
		),
	).toBe("name   ppm\n平茸     9\nab    1000\n");
});

test("the last column of a table is folded under itself", () => {
	expect(table(["a", "text"], [["x", "one two three four five six"]], [], 20)).toBe(
		"a  text\nx  one two three four five\n   six\n",
	);
});

test("names and heads of a table that is too wide are folded, figures stay whole", () => {
	const rows = [
		["a rather long name", "31.2 m³/h"],
		["b", "5 m³/h"],
	];
	expect(table(["operating point", "flow through the filter"], rows, [1], 24)).toBe(
		[
			"operating           flow",
			"point        through the",
			"                  filter",
			"a rather       31.2 m³/h",
			"long name",
			"b                 5 m³/h",
			"",
		].join("\n"),
	);
});

test("a paragraph stays within its width", () => {
	const text = wrap("warning: a b c d e f g h i j k l m n o p q r s t u v w x y z", 20, "  ");
	expect(text.split("\n").every((line) => line.length <= 20)).toBe(true);
	expect(text).toMatch(/^warning: a b c d e\n {2}f /);
});

test("control characters and marks that turn the writing direction are shown, not sent", () => {
	expect(visible("a\u001b[31m\r\u009b\u202eb")).toBe("a\\u001b[31m\\u000d\\u009b\\u202eb");
	expect(visible("Pilz 平茸 – ok")).toBe("Pilz 平茸 – ok");
});

test("the width of a text counts columns, not code units", () => {
	expect([
		displayWidth("abc"),
		displayWidth("é"),
		displayWidth("e\u0301"),
		displayWidth("平"),
		displayWidth("🍄"),
	]).toEqual([3, 1, 1, 2, 2]);
});

// One cycle of 100 s: 10 s fan, then a straight climb from 500 to 1500 ppm.
const times = Array.from({ length: 101 }, (_, i) => i);
const plot = {
	timesSeconds: times,
	co2Ppm: times.map((t) => (t <= 10 ? 1500 - 100 * t : 500 + ((t - 10) / 90) * 1000)),
	schedule: { kind: "cycle", onSeconds: 10, offSeconds: 90 } as const,
	ceilingPpm: 1000,
	lowPpm: 500,
	highPpm: 1500,
	span: "1 min 40 s",
};

test("a plot shows the sawtooth under a ceiling and the burst below it", () => {
	expect(plotLines(plot, 54, false)).toMatchInlineSnapshot(`
		[
		  "1500 │█                                   ▂▄▆█",
		  "     │█                              ▁▃▅▇█████",
		  "     │█▅                        ▁▂▄▆██████████",
		  "1000 ┼██╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌╌▁▃▅▆██████████████ ceiling",
		  "     │███               ▂▄▆▇██████████████████",
		  "     │███          ▁▃▅▇███████████████████████",
		  "     │███▅    ▁▂▄▆████████████████████████████",
		  " 500 │████▁▃▅▆████████████████████████████████",
		  " fan │▀▀▀▀",
		  "      0                             1 min 40 s",
		]
	`);
});

test("a plot fits any terminal and is the same without colour", () => {
	for (const columns of [40, 80, 200]) {
		const plain = plotLines(plot, columns, false);
		expect(Math.max(...plain.map((line) => line.length))).toBeLessThanOrEqual(Math.min(100, columns));
		const coloured = plotLines(plot, columns, true);
		// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the colours.
		expect(coloured.map((line) => line.replace(/\u001b\[\d+m/g, ""))).toEqual(plain);
		expect(coloured.join("")).toContain("\u001b[31m");
	}
});

test("bursts too short to be seen are shaded, also where thousands fill the axis", () => {
	const day = { ...plot, timesSeconds: [0, 86_400], co2Ppm: [500, 500] };
	expect(plotLines(day, 54, false).at(-2)).toBe(` fan │${"░".repeat(40)}`);
});
