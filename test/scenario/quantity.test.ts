import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { centre, parseQuantity } from "../../lib/scenario/text/quantity.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";

const read = (text: string, ...dimensions: Dimension[]) => {
	const result = parseQuantity(text, dimensions);
	if ("refused" in result) throw new Error(`${text}: ${result.refused}`);
	return result;
};
const refusal = (text: string, ...dimensions: Dimension[]) => {
	const result = parseQuantity(text, dimensions);
	if ("value" in result) throw new Error(`${text} was read as ${result.value}`);
	return result.refused;
};

describe("ranges", () => {
	it.each([
		"60..400 mg/(kg h)",
		"60 .. 400 mg/(kg h)",
		"60…400 mg/(kg·h)",
		"60 to 400 mg/(kg h)",
		"60–400 mg/(kg h)",
		"60 mg/(kg h) .. 0.4 g/(kg h)",
	])("%s runs from 60 to 400 with the geometric mean in the middle", (text) => {
		const { value, low, high } = read(text, "respiration");
		expect(low).toBeCloseTo(60 / 3.6e9, 18);
		expect(high).toBeCloseTo(400 / 3.6e9, 18);
		expect(value * 3.6e9).toBeCloseTo(Math.sqrt(60 * 400), 9);
	});

	it("the middle of temperatures, shares and of what touches 0 is the midpoint", () => {
		expect(read("10..20 C", "temperature").value).toBe(15);
		expect(read("50..70 %", "fraction").value).toBeCloseTo(0.6, 15);
		expect(read("0..2 /h", "air changes").value).toBeCloseTo(1 / 3600, 15);
		expect(read("-5..5 C", "temperature")).toMatchObject({ low: -5, high: 5, value: 0 });
	});

	it("the centre lies between its ends", () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0, max: 1e6, noNaN: true }),
				fc.double({ min: 0, max: 1e6, noNaN: true }),
				fc.constantFrom<Dimension>("mass", "fraction", "temperature"),
				(a, b, dimension) => {
					const [low, high] = a < b ? [a, b] : [b, a];
					const middle = centre(low, high, dimension);
					expect(middle).toBeGreaterThanOrEqual(low * (1 - 1e-15));
					expect(middle).toBeLessThanOrEqual(high * (1 + 1e-15));
				},
			),
			{ seed: 1 },
		);
	});

	it("refuses ends in the wrong order", () => {
		expect(refusal("400..60 ppm", "concentration")).toBe("write the smaller end first");
		expect(refusal("60..60 ppm", "concentration")).toBe("write the smaller end first");
	});
});

describe("spreads", () => {
	it.each([
		"70 m3/h ±10 %",
		"70 m3/h ± 10%",
		"70 m3/h +/- 10 %",
		"70 ± 7 m3/h",
		"70 m3/h ± 7 m3/h",
		"70 m3/h ± 7",
	])("%s runs from 63 to 77", (text) => {
		const { value, low, high } = read(text, "flow");
		expect([low, value, high].map((x) => Number(((x ?? 0) * 3600).toFixed(9)))).toEqual([63, 70, 77]);
	});

	it("per cent on a value in per cent are points", () => {
		expect(read("90 % ± 5 %", "fraction").low).toBeCloseTo(0.85, 15);
		expect(read("90 ± 5 %", "fraction").high).toBeCloseTo(0.95, 15);
		expect(read("0.1 % ± 0.02 %", "concentration").low).toBeCloseTo(800, 9);
	});

	it("per cent on a plain number are relative", () => {
		expect(read("2.4 ± 10 %", "number").high).toBeCloseTo(2.64, 12);
	});

	it("the spread of a temperature is a difference", () => {
		expect(read("68 F ± 1.8 F", "temperature")).toMatchObject({ value: 20 });
		expect(read("68 F ± 1.8 F", "temperature").high).toBeCloseTo(21, 12);
		expect(refusal("20 C ± 10 %", "temperature")).toBe(
			"a percentage of a temperature means nothing; write ± 2 K",
		);
	});

	it("refuses a spread of 0 or below", () => {
		expect(refusal("70 m3/h ± 0 %", "flow")).toBe("the spread must be above 0");
		expect(refusal("70 m3/h ± -5 m3/h", "flow")).toBe("the spread must be above 0");
	});
});

it("keeps the text of its author", () => {
	expect(read("  60 … 400 mg/(kg·h) ", "respiration").text).toBe("60 … 400 mg/(kg·h)");
});

it("what is written as range or spread reads back", () => {
	const number = fc.integer({ min: 1, max: 1_000_000 });
	fc.assert(
		fc.property(number, number, fc.constantFrom("..", " to ", "…"), (a, step, mark) => {
			expect(read(`${a}${mark}${a + step} ppm`, "concentration")).toMatchObject({ low: a, high: a + step });
			expect(read(`${a} ± ${step} ppm`, "concentration")).toMatchObject({
				low: a - step,
				value: a,
				high: a + step,
			});
		}),
		{ seed: 1 },
	);
});

it("no text makes it throw or gives what is not finite", () => {
	const piece = fc.constantFrom(
		"60",
		"..",
		"…",
		"±",
		"+/-",
		" to ",
		"–",
		"%",
		" ",
		"mg/(kg h)",
		"L",
		"-",
		"1e308",
		".5",
		"(",
		"/",
		"·",
		"C",
	);
	fc.assert(
		fc.property(
			fc.array(piece, { maxLength: 12 }),
			fc.constantFrom<Dimension>("respiration", "volume", "temperature", "fraction", "number"),
			(pieces, dimension) => {
				const result = parseQuantity(pieces.join(""), [dimension]);
				if ("value" in result) {
					for (const x of [result.value, result.low ?? 0, result.high ?? 0])
						expect(Number.isFinite(x)).toBe(true);
				}
			},
		),
		{ seed: 1, numRuns: 5000 },
	);
});

describe("an uncertain value that crosses zero", () => {
	const chamber = (flow: string, intake = "18 C") =>
		parseScenario(
			`chamber: { volume: 180 L }\nsubstrate: { mass: 4 kg }\nfan: { flow: ${flow} }\nintake: { temperature: ${intake} }`,
			"box.yaml",
			{ schedules: "optional" },
		);
	it.each([
		["10 m3/h ±120 %", 'must be above 0 m3/h, got "10 m3/h ±120 %" (its spread reaches to -2 m³/h)'],
		["10 +/- 12 m3/h", 'must be above 0 m3/h, got "10 +/- 12 m3/h" (its spread reaches to -2 m³/h)'],
		["10 m3/h ±100 %", 'must be above 0 m3/h, got "10 m3/h ±100 %" (its spread reaches to 0 m³/h)'],
		["-3..10 m3/h", 'must be above 0 m3/h, got "-3..10 m3/h"'],
		["0..10 m3/h", 'must be above 0 m3/h, got "0..10 m3/h"'],
	])("flow: %s", (flow, message) => {
		expect(() => chamber(flow)).toThrow(`box.yaml:3:14 fan.flow: ${message}`);
	});
	it("is sound where zero means nothing, as of a temperature", () => {
		expect(chamber("40 m3/h", "-5..10 C").intake.temperature.low).toBe(-5);
	});
});
