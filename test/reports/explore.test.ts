import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compareSchedules } from "../../lib/compare/compare.ts";
import { InputError } from "../../lib/errors.ts";
import { buildModel } from "../../lib/model/build.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { starterScenario } from "../../lib/scenario/starter.ts";
import { traceContour } from "../../lib/solve/cycles/contour.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { normalizeText, parseValue } from "../../lib/units/read.ts";
import { fillGrid, logSpacedTimes, unitModel } from "../../reports/explore/contours.ts";
import { exploreReport } from "../../reports/explore/explore.ts";
import { createExplorer, cyclesOf, firstState, soundState } from "../../reports/explore/explored.ts";
import { createEditHistory } from "../../reports/explore/history.ts";
import {
	entryText,
	positionOf,
	roundSeconds,
	SLIDER_STEPS,
	valueAtPosition,
} from "../../reports/explore/scale.ts";
import { decodeState, type ExploreState, encodeState, withValue } from "../../reports/explore/state.ts";
import { tracesOf } from "../../reports/explore/traces.ts";
import { controlGroups } from "../../reports/explore/view/controls.ts";

const scenario = parseScenario(starterScenario(), "starter.yaml");
const { read, explore } = createExplorer(scenario.text, scenario.fileName);
const base = firstState(scenario, "si");
const paths = controlGroups(scenario).flatMap(({ controls }) => controls.map(({ path }) => path));
const words = fc.stringMatching(/^[\w .+%/()-]{1,30}$/).filter((text) => text.trim() === text && text !== "");

const states: fc.Arbitrary<ExploreState> = fc.record({
	values: fc.dictionary(fc.constantFrom(...paths), words, { noNullPrototype: true }),
	schedules: fc.oneof(
		fc.tuple(fc.record({ on: words, off: words })),
		fc.tuple(fc.record({ on: words, off: words }), fc.record({ on: words, off: words })),
	),
	activeSchedule: fc.constant(0 as const),
	units: fc.constantFrom("si", "us"),
	isSensorShown: fc.boolean(),
});

describe("a state in a link", () => {
	it("comes back as it went", () => {
		fc.assert(
			fc.property(states, (state) => {
				expect(decodeState(`#${encodeState(state)}`, base, paths)).toEqual(state);
			}),
			{ seed: 1, numRuns: 500 },
		);
	});

	it("is sound, whatever stands in the link: 2,000 fragments", () => {
		const good = encodeState({
			...base,
			values: { "chamber.volume": "200 L", "fan.flow": "30 m3/h", "substrate.0.species": "shiitake" },
			schedules: [base.schedules[0], { on: "2 min", off: "1 h" }],
		});
		const damaged = fc
			.tuple(fc.nat({ max: good.length }), fc.nat({ max: 12 }), fc.string({ unit: "binary", maxLength: 8 }))
			.map(([at, length, text]) => good.slice(0, at) + text + good.slice(at + length));
		const fields = fc
			.array(
				fc.tuple(
					fc.constantFrom(...paths, "A.on", "A.off", "B.on", "B.off", "moves", "units", "__proto__"),
					fc.oneof(
						words,
						fc.string({ unit: "binary" }),
						fc.constantFrom("<img src=x onerror=alert(1)>", "0 s", "-1 L", "1e999 L", "180 L", "NaN", "5 %"),
					),
				),
				{ maxLength: 5 },
			)
			.map((pairs) => `v=1&${new URLSearchParams(pairs)}`);
		let checked = 0;
		const expected = read(base).text.split("schedules:")[0];
		fc.assert(
			fc.property(fc.oneof(damaged, fields, fc.string({ unit: "binary" }), fc.webFragments()), (fragment) => {
				const { sound } = soundState(read, decodeState(`#${fragment}`, base, paths), base);
				checked++;
				if (sound === base) return;
				const { text, scenario } = read(sound);
				expect(scenario.schedules.length).toBe(sound.schedules.length);
				if (Object.keys(sound.values).length === 0 && !sound.isSensorShown)
					expect(text.split("schedules:")[0]).toBe(expected);
			}),
			{ seed: 1, numRuns: 2000 },
		);
		expect(checked).toBe(2000);
	}, 120_000);

	it("of another version, or too long, is passed over", () => {
		expect(decodeState("#v=2&chamber.volume=200+L", base, paths)).toBe(base);
		expect(decodeState(`#v=1&units=us&x=${"y".repeat(20_000)}`, base, paths)).toBe(base);
	});

	it("that is partly nonsense gives what makes sense, and names the rest", () => {
		const said = decodeState(
			"#v=1&chamber.volume=200+kg&fan.flow=30+m3/h&A.on=soon&B.on=1+min&B.off=2+h",
			base,
			paths,
		);
		const { sound, refused } = soundState(read, said, base);
		expect(refused).toEqual(["schedule A", "chamber.volume"]);
		expect(read(sound).scenario.fan.flow?.text).toBe("30 m3/h");
		expect(read(sound).scenario.chamber.volume.text).toBe("180 L");
		expect(sound.schedules).toEqual([base.schedules[0], { on: "1 min", off: "2 h" }]);
	});
});

