import fc from "fast-check";
import { expect, test } from "vitest";
import type { RigReport } from "../../lib/index.ts";
import {
	buildModel,
	type CommissioningOptions,
	checkRig,
	commissioning,
	parseScenario,
	summarize,
} from "../../lib/index.ts";
import { deliveredFlow } from "../../lib/model/fan/deliveredflow.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { type CommissioningSheet, commissioningSheets, type SheetOptions } from "../../reports/rig/rig.ts";
import { fitSeries } from "../fit/exactfit.ts";
import { syntheticSeries } from "../fit/syntheticlog.ts";
import { fanWith, type RigKeys, rig, timerWith } from "./rigs.ts";

type Id = CommissioningSheet["id"];
const allSheets = (report: RigReport, options: CommissioningOptions & SheetOptions = {}) =>
	commissioningSheets(commissioning(report, options), report, options);
const sheetsOf = (report: RigReport, options: CommissioningOptions & SheetOptions = {}) => {
	const sheets = allSheets(report, options);
	return (id: Id): CommissioningSheet => sheets.find((one) => one.id === id)!;
};
const value = ({ expected }: CommissioningSheet, label: string | RegExp): number =>
	expected.find((one) => (typeof label === "string" ? one.label === label : label.test(one.label)))!.value;
const everyText = (value: unknown): string => JSON.stringify(value);

/** The sound rig with a leak, a sensor and blocks that take room. */
const CABINET: RigKeys & { readonly sensor?: string } = {
	chamber: "{ volume: 420 L, temperature: 20 C, leak: 0.4 /h }",
	substrate: "{ species: oyster, mass: 8 kg, density: 400 kg/m3, rate: 100..220 mg/(kg h) }",
	schedules:
		"{ rare: { on: 60 s, off: 29 min }, often: { on: 9 s, off: 291 s } }\nsensor: { response: 50 s }",
};
const report = rig(CABINET);
const { scenario } = report;
const model = buildModel(scenario);
const sheets = sheetsOf(report);

test("there are eight sheets in the order of the work, each with its reason, time, steps, acceptance, troubles and cautions", () => {
	const all = allSheets(report);
	expect(all.map(({ id }) => id)).toEqual(["P1", "P2", "P3", "P4", "P5", "P6", "P7", "P8"]);
	for (const one of all) {
		for (const text of [one.reason, ...one.steps, ...one.acceptance])
			expect(text).toMatch(/^[“A-Z0-9].*[.)]$/s);
		expect(one.duration, one.id).toMatch(/\d (min|h)/);
		expect(one.steps.length).toBeGreaterThanOrEqual(5);
		expect(one.troubles.length).toBeGreaterThanOrEqual(3);
		expect(one.cautions.length).toBeGreaterThanOrEqual(1);
		for (const row of one.record.rows) expect(row).toHaveLength(one.record.columns.length);
		expect(one.record.rows.flat()).toContain("");
	}
});

test("the values expected are those of the library and of sums by hand", () => {
	const flow = deliveredFlow(scenario).value;
	expect(value(sheets("P2"), "delivered flow")).toBe(flow);
	expect(value(sheets("P2"), /^time to fill/)).toBeCloseTo(0.12 / flow, 12);
	// exp(-t 0.4/h) = 0.7 in the loaded chamber; the same leak has more air to change in the empty one.
	const more = scenario.chamber.volume.value / model.volumeM3;
	expect(value(sheets("P4"), /fell by 30 %/) / ((3600 * more * Math.log(1 / 0.7)) / 0.4)).toBeCloseTo(1, 4);
	expect(value(sheets("P6"), "rise per minute")).toBeCloseTo(
		(60e6 * model.generationM3PerS) / model.volumeM3,
		9,
	);
	expect(value(sheets("P6"), /low end/) / value(sheets("P6"), /high end/)).toBeCloseTo(100 / 220, 9);
	const { schedule } = scenario.schedules.find(({ name }) => name === "often")!;
	const summary = summarize(model, schedule, { ceilingPpm: 1000 });
	expect(value(sheets("P7"), "peak, in the air")).toBe(summary.peakPpm);
	expect(value(sheets("P7"), "peak, as logged")).toBe(summary.sensor!.peakPpm);
	expect(summary.sensor!.peakPpm).toBeLessThan(summary.peakPpm);
});

test("waits are five times the response of the sensor, and one that is not given is said to be assumed", () => {
	expect(sheets("P4").steps.join(" ")).toContain(
		"wait 4 min 30 s (5 × the response time of the sensor, 50 s)",
	);
	const without = sheetsOf(rig());
	expect(without("P4").steps.join(" ")).toContain("45 s, assumed, because the file gives no sensor.response");
});

/** Bursts of a sheet, from its record: on-time and how many. */
const burstsOf = ({ command }: CommissioningSheet): number[] =>
	[...command!.matchAll(/--burst ([\d.]+)s/g)].map((match) => Number(match[1]));

