import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { checkRig, commissioning, compareSchedules, InputError, parseScenario } from "../../lib/index.ts";
import { buildModel } from "../../lib/model/build.ts";
import { deliveredFlow } from "../../lib/model/fan/deliveredflow.ts";
import { findingWords, NOT_ASSESSED } from "../../reports/rig/rig.ts";
import { fanWith, item, rig, rigText, timerWith } from "./rigs.ts";

describe("a rig of which everything is given", () => {
	const report = rig();
	it("is judged in all its parts, worst first, and nothing is left unasked but its wiring", () => {
		expect(report.findings.map(({ code }) => code).sort()).toEqual([
			"burst",
			"ceiling",
			"contact",
			"contact life",
			"drop",
			"fan",
			"filter",
			"fuse",
			"power-up",
			"start",
			"supply",
			"voltage",
			"wire",
		]);
		expect(report.findings.filter(({ verdict }) => verdict !== "ok")).toEqual([]);
		expect(report.verdict).toBe("ok");
		expect(report.notAssessed).toEqual(["wiring"]);
	});
	it("every sentence is whole, and what is not ok has a remedy", () => {
		const bad = rig({
			...fanWith(["0.5 A", "4 A"], ["0.55 A", "9 A"], ["225 cm2", "20 cm2"]),
			wire: "{ gauge: AWG 28, length: 30 m, ampacity: 1 A }",
			schedules: "{ a: { on: 1 s, off: 59 s }, b: { on: 0.1 s, off: 5 s } }",
		});
		expect(bad.verdict).toBe("stop");
		expect(bad.findings[0]?.verdict).toBe("stop");
		const sentences = [report, bad].flatMap((whole) =>
			whole.findings.map((found) => ({ ...found, ...findingWords(found, whole, "si") })),
		);
		for (const one of sentences) {
			expect(one.finding).toMatch(/^[A-Z0-9].*\.$/s);
			expect(one.reason).toMatch(/^[A-Z0-9].*\.$/s);
			if (one.verdict !== "ok") expect(one.remedy).toMatch(/^[A-Z].*\.$/);
			expect(`${one.finding} ${one.reason} ${one.remedy}`).not.toMatch(/NaN|undefined|Infinity|null[^,]*\d/);
			for (const value of Object.values(one))
				if (typeof value === "number") expect(value).toSatisfy(Number.isFinite);
		}
	});
	it("the usual wiring is made of its parts, and is right", () => {
		expect(report.wiring).toMatchObject({ origin: "standard", verdict: { codes: ["ok"] } });
		expect(Object.keys(report.wiring?.wiring.parts ?? {})).toContain("FUSE");
	});
});

