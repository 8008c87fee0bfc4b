import { describe, expect, it } from "vitest";
import { fitLog } from "../../lib/fit/fit.ts";
import { verifyLog } from "../../lib/fit/verify.ts";
import { readLog } from "../../lib/logs/read.ts";
import { updateScenario } from "../../lib/scenario/edit/update.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";

/** Standard normal numbers by a seed: Lehmer's generator, Box and Muller. */
function seededNormal(seed: number): () => number {
	let state = (seed * 48_271 + 11) % 2_147_483_647;
	const uniform = () => {
		state = (state * 48_271) % 2_147_483_647;
		return state / 2_147_483_647;
	};
	return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

/**
 * A log of CO2, humidity and fan from a chamber of its own: Euler steps of a tenth of a second, which share no line with the library.
 * 200 L at 18 °C (saturation 15.365 g/m3), intake at 20 °C and 50 % (8.645 g/m3 there, 8.704 at 18 °C), leak 0.06 m3/h, fan 40 m3/h.
 */
function makeLog({ evaporation = 1.2, mist = 0, seed = 1, offset = 0 } = {}): string {
	const noise = seededNormal(seed);
	const [volume, leak, fan] = [0.2, 0.06 / 3600, 40 / 3600];
	const [saturation, intake] = [15.365, ((0.5 * 2339.19) / (461.52 * 291.15)) * 1000];
	const co2PerS = (5 * 155e-6 * 1000) / 3600; // g/s
	const generation = (co2PerS / 1000 / 1.842) * 1e6; // ppm m3/s, 1.842 kg/m3 of CO2 at 18 °C
	const heatDriven = (co2PerS * 10.65 * 0.576) / 2.4538;
	const dry = 1 - (0.5 * 2339.19) / 101_325;
	let [ppm, vapour] = [600, 0.85 * saturation];
	const lines = ["seconds,CO2 (ppm),RH (%),fan"];
	const step = 0.1;
	for (let n = 0; n <= 4 * 3600 * 10; n++) {
		const t = n * step;
		const phase = t % 600;
		const isOn = phase < 20 - 1e-9;
		const isMist = phase >= 20 - 1e-9 && phase < 26 - 1e-9;
		if (n % 100 === 0)
			lines.push(
				`${Math.round(t)},${(ppm + 3 * noise()).toFixed(1)},${((100 * vapour) / saturation + offset + 0.3 * noise()).toFixed(2)},${isOn ? 1 : 0}`,
			);
		const flow = leak + (isOn ? fan : 0);
		ppm += (step / volume) * (flow * (420 - ppm) + generation);
		vapour +=
			(step / volume) *
			(flow * (intake - vapour) +
				dry * ((evaporation / 3600) * (saturation - vapour) + heatDriven + (isMist ? mist / 3600 : 0)));
	}
	return lines.join("\n");
}

const scenario = (water: string) =>
	parseScenario(`
chamber: { volume: 200 L, leak: 0.06 m3/h, temperature: 18 C }
intake: { co2: 420 ppm, temperature: 20 C, humidity: 50 % }
substrate: { mass: 5 kg, rate: 120 mg/(kg h), reference: 18 C }
fan: { flow: 35 m3/h }
water: ${water}
schedules: { burst: { on: 20 s, off: 580 s } }`);

describe("evaporation from the humidity of a log", () => {
	it("is found within its error, after CO2 gave leak and flow, and is written back", () => {
		const file = scenario("{ evaporation: 0.5 m3/h }");
		const fit = fitLog(file, readLog(makeLog()));
		const { evaporation, isIdentifiable, rmsPercent, humidifierOutput } = fit.humidity!;
		expect(isIdentifiable).toBe(true);
		expect(humidifierOutput).toBeNull();
		expect(rmsPercent).toBeLessThan(0.5);
		expect(evaporation.standardError! / evaporation.value).toBeLessThan(0.1);
		expect(Math.abs(evaporation.value * 3600 - 1.2)).toBeLessThan(3 * evaporation.standardError! * 3600);
		const change = fit.changes.find(({ path }) => path === "water.evaporation");
		expect(change!.text).toMatch(/^1\.\d+ m3\/h ±/);
		const written = parseScenario(
			updateScenario(file.text, fit.changes, { log: "log.csv", on: "2026-12-01" }),
		);
		expect(written.water!.evaporation.value * 3600).toBeCloseTo(1.2, 1);
	});

	it("is found together with the output of a humidifier", () => {
		const fit = fitLog(
			scenario("{ evaporation: 0.5 m3/h, humidifier: { output: 30 g/h, after-burst: 6 s } }"),
			readLog(makeLog({ mist: 80 })),
		);
		const { evaporation, humidifierOutput } = fit.humidity!;
		expect(Math.abs(evaporation.value * 3600 - 1.2)).toBeLessThan(0.08);
		expect(Math.abs(humidifierOutput!.value * 3.6e6 - 80)).toBeLessThan(8);
	});

	it("says how far it is off where the sensor reads too high", () => {
		const high = fitLog(scenario("{ evaporation: 0.5 m3/h }"), readLog(makeLog({ offset: 1 }))).humidity!;
		const even = fitLog(scenario("{ evaporation: 0.5 m3/h }"), readLog(makeLog())).humidity!;
		const shift = (high.evaporation.value - even.evaporation.value) * 3600;
		expect(shift).toBeGreaterThan(0.02);
		expect(Math.abs(even.shiftPerPercent * 3600 - shift)).toBeLessThan(0.2 * shift);
	});

	it("is told by verify too", () => {
		const log = readLog(makeLog());
		const { humidity } = verifyLog(scenario("{ evaporation: 0.5 m3/h }"), log);
		expect(Math.abs(humidity!.evaporation.value * 3600 - 1.2)).toBeLessThan(0.1);
		expect(humidity!.evaporatedGPerDay).toBeGreaterThan(50);
	});

	it("is not asked for where the scenario has no water, or the log no humidity", () => {
		const withoutWater = parseScenario(scenario("{ evaporation: 1 m3/h }").text.replace(/water:.*\n/, ""));
		expect(fitLog(withoutWater, readLog(makeLog())).humidity).toBeUndefined();
		const bare = makeLog().replace(/^([^,]*,[^,]*),[^,]*,/gm, "$1,");
		expect(fitLog(scenario("{ evaporation: 1 m3/h }"), readLog(bare)).humidity).toBeUndefined();
	});
});
