import { describe, expect, it } from "vitest";
import { compareSensorSwitches } from "../../lib/compare/sensorswitch.ts";
import { InputError } from "../../lib/errors.ts";
import { co2VolumeM3 } from "../../lib/model/air/gaslaws.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { switchRows, switchWords } from "../../reports/words/sensorswitch.ts";

/** Half a litre of CO2 an hour, in mg/(kg h) of one kilogram. */
const rate = 1e6 * (0.5e-3 / co2VolumeM3(1, 18, 101_325));
const file = (entry: string, { flow = 60, spread = "", more = "" } = {}) =>
	parseScenario(`
chamber: { volume: 200 L, leak: 0 m3/h, temperature: 18 C, pressure: 101325 Pa }
intake: { co2: 420 ppm }
substrate: { mass: 1 kg, rate: ${rate.toFixed(9)} mg/(kg h)${spread}, reference: 18 C }
fan: { flow: ${flow} m3/h }
${more}
schedules: { timer: { on: 6 s, off: 324 s }, by sensor: ${entry} }`);
const asItIs = (entry: string, changes?: Parameters<typeof file>[1]) => {
	const [one] = compareSensorSwitches(file(entry, changes));
	return { ...one!, ...one!.outcomes[0]! };
};

describe("a fan that its sensor switches", () => {
	it("keeps its band with a sensor that shows at once, as the closed form says", () => {
		const found = asItIs("{ above: 1000 ppm, until: 800 ppm }");
		expect(found.peakPpm).toBeCloseTo(1000, 6);
		expect(found.troughPpm).toBeCloseTo(800, 6);
		expect(found.onSeconds).toBeCloseTo(0.2 * 60 * Math.log((1000 - 428.333333) / (800 - 428.333333)), 4);
		expect(found.offSeconds).toBeCloseTo(288, 3);
		expect(found.isMet).toBe(true);
	});

	it("empties a small chamber at each call behind a slow sensor, and says so", () => {
		// Exact phase laws against a run from event to event, from elsewhere: 452 to 1042 ppm, 63.4 m3 a day.
		const found = asItIs("{ above: 1000 ppm, until: 800 ppm, sensor: { response: 60 s } }");
		expect(found.peakPpm).toBeCloseTo(1041.666, 2);
		expect(found.troughPpm).toBeCloseTo(451.819, 2);
		expect(found.freshAirM3PerDay).toBeCloseTo(63.4486, 2);
		expect(found.lagAirChanges).toBeCloseTo(5, 9);
		expect(found.isMet).toBe(false);
		expect(found.timerM3PerDay!).toBeLessThan(0.5 * found.freshAirM3PerDay);
		expect(switchWords(found, "si")).toContain("purges");
		expect(switchRows(found, "si")[0]).toHaveLength(8);
	});

	it("is held against a timer whose air no continuous flow of the same peak undercuts, with a fan that coasts down too", () => {
		const sensor = "{ above: 1000 ppm, until: 800 ppm, sensor: { response: 60 s } }";
		for (const flow of ["60 m3/h", "60 m3/h, spin-up: 0.5 s, coast-down: 1 s"]) {
			const [found] = compareSensorSwitches(
				parseScenario(`
chamber: { volume: 200 L, leak: 0 m3/h, temperature: 18 C, pressure: 101325 Pa }
intake: { co2: 420 ppm }
substrate: { mass: 1 kg, rate: ${rate.toFixed(9)} mg/(kg h), reference: 18 C }
fan: { flow: ${flow} }
schedules: { timer: { on: 6 s, off: 324 s }, by sensor: ${sensor} }`),
			);
			// Half a litre an hour, carried out by air that is at the peak all day.
			const least = (24 * 0.5e-3 * 1e6) / (found!.outcomes[0]!.peakPpm - 420);
			expect(found!.timerM3PerDay! / least).toBeGreaterThan(1);
			expect(found!.timerM3PerDay! / least).toBeLessThan(1.3);
		}
		const [clocked] = compareSensorSwitches(file("{ above: 1000 ppm, shortest: { on: 10 s } }"));
		expect(switchWords(clocked!, "si")).not.toContain("stop the fan by the clock");
		const [never] = compareSensorSwitches(file("{ above: 1000 ppm, until: 300 ppm }"));
		expect(switchWords(never!, "si")).toContain("never switches");
	});

	it("that is read every 20 s, with an offset and shortest times, goes as steps of exponentials from reading to reading", () => {
		const found = asItIs(
			"{ above: 1000 ppm, until: 900 ppm, sensor: { response: 60 s, every: 20 s, offset: 20 ppm }, shortest: { on: 45 s, off: 60 s } }",
		);
		// From reading to reading chamber and sensor have constant coefficients; this shares no line with the library.
		let [c, s, isOn, since] = [420, 420, false, Number.NEGATIVE_INFINITY];
		const [on, total] = [[] as number[], 400_000];
		let [from, starts, peak, trough] = [0, 0, 0, 1e9];
		for (let t = 0; t < total; t += 20) {
			const may = t - since >= (isOn ? 45 : 60) - 1e-9;
			const shown = s + 20;
			if (may && (isOn ? shown <= 900 : shown >= 1000)) {
				isOn = !isOn;
				since = t;
				if (isOn) {
					on.push(t);
					if (t > total / 2) {
						if (starts === 0) from = t;
						starts++;
					}
				}
			}
			if (starts > 0) {
				peak = Math.max(peak, c);
				trough = Math.min(trough, c);
			}
			const [rise, tau] = [0.5e3 / 3600 / 0.2, 60];
			if (isOn) {
				const k = 60 / 3600 / 0.2;
				const goal = 420 + rise / k;
				const [a, b] = [Math.exp(-k * 20), Math.exp(-20 / tau)];
				s = goal + ((c - goal) / (1 - k * tau)) * (a - b) + (s - goal) * b;
				c = goal + (c - goal) * a;
			} else {
				const b = Math.exp(-20 / tau);
				s = c + rise * (20 - tau) + (s - c + rise * tau) * b;
				c += rise * 20;
			}
		}
		const cycle = (on.at(-1)! - from) / (starts - 1);
		expect(86_400 / found.startsPerDay / cycle).toBeCloseTo(1, 2);
		expect(found.peakPpm).toBeCloseTo(peak, 0);
		expect(found.troughPpm).toBeCloseTo(trough, 0);
	});

	it("stops by the clock where no lower level is given, which no slow sensor can prolong", () => {
		const found = asItIs("{ above: 1000 ppm, sensor: { response: 60 s }, shortest: { on: 10 s } }");
		expect(found.onSeconds).toBeCloseTo(10, 9);
		expect(found.troughPpm).toBeGreaterThan(650);
	});

	it("is held against its sensor's accuracy, the range of respiration, and a sensor that is stuck", () => {
		const [result] = compareSensorSwitches(
			file("{ above: 1000 ppm, until: 900 ppm }", { spread: " ±30 %", more: "sensor: { accuracy: 40 ppm }" }),
		);
		const by = Object.fromEntries(result!.outcomes.map((one) => [one.case, one]));
		expect(by["sensor reads high"]!.peakPpm).toBeCloseTo(960, 6);
		expect(by["sensor reads low"]!.peakPpm).toBeCloseTo(1040, 6);
		expect(by["respiration high"]!.freshAirM3PerDay / by["respiration low"]!.freshAirM3PerDay).toBeCloseTo(
			1.3 / 0.7,
			1,
		);
		expect(by["stuck on"]!.meanPpm).toBeCloseTo(420 + 500 / 60, 3);
		expect(by["stuck on"]!.freshAirM3PerDay).toBeCloseTo(1440, 6);
		expect(by["stuck off"]!.freshAirM3PerDay).toBe(0);
	});

	it("is refused with a level below at or over the one above, or without a way to stop", () => {
		const fault = (entry: string) => {
			try {
				file(entry);
			} catch (error) {
				if (error instanceof InputError) return error.message;
			}
			return "";
		};
		expect(fault("{ above: 1000 ppm, until: 1000 ppm }")).toContain(
			'must be a level lower than that of "above"',
		);
		expect(fault("{ above: 1000 ppm }")).toContain("shortest: { on: 10 s }");
		expect(fault("{ above: 1000 ppm, untill: 900 ppm }")).toContain("until");
	});
});
