import { describe, expect, it } from "vitest";
import { DUCT_FRICTION, FILTERS } from "../lib/sources/airpath.ts";
import { ceilingRecords } from "../lib/sources/ceilingrecords.ts";
import { toleranceOf } from "../lib/sources/ceilings.ts";
import {
	CO2_DENSITY_25C,
	EXPOSURE_LIMITS,
	GAS_CONSTANT,
	INTAKE_CO2,
	OUTDOOR_CO2,
	PASSIVE_LEAK,
	pressureAtAltitudePa,
	SENSOR_ACCURACY,
} from "../lib/sources/constants.ts";
import * as fanFigures from "../lib/sources/fans.ts";
import { q10, species, speciesKeys, stageFactors, stageKeys } from "../lib/sources/fungi.ts";
import * as fuseFigures from "../lib/sources/fuses.ts";
import * as supplyFigures from "../lib/sources/supplies.ts";
import * as timerFigures from "../lib/sources/timers.ts";
import { MOLAR_MASS_WATER, WATER_PER_CO2 } from "../lib/sources/water.ts";
import { parseValue } from "../lib/units/read.ts";

describe("constants", () => {
	it("the gas constant is the exact SI value", () => {
		// Avogadro constant times Boltzmann constant, both exact since 2019; tolerance: one rounding.
		expect(GAS_CONSTANT.value).toBeCloseTo(6.02214076e23 * 1.380649e-23, 14);
	});
	it("1 ppm of CO2 is 1.79885 mg/m3 at 25 °C and 101 325 Pa", () => {
		expect(CO2_DENSITY_25C.value).toBeCloseTo(1.79885, 5);
	});
	it("pressure falls with altitude as ASHRAE Fundamentals 2017 tabulates it", () => {
		// Printed to 1 Pa.
		for (const [metres, pascal] of [
			[0, 101_325],
			[500, 95_461],
			[1000, 89_875],
			[2000, 79_495],
			[4000, 61_640],
		] as const) {
			expect(Math.abs(pressureAtAltitudePa(metres) - pascal)).toBeLessThanOrEqual(1);
		}
	});
	it("the default intake is the newest outdoor mean to the ppm", () => {
		expect(INTAKE_CO2.value).toBe(Math.round(OUTDOOR_CO2[2025]?.value ?? 0));
	});
	it("the default leak is the geometric mean of its prior to two digits", () => {
		expect(Number(Math.sqrt((PASSIVE_LEAK.low ?? 0) * (PASSIVE_LEAK.high ?? 0)).toPrecision(2))).toBe(
			PASSIVE_LEAK.value,
		);
	});
});

describe("fungi", () => {
	it.each(speciesKeys)("the prior of %s is lognormal: P05 and P95 follow from P50 and its spread", (key) => {
		const { rate, geometricSd } = species[key];
		// The printed ends are rounded to 5 or 10 mg/(kg h).
		expect(Math.abs(rate.value / geometricSd ** 1.645 / (rate.low ?? 0) - 1)).toBeLessThan(0.05);
		expect(Math.abs((rate.value * geometricSd ** 1.645) / (rate.high ?? 0) - 1)).toBeLessThan(0.05);
	});
	it("a stage multiplier is the geometric mean of its span, and fruiting is 1", () => {
		for (const key of stageKeys) {
			const { value, low, high } = stageFactors[key];
			expect(value).toBeCloseTo(low === null || high === null ? 1 : Math.sqrt(low * high), 12);
		}
		expect(stageFactors.fruiting.value).toBe(1);
		expect(q10.value).toBe(2.4);
	});
	it("every species has a ceiling at every stage, above its floor", () => {
		for (const key of speciesKeys) {
			for (const stage of stageKeys) {
				const { ceiling, floor } = toleranceOf(key, stage);
				expect(ceiling.value).toBeGreaterThan(floor?.value ?? 0);
			}
		}
		expect(toleranceOf("enoki", "fruiting")).toMatchObject({
			ceiling: { value: 4000 },
			floor: { value: 1300 },
		});
		expect(toleranceOf("king oyster", "pinning").ceiling.value).toBe(1000);
		expect(toleranceOf("king oyster", "fruiting").ceiling.value).toBe(2000);
	});
	it("a name or alias belongs to one species only", () => {
		const names = speciesKeys.flatMap((key) => [key, ...species[key].aliases]);
		expect(new Set(names).size).toBe(names.length);
	});
});

it("every figure says where it comes from, and its ends enclose it", () => {
	const figures = [
		GAS_CONSTANT,
		...Object.values(OUTDOOR_CO2),
		...EXPOSURE_LIMITS,
		PASSIVE_LEAK,
		...Object.values(SENSOR_ACCURACY),
		...Object.values(FILTERS).flatMap(({ drop, faceVelocity }) => [drop, faceVelocity]),
		...Object.values(DUCT_FRICTION),
		...[fanFigures, fuseFigures, supplyFigures, timerFigures].flatMap((figures) =>
			Object.values(figures).filter((figure) => typeof figure === "object" && "provenance" in figure),
		),
		MOLAR_MASS_WATER,
		WATER_PER_CO2,
		q10,
		...speciesKeys.map((key) => species[key].rate),
		...stageKeys.map((key) => stageFactors[key]),
		...speciesKeys.flatMap((key) => stageKeys.map((stage) => toleranceOf(key, stage).ceiling)),
	];
	for (const { value, low, high, source } of figures) {
		expect(source.length).toBeGreaterThan(3);
		expect(low ?? value).toBeLessThanOrEqual(value);
		expect(high ?? value).toBeGreaterThanOrEqual(value);
	}
	for (const { species: key, stage, source, low, high } of ceilingRecords) {
		expect([...speciesKeys, "any"]).toContain(key);
		expect([...stageKeys, "elongation"]).toContain(stage);
		expect(source).not.toBe("");
		expect(low ?? high).not.toBeNull();
	}
});

it("every rate can be read in its unit", () => {
	for (const key of speciesKeys) {
		const { value, unit } = species[key].rate;
		expect(parseValue(`${value} ${unit}`, ["respiration"])).toHaveProperty("value");
	}
});
