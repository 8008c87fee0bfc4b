import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { quantileValue } from "../../lib/compare/uncertaininputs.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Quantity } from "../../lib/scenario/scenario.ts";
import { makeCycle } from "../../lib/solve/cycles/cyclestats.ts";
import { normalCdf, normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { chanceOfScenario, complianceOf } from "./compliance.ts";

const read = (text: string) => parseScenario(text, "x.yaml", { schedules: "optional" });

/** Invented; every kind of draw: uniform, normal, log-normal, and all that may happen but the filter and the voltage. */
const cabinet = (disturbances: string, intake = "450 ppm") =>
	read(`
chamber: { volume: { value: 280..320 L, distribution: uniform }, leak: 0.1..0.8 /h, temperature: 18 C }
intake: { co2: ${intake} }
substrate: { species: oyster, mass: 6 kg, rate: 150 mg/(kg h) ±20 %, reference: 18 C, q10: 2.4 }
fan: { flow: 60 m3/h }
target: { ceiling: 1000 ppm }
disturbances: ${disturbances}`);

describe("the chance of a setting", () => {
	it("is within three standard errors of independent draws, with what may happen switched on and off", () => {
		const gas = 8.31446261815324 / (0.0440095 * 101_325);
		const random = seededUniform(17);
		const normal = () => normalQuantile(random()) / 1.6448536269514722;
		const cases = [
			["off", "450 ppm", 0],
			["{ warm-day: 0..2 K, intake: 0..100 ppm, flush: 1..1.8, fan: 10 %, timer: 1 % }", "450 ppm", 0],
			[
				"{ warm-day: off, intake: off, flush: off, fan: 10 %, timer: off }",
				"{ mean: 450 ppm, swing: 40 ppm }",
				40,
			],
		] as const;
		for (const [disturbances, intake, swing] of cases) {
			const isOn = (key: string) => disturbances.includes(`${key}:`) && !disturbances.includes(`${key}: off`);
			const compliance = complianceOf(cabinet(disturbances, intake), 6000, makeCycle(6, 350));
			const count = 200_000;
			let met = 0;
			for (let k = 0; k < count; k++) {
				const volume = 0.28 + 0.04 * random();
				const leak = (Math.sqrt(0.1 * 0.8) * Math.exp(normal() * Math.log(Math.sqrt(8))) * volume) / 3600;
				const celsius = 18 + (isOn("warm-day") ? 2 * random() : 0);
				const rate = 150 * (1 + 0.2 * normal()) * (isOn("flush") ? 1 + 0.8 * random() : 1);
				const kgPerS = (6 * Math.max(rate, 1.5) * 1e-6 * 2.4 ** ((celsius - 18) / 10)) / 3600;
				const give = kgPerS * gas * (celsius + 273.15);
				const supply = 450 + swing + (isOn("intake") ? 100 * random() : 0);
				const flow = (60 * (isOn("fan") ? 1 + 0.1 * normal() : 1)) / 3600;
				const timer = isOn("timer") ? 1 + 0.01 * normal() : 1;
				const [on, off] = [(leak + flow) / volume, leak / volume];
				const [steadyOn, steadyOff] = [(1e6 * give) / volume / on, (1e6 * give) / volume / off];
				const m = -Math.expm1(-on * 6 * timer);
				const q = -Math.expm1(-off * 350 * timer);
				if (supply + steadyOn + ((steadyOff - steadyOn) * q) / (m + q - m * q) <= 1000) met++;
			}
			const reference = met / count;
			const error = Math.hypot(compliance.standardError, Math.sqrt((reference * (1 - reference)) / count));
			expect(Math.abs(compliance.probability - reference)).toBeLessThan(3 * error);
			expect(reference).toBeGreaterThan(0.02);
			expect(reference).toBeLessThan(0.999);
		}
	});

	it("knows a filter that loads and a supply that sags by the curve of the fan, and lists all that it counts in", () => {
		const rig = (disturbances: string) =>
			read(`
chamber: { volume: 350 L, leak: 0.3 /h, temperature: 18 C }
intake: { co2: 450 ppm }
substrate: { species: oyster, mass: 6 kg, rate: 150 mg/(kg h) }
fan:
  curve: { free-flow: 90 m3/h, shut-off: 62 Pa }
  voltage: 12 V
  filter: { drop: 70 Pa, at: 1.5 m/s, area: 600 cm2 }
supply: { voltage: 12 V }
target: { ceiling: 1000 ppm }
disturbances: ${disturbances}`);
		const only = (what: string) =>
			`{ filter: off, warm-day: off, intake: off, flush: off, voltage: off, fan: off, timer: off, ${what} }`.replace(
				new RegExp(`${what.split(":")[0]}: off, `),
				"",
			);
		const loaded = chanceOfScenario(rig(only("filter: 1..3")), 50);
		const flows = loaded.draws.all.map(({ highest }) => highest.model.deliveredM3PerS);
		const clean = loaded.context.steady.model.deliveredM3PerS;
		expect(Math.max(...flows)).toBeLessThanOrEqual(clean * 1.000001);
		expect(Math.min(...flows)).toBeLessThan(0.9 * clean);
		const sagging = chanceOfScenario(rig(only("voltage: 5 %")), 50);
		const ratios = sagging.draws.all.map(({ highest }) => highest.model.deliveredM3PerS / clean).sort();
		expect(ratios[0]!).toBeLessThan(0.97);
		expect(ratios.at(-1)!).toBeGreaterThan(1.03);
		const all = rig("{}").disturbances.map(({ key }) => key);
		expect(all).toEqual(["filter", "warm-day", "intake", "flush", "voltage", "fan", "timer"]);
		for (const { quantity } of rig("{}").disturbances)
			expect(quantity.origin).toMatchObject({ kind: "default" });
		expect(rig("off").disturbances).toEqual([]);
	});

	it("leaves out what the file says itself", () => {
		const keys = (text: string) => read(text).disturbances.map(({ key }) => key);
		expect(
			keys(`
chamber: { volume: 350 L, temperature: { mean: 18 C, swing: 2 K } }
intake: { co2: 420..600 ppm }
substrate: { species: oyster, mass: 6 kg }
fan: { flow: 60 m3/h ±5 % }`),
		).toEqual(["timer"]);
	});

	it("is worth a test: what the setting needs on average once an input is known, by drawing it known", () => {
		const s = cabinet("off");
		const choice = chooseSetting(s, { draws: 4000 });
		if (!choice.isFeasible) throw new Error(choice.bindingConstraint.code);
		const first = choice.complianceProbability!.inputs[0]!;
		expect(first).toMatchObject({ path: "substrate[0].rate", fieldTest: "rise test" });
		// The same, anew: the rate known at the middles of ten equal parts of its distribution, each with its own choice.
		const air = Array.from({ length: 10 }, (_, part) => {
			const rate = quantileValue(s.substrate[0]!.respirationRate, normalQuantile((part + 0.5) / 10));
			const known = read(s.text.replace("150 mg/(kg h) ±20 %", `${(rate * 3.6e9).toFixed(3)} mg/(kg h)`));
			const one = chooseSetting({ ...known, disturbances: [] }, { draws: 1000 });
			if (!one.isFeasible) throw new Error(one.bindingConstraint.code);
			return one.recommended.summary.freshAirM3PerDay;
		});
		const expected = air.reduce((sum, x) => sum + x, 0) / 10;
		const now = choice.recommended.summary.freshAirM3PerDay;
		expect(expected).toBeLessThan(now);
		expect(Math.abs(first.expectedAirM3PerDay! / expected - 1)).toBeLessThan(0.03);
	});
});

describe("distributions", () => {
	const quantity = (distribution: Quantity["distribution"], value = 5, low = 2, high = 8): Quantity => ({
		value,
		low,
		high,
		dimension: "number",
		...(distribution === undefined ? {} : { distribution }),
		text: "",
		origin: { kind: "given", line: 1, column: 1 },
	});

	it("put the ends of a uniform value at its bounds, those of the others at 5 and 95 %", () => {
		expect(quantileValue(quantity("uniform"), 0)).toBeCloseTo(5, 12);
		expect(quantileValue(quantity("uniform"), normalQuantile(0.25))).toBeCloseTo(3.5, 8);
		expect(quantileValue(quantity("uniform"), 9)).toBe(8);
		expect(quantileValue(quantity("normal", 4), 1.6448536269514722)).toBeCloseTo(7, 12);
		expect(quantileValue(quantity("log-normal", 4), 1.6448536269514722)).toBeCloseTo(8, 12);
		expect(quantileValue(quantity(undefined, 4), 1.6448536269514722)).toBeCloseTo(8, 12);
		for (const p of [1e-6, 0.01, 0.3, 0.5, 0.77, 0.999])
			expect(normalCdf(normalQuantile(p)) / p).toBeCloseTo(1, 7);
	});

	it("are read from the file, and refused where they say nothing", () => {
		const volume = cabinet("off").chamber.volume;
		expect(volume).toMatchObject({ distribution: "uniform", low: 0.28, high: 0.32 });
		for (const [value, message] of [
			["{ value: 300 L, distribution: uniform }", "needs a range or spread for its value"],
			["{ value: 280..320 L, distribution: even }", 'needs "uniform", "normal" or "log-normal"'],
		])
			expect(() =>
				read(`chamber: { volume: ${value} }\nsubstrate: { mass: 5 kg }\nfan: { flow: 60 m3/h }`),
			).toThrow(message);
	});

	it("refuse targets that contradict themselves, and take several", () => {
		const target = (text: string) =>
			read(`chamber: { volume: 300 L }\nsubstrate: { mass: 5 kg }\nfan: { flow: 60 m3/h }\ntarget: ${text}`)
				.target;
		expect(
			target(
				"{ ceiling: { worst hour: 1000 ppm, peak: 1200 ppm }, floor: { trough: 600 ppm }, confidence: 95 % }",
			),
		).toMatchObject({
			on: "peak",
			ceiling: { value: 1200 },
			floor: { value: 600 },
			floorOn: "trough",
			further: [{ side: "ceiling", on: "worst hour", level: { value: 1000 } }],
			confidence: { value: 0.95 },
		});
		for (const [text, message] of [
			["{ ceiling: { peak: 1000 ppm }, on: mean }", "conflicts with a ceiling that names its values"],
			["{ ceiling: { peak: 1000 ppm }, floor: { mean: 1100 ppm } }", "must be below the ceiling"],
			["{ ceiling: {} }", "needs at least one level"],
			["{ confidence: 40 % }", "must be at least 50 %"],
		])
			expect(() => target(text!)).toThrow(message);
	});
});