describe("the curves to draw", () => {
	it("run from no flow to the free flow and meet at the operating point", () => {
		const { fan } = rig();
		if (fan === null || !fan.operatingPoint.exists || fan.loadedOperatingPoint?.exists !== true)
			throw new Error("no point");
		expect(fan.curve.at(-1)?.pressurePa).toBeCloseTo(0, 9);
		expect(fan.curve).toHaveLength(fan.cleanSystemCurve.length);
		const { flowM3PerS } = fan.operatingPoint;
		const crossing = fan.curve.findIndex((p, k) => p.pressurePa < fan.cleanSystemCurve[k]!.pressurePa);
		expect(fan.curve[crossing - 1]!.flowM3PerS).toBeLessThanOrEqual(flowM3PerS);
		expect(fan.curve[crossing]!.flowM3PerS).toBeGreaterThan(flowM3PerS);
		expect(fan.loadedOperatingPoint.flowM3PerS).toBeLessThan(flowM3PerS);
		expect(fan.withoutVoltageDrop).toMatchObject({ exists: true });
		expect(fan.catalogueM3PerS * 3600).toBeCloseTo(193.687, 3);
	});
	it("are those of all fans together", () => {
		const two = rig(fanWith(["curve:", "count: 2, curve:"])).fan;
		expect(two?.catalogueM3PerS).toBeCloseTo(2 * (rig().fan?.catalogueM3PerS ?? 0), 12);
	});
	it("stand beside a flow that was measured, which counts, and are held against it", () => {
		const curve = (rig().fan!.operatingPoint as { flowM3PerS: number }).flowM3PerS * 3600;
		const measured = (share: number, spread = "") =>
			rig(fanWith(["curve:", `flow: ${(share * curve).toFixed(3)} m3/h${spread}, curve:`]));
		const found = (share: number, spread?: string) => item(measured(share, spread), "measured flow");
		expect(deliveredFlow(measured(0.7).scenario).value * 3600).toBeCloseTo(0.7 * curve, 2);
		expect(found(0.97)).toMatchObject({ verdict: "ok", remedy: null });
		expect(found(0.5)).toMatchObject({
			verdict: "attention",
			remedy: expect.stringContaining("clogged filter"),
		});
		expect(found(0.5).finding).toMatch(/less than with the filter loaded/);
		expect(found(3)).toMatchObject({
			verdict: "stop",
			finding: expect.stringContaining("against no resistance"),
		});
		// Within what the filter does to it between clean and loaded.
		expect(found(0.85).verdict).toBe("ok");
		expect(found(0.7, " ±45 %").verdict).toBe("ok");
		expect(found(1.6)).toMatchObject({
			verdict: "attention",
			remedy: expect.stringContaining("around the filter"),
		});
		expect(rig().findings.map(({ code }) => code)).not.toContain("measured flow");
		// What the loaded filter leaves of a measured flow is the share that it leaves on the curve.
		const left = (report: ReturnType<typeof rig>) => item(report, "ceiling").loadedPpm!;
		expect(left(measured(0.7))).toBeGreaterThan(left(rig()));
	});
	it("go by the load that the file gives its filter, as compare and choose do, up to the load that choose draws", () => {
		const with_ = (load: string, more: Parameters<typeof rig>[0] = {}) =>
			rig({ ...fanWith(["area: 225 cm2", `area: 225 cm2${load}`]), ...more });
		const dusty = with_(", load: 1.4");
		expect(item(dusty, "ceiling").cleanPpm).toBe(
			compareSchedules(dusty.scenario).schedules[0]!.summary.criterion.valuePpm,
		);
		expect(dusty.delivery[0]!.idealM3).toBe(10 * buildModel(dusty.scenario).deliveredM3PerS);
		expect(dusty.delivery[0]!.idealM3).toBeLessThan(rig().delivery[0]!.idealM3);
		const ratio = (report: ReturnType<typeof rig>) => item(report, "filter").pressureDropRatio;
		expect([rig(), with_(", load: 1..3"), dusty].map(ratio)).toEqual([2, 3, 1.4]);
	});
	it("are not there when the delivered flow is given, which is said", () => {
		const given = rig({ fan: "{ flow: 70 m3/h, voltage: 12 V }" });
		expect(given.fan).toBeNull();
		expect(item(given, "fan")).toMatchObject({ verdict: "ok", finding: expect.stringContaining("70 m³/h") });
		expect(given.notAssessed).toContain("fan.curve");
	});
});

describe("a fan that cannot", () => {
	it("stalls behind a flap: stop", () => {
		const stalled = rig(fanWith(["flap: 1 Pa", "flap: 90 Pa"]));
		expect(item(stalled, "fan")).toMatchObject({
			verdict: "stop",
			remedy: expect.stringContaining("lighter flap"),
		});
	});
	it("left of its table of points: stop, it stalls", () => {
		const points = "points: [{ flow: 80 m3/h, pressure: 30 Pa }, { flow: 160 m3/h, pressure: 0 Pa }]";
		const stalled = rig(
			fanWith(
				["free-flow: 114 cfm, shut-off: 84.9 Pa", points],
				["kind: MERV 13, area: 225 cm2", "drop: 60 Pa, at: 60 m3/h"],
			),
		);
		expect(item(stalled, "fan").finding).toContain("the fan stalls, left of its curve");
		expect(stalled.verdict).toBe("stop");
	});
	it("works near its stall: look, with what twice the filter area would give", () => {
		const weak = item(rig(fanWith(["MERV 13", "HEPA"])), "fan");
		expect(weak.verdict).toBe("attention");
		expect(weak.remedy).toContain("Twice the filter area gives");
	});
	it("gets too little voltage behind a long thin wire: stop", () => {
		const report = rig({ wire: "{ gauge: AWG 28, length: 25 m }" });
		expect(item(report, "voltage").verdict).toBe("stop");
		expect(item(report, "fan").finding).toContain("reach a fan that starts at 7.5 V");
	});
});

