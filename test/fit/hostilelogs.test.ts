import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { fitLog } from "../../lib/fit/fit.ts";
import { verifyLog } from "../../lib/fit/verify.ts";
import { readLog } from "../../lib/logs/read.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

/*
 * Logs of 87 lines, header and 86 rows, that brought a fit down: where the readings hardly show the cycle, the start of the cycle
 * was let run away, and the switch instants with it. All are invented. Version 0.4.0 on the first: over 130 s and 4.2 GB.
 */
const scenario = parseScenario(readFileSync("fixtures/logs/logged-cabinet.yaml", "utf8"), "c.yaml");
const ROWS = 86;
const stamp = (seconds: number) => new Date(Date.UTC(2026, 2, 10, 18) + 1000 * seconds).toISOString();

/** A row a minute; the second field is the CO2. */
function rows(ppmAt: (row: number, noise: () => number) => number, seed = 1): string[] {
	const random = seededUniform(seed);
	const noise = () => random() + random() + random() - 1.5;
	return Array.from({ length: ROWS }, (_, i) => `${stamp(60 * i)},${Math.round(ppmAt(i, noise))}`);
}
const sawtooth = (i: number, noise: () => number) => 850 + 20 * (i % 10) + 10 * noise();
const flat = (_: number, noise: () => number) => 420 + 0.8 * noise();

const asLog = (lines: readonly string[], header = "time,CO2 (ppm)") =>
	readLog([header, ...lines, ""].join("\n"));
const inserted = (lines: readonly string[], row: string) => [...lines.slice(0, 43), row, ...lines.slice(43)];

const hostile: readonly (readonly [string, () => ReturnType<typeof asLog>])[] = [
	["an empty chamber, to the ppm", () => asLog(rows(flat, 9))],
	["an empty chamber, another noise", () => asLog(rows(flat, 19))],
	["noise and nothing else", () => asLog(rows((_, noise) => 900 + 60 * noise()))],
	["a row of 1970 amid", () => asLog(inserted(rows(sawtooth), "1970-01-01T00:03:00.000Z,917"))],
	["a row of 2000 amid", () => asLog(inserted(rows(sawtooth), "2000-01-01T00:03:00.000Z,917"))],
	[
		"a row of 1970, after which the clock goes back",
		() => asLog(inserted(inserted(rows(sawtooth), `${stamp(60)},900`), "1970-01-01T00:03:00.000Z,917")),
	],
	[
		"a gap of a year",
		() => asLog(rows(sawtooth).map((row, i) => (i < 43 ? row : row.replace("2026", "2027")))),
	],
	[
		"a fan column that switches at each row",
		() =>
			asLog(
				rows(sawtooth).map((row, i) => `${row},${i % 2}`),
				"time,CO2 (ppm),fan",
			),
	],
];

describe("a log of 87 lines that shows no cycle", () => {
	test.each(hostile)("is verified and fitted within 2 s and 300 MB, or refused: %s", (_, log) => {
		for (const answer of [verifyLog, fitLog] as const) {
			const before = { cpu: process.cpuUsage(), rss: process.resourceUsage().maxRSS };
			try {
				answer(scenario, log());
			} catch (error) {
				expect(error).toMatchObject({ name: "InputError" });
			}
			const { user, system } = process.cpuUsage(before.cpu);
			expect((user + system) / 1e6).toBeLessThan(2);
			// The highest since the process began never falls: what this log adds to it [kB].
			expect((process.resourceUsage().maxRSS - before.rss) / 1024).toBeLessThan(300);
		}
	});
});
