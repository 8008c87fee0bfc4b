import { describe, expect, it } from "vitest";
import { ampacityA, suggestedFuseA } from "../../lib/public/rig.ts";
import { STANDARD_FUSES } from "../../lib/sources/fuses.ts";
import { findingWords } from "../../reports/rig/rig.ts";
import { fanWith, item, rig, timerWith } from "./rigs.ts";

describe("the supply", () => {
	it("0.92 A on a rating of 1 A is carried without a margin: attention, not stop", () => {
		const report = rig({
			...fanWith(["0.5 A", "0.92 A"], ["0.55 A", "0.95 A"]),
			...timerWith(["50 mA", "1 mA"]),
			supply: "{ voltage: 12 V, current: 1 A }",
			fuse: "1.25 A",
		});
		expect(item(report, "supply")).toMatchObject({
			verdict: "attention",
			finding: "Fans and timer draw 0.921 A, 92 % of the supply's rated 1 A: there is no margin.",
		});
		expect(report.verdict).toBe("attention");
	});
	it("two fans of 0.5 A and a timer of 0.05 A need 1.31 A", () => {
		const { power } = rig(fanWith(["curve:", "count: 2, curve:"]));
		expect(power?.runningAmps).toBeCloseTo(1.05, 12);
		expect(power?.neededAmps).toBeCloseTo(1.3125, 12);
	});
	it.each([
		["0.6875 A", "ok"],
		["0.68 A", "attention"],
		["0.55 A", "attention"],
		["0.54 A", "stop"],
	])("0.55 A on a rating of %s: %s", (rating, verdict) => {
		const report = rig({ ...fanWith(["0.55 A", "0.5 A"]), supply: `{ voltage: 12 V, current: ${rating} }` });
		expect(item(report, "supply").verdict).toBe(verdict);
	});
	it("all rigs on it count, running and starting together after a power cut", () => {
		const { power } = rig({ supply: "{ voltage: 12 V, current: 5 A, rigs: 4 }" });
		expect(power?.allRunningAmps).toBeCloseTo(2.2, 12);
		expect(power?.allStartingAmps).toBeCloseTo(2.4, 12);
		const tight = rig({
			...fanWith(["0.55 A", "1.2 A"]),
			supply: "{ voltage: 12 V, current: 3 A, rigs: 4 }",
		});
		expect(item(tight, "supply").verdict).toBe("ok");
		expect(item(tight, "start")).toMatchObject({
			verdict: "attention",
			finding: expect.stringContaining("5 A"),
		});
	});
	it("a start current that is not given is 1.5 times the running current, and that is said", () => {
		const report = rig(fanWith([" start-current: 0.55 A,", ""]));
		expect(report.power?.fanStartingAmps).toBeCloseTo(0.75, 12);
		expect(report.notAssessed).toEqual(["fan.start-current", "wiring"]);
	});
	it.each([
		["12.5 V", "ok"],
		["13 V", "attention"],
		["14 V", "stop"],
		["24 V", "stop"],
	])("of %s for a fan of 7.5 to 13.8 V: %s", (volts, verdict) => {
		expect(item(rig({ supply: `{ voltage: ${volts}, current: 2 A }` }), "voltage").verdict).toBe(verdict);
	});
	it.each([
		["12.6 V", "ok"],
		["13 V", "attention"],
		["9 V", "stop"],
	])("of %s for a fan of 12 V without a window: %s", (volts, verdict) => {
		const report = rig({
			...fanWith([" window: 7.5..13.8 V,", ""], ["\n", ""]),
			supply: `{ voltage: ${volts}, current: 2 A }`,
		});
		expect(item(report, "voltage").verdict).toBe(verdict);
	});
	it("the timer board counts too", () => {
		expect(item(rig(timerWith(["voltage: 12 V", "voltage: 5 V"])), "voltage")).toMatchObject({
			verdict: "stop",
			finding: expect.stringContaining("the timer is made for 5 V"),
		});
	});
	it("beyond class 2 is worth a look", () => {
		expect(item(rig({ supply: "{ voltage: 12 V, current: 10 A }" }), "class 2").verdict).toBe("attention");
		expect(() => item(rig({ supply: "{ voltage: 12 V, current: 8 A }" }), "class 2")).toThrow("no item");
	});
	it("energy a day is that of the duty cycle: a 6 W fan one minute an hour takes less than its timer", () => {
		const report = rig({ schedules: "{ a: { on: 60 s, off: 59 min }, b: continuous, c: off }" });
		const watts = report.power!.energy.map(({ joulesPerDay }) => joulesPerDay / 86_400);
		expect(watts[0]).toBeCloseTo(12 * (0.55 / 60 + (0.02 * 59) / 60), 12);
		expect(watts[1]).toBeCloseTo(12 * 0.55, 12);
		expect(watts[2]).toBeCloseTo(12 * 0.02, 12);
	});
});

