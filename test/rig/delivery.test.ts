import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Model, Schedule } from "../../lib/index.ts";
import { deliveredM3, periodicFanSpeedFraction } from "../../lib/model/fan/deliveredair.ts";
import { chamberAirInDuctM3, findUsefulBurst, idleFlowM3PerS } from "../../lib/model/fan/usefulburst.ts";
import { burstFullSpeedSeconds, shortestBurstDelivery } from "../../lib/rig/air/delivery.ts";
import { fanWith, item, rig } from "./rigs.ts";

const NO_DUCT = { ductM3: 0, idleM3PerS: 0 };
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
		expect(shortestBurstDelivery(one, "a", schedule, NO_DUCT)?.airM3).toBeCloseTo(
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
		expect(shortestBurstDelivery(model(0, 0), "a", daily, NO_DUCT)).toMatchObject({
			onSeconds: 8,
			lossShare: 0,
		});
		expect(shortestBurstDelivery(model(0, 0), "a", { kind: "continuous" }, NO_DUCT)).toBeNull();
		expect(shortestBurstDelivery(model(0, 0), "a", { kind: "off" }, NO_DUCT)).toBeNull();
	});
	const warm = { chamber: "{ volume: 420 L, temperature: 24 C }" };
	it("loses the chamber air that warmth drove into an open duct: 2 m of 100 mm are 16 L, 0.94 s at 60 m3/h", () => {
		const report = rig({ ...warm, ...fanWith(["flap: 1 Pa,", ""]) });
		expect(report.ductVolumeM3).toBeCloseTo(0.0157, 4);
		expect((report.ductVolumeM3 ?? 0) / (60 / 3600)).toBeCloseTo(0.942, 3);
		const burst = report.delivery[0]!;
		expect(burst.freshM3).toBeCloseTo(burst.airM3 - (report.ductVolumeM3 ?? 0), 15);
		expect(rig(fanWith(["diameter: 100 mm", "diameter: 100 mm, volume: 30 L"])).ductVolumeM3).toBe(0.03);
	});
	it("loses no more than flows out in the pause, and nothing behind a flap or without warmth", () => {
		const open = fanWith(["flap: 1 Pa,", ""]);
		const short = rig({ ...warm, ...open, schedules: "{ a: { on: 10 s, off: 5 s } }" });
		const [burst] = short.delivery;
		const idle = idleFlowM3PerS(short.scenario)!;
		expect(burst!.airM3 - burst!.freshM3).toBeCloseTo(5 * idle, 15);
		for (const still of [rig(warm), rig(open), rig()])
			expect(still.delivery[0]!.freshM3).toBe(still.delivery[0]!.airM3);
		expect(chamberAirInDuctM3(0, 1, 1e9)).toBe(0);
	});
	it("renews, over a cycle, what the fan moves: a duct that exchanges its air with the chamber in the pause takes none away", () => {
		// Chamber and duct as two zones, in steps of 10 ms, a plug of room air in the duct after each burst, mixed in the pause.
		const [volume, duct, flow, source, on, off] = [0.3, 0.03, 0.02, 3e-7, 5, 300];
		const settle = (isExchanged: boolean) => {
			let [c, drawn] = [900, 0];
			for (let n = 0; n < 400; n++) {
				const level = isExchanged ? (volume * c + duct * 450) / (volume + duct) : 450;
				if (isExchanged) c = level;
				drawn = 0;
				const steps = on * 100;
				for (let i = 0; i < steps; i++) {
					const inflow = (i * flow) / 100 < duct ? level : 450;
					drawn += (flow / 100) * (c - 450);
					c += ((flow / 100) * (inflow - c)) / volume + (1e6 * source) / 100 / volume;
				}
				c += (1e6 * source * off) / volume;
			}
			return drawn;
		};
		// What leaves is what the crop gives: the same with and without the exchange.
		const given = 1e6 * 3e-7 * 305;
		expect(settle(false) / given).toBeCloseTo(1, 2);
		expect(settle(true) / given).toBeCloseTo(1, 2);
	});
});

describe("the shortest sensible burst", () => {
	it("is 3 s, five time constants of the spin-up, or what its owner says", () => {
		const useful = (tau: number, limits = "") =>
			findUsefulBurst(rig({ ...fanWith(["spin-up: 1 s", `spin-up: ${tau} s`]), limits }).scenario);
		expect([0, 0.5, 1, 2].map((tau) => useful(tau).seconds)).toEqual([3, 3, 5, 10]);
		expect([0, 1].map((tau) => useful(tau).because)).toEqual(["practice", "spin-up"]);
		expect(useful(1, "{ burst: 2 s }")).toEqual({ seconds: 2, because: "own limit" });
		expect(rig(fanWith(["spin-up: 1 s", "spin-up: 3 s"])).minUsefulBurstSeconds).toBe(15);
	});
	it("moves at least half of its air fresh through an open duct", () => {
		const report = rig({
			chamber: "{ volume: 420 L, temperature: 24 C }",
			...fanWith(
				["flap: 1 Pa,", ""],
				["length: 2 m", "length: 20 m"],
				["coast-down: 1 s", "coast-down: 0 s"],
			),
		});
		const { seconds, because } = findUsefulBurst(report.scenario);
		expect(because).toBe("duct air");
		const at = rig({
			chamber: "{ volume: 420 L, temperature: 24 C }",
			...fanWith(
				["flap: 1 Pa,", ""],
				["length: 2 m", "length: 20 m"],
				["coast-down: 1 s", "coast-down: 0 s"],
			),
			schedules: `{ a: { on: ${seconds.toFixed(6)} s, off: 1 h } }`,
		}).delivery[0]!;
		expect(at.freshM3 / at.airM3).toBeCloseTo(0.5, 2);
	});
	it.each([
		["{ a: { on: 10 s, off: 590 s } }", "ok", null],
		["{ a: { on: 4 s, off: 236 s } }", "attention", "lasts 5 s or more"],
	])("%s: %s", (schedules, verdict, remedy) => {
		const found = item(rig({ schedules }), "burst", "a");
		expect(found.verdict).toBe(verdict);
		if (remedy === null) expect(found.remedy).toBeNull();
		else expect(found.remedy).toContain(remedy);
	});
	it("below 3 s, of a fan that starts at once: with a bag test", () => {
		const found = item(
			rig({ schedules: "{ a: { on: 2 s, off: 118 s } }", ...fanWith(["spin-up: 1 s", "spin-up: 0 s"]) }),
			"burst",
		);
		expect(found).toMatchObject({ verdict: "attention", because: "practice" });
		expect(found.remedy).toContain("bag test");
	});
	it("a duct that swallows half of a burst is worth a look", () => {
		const long = fanWith(["length: 2 m", "length: 20 m"], ["flap: 1 Pa,", ""]);
		expect(item(rig({ ...long, chamber: "{ volume: 420 L, temperature: 24 C }" }), "burst")).toMatchObject({
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
