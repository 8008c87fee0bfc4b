import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
	atSpeed,
	combineFans,
	type FanCurve,
	fanPressurePa,
	findOperatingPoint,
	flowRange,
	type OperatingPoint,
	powerAtSpeed,
} from "../../../lib/model/fan/fancurve.ts";
import {
	NO_RESISTANCE,
	type SystemCurve,
	systemPressurePa,
	withPressureDropRatio,
} from "../../../lib/model/fan/systemcurve.ts";

const positive = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const ends = fc.record({ freeDeliveryM3PerS: positive(1e-3, 10), shutOffPa: positive(1, 2000) });
/** Falling points from no flow to no pressure. */
const points = fc
	.record({ rise: fc.array(positive(1e-3, 1), { minLength: 1, maxLength: 12 }), top: positive(1, 2000) })
	.map(({ rise, top }): FanCurve => {
		const sum = (list: readonly number[]) => list.reduce((a, b) => a + b, 0);
		return {
			shape: "points",
			points: [0, ...rise.map((_, k) => k + 1)].map((k) => ({
				flowM3PerS: sum(rise.slice(0, k)),
				pressurePa: k === rise.length ? 0 : top * (1 - sum(rise.slice(0, k)) / sum(rise)) ** 1.5,
			})),
		};
	});
const curves = fc.oneof(
	ends.map((curve): FanCurve => ({ shape: "linear", ...curve })),
	ends.map((curve): FanCurve => ({ shape: "parabolic", ...curve })),
	points,
);
const paths = fc.record({
	flapPa: fc.constant(0),
	filterPaSPerM3: positive(0, 1e5),
	ductPaS2PerM6: positive(0, 1e6),
});
const there = (point: OperatingPoint) => {
	if (!point.exists) throw new Error(point.reason);
	return point;
};

describe("the operating point", () => {
	it("lies on both curves, for any fan and any path", () => {
		fc.assert(
			fc.property(curves, paths, (curve, path) => {
				const { flowM3PerS, pressurePa } = there(findOperatingPoint(curve, path));
				const [least, greatest] = flowRange(curve);
				expect(flowM3PerS).toBeGreaterThanOrEqual(least);
				expect(flowM3PerS).toBeLessThanOrEqual(greatest);
				// Relative to the fan's own pressure: near its free end the last bit of the flow is more than 1e-9 of a small pressure.
				const scale = Math.max(pressurePa, 1e-4 * fanPressurePa(curve, least));
				expect(Math.abs(fanPressurePa(curve, flowM3PerS) - pressurePa)).toBeLessThanOrEqual(1e-9 * scale);
				expect(Math.abs(systemPressurePa(path, flowM3PerS) - pressurePa)).toBeLessThanOrEqual(1e-9 * scale);
			}),
			{ seed: 1, numRuns: 2000 },
		);
	});
	it("is the root of the quadratic for a linear fan on filter and duct", () => {
		fc.assert(
			fc.property(ends, paths, (curve, path) => {
				// (P/Q + r) q + k q^2 = P, in the form that does not cancel.
				const { shutOffPa: p, freeDeliveryM3PerS: q } = curve;
				const b = p / q + path.filterPaSPerM3;
				const root = (2 * p) / (b + Math.sqrt(b * b + 4 * path.ductPaS2PerM6 * p));
				const found = there(findOperatingPoint({ shape: "linear", ...curve }, path)).flowM3PerS;
				expect(Math.abs(found / root - 1)).toBeLessThan(1e-12);
			}),
			{ seed: 1, numRuns: 500 },
		);
	});
	it("falls as filter or duct take more, and a linear curve is its own two points", () => {
		fc.assert(
			fc.property(ends, paths, (curve, path) => {
				const linear: FanCurve = { shape: "linear", ...curve };
				const clean = there(findOperatingPoint(linear, path)).flowM3PerS;
				expect(
					there(findOperatingPoint(linear, withPressureDropRatio(path, 2))).flowM3PerS,
				).toBeLessThanOrEqual(clean);
				const table: FanCurve = {
					shape: "points",
					points: [
						{ flowM3PerS: 0, pressurePa: curve.shutOffPa },
						{ flowM3PerS: curve.freeDeliveryM3PerS, pressurePa: 0 },
					],
				};
				expect(there(findOperatingPoint(table, path)).flowM3PerS / clean).toBeCloseTo(1, 12);
			}),
			{ seed: 1, numRuns: 300 },
		);
	});

	const fan: FanCurve = { shape: "linear", freeDeliveryM3PerS: 0.05, shutOffPa: 80 };
	it("with nothing in the way is the free flow, and with everything in the way no flow", () => {
		expect(there(findOperatingPoint(fan, NO_RESISTANCE))).toMatchObject({
			flowM3PerS: 0.05,
			pressurePa: 0,
			freeDeliveryShare: 1,
		});
		const blocked = there(findOperatingPoint(fan, { ...NO_RESISTANCE, filterPaSPerM3: 1e15 }));
		expect(blocked.flowM3PerS).toBeLessThan(1e-12);
		expect(blocked.pressurePa).toBeCloseTo(80, 9);
	});
	it("does not exist where the flap takes more than the fan makes", () => {
		expect(findOperatingPoint(fan, { ...NO_RESISTANCE, flapPa: 80 })).toMatchObject({
			exists: false,
			cause: "stall",
		});
		expect(findOperatingPoint(fan, { ...NO_RESISTANCE, flapPa: 79 })).toMatchObject({ exists: true });
	});
	it("does not exist beyond either end of a table of points", () => {
		const table: FanCurve = {
			shape: "points",
			points: [
				{ flowM3PerS: 0.02, pressurePa: 50 },
				{ flowM3PerS: 0.04, pressurePa: 10 },
			],
		};
		const through = (ductPaS2PerM6: number): OperatingPoint =>
			findOperatingPoint(table, { ...NO_RESISTANCE, ductPaS2PerM6 });
		expect(through(1e6)).toMatchObject({ exists: false, cause: "stall" });
		expect(through(1e3)).toMatchObject({ exists: false, cause: "beyond the curve" });
		expect(through(3e4)).toMatchObject({ exists: true });
	});
});

