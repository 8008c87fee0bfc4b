import { describe, expect, it } from "vitest";
import { NOT_ASSESSED } from "../../reports/rig/rig.ts";
import { fanWith, item, rig, timerWith } from "./rigs.ts";

describe("the life of the contact", () => {
	const unrated = timerWith([" operations: 100000,", ""]);
	it.each([
		// 1e5 or 3e4 operations times the cycle, in months of 30.44 d; printed to two or three digits.
		[60, 2.3, 0.7],
		[120, 4.6, 1.4],
		[300, 11.4, 3.4],
		[600, 22.8, 6.8],
		[900, 34.2, 10.3],
		[1800, 68, 20.5],
	])("at a cycle of %i s is %f months, cautiously %f", (cycle, months, cautious) => {
		const life = rig({ ...unrated, schedules: `{ a: { on: 10 s, off: ${cycle - 10} s } }` }).contactLife![0]!;
		expect(Math.abs(life.months - months)).toBeLessThanOrEqual(months > 50 ? 0.5 : 0.05);
		expect(Math.abs(life.cautiousMonths! - cautious)).toBeLessThanOrEqual(0.05);
		expect(life.operationsPerMonth).toBeCloseTo((30.44 * 86_400) / cycle, 9);
	});
	it("uses the operations that are given, and no cautious figure then", () => {
		const life = rig(timerWith(["operations: 100000", "operations: 50000"])).contactLife![0]!;
		expect(life.months).toBeCloseTo(11.41, 2);
		expect(life.cautiousMonths).toBeNull();
	});
	it("is worth a look below a year, or below what limits.life asks", () => {
		const cycle = (schedules: string, limits = "") =>
			item(rig({ schedules, limits }), "contact life").verdict;
		expect(cycle("{ a: { on: 5 s, off: 295 s } }")).toBe("attention");
		expect(cycle("{ a: { on: 10 s, off: 590 s } }")).toBe("ok");
		expect(cycle("{ a: { on: 10 s, off: 590 s } }", "{ life: 2 years }")).toBe("attention");
	});
	it("is no matter without a contact, or where nothing switches", () => {
		expect(rig(timerWith(["type: relay", "type: negative-switching"])).contactLife).toBeNull();
		expect(rig({ schedules: "{ a: continuous, b: off }" }).contactLife).toEqual([]);
	});
	it("counts the starts of a day with several parts", () => {
		const schedules =
			'{ a: { daily: [{ from: "00:00", on: 10 s, off: 590 s }, { from: "12:00", on: 10 s, off: 1190 s }] } }';
		expect(rig({ schedules }).contactLife![0]!.operationsPerMonth).toBeCloseTo(108 * 30.44, 6);
	});
});

describe("the rating of the contact", () => {
	const fanOf = (amps: string) => fanWith(["current: 0.5 A", `current: ${amps}`], ["0.55 A", "6 A"]);
	it.each([
		["3 A", "ok"],
		["3.1 A", "stop"],
		["0.09 A", "attention"],
	])("%s of fans on a contact of 3 A for motors: %s", (amps, verdict) => {
		expect(item(rig(fanOf(amps)), "contact").verdict).toBe(verdict);
	});
	it.each([
		["3 A", "ok"],
		["3.5 A", "attention"],
		["4.1 A", "stop"],
	])("%s of fans where 10 A resistive is all that is known: %s", (amps, verdict) => {
		const timer = timerWith(["contact: 3 A", "resistive: 10 A"]);
		expect(item(rig({ ...fanOf(amps), ...timer }), "contact").verdict).toBe(verdict);
	});
	it("all fans of the timer count", () => {
		const fans = fanWith(["curve:", "count: 7, curve:"]);
		expect(item(rig(fans), "contact")).toMatchObject({
			verdict: "stop",
			finding: expect.stringContaining("3.5 A"),
		});
	});
	it("is not judged when it is not given, and that is said", () => {
		const report = rig(timerWith([" \n  contact: 3 A,", ""], ["contact: 3 A, ", ""]));
		expect(report.findings.map(({ code }) => code)).not.toContain("contact");
		expect(report.notAssessed).toContain("timer.contact");
	});
});

describe("switching and power cuts", () => {
	it("a pulse of 0.1 s can weld a contact: stop; a solid-state board has none", () => {
		const schedules =
			"{ a: { on: 0.1 s, off: 5 s }, b: { on: 5 s, off: 0.1 s }, c: { on: 0.2 s, off: 5 s } }";
		expect(
			rig({ schedules })
				.findings.filter(({ code }) => code === "pulse")
				.map(({ about }) => about),
		).toEqual(["a", "b"]);
		const solid = rig({ schedules, ...timerWith(["type: relay", "type: negative-switching"]) });
		expect(solid.findings.filter(({ code }) => code === "pulse")).toEqual([]);
	});
	it("a timer that begins off leaves the fan standing where cuts come more often than its pause", () => {
		const off = timerWith(["power-up: on", "power-up: off"]);
		const long = item(rig({ ...off, schedules: "{ a: { on: 60 s, off: 59 min } }" }), "power-up");
		expect(long.verdict).toBe("attention");
		expect(long.finding).toContain("waits 59 min");
		expect(long.finding).toContain("the fan never runs");
		expect(item(rig({ ...off, schedules: "{ a: { on: 10 s, off: 590 s } }" }), "power-up").verdict).toBe(
			"ok",
		);
		expect(item(rig(), "power-up").finding).toBe("After each power cut the timer begins with a burst.");
	});
	it("what is not known of it is to be tried", () => {
		const report = rig(timerWith([", power-up: on", ""]));
		expect(report.findings.map(({ code }) => code)).not.toContain("power-up");
		expect(report.notAssessed).toContain("timer.power-up");
		expect(NOT_ASSESSED["timer.power-up"].measure).toContain("pull the plug");
	});
});
