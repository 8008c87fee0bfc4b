import { describe, expect, it } from "vitest";
import { copperAreaM2, ohmPerM, voltageDrop } from "../../../lib/model/fan/conductor.ts";

describe("copper", () => {
	it.each([
		// Printed to three digits.
		[16, 0.0132],
		[18, 0.021],
		[20, 0.0333],
		[22, 0.053],
		[24, 0.0842],
		[26, 0.134],
		[28, 0.213],
	])("AWG %i has %f ohm per metre", (awg, ohm) => {
		expect(Math.abs(ohmPerM({ awg }, 20) / ohm - 1)).toBeLessThan(0.005);
	});
	it("a metric wire has the greatest resistance that IEC 60228 allows, or that of its copper where it is not listed", () => {
		const perKilometre = [0.5, 0.75, 1, 1.5].map((mm2) => 1000 * ohmPerM({ mm2 }, 20));
		for (const [k, ohm] of [39, 26, 19.5, 13.3].entries()) expect(perKilometre[k]).toBeCloseTo(ohm, 12);
		expect(ohmPerM({ mm2: 0.25 }, 20)).toBeCloseTo(0.069, 4);
		expect(copperAreaM2({ mm2: 0.5 })).toBeCloseTo(5e-7, 15);
	});
	it("has 7.9 % more resistance at 40 °C", () => {
		expect(ohmPerM({ awg: 20 }, 40) / ohmPerM({ awg: 20 }, 20)).toBeCloseTo(1.0786, 12);
	});
	it.each([
		// Longest run one way for 3 % of 12 V, as tabulated to two or three digits.
		[0.5, { 24: 4.3, 22: 6.8, 20: 10.8, 18: 17.2 }],
		[1, { 24: 2.1, 22: 3.4, 20: 5.4, 18: 8.6 }],
		[2, { 24: 1.07, 22: 1.7, 20: 2.7, 18: 4.29 }],
	])("at %f A the longest runs for 3 %% are those of the table", (ampere, runs) => {
		for (const [awg, metres] of Object.entries(runs)) {
			const perMetre = voltageDrop(1, ohmPerM({ awg: Number(awg) }, 20), ampere);
			expect(Math.abs(0.36 / perMetre - metres)).toBeLessThanOrEqual(metres > 2 ? 0.05 : 0.005);
		}
	});
	it("no wire, no drop", () => {
		expect(voltageDrop(0, 0.05, 3)).toBe(0);
	});
});
