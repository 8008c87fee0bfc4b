import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { type Dimension, examplesOf } from "../../lib/units/dimensions.ts";
import { formatDuration, formatQuantity } from "../../lib/units/format.ts";
import { normalizeText, parseValue, readValue } from "../../lib/units/read.ts";

const read = (text: string, ...dimensions: Dimension[]): number => {
	const result = parseValue(normalizeText(text), dimensions);
	if ("refused" in result) throw new Error(`${text}: ${result.refused}`);
	return result.value;
};
const refusal = (text: string, ...dimensions: Dimension[]): string => {
	const result = parseValue(normalizeText(text), dimensions);
	if ("value" in result) throw new Error(`${text} was read as ${result.value}`);
	return result.refused;
};

describe("a value read in one call", () => {
	it("is in SI", () => expect(readValue("40 cfm", "flow")).toBeCloseTo(0.018877897728, 15));
	it("takes what people type", () => expect(readValue("−40 °F", "temperature")).toBeCloseTo(-40, 12));
	it("is refused with the rule, what was received and the way out", () =>
		expect(() => readValue("180 kg", "volume")).toThrow(
			new InputError([
				{ path: "volume", message: 'needs a volume such as "180 L" or "6.4 ft3", got "180 kg"' },
			]),
		));
	it("says why, where there is more to say", () =>
		expect(() => readValue("4 m", "duration")).toThrow("m is metre; write min for minutes"));
});

describe("units are exact", () => {
	// International yard and pound (1959): 1 ft = 0.3048 m, 1 lb = 0.45359237 kg; US gallon 231 in3; UK gallon 4.54609 L.
	// The SI values are those of NIST SP 811 appendix B, from memory; tolerance: rounding of one multiplication.
	const exact: [string, Dimension, number][] = [
		["1 ft3", "volume", 0.028316846592],
		["1 gal", "volume", 0.003785411784],
		["1 UK gal", "volume", 0.00454609],
		["1 in", "length", 0.0254],
		["1 ft", "length", 0.3048],
		["1 lb", "mass", 0.45359237],
		["1 oz", "mass", 0.028349523125],
		["1 t", "mass", 1000],
		["1 cfm", "flow", 1.69901079552 / 3600],
		["1 cfm", "flow", 0.4719474432e-3],
		["1 m3/h", "flow", 1 / 3600],
		["1 L/min", "flow", 1e-3 / 60],
		["1 /h", "air changes", 1 / 3600],
		["68 F", "temperature", 20],
		["-40 F", "temperature", -40],
		["293.15 K", "temperature", 20],
		["1.8 F", "temperature difference", 1],
		["1 %", "concentration", 10_000],
		["90 %", "fraction", 0.9],
		["0.9", "fraction", 0.9],
		["3600 mg/(kg h)", "respiration", 1e-6],
		["1 g/(kg h)", "respiration", 1e-3 / 3600],
		["1 g/L", "density", 1],
		["1 mbar", "pressure", 100],
		// Conventional inch of water; 1 mm of water is 9.80665 Pa by definition.
		["1 inH2O", "pressure", 249.08891],
		["1 mmH2O", "pressure", 9.80665],
		["225 cm2", "area", 0.0225],
		["1 in2", "area", 0.00064516],
		["1 ft2", "area", 0.09290304],
		["0.5 mm2", "area", 5e-7],
		["1 fpm", "velocity", 0.00508],
		["500 fpm", "velocity", 2.54],
		["2 Wh", "energy", 7200],
		["300 mA", "current", 0.3],
		["1 week", "duration", 604_800],
		["2 weeks", "duration", 1_209_600],
		["1 month", "duration", 30.44 * 86_400],
		["18 months", "duration", 18 * 30.44 * 86_400],
		["2 years", "duration", 2 * 365.25 * 86_400],
		["1 year 6 months", "duration", 365.25 * 86_400 + 6 * 30.44 * 86_400],
	];
	it.each(exact)("%s as %s", (text, dimension, expected) => {
		expect(Math.abs(read(text, dimension) - expected)).toBeLessThanOrEqual(
			4e-16 * Math.abs(expected) + 1e-14 * Number(dimension === "temperature"),
		);
	});

	it("reads a millilitre of CO2 at 25 °C and 101.325 kPa: 1 mL = 1.79885 mg", () => {
		// 1 ppm CO2 = 1.79885 mg/m3 at that state: computed with R and M; six figures are printed.
		expect(read("1 mL/(kg h)", "respiration") * 3.6e9).toBeCloseTo(1.79885, 5);
	});
});

