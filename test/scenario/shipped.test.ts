import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";

const folder = new URL("../../fixtures/scenarios/", import.meta.url);
const shipped: [string, string][] = [
	["the starter", starterScenario()],
	...readdirSync(folder).map((name): [string, string] => [name, readFileSync(new URL(name, folder), "utf8")]),
];

describe("scenarios that ship", () => {
	it.each(shipped)("%s has a schedule that holds and one that fails, each by a clear margin", (_, text) => {
		const judged = compareSchedules(parseScenario(text)).schedules.map(({ summary }) => summary.criterion);
		expect(judged.some(({ isMet }) => isMet)).toBe(true);
		expect(judged.some(({ isMet }) => !isMet)).toBe(true);
		for (const { valuePpm, ceilingPpm } of judged) {
			expect(Math.abs(valuePpm - ceilingPpm)).toBeGreaterThan(0.02 * ceilingPpm);
		}
	});

	it("the small tub peaks where the closed form, worked in hours and litres, puts it", () => {
		// 1.2 kg at 155 mg/(kg h); 1 g of CO2 is R T/(M p) = 0.54286 L at 18 °C and 101.325 kPa; 60 L less 3 L of substrate.
		const generation = 1.2 * 0.155 * ((8.31446261815324 * 291.15) / (44.0095 * 101.325));
		const volume = 60 - 1.2 / 0.4;
		const leak = 0.5;
		const fan = 10_000 / volume + leak;
		const rise = (1e6 * generation) / volume;
		const [on, off] = [6 / 3600, 114 / 3600];
		const whileOn = 600 + rise / fan;
		const whileOff = 600 + rise / leak;
		const m = 1 - Math.exp(-fan * on);
		const k = 1 - Math.exp(-leak * off);
		const peak = whileOn + ((whileOff - whileOn) * k) / (m + k - m * k);
		const text = readFileSync(new URL("small-tub.yaml", folder), "utf8");
		const found = compareSchedules(parseScenario(text)).schedules.find(
			({ name }) => name === "six seconds in two minutes",
		);
		// Tolerance: rounding of some twenty operations.
		expect(Math.abs((found?.summary.peakPpm ?? 0) / peak - 1)).toBeLessThan(1e-10);
	});
});
