import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { RigReport } from "../../lib/index.ts";
import { checkRig, commissioning, parseScenario } from "../../lib/index.ts";
import { fanCurvePlot } from "../../reports/charts/fancurve.ts";
import { gaugeOf } from "../../reports/rig/gauges.ts";
import { commissioningSheets, findingWords, rigReport, sheetsPage } from "../../reports/rig/rig.ts";
import { rigHeadline } from "../../reports/rig/rigwords.ts";
import { fanWith, item, type RigKeys, rig, rigText, timerWith } from "../rig/rigs.ts";

const options = { units: "si", version: "0.0.0-test" } as const;
const sheetsOf = (report: RigReport, units: "si" | "us" = "si") =>
	commissioningSheets(commissioning(report), report, { units });
const pageOf = (report: RigReport, units: "si" | "us" = "si") => rigReport(report, { ...options, units });
const textOf = (html: string): string =>
	html
		.replace(/<(script|style)\b[\s\S]*?<\/\1>/g, "")
		.replace(/<[^>]*>/g, " ")
		.replaceAll("&#39;", "'")
		.replaceAll("\u00a0", " ")
		.replace(/\s+/g, " ");

const shipped = parseScenario(
	readFileSync(new URL("../../fixtures/scenarios/filtered-cabinet.yaml", import.meta.url), "utf8"),
	"filtered-cabinet.yaml",
);
const report = checkRig(shipped);
const plain = await pageOf(report);
const OVERLOADED: RigKeys = { supply: "{ voltage: 12 V, current: 0.5 A }", fuse: "8 A" };

test("the checks stand first, then fan and wiring, then cautions and what is folded; the eight sheets are a page of their own", () => {
	expect([...plain.matchAll(/<h2[^>]*>([^<]*)/g)].map((match) => match[1])).toEqual([
		"17 checks",
		"Fan, filter and duct",
		"Wiring",
		"Cautions",
		"Details",
	]);
	expect([...plain.matchAll(/<summary>([^<]*?) <span>/g)].map((match) => match[1])).toEqual([
		"Wire by wire",
		"Commissioning sheets",
		"Findings, reasons and remedies",
		"Air of one burst",
		"Current, voltage and energy",
		"Contact life",
		"Not assessed",
		"Where each input came from",
		"Assumptions",
		"The scenario file",
	]);
	const sheets = sheetsPage(sheetsOf(report), report, options);
	expect([...sheets.matchAll(/<section class="sheet" aria-labelledby="(P\d)"/g)].map((m) => m[1])).toEqual([
		"P1",
		"P2",
		"P3",
		"P4",
		"P5",
		"P6",
		"P7",
		"P8",
	]);
	const text = textOf(plain);
	for (const found of report.findings) {
		const { finding, reason, remedy } = findingWords(found, report, "si");
		expect(text).toContain(finding);
		expect(text).toContain(reason);
		if (remedy !== null) expect(text).toContain(remedy);
	}
	expect(text).toMatch(/invented/i);
});

test("the figures of the tables are those of the report", () => {
	const text = textOf(plain);
	const { fan, power } = report;
	if (!fan?.operatingPoint.exists || power === null) throw new Error("the shipped rig works");
	expect(text).toContain(`${Number((3600 * fan.operatingPoint.flowM3PerS).toPrecision(3))} m³/h`);
	expect(text).toContain(`all fans and timers, running ${power.allRunningAmps} A`);
	expect(text).toContain(`${Number((100 * power.voltageDropShare!).toPrecision(3))} % running`);
	expect(text).toContain("From NO of TIMER to + of FAN: yellow wire");
	expect(text).toContain("Off-time: timer off");
	expect(text).toContain("On-time: timer on");
});

test("the operating point of the chart lies on both curves", () => {
	for (const units of ["si", "us"] as const) {
		const plot = fanCurvePlot(report.fan!, 1, units);
		const [fan, clean, loaded] = plot.curves;
		const between = (curve: typeof fan, x: number): number => {
			const right = curve!.points.findIndex((point) => point.x >= x);
			const [a, b] = [curve!.points[right - 1]!, curve!.points[right]!];
			return a.y + ((b.y - a.y) * (x - a.x)) / (b.x - a.x);
		};
		const [point, worn] = plot.marks!;
		// Straight pieces between 60 samples stand in for the parabola.
		expect(between(fan, point!.x) / point!.y).toBeCloseTo(1, 3);
		expect(between(clean, point!.x) / point!.y).toBeCloseTo(1, 3);
		expect(between(loaded, worn!.x) / worn!.y).toBeCloseTo(1, 3);
		expect(plot.rules!.map(({ at }) => at / fan!.points.at(-1)!.x)).toEqual([
			expect.closeTo(0.3, 9),
			expect.closeTo(0.7, 9),
		]);
	}
});