describe("a state explored", () => {
	it("is what compare makes of the text that it saves", () => {
		const state: ExploreState = {
			...base,
			values: { "chamber.volume": "6 ft3", "fan.flow": "30 cfm", "target.on": "worst hour" },
			schedules: [
				{ on: "5 s", off: "4 min" },
				{ on: "1 min", off: "40 min" },
			],
			isSensorShown: true,
		};
		const { text, comparison } = explore(state);
		const again = compareSchedules(parseScenario(text, "starter.yaml"));
		expect(again.schedules).toEqual(comparison.schedules);
		expect(again.schedules.map(({ name }) => name)).toEqual(["A", "B"]);
		expect(comparison.schedules[0]!.summary.sensor).not.toBeNull();
		expect(text).toContain("sensor: { response: 60 s }");
	});

	it("begins with the first cycle of the file, and keeps the file's own words", () => {
		const { text } = explore(base);
		const [head] = scenario.text.split("\nschedules:");
		expect(text.startsWith(head!)).toBe(true);
		expect(cyclesOf(scenario).map(({ name }) => name)).toEqual(["short and often", "rare and long"]);
		expect(base.schedules).toEqual([{ on: "6 s", off: "2 min 54 s" }]);
	});

	it("refuses what the parser refuses", () => {
		expect(() => explore(withValue(base, "chamber.volume", "180 kg"))).toThrow(InputError);
		expect(() => explore(withValue(base, "A.on", "soon"))).toThrow(/schedules\.A\.on/);
	});

	it("has traces that touch the peak and the trough of the figures", () => {
		const { comparison } = explore({
			...base,
			schedules: [base.schedules[0], { on: "2 min", off: "58 min" }],
		});
		const { traces, windowSeconds } = tracesOf(comparison);
		expect(windowSeconds).toBe(7200);
		for (const [i, { curve, repeatsSeconds }] of traces.entries()) {
			const { summary } = comparison.schedules[i]!;
			expect(repeatsSeconds).toBe(summary.windowSeconds);
			expect(Math.max(...curve.co2Ppm) / summary.peakPpm).toBeCloseTo(1, 2);
			expect(Math.min(...curve.co2Ppm) / summary.troughPpm).toBeCloseTo(1, 2);
		}
	});
});

/** The shipped scenarios whose source changes by the hour: by the day's warmth, and by a flush of a crop that feels the CO2. */
const shipped = (name: string) => {
	const text = readFileSync(new URL(`../../fixtures/scenarios/${name}.yaml`, import.meta.url), "utf8");
	return { ...createExplorer(text, name), base: firstState(parseScenario(text, name), "si") };
};