describe("units are read as people write them", () => {
	const spellings: [string, Dimension, string][] = [
		["180 litres", "volume", "180 L"],
		["180l", "volume", "180 L"],
		["6.4 cu ft", "volume", "6.4 ft3"],
		["6.4 cu. ft", "volume", "6.4 ft3"],
		["6.4 cubic feet", "volume", "6.4 ft3"],
		["6.4 ft³", "volume", "6.4 ft3"],
		["6.4 ft^3", "volume", "6.4 ft3"],
		["5 US gal", "volume", "5 gal"],
		["70 m³/h", "flow", "70 m3/h"],
		["70 m3 h-1", "flow", "70 m3/h"],
		["70 m³·h⁻¹", "flow", "70 m3/h"],
		["70 m3 per hour", "flow", "70 m3/h"],
		["40 CFM", "flow", "40 cfm"],
		["40 ft3/min", "flow", "40 cfm"],
		["40 cubic feet per minute", "flow", "40 cfm"],
		["0.3 ACH", "air changes", "0.3 /h"],
		["0.3/h", "air changes", "0.3 /h"],
		["0.3 1/h", "air changes", "0.3 /h"],
		["0.3 per hour", "air changes", "0.3 /h"],
		["0.3 air changes per hour", "air changes", "0.3 /h"],
		["150 mg/(kg·h)", "respiration", "150 mg/(kg h)"],
		["150 mg/kg/h", "respiration", "150 mg/(kg h)"],
		["150 mg kg⁻¹ h⁻¹", "respiration", "150 mg/(kg h)"],
		["−5 °C", "temperature", "-5 C"],
		["64 deg F", "temperature", "64 F"],
		["18 ℃", "temperature", "18 C"],
		["1\u00A0000\u2009ppm", "concentration", "1000 ppm"],
		["10 000 ppm", "concentration", "1 %"],
		["1h 30min", "duration", "90 min"],
		["3 min 56 s", "duration", "236 s"],
		["2 days", "duration", "48 h"],
		["5 lb 8 oz", "mass", "5.5 lb"],
		["970 mbar", "pressure", "97 kPa"],
		["0.3 in. w.g.", "pressure", "0.3 inH2O"],
		["0.3 inwg", "pressure", "0.3 inH2O"],
		["0.3 in wc", "pressure", "0.3 inH2O"],
		["0.3 inches of water", "pressure", "0.3 inH2O"],
		["0.3 inH₂O", "pressure", "0.3 inH2O"],
		["8 mm of water column", "pressure", "8 mmH2O"],
		["35 sq in", "area", "35 in2"],
		["35 in²", "area", "35 in2"],
		["0.75 mm^2", "area", "0.75 mm2"],
		["2.5 m s-1", "velocity", "2.5 m/s"],
		["500 ft/min", "velocity", "500 fpm"],
		["0.2 Ω", "resistance", "0.2 ohm"],
	];
	it.each(spellings)("%s (%s) is %s", (written, dimension, plain) => {
		expect(read(written, dimension)).toBe(read(plain, dimension));
	});

	it("takes the dimension that fits when several are allowed", () => {
		expect(parseValue("2 m3/h", ["flow", "air changes"])).toMatchObject({ dimension: "flow" });
		expect(parseValue("2 /h", ["flow", "air changes"])).toMatchObject({ dimension: "air changes" });
	});

	it("keeps a temperature and a difference of temperatures apart", () => {
		expect(read("9 F", "temperature difference")).toBe(5);
		expect(read("50 F", "temperature")).toBe(10);
	});
});

