import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
	airAfterBurst,
	dewPointC,
	enthalpyKJPerKg,
	humidityRatio,
	saturationPa,
	specificVolumeM3PerKgDryAir,
	waterCarriedKgPerM3,
} from "../../../lib/model/air/moistair.ts";

const SEA_LEVEL = 101_325;
const air = (celsius: number, percent: number) => ({ celsius, relativeHumidity: percent / 100 });
const celsius = fc.double({ min: 1, max: 40, noNaN: true });
const percent = fc.double({ min: 1, max: 100, noNaN: true });

describe("water carried off by a cubic metre", () => {
	// The figures are differences of vapour density, printed to 0.1 g/m3. They leave out that the drier intake air holds some 1 % more
	// dry air than the chamber air of the same volume, and so brings more vapour: that is worth up to 0.15 g/m3 here.
	it.each([
		[air(15, 90), air(15, 40), 6.4],
		[air(15, 90), air(15, 50), 5.1],
		[air(15, 90), air(15, 60), 3.8],
		[air(18, 90), air(18, 40), 7.7],
		[air(18, 90), air(18, 50), 6.1],
		[air(18, 90), air(18, 60), 4.6],
		[air(20, 90), air(20, 40), 8.6],
		[air(20, 90), air(20, 50), 6.9],
		[air(20, 90), air(20, 60), 5.2],
		[air(24, 90), air(24, 40), 10.9],
		[air(24, 90), air(24, 50), 8.7],
		[air(24, 90), air(24, 60), 6.5],
		[air(20, 95), air(20, 50), 7.8],
		[air(18, 90), air(20, 40), 6.9],
	])("from %j with intake %j is %d g", (chamber, intake, grams) => {
		const ours = 1000 * waterCarriedKgPerM3(chamber, intake, SEA_LEVEL);
		expect(Math.abs(ours - grams)).toBeLessThan(0.2);
	});
	it("is none from like air, and changes sign where the intake is the moister", () => {
		expect(waterCarriedKgPerM3(air(20, 70), air(20, 70), SEA_LEVEL)).toBe(0);
		expect(waterCarriedKgPerM3(air(15, 80), air(30, 80), SEA_LEVEL)).toBeLessThan(0);
		// Cold air is dry, however high its relative humidity.
		expect(waterCarriedKgPerM3(air(18, 90), air(0, 100), SEA_LEVEL)).toBeGreaterThan(0.008);
	});
	it("closes the balance of dry air and vapour", () => {
		// A cubic metre out and as much dry air in: out less in, from densities M p/(R T) of the vapour alone.
		const check = (t: number, inside: number, intake: number) => {
			const density = (rh: number) =>
				(0.018015268 * rh * saturationPa(t)) / (8.31446261815324 * (t + 273.15));
			const dry = (rh: number) => SEA_LEVEL - rh * saturationPa(t);
			const volumeIn = dry(inside / 100) / dry(intake / 100);
			const expected = density(inside / 100) - volumeIn * density(intake / 100);
			const ours = waterCarriedKgPerM3(air(t, inside), air(t, intake), SEA_LEVEL);
			// Terms of some 0.05 kg/m3 are subtracted.
			expect(Math.abs(ours - expected)).toBeLessThan(1e-14);
		};
		fc.assert(fc.property(celsius, percent, percent, check), { seed: 1, numRuns: 200 });
	});
});