describe("a glance", () => {
	it("is the full answer where that is quick", () => {
		const { preview } = createExplorer(scenario.text, scenario.fileName);
		const [rough, full] = [preview(base), explore(base)];
		expect(rough.isPreview).toBe(false);
		expect(rough.comparison.schedules).toEqual(full.comparison.schedules);
		const waterOf = ({ comparison }: typeof full) => comparison.schedules.map(({ water }) => water);
		expect(waterOf(rough)).toEqual(waterOf(full));
	});

	// Against the solver that the command uses: another method, another mesh, the same balance.
	it.each([
		["walk-in-tent", "4 s", "236 s"],
		["walk-in-tent", "24 s", "4 min 35 s"],
		["walk-in-tent", "2 min", "1 h"],
		["compost-room", "7 s", "53 s"],
		["compost-room", "30 s", "29 min 30 s"],
	])("of %s at %s on, %s off differs from it by less than half a per cent of the excess", (name, on, off) => {
		const { preview, explore, base } = shipped(name);
		const state = { ...base, schedules: [{ on, off }] as const };
		const [rough, full] = [preview(state), explore(state)];
		expect([rough.isPreview, full.isPreview]).toEqual([true, false]);
		const { intakePpm } = full.comparison.model;
		const [a, b] = [rough.comparison.schedules[0]!.summary, full.comparison.schedules[0]!.summary];
		const near = (x: number | null | undefined, y: number | null | undefined) =>
			expect(Math.abs(x! - y!)).toBeLessThan(0.005 * (y! - intakePpm));
		for (const key of ["peakPpm", "meanPpm", "troughPpm", "maxHourlyMeanPpm", "continuousPpm"] as const)
			near(a[key], b[key]);
		if (b.sensor !== null)
			for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const) near(a.sensor?.[key], b.sensor[key]);
		expect(a.criterion.isMet).toBe(b.criterion.isMet);
		// The full answer is of the worst timing of cycle and day: as many cycles, but for one.
		const isSameTiming = !b.noPeriodicState?.shiftSeconds;
		expect(Math.abs(a.exceedancePercent - b.exceedancePercent)).toBeLessThan(
			isSameTiming ? 0.3 : 100 / b.burstsPerDay,
		);
		expect([a.burstsPerDay, a.freshAirM3PerDay]).toEqual([b.burstsPerDay, b.freshAirM3PerDay]);
		const water = ({ comparison }: typeof full) => comparison.schedules[0]!.water.humidificationGPerDay;
		expect(Math.abs(water(rough) / water(full) - 1)).toBeLessThan(0.005);
		const [drawn, whole] = [rough.traces.traces[0]!.curve, full.traces.traces[0]!.curve];
		near(Math.max(...drawn.co2Ppm), Math.max(...whole.co2Ppm));
		expect(drawn.timesSeconds.at(-1)! / whole.timesSeconds.at(-1)!).toBeCloseTo(1, 2);
	});

	it("of two schedules works out again only the one that is moved", () => {
		const { preview, base } = shipped("walk-in-tent");
		const both = (off: string) => ({
			...base,
			schedules: [
				{ on: "24 s", off: "4 min" },
				{ on: "24 s", off },
			] as const,
		});
		const [first, second] = [preview(both("5 min")), preview(both("6 min"))];
		expect(second.traces.traces[0]!.curve).toBe(first.traces.traces[0]!.curve);
		expect(second.traces.traces[1]!.curve).not.toBe(first.traces.traces[1]!.curve);
	});
});

describe("moves", () => {
	const at = (off: string): ExploreState => ({ ...base, schedules: [{ on: "6 s", off }] });

	it("are taken back one by one, and made anew", () => {
		fc.assert(
			fc.property(fc.array(states, { minLength: 1, maxLength: 12 }), (list) => {
				const moves = createEditHistory(() => 0);
				const lived = [base];
				for (const [i, next] of list.entries()) {
					moves.record(lived.at(-1)!, next, `control ${i}`);
					if (encodeState(next) !== encodeState(lived.at(-1)!)) lived.push(next);
				}
				let now = lived.at(-1)!;
				for (const before of lived.slice(0, -1).reverse()) {
					now = moves.undo(now)!;
					expect(now).toEqual(before);
				}
				expect(moves.undo(now)).toBeNull();
				for (const after of lived.slice(1)) {
					now = moves.redo(now)!;
					expect(now).toEqual(after);
				}
				expect(moves.available()).toEqual({ undo: lived.length > 1, redo: false });
			}),
			{ seed: 1, numRuns: 300 },
		);
	});

	it("of one control that follow closely, or of one grip, are one; a new grip or a rest begins another", () => {
		let now = 0;
		const moves = createEditHistory(() => now);
		const move = (from: string, to: string, seconds: number) => {
			now += 1000 * seconds;
			moves.record(at(from), at(to), "off");
		};
		move("1 min", "2 min", 0);
		move("2 min", "3 min", 0.5);
		move("3 min", "4 min", 2);
		moves.setDragging(true);
		move("4 min", "5 min", 0.1);
		move("5 min", "6 min", 30);
		moves.setDragging(false);
		const back = (from: string) => moves.undo(at(from))?.schedules[0].off;
		expect([back("6 min"), back("4 min"), back("3 min"), back("1 min")]).toEqual([
			"4 min",
			"3 min",
			"1 min",
			undefined,
		]);
	});

	it("after one that was taken back leave nothing to make anew", () => {
		const moves = createEditHistory(() => 0);
		moves.record(at("1 min"), at("2 min"), "off");
		expect(moves.undo(at("2 min"))).toEqual(at("1 min"));
		moves.record(at("1 min"), at("9 min"), "off");
		expect(moves.redo(at("9 min"))).toBeNull();
		expect(moves.undo(at("9 min"))).toEqual(at("1 min"));
	});
});