describe("what cannot be read is refused with a reason", () => {
	it.each([
		["1,5 L", "volume", "write a point for decimals and no comma in thousands"],
		["1,000 ppm", "concentration", "write a point for decimals and no comma in thousands"],
		["NaN L", "volume", "it must be a finite number"],
		["Infinity L", "volume", "it must be a finite number"],
		["1e999 L", "volume", "it must be a finite number"],
		["5 m", "duration", "m is metre; write min for minutes"],
		["1800 mg/m3", "concentration", "mass per volume depends on temperature and pressure; write ppm"],
		["30 s 2 min", "duration", "write the larger unit first"],
		["180 kg", "volume", ""],
		["180", "volume", ""],
		["L", "volume", ""],
		["", "volume", ""],
		["150 mg/kg h", "respiration", ""],
		["1 m2", "volume", ""],
		["5 L/", "flow", ""],
		["5 L/(h", "flow", ""],
		["5 L//h", "flow", ""],
		["0x10 L", "volume", ""],
		["1:30", "duration", "write 1 min 30 s, or 1 h 30 min if hours and minutes are meant"],
		["5 constructor", "volume", ""],
		["5 __proto__", "volume", ""],
	] as [string, Dimension, string][])("%s as %s: %s", (text, dimension, reason) => {
		expect(refusal(text, dimension)).toBe(reason);
	});
});

describe("formats", () => {
	it("writes a time in words", () => {
		expect([4, 0.8, 236, 5400, 3600, 90_061, 59.96, 90.5, 0].map(formatDuration)).toEqual([
			"4 s",
			"0.8 s",
			"3 min 56 s",
			"1 h 30 min",
			"1 h",
			"1 d 1 h 1 min 1 s",
			"1 min",
			"1 min 30.5 s",
			"0 s",
		]);
	});

	it("writes both unit systems", () => {
		const rows: [number, Dimension, string, string][] = [
			[0.18, "volume", "180 L", "6.357 ft³"],
			[12, "volume", "12 m³", "423.8 ft³"],
			[70 / 3600, "flow", "70 m³/h", "41.2 cfm"],
			[18, "temperature", "18 °C", "64.4 °F"],
			[2, "temperature difference", "2 K", "3.6 °F"],
			[4, "mass", "4 kg", "8.818 lb"],
			[759.4, "concentration", "759 ppm", "759 ppm"],
			[0.9, "fraction", "90 %", "90 %"],
			[0.3 / 3600, "air changes", "0.3 /h", "0.3 /h"],
			[-0, "number", "0", "0"],
		];
		for (const [value, dimension, si, us] of rows) {
			expect(formatQuantity(value, dimension)).toBe(si);
			expect(formatQuantity(value, dimension, "us")).toBe(us);
		}
	});

	const dimensions: Dimension[] = [
		"volume",
		"mass",
		"duration",
		"temperature",
		"temperature difference",
		"flow",
		"air changes",
		"fraction",
		"respiration",
		"density",
		"pressure",
		"current",
		"voltage",
		"power",
		"energy",
		"resistance",
		"area",
		"velocity",
		"number",
		"length",
	];
	it.each(dimensions)("what is written of a %s reads back to four digits in both systems", (dimension) => {
		const scale = dimension === "respiration" ? 1e-9 : 1;
		fc.assert(
			fc.property(fc.double({ min: 1e-3, max: 1e4, noNaN: true }), (x) => {
				const value = x * scale;
				for (const system of ["si", "us"] as const) {
					const back = read(formatQuantity(value, dimension, system), dimension);
					// Half a unit of the fourth digit; tenths or whole seconds in times; 273 for the two zeros of temperature.
					const slack = dimension === "duration" ? 0.5 : dimension === "temperature" ? 0.02 : 0;
					expect(Math.abs(back - value)).toBeLessThanOrEqual(5.01e-4 * Math.abs(value) + slack);
				}
			}),
			{ seed: 1, numRuns: 200 },
		);
	});

	it.each(dimensions)("the examples of a %s can be read", (dimension) => {
		for (const example of examplesOf(dimension)) {
			if (!example.includes("..")) expect(read(example, dimension)).toBeTypeOf("number");
		}
	});

	it("no text makes the reader throw", () => {
		fc.assert(
			fc.property(
				fc.string({ unit: "grapheme", maxLength: 60 }),
				fc.constantFrom(...dimensions),
				(text, dimension) => {
					const result = parseValue(normalizeText(text), [dimension]);
					if ("value" in result) expect(Number.isFinite(result.value)).toBe(true);
				},
			),
			{ seed: 1, numRuns: 2000 },
		);
	});
});