describe("affinity laws and several fans", () => {
	it("on a duct alone the flow goes with the speed, the pressure with its square, the power with its cube", () => {
		fc.assert(
			fc.property(curves, positive(0.3, 1.3), positive(1, 1e6), (curve, speed, duct) => {
				const path: SystemCurve = { ...NO_RESISTANCE, ductPaS2PerM6: duct };
				const rated = there(findOperatingPoint(curve, path));
				const slow = there(findOperatingPoint(atSpeed(curve, speed), path));
				expect(slow.flowM3PerS / rated.flowM3PerS).toBeCloseTo(speed, 9);
				expect(slow.pressurePa / rated.pressurePa).toBeCloseTo(speed ** 2, 8);
				expect(powerAtSpeed(speed)).toBeCloseTo(speed ** 3, 12);
			}),
			{ seed: 1, numRuns: 300 },
		);
	});
	it("thin air takes pressure from a fan, not flow", () => {
		const fan: FanCurve = { shape: "parabolic", freeDeliveryM3PerS: 0.05, shutOffPa: 80 };
		expect(atSpeed(fan, 1, 0.8)).toEqual({ shape: "parabolic", freeDeliveryM3PerS: 0.05, shutOffPa: 64 });
	});
	it("two side by side add flow, two in a row add pressure", () => {
		const fan: FanCurve = { shape: "linear", freeDeliveryM3PerS: 0.05, shutOffPa: 80 };
		expect(combineFans(fan, 2, "parallel")).toMatchObject({ freeDeliveryM3PerS: 0.1, shutOffPa: 80 });
		expect(combineFans(fan, 2, "series")).toMatchObject({ freeDeliveryM3PerS: 0.05, shutOffPa: 160 });
		// Through a dense filter the row is the better, in the open the pair side by side.
		const dense: SystemCurve = { ...NO_RESISTANCE, filterPaSPerM3: 1e4 };
		const flow = (curve: FanCurve, path: SystemCurve) => there(findOperatingPoint(curve, path)).flowM3PerS;
		expect(flow(combineFans(fan, 2, "series"), dense)).toBeGreaterThan(
			flow(combineFans(fan, 2, "parallel"), dense),
		);
		expect(flow(combineFans(fan, 2, "series"), NO_RESISTANCE)).toBeLessThan(
			flow(combineFans(fan, 2, "parallel"), NO_RESISTANCE),
		);
	});
});