describe("relative humidity after a burst", () => {
	// 45 + 45 exp(-n), printed to 0.1 %.
	it.each([
		[0.05, 87.8],
		[0.1, 85.7],
		[0.2, 81.8],
		[0.5, 72.3],
		[1, 61.6],
		[2, 51.1],
	])("of %d air changes, from 90 %% with intake at 45 %%, is %d %%", (airChanges, expected) => {
		const ours = 100 * airAfterBurst(airChanges, air(18, 90), air(18, 45), SEA_LEVEL).relativeHumidity;
		expect(Math.abs(ours - expected)).toBeLessThan(0.0501);
	});
	it("lies between what was there and what comes in, holds their enthalpy and their water, and is never above saturation", () => {
		const check = (n: number, inside: number, outside: number, warm: number, cold: number) => {
			const [chamber, intake] = [air(warm, inside), air(cold, outside)];
			const after = airAfterBurst(n, chamber, intake, SEA_LEVEL);
			const ratio = ({ celsius, relativeHumidity }: typeof chamber) =>
				humidityRatio(relativeHumidity * saturationPa(celsius), SEA_LEVEL);
			const heat = (one: typeof chamber) => enthalpyKJPerKg(one.celsius, ratio(one));
			const dry = (one: typeof chamber) => SEA_LEVEL - one.relativeHumidity * saturationPa(one.celsius);
			const [stays, comes] = [Math.exp(-n) * dry(chamber), -Math.expm1(-n) * dry(intake)];
			const mixed = (a: number, b: number) => (a * stays + b * comes) / (stays + comes);
			const liquid = after.fogGPerKg / 1000;
			expect(after.relativeHumidity).toBeLessThanOrEqual(1);
			expect(ratio(after) + liquid).toBeCloseTo(mixed(ratio(chamber), ratio(intake)), 9);
			expect(heat(after) + liquid * 4.186 * after.celsius).toBeCloseTo(mixed(heat(chamber), heat(intake)), 6);
			if (after.fogGPerKg > 0) expect(after.relativeHumidity).toBe(1);
			else expect(after.celsius).toBeGreaterThanOrEqual(Math.min(warm, cold) - 1e-9);
		};
		const changes = fc.double({ min: 0, max: 50, noNaN: true });
		fc.assert(fc.property(changes, percent, percent, celsius, celsius, check), { seed: 1, numRuns: 300 });
	});
	it("is fog where moist air meets cold, and drier air where all are at one temperature", () => {
		const fog = airAfterBurst(0.5, air(18, 90), air(-10, 80), SEA_LEVEL);
		expect(fog.fogGPerKg).toBeGreaterThan(0.3);
		expect(airAfterBurst(0.5, air(18, 90), air(18, 60), SEA_LEVEL).celsius).toBeCloseTo(18, 6);
	});
	it("of an intake at 8 °C is moister than the chamber's own temperature would have it, for the mix is colder", () => {
		const { celsius, relativeHumidity } = airAfterBurst(0.5, air(16, 90), air(8, 50), SEA_LEVEL);
		const asWarm = 0.5 * saturationPa(8) + (0.9 * saturationPa(16) - 0.5 * saturationPa(8)) * Math.exp(-0.5);
		expect(celsius).toBeCloseTo(12.87, 1);
		expect(relativeHumidity).toBeGreaterThan(asWarm / saturationPa(16) + 0.1);
	});
});

describe("moist air", () => {
	it("that is saturated has its dew point at its own temperature", () => {
		const check = (t: number) => {
			expect(dewPointC(air(t, 100))).toBeCloseTo(t, 10);
		};
		fc.assert(fc.property(celsius, check), { seed: 1, numRuns: 100 });
	});
	it("is saturated at its dew point", () => {
		// Magnus lies up to 0.3 % off the better formula, at both temperatures alike to a part of that.
		const check = (t: number, rh: number) => {
			const vapour = (rh / 100) * saturationPa(t);
			expect(Math.abs(saturationPa(dewPointC(air(t, rh))) / vapour - 1)).toBeLessThan(0.004);
		};
		fc.assert(fc.property(celsius, fc.double({ min: 30, max: 100, noNaN: true }), check), {
			seed: 1,
			numRuns: 100,
		});
	});
	it("holds a kilogram of dry air and its vapour at the pressure of both", () => {
		// Dalton: the vapour of ratio W and the dry air, each alone in that volume, add up to the whole pressure.
		const check = (t: number, rh: number) => {
			const vapour = (rh / 100) * saturationPa(t);
			const ratio = humidityRatio(vapour, SEA_LEVEL);
			const volume = specificVolumeM3PerKgDryAir(t, ratio, SEA_LEVEL);
			const rT = 8.31446261815324 * (t + 273.15);
			expect((ratio * rT) / (0.018015268 * volume) / vapour).toBeCloseTo(1, 12);
			expect((rT / (0.0289647 * volume) + vapour) / SEA_LEVEL).toBeCloseTo(1, 12);
		};
		fc.assert(fc.property(celsius, percent, check), { seed: 1, numRuns: 100 });
	});
});