describe("the wire", () => {
	it("carries three times its bundled figure, in a bundle just that", () => {
		const free = [18, 20, 22, 24].map((awg) => ampacityA({ awg }, false));
		for (const [k, amps] of [6.9, 4.5, 2.76, 1.731].entries()) expect(free[k]).toBeCloseTo(amps, 12);
		expect([18, 20, 22, 24].map((awg) => ampacityA({ awg }, true))).toEqual([2.3, 1.5, 0.92, 0.577]);
	});
	it("of a metric size carries what the next thinner gauge does, and too thin a one is not judged", () => {
		expect(ampacityA({ mm2: 0.5 }, true)).toBe(0.92);
		expect(ampacityA({ mm2: 0.75 }, true)).toBe(1.5);
		expect(ampacityA({ mm2: 1 }, true)).toBe(2.3);
		expect(ampacityA({ awg: 26 }, false)).toBeNull();
		const report = rig({ wire: "{ gauge: AWG 26, length: 1 m }" });
		expect(report.power?.ampacityA).toBeNull();
		expect(report.notAssessed).toContain("wire.ampacity");
	});
	it("5 m of 0.75 mm2 lose 0.13 V at 0.5 A, 1.08 % of 12 V, and so much of the flow on a duct alone", () => {
		const report = rig({
			...fanWith([" flap: 1 Pa,", ""], ["filter: { kind: MERV 13, area: 225 cm2 },", ""]),
			wire: "{ gauge: 0.75 mm2, length: 5 m }",
		});
		expect(report.power?.volts).toMatchObject({ supplyVolts: 12, voltageDropV: 0.13, volts: 11.87 });
		expect(report.power?.voltageDropShare).toBeCloseTo(0.13 / 12, 12);
		expect(report.power?.flowLossShare).toBeCloseTo(0.13 / 12, 9);
	});
	it("costs a fan whose flow is given as much of it as of the voltage", () => {
		const report = rig({ fan: "{ flow: 70 m3/h, voltage: 12 V, current: 0.5 A }" });
		expect(report.power?.flowLossShare).toBe(report.power?.voltageDropShare);
	});
	it.each([
		["10.8 m", "ok"],
		["11 m", "attention"],
		["19 m", "attention"],
	])("%s of AWG 20 at 0.5 A: %s", (length, verdict) => {
		const found = item(rig({ wire: `{ gauge: AWG 20, length: ${length} }` }), "drop");
		expect(found.verdict).toBe(verdict);
		if (length === "19 m") expect(found.remedy).toContain("Beyond the limit");
		if (verdict === "attention") expect(found.remedy).toContain("at most 10.81 m");
	});
	it("that leaves less than 75 % of nominal when all start together: stop", () => {
		// 0.55 A at the start over 33.3 mOhm/m, there and back: 3 V of 12 V at some 82 m.
		const of = (length: string) => item(rig({ wire: `{ gauge: AWG 20, length: ${length} }` }), "drop");
		expect(of("75 m").verdict).toBe("attention");
		expect(of("90 m")).toMatchObject({
			verdict: "stop",
			finding: expect.stringContaining("the timer resets"),
		});
	});
	it("never loses more than there is", () => {
		const report = rig({ wire: "{ gauge: AWG 28, length: 300 m }" });
		const found = item(report, "drop");
		expect(found).toMatchObject({
			verdict: "stop",
			finding: expect.stringContaining("take all of the voltage"),
		});
		expect(report.power).toMatchObject({ voltageDropShare: 1, startingVoltageDropShare: 1 });
		expect(found).toMatchObject({ voltageDropV: 12, voltageDropShare: 1 });
		for (const one of report.findings)
			for (const [, percent] of findingWords(one, report, "si").finding.matchAll(/([\d.]+) %/g))
				expect(Number(percent)).toBeLessThanOrEqual(100);
	});
	it("too thin for the current: stop", () => {
		expect(item(rig({ wire: "{ gauge: AWG 20, length: 3 m, ampacity: 0.5 A }" }), "wire").verdict).toBe(
			"stop",
		);
	});
});

