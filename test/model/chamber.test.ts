import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { co2MgPerM3, co2VolumeM3 } from "../../lib/model/air/gaslaws.ts";
import { buildModel, freeVolumeM3 } from "../../lib/model/build.ts";
import { balance, isLinear } from "../../lib/model/chamber.ts";
import { deliveredM3, periodicFanSpeedFraction } from "../../lib/model/fan/deliveredair.ts";
import { fanSpeedFraction, fullSpeedSeconds } from "../../lib/model/fan/fanspeed.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { compile } from "../../lib/solve/compile.ts";
import { sinceMidnight } from "../../lib/time.ts";
import { cabinet, everything, shortBursts, zoned } from "../solve/models.ts";

const scenario = (lines: string) =>
	parseScenario(`
chamber: { volume: 200 L, leak: 0.3 /h, temperature: 20 C, pressure: 101325 Pa }
intake: { co2: 450 ppm }
fan: { flow: 60 m3/h }
schedules: { a: { on: 10 s, off: 590 s } }
${lines}`);

describe("the balance", () => {
	it("spreads volume, source and exchange over the zones", () => {
		const b = balance(zoned);
		expect(b.states).toBe(3);
		expect(b.riseMixed).toBeCloseTo((1e6 * 0.4) / (0.7 * 0.18), 6);
		expect(b.riseStagnant).toBeCloseTo((1e6 * 0.6) / (0.3 * 0.18), 6);
		expect(b.interzonalStagnantPerS).toBeCloseTo(5 / 3600 / (0.3 * 0.18), 12);
		expect(b.crop).toBe(b.stagnant);
		expect(balance({ ...zoned, sensorZone: "stagnant" }).sensed).toBe(b.stagnant);
		expect(balance(cabinet)).toMatchObject({ states: 1, stagnant: -1, sensor: -1, crop: 0 });
		expect([isLinear(cabinet), isLinear(zoned), isLinear(everything)]).toEqual([true, true, false]);
	});

	it("names everything in a hand-written model that has no physical meaning", () => {
		const nonsense = {
			...cabinet,
			volumeM3: 0,
			infiltrationM3PerS: -1,
			mixingEfficiency: 0,
			responseSeconds: Number.NaN,
			stagnantFraction: 0.5,
		};
		expect(() => compile(nonsense)).toThrow(InputError);
		expect(() => compile(nonsense)).toThrow(
			[
				"model.volumeM3: needs a volume above 0 m3, got 0",
				"model.infiltrationM3PerS: needs a flow of 0 m3/s or more, got -1",
				"model.mixingEfficiency: needs a factor above 0 and at most 1, got 0",
				"model.responseSeconds: needs 0 s, or a time of 0.001 s or more, got NaN",
				"model.interzonalM3PerS: a stagnant zone needs an exchange above 0 m3/s with the mixed zone, or it never airs out",
			].join("\n"),
		);
	});
});

describe("the fan", () => {
	const slow = { ...cabinet, spinUpTauSeconds: 1, coastDownTauSeconds: 2 };

	it("delivers after a spin-up of 1 s the shares of a burst that practice tables give", () => {
		// Shares of 1, 2, 3, 5, 10, 30 s bursts whose flap shuts at once: computed for this project from equation (3).
		const shares = [1, 2, 3, 5, 10, 30].map((t) =>
			Math.round((100 * fullSpeedSeconds(slow, true, 0, t)) / t),
		);
		expect(shares).toEqual([37, 57, 68, 80, 90, 97]);
	});

	it("moves 110 % of a 10 s burst when it coasts for 2 s without a flap", () => {
		const after = fanSpeedFraction(slow, true, 0, 10);
		expect(fullSpeedSeconds(slow, true, 0, 10) + fullSpeedSeconds(slow, false, after, 1e6)).toBeCloseTo(
			11,
			2,
		);
	});

	it("carries its speed from segment to segment when the pause is too short to stop it", () => {
		const flutter = { kind: "cycle", onSeconds: 1, offSeconds: 1 } as const;
		const level = periodicFanSpeedFraction(slow, flutter, 2);
		expect(fanSpeedFraction(slow, false, fanSpeedFraction(slow, true, level, 1), 1)).toBeCloseTo(level, 14);
		// Air of 100 cycles walked one by one.
		let speed = level;
		let seconds = 0;
		for (let i = 0; i < 200; i++) {
			seconds += fullSpeedSeconds(slow, i % 2 === 0, speed, 1);
			speed = fanSpeedFraction(slow, i % 2 === 0, speed, 1);
		}
		expect(deliveredM3(slow, flutter, 200, level)).toBeCloseTo(seconds * slow.deliveredM3PerS, 10);
		expect(deliveredM3(cabinet, shortBursts, 552, 0)).toBeCloseTo(0.144, 12);
	});
});