describe("what is next to nothing or very often", () => {
	const finite = (value: unknown): boolean =>
		typeof value === "number"
			? Number.isFinite(value)
			: typeof value !== "object" || value === null || Object.values(value).every(finite);
	it.each(["1e-9 mm", "1e-60 mm", "1e-150 mm"])("a duct of %s lets no air pass and is no NaN", (diameter) => {
		for (const filter of ["{ kind: MERV 13, area: 225 cm2 }", "{ drop: 60 Pa, at: 1e-300 m3/h }"]) {
			const report = rig(
				fanWith(["diameter: 100 mm", `diameter: ${diameter}`], ["{ kind: MERV 13, area: 225 cm2 }", filter]),
			);
			expect(item(report, "fan").verdict).toBe("stop");
			const { scenario: _, ...own } = report;
			expect(finite(own)).toBe(true);
			for (const one of report.findings)
				expect(Object.values(findingWords(one, report, "si")).join(" ")).not.toMatch(/NaN|Infinity/);
		}
	});
	it("a day of bursts of half a second is judged", () => {
		const report = rig({ schedules: `{ a: { daily: [{ from: "06:00", on: 0.5 s, off: 0.5 s }] } }` });
		expect(item(report, "burst")).toMatchObject({ onSeconds: 0.5, outcome: "short" });
		expect(item(report, "power-up")).toMatchObject({ longestOffSeconds: 0.5 });
		expect(commissioning(report).cycle).toEqual({ onSeconds: 0.5, offSeconds: 0.5 });
	});
});

describe("a fan behind a filter that is far too small", () => {
	it.each(["20 cm2", "1 mm2"])(
		"of %s delivers next to nothing: stop, with an area that is enough",
		(area) => {
			const report = rig(fanWith(["MERV 13, area: 225 cm2", `HEPA, area: ${area}`]));
			const found = item(report, "fan");
			expect(found).toMatchObject({ verdict: "stop", finding: expect.stringContaining("next to nothing") });
			expect(found.remedy).toMatch(/^Take a filter of [\d.]+ .* or more/);
			expect(found.remedy).not.toMatch(/[Tt]wice|cheapest/);
			const enough = found.remedy!.match(/filter of ([\d.]+ \S+)/)![1]!.replace("²", "2");
			const mended = rig(fanWith(["MERV 13, area: 225 cm2", `HEPA, area: ${enough}`]));
			expect(item(mended, "fan").verdict).toBe("ok");
		},
	);
	it("behind a flap too heavy for it no filter area is proposed", () => {
		const found = item(rig(fanWith(["flap: 1 Pa", "flap: 82 Pa"])), "fan");
		expect(found.verdict).toBe("stop");
		expect(found.remedy).toContain("a larger filter alone does not help");
	});
});

describe("the ceiling", () => {
	const ceilingOf = (ceiling: number) =>
		item(
			rig({ schedules: `{ a: { on: 10 s, off: 590 s } }\ntarget: { ceiling: ${ceiling} ppm }` }),
			"ceiling",
		);
	it("is judged from the load that the file gives to the one at which a filter is replaced, as compare and choose count", () => {
		const loaded = rig(fanWith(["area: 225 cm2 }", "area: 225 cm2, load: 2 }"]));
		expect(item(loaded, "ceiling").cleanPpm).toBeCloseTo(item(rig(), "ceiling").loadedPpm!, 9);
		expect(item(loaded, "ceiling").loadedPpm).toBeCloseTo(item(rig(), "ceiling").loadedPpm!, 9);
		expect(loaded.fan!.operatingPoint).toEqual(rig().fan!.loadedOperatingPoint);
		expect(deliveredFlow(loaded.scenario).value).toBeCloseTo(
			(loaded.fan!.loadedOperatingPoint as { flowM3PerS: number }).flowM3PerS,
			9,
		);
	});

	it("is held with the clean and the loaded filter, with the clean one only, or not at all", () => {
		const { cleanPpm: clean, loadedPpm } = ceilingOf(5000);
		const loaded = loadedPpm!;
		expect(loaded).toBeGreaterThan(clean);
		expect(ceilingOf(Math.ceil(loaded))).toMatchObject({ verdict: "ok", about: "a", remedy: null });
		const between = ceilingOf(Math.round((clean + loaded) / 2));
		expect(between.verdict).toBe("attention");
		expect(between.finding).toContain(
			`only while the filter is clean: ${Math.round(clean)} ppm with a clean filter, ${Math.round(loaded)} ppm with a loaded one; ceiling`,
		);
		const never = ceilingOf(Math.floor(clean));
		expect(never).toMatchObject({ verdict: "attention", remedy: expect.stringContaining("lullgust choose") });
	});
	it("is judged with the flow given where there is no curve", () => {
		const found = item(rig({ fan: "{ flow: 70 m3/h, voltage: 12 V }" }), "ceiling");
		expect(found.finding).not.toContain("loaded");
		expect(found).toMatchObject({ loadedPpm: null, isMetLoaded: true });
	});
});