/** Within three of its own standard errors of the truth, and with an error small enough to be of use. */
function tellsTheTruth(
	{ value, standardError }: { readonly value: number; readonly standardError: number | null },
	truth: number,
	relativeError: number,
): void {
	expect(Math.abs(value - truth)).toBeLessThan(3 * standardError!);
	expect(standardError! / truth).toBeLessThan(relativeError);
}

test("a log taken as the sheet of counted bursts says gives the flow back with the sheet's own command", () => {
	const sheet = sheets("P5");
	const lengths = burstsOf(sheet);
	expect(lengths).toEqual([3, 9]);
	const pause = 360;
	expect(sheet.steps.join(" ")).toContain(`Wait ${formatDuration(pause)}`);
	const switchSeconds: number[] = [];
	for (const row of sheet.record.rows) {
		const start = (switchSeconds.at(-1) ?? 0) + pause;
		switchSeconds.push(start, start + Number(row[0]!.match(/of (\d+) s/)![1]));
	}
	const series = syntheticSeries({
		model: { ...model, volumeM3: scenario.chamber.volume.value, generationM3PerS: 0, startPpm: 3000 },
		schedule: { kind: "switches", switchSeconds, startsWith: "off" },
		durationSeconds: switchSeconds.at(-1)! + pause,
		stepSeconds: 10,
		noisePpm: 3,
		rho: 0,
		seed: 5,
	});
	const fit = fitSeries(scenario, series, { test: "bursts", burstSeconds: lengths });
	const found = (name: string) => fit.parameters.find((one) => one.name === name)!;
	tellsTheTruth(found("flow"), model.deliveredM3PerS, 0.05);
	tellsTheTruth(found("per burst"), value(sheet, "air changes of 3 s"), 0.05);
	// And the readings that it foretells are those of the log.
	const last = Number(sheet.record.rows.at(-1)![2]);
	expect(Math.abs(last - series.co2Ppm.at(-1)!)).toBeLessThan(20);
});

test("logs taken as the sheets of decay and rise say tell leak and respiration", () => {
	const decay = syntheticSeries({
		model: { ...model, volumeM3: scenario.chamber.volume.value, generationM3PerS: 0, startPpm: 3000 },
		schedule: { kind: "off" },
		durationSeconds: value(sheets("P4"), /fell by 30 %/),
		stepSeconds: 10,
		noisePpm: 8,
		rho: 0,
		seed: 6,
	});
	const leak = fitSeries(scenario, decay, { test: "decay" }).parameters.find(({ name }) => name === "leak")!;
	tellsTheTruth(leak, model.infiltrationM3PerS, 0.05);
	const rise = syntheticSeries({
		model: { ...model, startPpm: value(sheets("P6"), "start") },
		schedule: { kind: "off" },
		durationSeconds: 3600,
		stepSeconds: 10,
		noisePpm: 8,
		rho: 0,
		seed: 7,
	});
	const source = fitSeries(scenario, rise, { test: "rise" }).parameters.find(
		({ name }) => name === "generation",
	)!;
	tellsTheTruth(source, model.generationM3PerS, 0.05);
});

test("the command lines name test, file and schedule as they are typed", () => {
	expect(sheets("P4").command).toBe("lullgust fit decay.csv --test decay --scenario rig.yaml");
	expect(sheets("P5").command).toBe(
		"lullgust fit bursts.csv --test bursts --burst 3s --burst 9s --scenario rig.yaml",
	);
	expect(sheets("P6").command).toBe("lullgust fit rise.csv --test rise --scenario rig.yaml");
	expect(sheets("P7").command).toBe("lullgust verify week.csv --scenario rig.yaml --schedule often");
	const named = sheetsOf(rig({ schedules: `{ "it's $5": { on: 9 s, off: 5 min }, b: off }` }), {
		fileName: "my rig.yaml",
		schedule: "it's $5",
	});
	expect(named("P7").command).toBe(
		`lullgust verify week.csv --scenario "my rig.yaml" --schedule 'it'\\''s $5'`,
	);
	expect(sheetsOf(rig())("P7").command).not.toContain("--schedule");
});

test("the schedule that holds with the least air is taken, or the one that is named", () => {
	expect(sheets("P7").steps[0]).toContain("“often”");
	expect(sheetsOf(report, { schedule: "rare" })("P7").steps[0]).toContain("“rare”");
	expect(() => commissioning(report, { schedule: "never" })).toThrow(RangeError);
});

test("the schedule's own bursts are counted wherever they can be", () => {
	const counted = (on: string) => {
		const sheet = sheetsOf(rig({ schedules: `{ a: { on: ${on}, off: 30 min } }` }))("P5");
		return { lengths: burstsOf(sheet), text: sheet.steps.join(" ") };
	};
	expect(counted("3 s").lengths).toEqual([3, 9]);
	expect(counted("12 s").lengths).toEqual([4, 12]);
	expect(counted("90 s").lengths).not.toContain(90);
	expect(counted("90 s").text).toContain("not 1 min 30 s: those leave too little to count");
	expect(counted("1 s").text).toContain("those replace too little to be seen");
});

