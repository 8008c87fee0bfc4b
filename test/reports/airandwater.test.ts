import { describe, expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { sampleHumidity } from "../../lib/compare/humidity.ts";
import { buildHumidity } from "../../lib/model/humidity.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { airAndWaterSection } from "../../reports/compare/airandwater.ts";
import { html } from "../../reports/page/html.ts";

const read = (water: string, schedule = "{ on: 6 s, off: 324 s }") =>
	compareSchedules(
		parseScenario(`
chamber: { volume: 200 L, leak: 0.05 m3/h, temperature: 18 C }
intake: { co2: 420 ppm, humidity: 50 % }
substrate: { mass: 5 kg, rate: 155 mg/(kg h), reference: 18 C }
fan: { flow: 60 m3/h }
${water}
schedules: { burst: ${schedule} }`),
	);

describe("CO2 and humidity on one time axis", () => {
	it("stand only where the file asks for humidity", () => {
		const dry = read("");
		expect(airAndWaterSection(dry, dry.schedules[0]!)).toBeNull();
	});
	it("have the bursts of the fan, those of a humidifier where there is one, and the floor", () => {
		for (const [water, mist] of [
			["water: { evaporation: 1.2 m3/h }", 0],
			["water: { evaporation: 1.2 m3/h, humidifier: { output: 100 g/h, after-burst: 6 s } }", 1],
		] as const) {
			const comparison = read(water);
			const body = html`${airAndWaterSection(comparison, comparison.schedules[0]!)!.body}`.html;
			expect(body.split(">mist<").length - 1).toBe(2 * mist);
			expect(body).toContain("floor 90 %");
		}
	});
	it("are sampled from lowest to highest, and repeat", () => {
		const { scenario, model, schedules } = read("water: { evaporation: 1.2 m3/h }");
		const { percent, timesSeconds } = sampleHumidity(
			scenario,
			buildHumidity(scenario, model)!,
			schedules[0]!.schedule,
			900,
		);
		const { lowestPercent, highestPercent } = schedules[0]!.water.humidity!;
		expect(Math.min(...percent)).toBeCloseTo(lowestPercent, 9);
		expect(Math.max(...percent)).toBeCloseTo(highestPercent, 9);
		expect(timesSeconds.at(-1)).toBeGreaterThanOrEqual(900);
		expect(timesSeconds.every((t, i) => i === 0 || t >= timesSeconds[i - 1]! - 1e-9)).toBe(true);
		expect(percent.at(-1)).toBeCloseTo(percent[0]!, 9);
	});
});