describe("the fuse", () => {
	it.each([
		[0.3, 0.4],
		[0.5, 0.63],
		[1.05, 1.6],
		[2.3, 3.15],
		[4, 5],
	])("for a load of %f A is %f A", (load, fuse) => {
		expect(suggestedFuseA(load, 100)).toBe(fuse);
	});
	it("lies in the standard series, above 1.25 times the load, below what the wire may carry", () => {
		for (let load = 0.05; load < 7.9; load += 0.05) {
			const fuse = suggestedFuseA(load, 1000)!;
			expect(STANDARD_FUSES).toContain(fuse);
			expect(fuse).toBeGreaterThanOrEqual(1.25 * load * (1 - 1e-9));
		}
		expect(suggestedFuseA(2.3, 3)).toBeNull();
		expect(suggestedFuseA(9, 1000)).toBeNull();
	});
	it.each([
		["0.8 A", "ok"],
		["4 A", "ok"],
		["5 A", "stop"],
		["0.63 A", "attention"],
		["0.5 A", "stop"],
	])("of %s for 0.55 A on AWG 20 (4.5 A): %s", (fuse, verdict) => {
		const found = item(rig({ fuse }), "fuse");
		expect(found.verdict).toBe(verdict);
		if (verdict !== "ok") expect(found.remedy).toContain("0.8 A, time-lag");
	});
	it("that is not named is suggested, and impossible on a wire that is too thin", () => {
		expect(item(rig({ fuse: "" }), "fuse")).toMatchObject({
			verdict: "attention",
			remedy: "Fit a fuse of 0.8 A, time-lag, as the first part after the supply's +.",
		});
		const thin = rig({ fuse: "", wire: "{ gauge: AWG 20, length: 3 m, ampacity: 0.6 A }" });
		expect(item(thin, "fuse")).toMatchObject({ verdict: "stop", remedy: "Take a thicker wire." });
	});
	it("a supply that limits itself near the fuse's rating is said to be the protection", () => {
		expect(item(rig({ fuse: "3.15 A" }), "fuse").finding).toContain("its own limit is then the protection");
		expect(item(rig(), "fuse").finding).not.toContain("its own limit");
		const stopped = item(rig({ fuse: "5 A" }), "fuse");
		expect(stopped.verdict).toBe("stop");
		expect(stopped.finding).not.toContain("its own limit");
	});
});

describe("a power cut", () => {
	it("has a remedy only where there is something to look at", () => {
		const cutWith = (off: string) =>
			item(
				rig({
					...timerWith(["power-up: on", "power-up: off"]),
					schedules: `{ a: { on: 10 s, off: ${off} } }`,
				}),
				"power-up",
			);
		expect(cutWith("60 s")).toMatchObject({ verdict: "ok", remedy: null });
		expect(cutWith("12 h")).toMatchObject({ verdict: "attention", remedy: expect.any(String) });
	});
});