test("a fan that moves nothing, or too much to be counted, has no counted bursts", () => {
	const stalled = sheetsOf(rig(fanWith(["flap: 1 Pa", "flap: 90 Pa"])))("P5");
	expect(stalled.command).toBeNull();
	expect(stalled.steps.join(" ")).toContain("delivers nothing");
	const tub = sheetsOf(
		rig({ chamber: "{ volume: 30 L, temperature: 20 C }", substrate: "{ species: oyster, mass: 1 kg }" }),
	)("P5");
	expect(tub.command).toBe("lullgust fit week.csv --scenario rig.yaml");
	expect(tub.steps.join(" ")).toContain("bag test");
});

test("the bench sheet has the checks before power, by the type of the board", () => {
	const relay = everyText(sheets("P1"));
	for (const said of ["10 Ω", "11.4 V to 12.6 V", "COM to NC closed, COM to NO open", "tissue", "guard"])
		expect(relay).toContain(said);
	const minus = everyText(sheetsOf(rig(timerWith(["type: relay", "type: negative-switching"])))("P1"));
	expect(minus).toContain("OUT− against V−: no contact");
	expect(minus).not.toMatch(/COM|\bNO\b|\bNC\b/);
});

test("after a power cut it says what the timer of the file does", () => {
	const says = (powerUp: string) =>
		sheetsOf(rig(timerWith(["power-up: on", powerUp])))("P8").acceptance.join(" ");
	expect(says("power-up: on")).toContain("begins with a burst");
	expect(says("power-up: off")).toContain("the first burst comes 9 min 50 s after the power");
	expect(says("digits: 3")).toContain("this test shows it");
});

test("the empty chamber counts with all its air, and no room is dosed by hand", () => {
	expect(sheets("P5").steps[0]).toContain("The fit counts the air of the whole chamber");
	expect(sheets("P4").steps.join(" ")).toMatch(/\d+ breaths .* g of baking soda/);
	const room = rig({ chamber: "{ volume: 12 m3, temperature: 20 C, leak: 0.3 /h }" });
	const text = everyText([sheetsOf(room)("P4"), sheetsOf(room)("P5")]);
	expect(text).toContain("Nobody doses a chamber of this size by hand");
	expect(text).not.toMatch(/soda|breaths/);
});

test("a chamber without a known leak has a decay test all the same", () => {
	const sheet = sheetsOf(rig({ chamber: "{ volume: 420 L, temperature: 20 C, leak: 0 /h }" }))("P4");
	expect(sheet.duration).toBe("3 h");
	expect(sheet.steps.join(" ")).toContain("more than 3 h: stop then");
});

test("no sheet of any rig says NaN, infinite or undefined, and every command is one line", () => {
	const litres = fc.double({ min: 20, max: 20_000, noNaN: true });
	const seconds = fc.double({ min: 0.5, max: 4000, noNaN: true });
	fc.assert(
		fc.property(
			fc.record({
				volume: litres,
				leak: fc.constantFrom(0, 0.05, 0.5, 20),
				flow: fc.double({ min: 0.5, max: 2000, noNaN: true }),
				on: seconds,
				off: seconds,
				lag: fc.constantFrom(0, 5, 60, 600),
				kind: fc.constantFrom("cycle", "continuous", "off", "none"),
				dead: fc.boolean(),
				units: fc.constantFrom("si", "us"),
			}),
			({ volume, leak, flow, on, off, lag, kind, dead, units }) => {
				const cycle = `{ on: ${on.toFixed(2)} s, off: ${off.toFixed(2)} s }`;
				const schedule = kind === "cycle" ? cycle : kind;
				const text = `chamber: { volume: ${volume.toFixed(1)} L, temperature: 20 C, leak: ${leak} /h${dead ? ", stagnant: { share: 20 %, source: 50 %, exchange: 1 /h }" : ""} }
intake: { co2: 450 ppm }
substrate: { species: oyster, mass: 1 kg }
fan: { flow: ${flow.toFixed(2)} m3/h, voltage: 12 V, spin-up: 1 s }
sensor: { response: ${lag} s }
${kind === "none" ? "" : `schedules: { a: ${schedule} }`}`;
				const scenario = parseScenario(text, "rig.yaml", { schedules: "optional" });
				const all = allSheets(checkRig(scenario), { units });
				expect(all).toHaveLength(8);
				expect(everyText(all)).not.toMatch(/NaN|Infinity|undefined|:null,"dimension/);
				for (const { command } of all) if (command !== null) expect(command).toMatch(/^lullgust [^\n]*$/);
			},
		),
		{ seed: 1, numRuns: 40 },
	);
});

test("the short circuit test of P1 expects half the resistance of the parts, at most 10 ohm", () => {
	// 12 V over 3 x 0.5 A and 0.05 A are 7.74 ohm.
	const three = sheetsOf(rig(fanWith(["curve:", "count: 3, curve:"])))("P1");
	expect(three.steps.join(" ")).toContain("more than 3.9 Ω both times");
	expect(three.record.rows.flat()).toContain("> 3.9 Ω");
});