test("the headline says stop, attention or neither, and names what for", () => {
	const stop = rig(OVERLOADED);
	expect(rigHeadline(stop, "si")).toMatchObject({
		answer: "Stop: do not switch it on like this",
		grounds: expect.stringMatching(/^Supply; fuse\.$/),
	});
	expect(rigHeadline(report, "si").answer).toBe("No stop faults; 3 items need attention");
	expect(rigHeadline(rig(fanWith(["curve:", "count: 3, curve:"])), "si").more.join(" ")).toContain(
		"the fans deliver",
	);
	const given = rig({ wiring: wiringText() });
	expect(given.verdict).toBe("ok");
	expect(rigHeadline(given, "us")).toEqual({
		answer: "No faults found in this rig",
		grounds: expect.stringMatching(/cfm; the catalogue says 114 cfm\.$/),
		more: [],
	});
});

/** A wiring as a file has it, right but for what is changed. */
const wiringText = (change = (nets: string): string => nets): string => `
  parts:
    SUP: { kind: supply, v: 12, maxA: 2 }
    TMR: { kind: relay_timer, v: 12, a: 0.05, contactA: 3 }
    FAN: { kind: fan, a: 0.5, v: 12, vmin: 7.5, vmax: 13.8 }
    FUSE: { kind: fuse, a: 0.8, wireA: 4.5 }
${change(`  nets:
    P0: [SUP.+, FUSE.1]
    P1: [FUSE.2, TMR.V+, TMR.COM]
    SW: [TMR.NO, FAN.+]
    G: [SUP.-, TMR.V-, FAN.-]`)}`;

test("a wrong wiring is drawn as it is, with its faults and remedies", async () => {
	const wrong = rig({ wiring: wiringText((nets) => nets.replace("TMR.NO", "TMR.NC")) });
	const text = textOf(await pageOf(wrong));
	const { finding, remedy } = item(wrong, "wiring", "inverted");
	expect(text).toContain(finding);
	expect(text).toContain(remedy!);
	expect(text).toContain("✗ stop Wiring, inverted");
	expect(text).toMatch(/ STOP One stop/);
	expect(text).toContain("shows it as it is, not as it should be");
});

test("each wiring of the test set makes a page, whatever is wrong with it", async () => {
	const { cases } = JSON.parse(
		readFileSync(new URL("../../fixtures/wirings/cases.json", import.meta.url), "utf8"),
	) as { cases: { id: string; parts: object; nets: object }[] };
	expect(cases.length).toBeGreaterThan(10);
	for (const { id, parts, nets } of cases) {
		const text = rigText({
			fan: "{ flow: 60 m3/h, voltage: 12 V }",
			wiring: JSON.stringify({ parts, nets }),
		});
		const judged = checkRig(parseScenario(text, `${id}.yaml`));
		const html = await rigReport(judged, options);
		expect(html, id).toContain("Wire by wire");
		expect(textOf(html), id).not.toMatch(/NaN|Infinity|undefined/);
	}
}, 60_000);

test("no word is NaN, infinite, undefined or null, in any kind of rig and in both units", async () => {
	const reports = [
		report,
		rig(OVERLOADED),
		rig(fanWith(["flap: 1 Pa", "flap: 90 Pa"])),
		rig(timerWith(["type: relay", "type: negative-switching"])),
		rig({ fan: "{ flow: 60 m3/h, voltage: 12 V }", timer: "", supply: "", wire: "", fuse: "" }),
		rig({ schedules: "{ never: off, always: continuous }" }),
		rig({ schedules: "" }),
		rig(fanWith(["current: 0.5 A, start-current: 0.55 A", "current: 0.5 A, count: 3, arrangement: series"])),
		rig({ wire: "{ gauge: AWG 28, length: 300 m }" }),
	];
	for (const one of reports)
		for (const units of ["si", "us"] as const)
			expect(textOf(await pageOf(one, units))).not.toMatch(/NaN|Infinity|undefined|\bnull\b/);
}, 60_000);

