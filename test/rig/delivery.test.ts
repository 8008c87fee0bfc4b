import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Model, Schedule } from "../../lib/index.ts";
import { deliveredM3, periodicFanSpeedFraction } from "../../lib/model/fan/deliveredair.ts";
import {
	burstFullSpeedSeconds,
	minUsefulBurstSeconds,
	shortestBurstDelivery,
} from "../../lib/rig/air/delivery.ts";
import { fanWith, item, rig } from "./rigs.ts";

const model = (spinUpTauSeconds: number, coastDownTauSeconds: number): Model => ({
	volumeM3: 0.4,
	intakePpm: 430,
	generationM3PerS: 1e-7,
	infiltrationM3PerS: 0,
	deliveredM3PerS: 60 / 3600,
	spinUpTauSeconds,
	coastDownTauSeconds,
});

describe("what a burst delivers", () => {
	it.each([
		// Spin-up 1 s, a flap that shuts at once; printed to the per cent.
		[1, 37],
		[2, 57],
		[3, 68],
		[5, 80],
		[10, 90],
		[30, 97],
	])("of %i s with a spin-up of 1 s: %i %%", (on, percent) => {
		expect(Math.round((100 * burstFullSpeedSeconds(model(1, 0), on, 600)) / on)).toBe(percent);
	});
	it("is 110 % of 10 s when the fan coasts for 2 s without a flap", () => {
		expect(Math.round((100 * burstFullSpeedSeconds(model(1, 2), 10, 590)) / 10)).toBe(110);
	});
	it("is on - τup (1 - e^(-on/τup)) + τdown (1 - e^(-on/τup)) when it comes to rest", () => {
		fc.assert(
			fc.property(
				fc.double({ min: 0.1, max: 60, noNaN: true }),
				fc.double({ min: 0.1, max: 10, noNaN: true }),
				fc.double({ min: 0, max: 10, noNaN: true }),
				(on, up, down) => {
					const started = 1 - Math.exp(-on / up);
					const closed = on - up * started + down * started;
					expect(burstFullSpeedSeconds(model(up, down), on, 1e4)).toBeCloseTo(closed, 9);
				},
			),
			{ seed: 1, numRuns: 500 },
		);
	});
	it("adds up to all the air that the fan moves, the shortest burst being the only one", () => {
		const schedule: Schedule = { kind: "cycle", onSeconds: 4, offSeconds: 6 };
		const one = model(2, 3);
		const level = periodicFanSpeedFraction(one, schedule, 10);
		expect(shortestBurstDelivery(one, "a", schedule, 0)?.airM3).toBeCloseTo(
			deliveredM3(one, schedule, 10, level),
			15,
		);
	});
	it("is told of the shortest burst of a day, and not of a fan that never switches", () => {
		const daily: Schedule = {
			kind: "daily",
			parts: [
				{ fromSeconds: 0, schedule: { kind: "cycle", onSeconds: 20, offSeconds: 580 } },
				{ fromSeconds: 43_200, schedule: { kind: "cycle", onSeconds: 8, offSeconds: 592 } },
			],
		};
		expect(shortestBurstDelivery(model(0, 0), "a", daily, 0)).toMatchObject({ onSeconds: 8, lossShare: 0 });
		expect(shortestBurstDelivery(model(0, 0), "a", { kind: "continuous" }, 0)).toBeNull();
		expect(shortestBurstDelivery(model(0, 0), "a", { kind: "off" }, 0)).toBeNull();
	});
	it("loses the duct's own air where that is chamber air: 2 m of 100 mm are 16 L, 0.94 s at 60 m3/h", () => {
		const report = rig();
		expect(report.ductVolumeM3).toBeCloseTo(0.0157, 4);
		expect((report.ductVolumeM3 ?? 0) / (60 / 3600)).toBeCloseTo(0.942, 3);
		const burst = report.delivery[0]!;
		expect(burst.freshM3).toBeCloseTo(burst.airM3 - (report.ductVolumeM3 ?? 0), 15);
		expect(rig(fanWith(["diameter: 100 mm", "diameter: 100 mm, volume: 30 L"])).ductVolumeM3).toBe(0.03);
	});
});

describe("the shortest sensible burst", () => {
	it("is 5 s, and five time constants of the spin-up", () => {
		expect([0, 0.8, 1, 2].map(minUsefulBurstSeconds)).toEqual([5, 5, 5, 10]);
		expect(rig(fanWith(["spin-up: 1 s", "spin-up: 3 s"])).minUsefulBurstSeconds).toBe(15);
	});
	it.each([
		["{ a: { on: 10 s, off: 590 s } }", "ok", null],
		["{ a: { on: 4 s, off: 236 s } }", "attention", "lasts 5 s or more"],
		["{ a: { on: 2 s, off: 118 s } }", "attention", "bag test"],
	])("%s: %s", (schedules, verdict, remedy) => {
		const found = item(rig({ schedules }), "burst", "a");
		expect(found.verdict).toBe(verdict);
		if (remedy === null) expect(found.remedy).toBeNull();
		else expect(found.remedy).toContain(remedy);
	});
	it("a duct that swallows half of a burst is worth a look", () => {
		expect(item(rig(fanWith(["length: 2 m", "length: 20 m"])), "burst")).toMatchObject({
			verdict: "attention",
			remedy: expect.stringContaining("Shorten the duct"),
		});
	});
});

describe("the leak of an open duct", () => {
	const warm = { chamber: "{ volume: 420 L, temperature: 24 C, leak: 0 /h }" };
	const leak = (filter: string) =>
		item(
			rig({
				...warm,
				...fanWith(["flap: 1 Pa,", ""], ["filter: { kind: MERV 13, area: 225 cm2 }, ", filter]),
			}),
			"open duct",
		);
	it("passes the filter, which lets little of it through, and says so", () => {
		const open = leak("");
		const hepa = leak("filter: { kind: HEPA, area: 225 cm2 }, ");
		const coarse = leak("filter: { kind: MERV 8, area: 4 m2 }, ");
		expect(hepa.stackFlowM3PerS).toBeLessThan(0.05 * open.stackFlowM3PerS);
		expect(coarse.stackFlowM3PerS).toBeGreaterThan(0.5 * open.stackFlowM3PerS);
		expect(coarse.stackFlowM3PerS).toBeLessThan(open.stackFlowM3PerS);
		expect(hepa.finding).toContain("through the clean filter");
		expect(open.finding).not.toContain("filter");
	});
});