describe("what is not given", () => {
	it("is listed with how to come by it, and no figure is made up for it", () => {
		const bare = rig({ fan: "{ flow: 70 m3/h }", timer: "", supply: "", wire: "", fuse: "" });
		expect(bare.findings.map(({ code }) => code)).toEqual(expect.arrayContaining(["fan", "burst"]));
		expect(bare.power).toBeNull();
		expect(bare.wiring).toBeNull();
		const paths = bare.notAssessed;
		expect(paths).toEqual(
			expect.arrayContaining([
				"fan.curve",
				"fan.spin-up",
				"fan.voltage",
				"fan.current",
				"supply",
				"wire",
				"timer",
			]),
		);
		for (const { subject, measure } of bare.notAssessed.map((path) => NOT_ASSESSED[path])) {
			expect(subject.length).toBeGreaterThan(10);
			expect(measure.length).toBeGreaterThan(10);
		}
	});
	it("a rig of any shipped scenario can be asked for", () => {
		for (const name of ["compost-room", "small-tub", "two-shelf-cabinet", "walk-in-tent"]) {
			const text = readFileSync(new URL(`../../fixtures/scenarios/${name}.yaml`, import.meta.url), "utf8");
			expect(checkRig(parseScenario(text)).findings.length).toBeGreaterThan(1);
		}
	});
	it("sentences can be had in American units", () => {
		const report = checkRig(parseScenario(rigText()));
		expect(findingWords(item(report, "fan"), report, "us").finding).toMatch(/cfm at .* inH₂O/);
	});
});

describe("a wiring that is given", () => {
	const parts = `SUP: { kind: supply, v: 12, maxA: 2 }, TMR: { kind: relay_timer, v: 12, a: 0.05, contactA: 3 },
    FAN: { kind: fan, a: 0.3, v: 12, vmin: 7.5, vmax: 13.8 }, FUSE: { kind: fuse, a: 1, wireA: 3 }`;
	const wired = (out: string, more = parts) => rig({ wiring: wiredText(more, out) });
	const wiredText = (more: string, out = "TMR.NO") => `
  parts: { ${more} }
  nets: { P0: [SUP.+, FUSE.1], P1: [FUSE.2, TMR.V+, TMR.COM],
    SW: [${out}, FAN.+], G: [SUP.-, TMR.V-, FAN.-] }`;
	it("is ok or not, with code and line", () => {
		expect(item(wired("TMR.NO"), "wiring")).toMatchObject({ verdict: "ok", about: null });
		const inverted = wired("TMR.NC");
		expect(inverted.wiring).toMatchObject({ origin: "given", verdict: { codes: ["inverted"] } });
		expect(item(inverted, "wiring")).toMatchObject({ verdict: "stop", about: "inverted" });
		expect(item(wired("TMR.XX"), "wiring", "unknown-pin").finding).toMatch(/\(line \d+\)$/);
	});
	it("that differs from the keys beside it is worth a look, each difference once", () => {
		const found = item(wired("TMR.NO", parts), "wiring and file");
		expect(found).toMatchObject({
			verdict: "attention",
			finding:
				"Wiring and file disagree: fan current 0.3 A in the wiring, 0.5 A in fan.current; fuse 1 A in the wiring, 0.8 A in fuse.",
		});
		const same = parts.replace("a: 0.3", "a: 0.5").replace("a: 1,", "a: 0.8,");
		expect(() => item(wired("TMR.NO", same), "wiring and file")).toThrow("no item");
		const other = same
			.replace("SUP: { kind: supply, v: 12, maxA: 2 }", "SUP: { kind: supply, v: 13, maxA: 3 }")
			.concat(", FAN2: { kind: fan, a: 0.5, v: 12, vmin: 7.5, vmax: 13.8 }");
		const says = item(wired("TMR.NO", other), "wiring and file").finding;
		for (const part of ["2 fans in the wiring, 1 in fan.count", "supply voltage 13 V", "supply current 3 A"])
			expect(says.split(part)).toHaveLength(2);
		const lowside = rig({
			...timerWith(["type: relay", "type: negative-switching"]),
			wiring: wiredText(same),
		});
		expect(item(lowside, "wiring and file").finding).toContain(
			"relay_timer in the wiring, negative-switching in timer.type",
		);
	});
	it("with parts at fault is refused, all at once, each at its place", () => {
		const faulty = parts.replace("maxA: 2", "maxA: two").replace("kind: fan", "kind: fam");
		try {
			wired("TMR.NO", faulty);
			throw new Error("was accepted");
		} catch (error) {
			if (!(error instanceof InputError)) throw error;
			expect(error.faults).toHaveLength(2);
			for (const { file, line, column, path } of error.faults) {
				expect([file, line, column]).toEqual(["rig.yaml", expect.any(Number), expect.any(Number)]);
				expect(path).toMatch(/^wiring\.parts\.(SUP\.maxA|FAN\.kind)$/);
			}
		}
	});
});
