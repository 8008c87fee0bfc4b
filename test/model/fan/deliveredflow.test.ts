import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../../lib/choose/choose.ts";
import { compareSchedules } from "../../../lib/compare/compare.ts";
import { airDensityKgPerM3, stackFlowM3PerS } from "../../../lib/model/air/gaslaws.ts";
import { buildModel } from "../../../lib/model/build.ts";
import {
	deliveredFlow,
	fanVolts,
	findFanOperation,
	flowConditionsOf,
	systemCurveOf,
} from "../../../lib/model/fan/deliveredflow.ts";
import { ductResistance, openingResistance, systemPressurePa } from "../../../lib/model/fan/systemcurve.ts";
import { listInputs } from "../../../lib/model/inputs.ts";
import { parseScenario } from "../../../lib/scenario/parse.ts";

const CURVE = "curve: { free-flow: 114 cfm, shut-off: 84.9 Pa }";
const scenario = (fan: string, rest = "") =>
	parseScenario(
		`chamber: { volume: 420 L, temperature: 20 C }
substrate: { mass: 8 kg }
fan: { ${fan} }
${rest}
schedules: { a: { on: 4 s, off: 236 s } }`,
	);
const shareOf = (extra: string): number => {
	const point = findFanOperation(flowConditionsOf(scenario(`${CURVE}, ${extra}`)))!.operatingPoint;
	return point.exists ? Math.round(100 * point.freeDeliveryShare) : Number.NaN;
};

describe("what the fan of a data sheet delivers (114 cfm and 84.9 Pa, a straight curve)", () => {
	it.each([
		["count: 1", 100],
		["filter: { kind: MERV 8, area: 225 cm2 }", 74],
		["filter: { kind: MERV 13, area: 225 cm2 }", 57],
		["filter: { drop: 67 Pa, at: 2.54 m/s, area: 225 cm2 }", 57],
		["filter: { kind: HEPA, area: 225 cm2 }", 13],
		["filter: { kind: HEPA, area: 900 cm2 }", 37],
		["duct: { length: 2 m, diameter: 100 mm }", 68],
		["filter: { kind: MERV 13, area: 225 cm2 }, duct: { length: 2 m, diameter: 100 mm }", 48],
	])("%s: %i %%", (extra, percent) => {
		expect(shareOf(extra)).toBe(percent);
	});
	it("is the flow of the model, with its origin and its range", () => {
		const uncertain = scenario(`${CURVE}, filter: { drop: 60..74 Pa, at: 2.54 m/s, area: 225 cm2 }`);
		const flow = deliveredFlow(uncertain);
		expect(uncertain.fan.flow).toBeNull();
		expect(buildModel(uncertain).deliveredM3PerS).toBe(flow.value);
		expect(flow).toMatchObject({
			dimension: "flow",
			origin: { kind: "calculated", from: "fan.curve through fan.filter" },
		});
		// Straight curve and straight filter: q = Q P/(P + drop at Q). The fan's pressure is that of air of 1.2041 kg/m3.
		const at = (drop: number) => {
			const full = 114 * 0.0004719474432;
			const shutOff = (84.9 * airDensityKgPerM3(20, 101_325)) / 1.2;
			return (full * shutOff) / (shutOff + (drop * full) / 0.0225 / 2.54);
		};
		expect(flow.low! / at(74)).toBeCloseTo(1, 12);
		expect(flow.value / at(Math.sqrt(60 * 74))).toBeCloseTo(1, 12);
		expect(flow.high! / at(60)).toBeCloseTo(1, 12);
	});
	it("has no range where no input has one", () => {
		expect(deliveredFlow(scenario(`${CURVE}, duct: { length: 2 m, diameter: 100 mm }`))).toMatchObject({
			low: null,
			high: null,
		});
	});
	it("falls with the voltage that reaches it", () => {
		const fed = (volts: string, extra = "") =>
			scenario(`${CURVE}, voltage: 12 V, current: 1 A`, `supply: { voltage: ${volts} }\n${extra}`);
		const full = deliveredFlow(scenario(CURVE)).value;
		expect(deliveredFlow(fed("12 V")).value / full).toBeCloseTo(1, 12);
		expect(deliveredFlow(fed("9 V")).value / full).toBeCloseTo(0.75, 12);
		// 5 m of 0.75 mm2 at 1 A and 20 °C: 2 · 5 · 0.026 = 0.26 V.
		const behind = fed("12 V", "wire: { gauge: 0.75 mm2, length: 5 m }");
		expect(fanVolts(flowConditionsOf(behind))).toMatchObject({
			supplyVolts: 12,
			voltageDropV: 0.26,
			volts: 11.74,
		});
		expect(deliveredFlow(behind).value / full).toBeCloseTo(11.74 / 12, 12);
		expect(deliveredFlow(behind).origin).toMatchObject({ from: expect.stringContaining("at 11.74 V") });
	});
	it("is nothing below the voltage at which it starts, and the comparison says so", () => {
		const weak = scenario(`${CURVE}, voltage: 12 V, window: 7.5..13.8 V`, "supply: { voltage: 7 V }");
		expect(deliveredFlow(weak).value).toBe(0);
		const { best, warnings } = compareSchedules(weak);
		expect(best).toBeNull();
		expect(warnings).toContainEqual({
			code: "fan delivers nothing",
			path: "fan.curve",
			reason: "only 7 V reach a fan that starts at 7.5 V",
		});
	});
	it("is nothing behind a flap that it cannot open, and no setting is found", () => {
		const stalled = scenario(`${CURVE}, flap: 90 Pa`, "target: { ceiling: 700 ppm }");
		expect(deliveredFlow(stalled)).toMatchObject({
			value: 0,
			text: expect.stringContaining("the flap takes more"),
		});
		expect(chooseSetting(stalled).isFeasible).toBe(false);
	});
	it("is told to lie outside the sound part of the curve, at either end", () => {
		const warned = (extra: string) =>
			compareSchedules(scenario(`${CURVE}, ${extra}`)).warnings.find((w) => "freeDeliveryPercent" in w);
		expect(warned("filter: { kind: HEPA, area: 225 cm2 }")).toMatchObject({
			code: "fan near shut-off",
			freeDeliveryPercent: 13,
		});
		expect(warned("filter: { kind: MERV 8, area: 225 cm2 }")).toMatchObject({
			code: "fan near free delivery",
			freeDeliveryPercent: 74,
		});
		expect(warned("filter: { kind: MERV 13, area: 225 cm2 }")).toBeUndefined();
	});
	it("a range of it is drawn from where odds are asked, and its inputs are listed", () => {
		const uncertain = scenario(
			"curve: { free-flow: 60 m3/h ±20 %, shut-off: 40 Pa }, filter: { kind: MERV 13, area: 400 cm2 }",
		);
		const paths = listInputs(uncertain).map(({ path }) => path);
		expect(paths).toEqual(expect.arrayContaining(["fan.flow", "fan.curve.free-flow", "fan.filter.drop"]));
		const choice = chooseSetting(uncertain, { draws: 300 });
		const moving = choice.isFeasible ? choice.complianceProbability?.inputs.map(({ path }) => path) : [];
		expect(moving).toContain("fan.flow");
		expect(moving).not.toContain("fan.filter.drop");
	});
});

