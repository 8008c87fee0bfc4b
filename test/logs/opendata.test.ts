import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readLog } from "../../lib/logs/read.ts";

/** Source and licence stand in fixtures/logs/open/SOURCE.txt. */
const text = readFileSync(new URL("../../fixtures/logs/open/mauna-loa-monthly.csv", import.meta.url), "utf8");
const DAY = 86_400;

test("an open record of real air is read row by row, its months as they are", () => {
	const log = readLog(text, { column: "CO2" });
	const lines = text.trimEnd().split("\n").slice(1);
	expect(log.rows).toBe(lines.length);
	expect(log.startUtcSeconds).toBe(Date.UTC(1958, 2, 1) / 1000);
	const co2 = log.channels.find(({ name }) => name === "CO2")!;
	for (const [i, line] of lines.entries()) {
		const [date, ppm] = line.split(",");
		expect(log.startUtcSeconds! + log.timesSeconds[i]!).toBe(Date.parse(`${date}T00:00:00Z`) / 1000);
		expect(co2.values[i]).toBe(Number(ppm));
	}
	expect(log.sampleIntervalSeconds / DAY).toBeGreaterThanOrEqual(28);
	expect(log.sampleIntervalSeconds / DAY).toBeLessThanOrEqual(31);
	// Outdoor air has risen by some 100 ppm since the record began.
	expect(co2.values[0]).toBe(315.7);
	expect(co2.values.at(-1)! - co2.values[0]!).toBeGreaterThan(95);
});