test("a fan that stalls is said so, and its chart has no operating point", async () => {
	const stalled = rig(fanWith(["flap: 1 Pa", "flap: 90 Pa"]));
	expect(fanCurvePlot(stalled.fan!, 1, "si").marks).toEqual([]);
	const text = textOf(await pageOf(stalled));
	expect(text).toContain("The curves do not meet");
	expect(text).toContain("✗ stop Delivered flow");
});

test.each([
	["the report", () => plain],
	["the sheets", () => sheetsPage(sheetsOf(report), report, options)],
])("%s is one small file whose policy names its style, and which asks for nothing", (_, make) => {
	const html = make();
	const policy = html
		.match(/http-equiv="Content-Security-Policy" content="([^"]*)"/)![1]!
		.replaceAll("&#39;", "'");
	const style = html.match(/<style>([\s\S]*?)<\/style>/)![1]!;
	expect(policy).toContain(`style-src 'sha256-${createHash("sha256").update(style).digest("base64")}'`);
	expect(policy).not.toContain("unsafe");
	const script = html.match(/<script>([\s\S]*?)<\/script>/)?.[1] ?? null;
	expect(policy.includes("script-src")).toBe(script !== null);
	if (script !== null)
		expect(policy).toContain(`script-src 'sha256-${createHash("sha256").update(script).digest("base64")}'`);
	expect(html.match(/<script/g) ?? []).toHaveLength(script === null ? 0 : 1);
	expect(html).not.toMatch(/ style="|<[^>]* on[a-z]+=/i);
	const addresses = [...new Set(html.match(/https?:[^"'\s<]*/g))];
	expect(addresses.filter((address) => !address.startsWith("http://www.w3.org/"))).toEqual([]);
	expect(Buffer.byteLength(html)).toBeLessThan(250_000);
});

test("markup in the names of a scenario is text, in the sheets too", async () => {
	const hostile = "<img src=x onerror=alert(1)>&'";
	const text = `name: ${JSON.stringify(hostile)}\n${rigText({ schedules: `{ ${JSON.stringify(hostile)}: { on: 10 s, off: 590 s } }` })}`;
	const judged = checkRig(parseScenario(text, "<b>.yaml"));
	const sheets = sheetsOf(judged);
	for (const html of [await rigReport(judged, options), sheetsPage(sheets, judged, options)])
		expect(html).not.toMatch(/<img|<b>\.yaml/);
});

test("cautions stand where they belong: low voltage at the wiring, blades and damp at the sheets, gas at the tests with gas", () => {
	const part = (html: string, from: string, to: string): string => textOf(html).split(from)[1]!.split(to)[0]!;
	expect(part(plain, "Wire by wire", "Commissioning sheets")).toMatch(
		/low-voltage side only.*licensed people.*local codes/s,
	);
	for (const said of ["listed plug-in adapter", "Blades", "no safety device", "local codes"])
		expect(part(plain, "Before you rely on it", "Details")).toContain(said);
	for (const said of ["listed plug-in adapter", "Damp", "Blades", "no safety device", "local codes"])
		expect(part(plain, "Commissioning sheets", "Findings, reasons")).toContain(said);
	const sheets = sheetsPage(sheetsOf(report), report, options);
	expect(part(sheets, "Leak test (CO₂ decay)", "Counted bursts")).toMatch(/CO₂ harms people.*alarm/s);
	expect(part(sheets, "Acceptance run", "Power cut")).toMatch(/Spores.*CO₂ harms people/s);
});

test("a check with a limit has a bar, and what is found, allowed and left is what the finding says", () => {
	const supply = report.findings.find(({ code }) => code === "supply")!;
	const gauge = gaugeOf(supply, (value) => value.toPrecision(3))!;
	const { loadAmps, supplyAmps } = item(report, "supply");
	expect([gauge.found, gauge.limit]).toEqual([loadAmps, 0.8 * supplyAmps]);
	expect(Number(gauge.spareWords)).toBeCloseTo(0.8 * supplyAmps - loadAmps, 2);
	const over = rig(OVERLOADED);
	const fuse = gaugeOf(item(over, "fuse"), (value) => value.toPrecision(3))!;
	expect(fuse.found).toBe(8);
	expect(fuse.spareWords).toMatch(/ over$/);
	expect(plain.match(/<svg class="gauge"/g)).toHaveLength(
		report.findings.filter((found) => gaugeOf(found, String) !== null).length,
	);
});