describe("what the air gets through", () => {
	it("a duct of no length and no bends leaves its mouth and its end", () => {
		// 1.5 dynamic pressures at 1 m/s in air of 1.2 kg/m3.
		const duct = { lengthM: 0, diameterM: 0.1, bends: 0, kind: "rigid" } as const;
		const area = (Math.PI / 4) * 0.01;
		expect(ductResistance(duct, 1.2) * area ** 2).toBeCloseTo(1.5 * 0.6, 12);
		expect(ductResistance({ ...duct, bends: 2 }, 1.2) / ductResistance(duct, 1.2)).toBeCloseTo(2.5 / 1.5, 12);
	});
	it("an opening passes Cd A sqrt(2 p/rho)", () => {
		const flow = 0.62 * 0.008 * Math.sqrt((2 * 5) / 1.2);
		expect(openingResistance(0.008, 1.2) * flow ** 2).toBeCloseTo(5, 12);
	});
	it("a filter is told at a face velocity or at a flow", () => {
		const path = (filter: string) =>
			systemCurveOf(flowConditionsOf(scenario(`${CURVE}, filter: { ${filter} }`)));
		const byVelocity = path("drop: 67 Pa, at: 2 m/s, area: 250 cm2");
		const byFlow = path("drop: 67 Pa, at: 180 m3/h");
		expect(systemPressurePa(byVelocity, 0.05)).toBeCloseTo(67, 12);
		expect(systemPressurePa(byFlow, 0.05)).toBeCloseTo(67, 12);
	});
	it("a filter that dust has loaded takes so many times its clean drop, and the flow follows", () => {
		// Straight curve and straight filter: q = Q P/(P + load times the drop at Q).
		const flow = (load: string) =>
			deliveredFlow(scenario(`${CURVE}, filter: { kind: MERV 13, area: 225 cm2${load} }`));
		const share = (load: string) => flow(load).value / deliveredFlow(scenario(CURVE)).value;
		const takes = 1 / share("") - 1;
		expect(1 / share(", load: 2") - 1).toBeCloseTo(2 * takes, 6);
		const span = flow(", load: 1..2");
		expect(span.high).toBeCloseTo(flow("").high!, 9);
		expect(span.low).toBeCloseTo(flow(", load: 2").low!, 9);
	});
	it("two open holes of 100 mm leak 3.2 to 3.4 m3/h at half a metre and 2 K", () => {
		const flow = 3600 * stackFlowM3PerS((Math.PI / 4) * 0.01, 0.5, 20, 22);
		expect(flow).toBeGreaterThan(3.2);
		expect(flow).toBeLessThan(3.4);
		expect(stackFlowM3PerS(0.01, 0.5, 20, 20)).toBe(0);
	});
	it("a filter behind one of the holes takes its share of the pressure that warmth drives", () => {
		const area = (Math.PI / 4) * 0.01;
		const density = 1.2;
		const drive = (9.80665 * 0.5 * 2) / 293.15;
		const leak = (r: number) =>
			stackFlowM3PerS(area, 0.5, 20, 22, { filterPaSPerM3: r, densityKgPerM3: density });
		expect(leak(0)).toBeCloseTo(stackFlowM3PerS(area, 0.5, 20, 22), 15);
		for (const r of [1, 30, 1000, 1e5, 1e9]) {
			const taken = r * leak(r) + density * (leak(r) / (0.62 * area)) ** 2;
			expect(taken / (density * drive)).toBeCloseTo(1, 12);
		}
		// A filter that takes nearly all of it leaves dp/r.
		expect(leak(1e9) / ((density * drive) / 1e9)).toBeCloseTo(1, 6);
	});
	it("air has 1.2250, 1.2041 and 1.1839 kg/m3 at 15, 20 and 25 °C", () => {
		expect([15, 20, 25].map((t) => airDensityKgPerM3(t, 101_325).toFixed(4))).toEqual([
			"1.2250",
			"1.2041",
			"1.1839",
		]);
	});
});