describe("respiration", () => {
	it("turns mass and rate into a flow of pure CO2 at chamber conditions", () => {
		// 1 g of CO2 is 0.547 L at 20 °C and 101,325 Pa; 1 ppm is 1.79885 mg/m3 at 25 °C (ideal gas, computed).
		expect(co2VolumeM3(1e-3, 20, 101_325) * 1000).toBeCloseTo(0.547, 3);
		expect(co2MgPerM3(1, 25, 101_325)).toBeCloseTo(1.79885, 5);
		const s = scenario("substrate: { mass: 10 kg, rate: 100 mg/(kg h), reference: 20 C }");
		const model = buildModel(s);
		expect(model.source).toBeUndefined();
		expect(model.generationM3PerS * 3600 * 1000).toBeCloseTo(0.547, 3);
		expect(model.infiltrationM3PerS * 3600).toBeCloseTo(0.3 * 0.2, 12);
		expect(freeVolumeM3(s)).toBeCloseTo(0.2, 12);
	});

	it("takes the substrate off the air, and a leak in air changes with it", () => {
		const model = buildModel(
			scenario("substrate: { mass: 10 kg, rate: 100 mg/(kg h), reference: 20 C, density: 500 kg/m3 }"),
		);
		expect(model.volumeM3).toBeCloseTo(0.18, 12);
		expect(model.infiltrationM3PerS * 3600).toBeCloseTo(0.3 * 0.18, 12);
	});

	it("follows Q10: 2.4 times the CO2 mass ten kelvin above the reference", () => {
		const at = (reference: number) =>
			buildModel(
				scenario(`substrate: { mass: 10 kg, rate: 100 mg/(kg h), reference: ${reference} C, q10: 2.4 }`),
			).generationM3PerS;
		expect(at(10) / at(20)).toBeCloseTo(2.4, 12);
	});

	it("swings by day, rises and falls with a flush, follows a table and feels the CO2", () => {
		const swing = buildModel(
			parseScenario(`
chamber: { volume: 200 L, temperature: { mean: 20 C, swing: 5 K, warmest: "15:00" } }
substrate: { mass: 10 kg, rate: 100 mg/(kg h), reference: 20 C, q10: 2.4 }
fan: { flow: 60 m3/h }
schedules: { a: { on: 10 s, off: 590 s } }`),
		).source!;
		expect(swing).toMatchObject({ isTimeVarying: true, isPpmDependent: false, periodSeconds: 86_400 });
		// Five kelvin either way: 2.4 in mass, and 298.15/288.15 in volume.
		expect(swing.m3PerS(sinceMidnight(15 * 3600), 0) / swing.m3PerS(sinceMidnight(3 * 3600), 0)).toBeCloseTo(
			(2.4 * 298.15) / 288.15,
			9,
		);

		const grown = buildModel(
			scenario(
				"substrate: { mass: 10 kg, rate: 100 mg/(kg h), reference: 20 C, flush: { rise: 2 d, fall: 6 d, width: 1 d, low: 0.5, high: 1.8 } }",
			),
		).source!;
		const base = 0.5466e-3 / 3600;
		expect(grown.m3PerS(sinceMidnight(0), 0) / base).toBeCloseTo(0.5, 2);
		expect(grown.m3PerS(sinceMidnight(2 * 86_400), 0) / base).toBeCloseTo(1.15, 2);
		expect(grown.m3PerS(sinceMidnight(4 * 86_400), 0) / base).toBeCloseTo(1.8, 2);
		expect(grown.m3PerS(sinceMidnight(10 * 86_400), 0) / base).toBeCloseTo(0.5, 2);
		expect(grown.periodSeconds).toBeNull();
		expect(grown.horizonSeconds).toBe(8 * 86_400);

		const table = buildModel(
			scenario(
				"substrate: { mass: 10 kg, reference: 20 C, rates: [{ at: 1 d, rate: 100 mg/(kg h) }, { at: 3 d, rate: 200 mg/(kg h) }] }",
			),
		).source!;
		expect(table.breakpointsSeconds).toEqual([86_400, 3 * 86_400]);
		for (const [day, share] of [
			[0, 1],
			[2, 1.5],
			[5, 2],
		] as const)
			expect(table.m3PerS(sinceMidnight(day * 86_400), 0) / base).toBeCloseTo(share, 3);

		const felt = buildModel(
			scenario("substrate: { mass: 10 kg, rate: 100 mg/(kg h), reference: 20 C, inhibition: 2 % }"),
		).source!;
		expect(felt).toMatchObject({ isTimeVarying: false, isPpmDependent: true });
		expect(felt.m3PerS(sinceMidnight(0), 20_000) / felt.m3PerS(sinceMidnight(0), 0)).toBeCloseTo(0.5, 12);
	});
});