describe("the map", () => {
	const onSeconds = logSpacedTimes(1, 600, 12);
	const off = logSpacedTimes(10, 7200, 40);
	const filled = (figure: "peak" | "mean" | "worst hour", model = buildModel(scenario)) => {
		const work = fillGrid(unitModel(model).unit, figure, onSeconds, off);
		for (;;) {
			const step = work.next();
			if (step.done === true) return step.value;
		}
	};

	it("is that of settingMap, in proportion to the source", () => {
		const model = buildModel(scenario);
		const { scale } = unitModel(model);
		const map = settingMap(model, { onSeconds, offSeconds: off });
		for (const [figure, ppm] of [
			["peak", map.peakPpm],
			["mean", map.meanPpm],
		] as const)
			filled(figure).excess.forEach((excess, place) => {
				expect((model.intakePpm + scale * excess) / ppm[place]!).toBeCloseTo(1, 9);
			});
	});

	it("has a ceiling line on whose sides the verdict differs", () => {
		const model = buildModel(scenario);
		const { scale } = unitModel(model);
		const curve = traceContour(filled("peak"), (1000 - model.intakePpm) / scale);
		expect(curve.some((seconds) => seconds > 10 && seconds < 7200)).toBe(true);
		curve.forEach((seconds, i) => {
			if (seconds === 0 || !Number.isFinite(seconds)) return;
			const peakAt = (offSeconds: number) =>
				settingMap(model, { onSeconds: [onSeconds[i]!], offSeconds: [offSeconds] }).peakPpm[0]!;
			expect(peakAt(seconds * 0.98)).toBeLessThan(1000);
			expect(peakAt(seconds * 1.02)).toBeGreaterThan(1000);
		});
	});
});

describe("a slider", () => {
	it("comes back to its position from the value that it gives", () => {
		for (const scale of [
			{ low: 1, high: 1800, hasZero: false },
			{ low: 0.1, high: 30, hasZero: true },
		])
			for (let position = 0; position <= SLIDER_STEPS; position++)
				expect(positionOf(scale, valueAtPosition(scale, position))).toBe(position);
		expect(valueAtPosition({ low: 1, high: 10, hasZero: true }, 0)).toBe(0);
		expect(positionOf({ low: 1, high: 10, hasZero: false }, 1e6)).toBe(SLIDER_STEPS);
	});

	it("writes what the parser reads back to three digits, in both systems of units", () => {
		fc.assert(
			fc.property(
				fc.constantFrom("volume", "mass", "flow", "air changes", "concentration", "respiration", "duration"),
				fc.double({ min: 0.01, max: 5000, noNaN: true }),
				fc.constantFrom("si" as const, "us" as const),
				(dimension, size, units) => {
					const unit = { respiration: 1 / 3.6e9, "air changes": 1 / 3600, flow: 1 / 3600 }[
						dimension as string
					];
					const value = dimension === "concentration" ? size + 100 : size * (unit ?? 1);
					const read = parseValue(normalizeText(entryText(value, dimension, units)), [dimension]);
					expect(read).toHaveProperty("value");
					if (!("value" in read)) return;
					const near = dimension === "duration" ? roundSeconds(value) : value;
					expect(Math.abs(read.value - near)).toBeLessThanOrEqual(0.0051 * near + 1e-9);
				},
			),
			{ seed: 1, numRuns: 1000 },
		);
	});

	it("moves times in steps that one would key in", () => {
		expect([1.234, 12.34, 123.4, 1234, 12_345].map(roundSeconds)).toEqual([1.2, 12.5, 123, 1235, 12_360]);
	});
});

describe("the page", () => {
	it("is one file under 420 kB that asks for nothing, with a policy that binds script and style", async () => {
		const page = await exploreReport(scenario, { units: "si", version: "0.0.0-test" });
		const bytes = Buffer.byteLength(page);
		console.log(`live page: ${Math.round(bytes / 1000)} kB`);
		expect(bytes).toBeLessThanOrEqual(420_000);
		const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(page)![1]!;
		expect(policy.replaceAll("&#39;", "'").replace(/sha256-[\w+/=]+/g, "#")).toBe(
			"default-src 'none'; script-src '#'; style-src '#'; img-src data:; base-uri 'none'; form-action 'none'",
		);
		const markup = page.replace(/<script[\s\S]*?<\/script>/g, "").replace(/<style[\s\S]*?<\/style>/g, "");
		expect(markup.match(/ style="| on[a-z]+="|(?:src|href)="(?!#|data:,)/g)).toBeNull();
	});

	it("is made of scenarios without a cycle too", async () => {
		for (const schedules of ["{ always: continuous }", "{ list: { switches: [0 s, 4 s], repeat: 3 min } }"]) {
			const text = scenario.text.replace(/\nschedules:[\s\S]*$/, `\nschedules: ${schedules}\n`);
			const own = parseScenario(text, "own.yaml");
			expect(firstState(own, "si").schedules).toEqual([{ on: "10 s", off: "5 min" }]);
			expect(await exploreReport(own, { units: "us", version: "0" })).toContain("Live page");
		}
	});
});
