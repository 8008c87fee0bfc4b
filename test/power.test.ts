import { expect, test } from "vitest";
import { power, powerOfTen } from "../lib/power.ts";

test("a power agrees with the engine's own within a few units of the last place", () => {
	for (const base of [0.001, 0.5, 0.97, 1, 1.8, 2, 92, 640])
		for (const exponent of [-23, -3, -1, -0.2, 0, 0.04, 1 / 3, 1.5, 5.2559, 7.5, 12])
			expect(power(base, exponent) / base ** exponent).toBeCloseTo(1, 13);
	expect(power(0, 0.2)).toBe(0);
	expect(power(0, 0)).toBe(1);
	expect(power(-2, 3)).toBe(-8);
});

test("a power of ten is the number that the digits mean", () => {
	for (let exponent = -30; exponent <= 30; exponent++)
		expect(powerOfTen(exponent)).toBe(Number.parseFloat(`1e${exponent}`));
	expect(powerOfTen(-5)).toBe(0.00001);
});
