import { describe, expect, it, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import type { Model } from "../../lib/model/chamber.ts";
import type { Schedule } from "../../lib/model/schedule/schedule.ts";
import { makeTimeline, playTimeline } from "../../lib/model/schedule/timeline.ts";
import { compile } from "../../lib/solve/compile.ts";
import { continuousState } from "../../lib/solve/continuous.ts";
import { periodicColumns, periodicCycle } from "../../lib/solve/cycles/closedform.ts";
import { settingMap } from "../../lib/solve/cycles/settingmap.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { runStats, simulate } from "../../lib/solve/simulate.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { cabinet, everything, flush, shortBursts, zoned } from "./models.ts";

const peakOf = (model: Parameters<typeof periodicState>[0]): number => {
	const found = periodicState(model, shortBursts);
	if (!found.exists) throw new Error(found.cause);
	return found.peakPpm;
};

/** Messages of all faults that a call complains of. */
function faultsOf(call: () => unknown): string[] {
	try {
		call();
	} catch (error) {
		if (!(error instanceof InputError)) throw error;
		return error.faults.map(({ path, message }) => (path === undefined ? message : `${path}: ${message}`));
	}
	throw new Error("nothing was found wrong");
}
const written = (model: Record<string, unknown>): Model => model as unknown as Model;

describe("a compiled model", () => {
	it("is no memory of the plain one: a model changed in place is answered for as it is", () => {
		const model = { ...zoned };
		const before = peakOf(model);
		Object.assign(model, { generationM3PerS: 2 * zoned.generationM3PerS });
		const after = peakOf(model);
		expect((after - 430) / (before - 430)).toBeCloseTo(2, 9);
		expect(after).toBe(peakOf({ ...zoned, generationM3PerS: 2 * zoned.generationM3PerS }));
	});

	it("answers as the plain model does, keeps what it was made of, and compiles to itself", () => {
		const model = { ...zoned };
		const compiled = compile(model);
		Object.assign(model, { volumeM3: 1 });
		expect(compile(compiled)).toBe(compiled);
		expect(peakOf(compiled)).toBe(peakOf(zoned));
		expect(peakOf(compiled)).toBe(peakOf(zoned));
		expect(summarize(compiled, shortBursts, { ceilingPpm: 1000 })).toEqual(
			summarize(zoned, shortBursts, { ceilingPpm: 1000 }),
		);
		for (const part of [compiled, compiled.model, compiled.balance]) expect(Object.isFrozen(part)).toBe(true);
	});

	it("serves a plain model of the same numbers, and no other", () => {
		const compiled = compile({ ...zoned });
		expect(compile({ ...zoned })).toBe(compiled);
		for (const key of Object.keys(zoned) as (keyof Model)[])
			if (typeof zoned[key] === "number")
				expect(compile({ ...zoned, [key]: zoned[key] * 0.999 }).model[key]).toBe(zoned[key] * 0.999);
		expect(faultsOf(() => compile(written({ ...zoned, volumM3: 1 })))).toHaveLength(1);
		expect(compile({ ...zoned, startPpm: 500 }).model.startPpm).toBe(500);
	});

	it("with a source is made anew each time, for the source may change its mind", () => {
		const model = {
			...cabinet,
			source: { ...flush, m3PerS: () => 1e-7, isTimeVarying: false, isPpmDependent: false },
		};
		const before = peakOf(model);
		model.source.m3PerS = () => 2e-7;
		expect((peakOf(model) - 430) / (before - 430)).toBeCloseTo(2, 9);
	});

	it("hands nothing on to a model that is made from it", () => {
		const compiled = compile(zoned);
		peakOf(compiled);
		const larger = { ...compiled.model, volumeM3: 2 * zoned.volumeM3 };
		expect(peakOf(larger)).toBe(peakOf({ ...zoned, volumeM3: 2 * zoned.volumeM3 }));
		// A copy of its own fields is no model at all.
		expect(faultsOf(() => peakOf({ ...compiled }))[0]).toMatch(/^model\.model: is no field of a model/);
	});
});

describe("a hand-written model", () => {
	test.each([
		[
			{ generationM3PerS: undefined },
			["model.generationM3PerS: is missing; it needs a flow of 0 m3/s or more"],
		],
		[{ volumeM3: "0.18" }, ['model.volumeM3: needs a volume above 0 m3, got "0.18"']],
		[{ intakePpm: Number.NaN }, ["model.intakePpm: needs 0 ppm or more, got NaN"]],
		[{ startPpm: null }, ["model.startPpm: needs 0 ppm or more, got null"]],
		[{ sensorZone: "corner" }, ['model.sensorZone: needs "mixed" or "stagnant", got "corner"']],
		[{ volumM3: 1 }, ["model.volumM3: is no field of a model; did you mean volumeM3?"]],
		[
			{ infiltrationM3PerS: undefined, deliveredM3PerS: -1 },
			[
				"model.infiltrationM3PerS: is missing; it needs a flow of 0 m3/s or more",
				"model.deliveredM3PerS: needs a flow of 0 m3/s or more, got -1",
			],
		],
		[
			{ source: { ...flush, m3PerS: 3, periodSeconds: 0 } },
			[
				"model.source.m3PerS: needs a function of time and CO2 that gives m3/s, got 3",
				"model.source.periodSeconds: needs a time above 0 s, or null, got 0",
			],
		],
		[{ source: 12 }, ["model.source: needs an object, got 12"]],
		[
			{ leakM3PerS: 0 },
			[
				"model.leakM3PerS: is the former name of infiltrationM3PerS, which is given too; leave one of them out",
			],
		],
	])("with %j is refused with every fault", (wrong, faults) => {
		const model = written({ ...cabinet, ...wrong });
		expect(faultsOf(() => compile(model))).toEqual(faults);
		expect(faultsOf(() => periodicState(model, shortBursts))).toEqual(faults);
	});

	it("that changes faster than a double can hold is refused, and at the limit it is as good as at once", () => {
		const tiny = { ...zoned, responseSeconds: 0, stagnantFraction: 1e-11, stagnantSourceShare: 0.3 };
		for (const [model, path] of [
			[
				{ ...cabinet, responseSeconds: 1e-12 },
				"model.responseSeconds: needs 0 s, or a time of 0.001 s or more, got 1e-12",
			],
			[tiny, "model.interzonalM3PerS: changes the air of a zone"],
			[{ ...zoned, interzonalM3PerS: 1e6 }, "model.interzonalM3PerS: changes the air of a zone"],
		] as const)
			expect(faultsOf(() => periodicState(model, shortBursts))[0]).toContain(path);
		const long = { kind: "cycle", onSeconds: 60, offSeconds: 30 * 86_400 } as const;
		for (const schedule of [shortBursts, long]) {
			const plain = periodicState(cabinet, schedule);
			const sensed = periodicState({ ...cabinet, responseSeconds: 1e-3 }, schedule);
			// One zone but for a corner of 1.8 mL that changes its air 1000 times a second.
			const corner = periodicState({ ...tiny, stagnantFraction: 1e-5, interzonalM3PerS: 0.0018 }, schedule);
			if (!plain.exists || !sensed.exists || !corner.exists) throw new Error("no regime");
			for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const) {
				expect(sensed.sensor![key] / plain[key]).toBeCloseTo(1, 4);
				expect(sensed[key] / plain[key]).toBeCloseTo(1, 4);
				expect(corner[key] / plain[key]).toBeCloseTo(1, 4);
			}
		}
	});

	it("that is no object is refused by name", () => {
		for (const [given, shown] of [
			[undefined, "undefined"],
			[null, "null"],
			["cabinet", '"cabinet"'],
		] as const)
			expect(faultsOf(() => compile(given as never))).toEqual([`model: needs an object, got ${shown}`]);
	});

	it("may use the former names of its fields", () => {
		const { intakePpm, infiltrationM3PerS, deliveredM3PerS, interzonalM3PerS, responseSeconds, ...rest } =
			everything;
		const { spinUpTauSeconds, coastDownTauSeconds, ...kept } = rest;
		const former = written({
			...kept,
			supplyPpm: intakePpm,
			leakM3PerS: infiltrationM3PerS,
			fanM3PerS: deliveredM3PerS,
			mixing: 0.8,
			exchangeM3PerS: interzonalM3PerS,
			sensorSeconds: responseSeconds,
			spinUpSeconds: spinUpTauSeconds,
			coastDownSeconds: coastDownTauSeconds,
		});
		expect(compile(former).model).toEqual({ ...everything, mixingEfficiency: 0.8 });
	});

	it("needs no constant beside a source", () => {
		const { generationM3PerS: _, ...rest } = everything;
		const options = { durationSeconds: 600, sampleIntervalSeconds: 60 };
		expect(simulate(written(rest), shortBursts, options).co2Ppm).toEqual(
			simulate(everything, shortBursts, options).co2Ppm,
		);
	});
});

describe("a hand-written schedule", () => {
	test.each([
		[
			{ kind: "cycel", onSeconds: 1, offSeconds: 1 },
			'schedule.kind: needs one of "cycle", "daily", "switches", "continuous", "off", got "cycel"; did you mean "cycle"?',
		],
		[{ kind: "cycle", onSeconds: 4 }, "schedule.offSeconds: needs a time of 0 s or more, got undefined"],
		[
			{ kind: "cycle", onSeconds: "4", offSeconds: 9 },
			'schedule.onSeconds: needs a time of 0 s or more, got "4"',
		],
		[
			{ kind: "cycle", onSeconds: 4, offSeconds: 9, startsWith: "low" },
			'schedule.startsWith: needs "on" or "off", got "low"',
		],
		[{ kind: "daily" }, "schedule.parts: needs at least one part of the day"],
		[
			{ kind: "daily", parts: [{ fromSeconds: 0, schedule: { kind: "switches" } }] },
			'schedule.parts[0].schedule.kind: needs one of "cycle", "continuous", "off", got "switches"',
		],
		[{ kind: "switches", switchSeconds: 5 }, "schedule.switchSeconds: needs a list of times in s, got 5"],
		[
			{ kind: "switches", switchSeconds: [1, "2"] },
			'schedule.switchSeconds[1]: needs times in ascending order, got "2" s',
		],
	])("%j is refused", (schedule, fault) => {
		expect(faultsOf(() => periodicState(cabinet, schedule as never))).toEqual([fault]);
	});

	it("that is no object is refused by name", () => {
		expect(
			faultsOf(() => simulate(cabinet, 4 as never, { durationSeconds: 1, sampleTimes: [1] }))[0],
		).toMatch(/^schedule: needs an object such as .*, got 4$/);
	});
});

describe("every solver", () => {
	const broken = written({ ...cabinet, volumeM3: "large" });
	const times = { durationSeconds: 60, sampleIntervalSeconds: 1 };
	const grid = { onSeconds: [4], offSeconds: [60] };
	const columns = {
		intakePpm: Float64Array.of(400),
		risePpmPerS: Float64Array.of(1),
		onPerS: Float64Array.of(0.1),
		offPerS: Float64Array.of(0),
		onSeconds: Float64Array.of(10),
		offSeconds: Float64Array.of(60),
	};

	test.each<[string, () => unknown]>([
		["simulate", () => simulate(broken, { kind: "on" } as never, times)],
		["runStats", () => runStats(broken, { kind: "on" } as never, { durationSeconds: 60, ceilingPpm: 1000 })],
		["periodicState", () => periodicState(broken, { kind: "on" } as never)],
		["continuousState", () => continuousState(broken, { kind: "on" } as never)],
		["summarize", () => summarize(broken, { kind: "on" } as never, { ceilingPpm: 1000 })],
	])("%s names what is wrong with model and schedule at once", (_, call) => {
		expect(faultsOf(call)).toEqual([
			'model.volumeM3: needs a volume above 0 m3, got "large"',
			expect.stringMatching(/^schedule\.kind: needs one of .*, got "on"/),
		]);
	});

	test.each<[string, () => unknown, RegExp]>([
		[
			"simulate",
			() => simulate(cabinet, shortBursts, undefined as never),
			/^simulate needs an object of options/,
		],
		[
			"simulate",
			() => simulate(cabinet, shortBursts, { ...times, durationSeconds: "60" as never }),
			/^durationSeconds needs a time above 0 s, got "60"/,
		],
		[
			"simulate",
			() => simulate(cabinet, shortBursts, { ...times, startPpm: Number.NaN }),
			/^startPpm needs 0 ppm or more, got NaN/,
		],
		[
			"simulate",
			() => simulate(cabinet, shortBursts, { durationSeconds: 60, sampleTimes: ["1"] as never }),
			/^sampleTimes\[0\] needs ascending times from 0 to 60 s, got "1"/,
		],
		[
			"simulate",
			() => simulate(cabinet, shortBursts, { durationSeconds: 60, sampleTimes: 60 as never }),
			/^sampleTimes needs a list of times/,
		],
		[
			"simulate",
			() => simulate(zoned, shortBursts, { ...times, start: { state: [1], fanSpeedFraction: 0 } as never }),
			/^start needs a state of 3 numbers/,
		],
		[
			"simulate",
			() => simulate(cabinet, shortBursts, { ...times, ["sampleSeconds" as never]: 1 }),
			/^sampleSeconds is the former name of sampleIntervalSeconds, which is given too/,
		],
		[
			"runStats",
			() => runStats(cabinet, shortBursts, { durationSeconds: 60, ceilingPpm: Number.NaN }),
			/^ceilingPpm needs a level in ppm, got NaN/,
		],
		[
			"periodicState",
			() => periodicState(cabinet, shortBursts, { method: "euler" as never }),
			/^method needs "exact", "runge-kutta" or "odex", got "euler"/,
		],
		[
			"periodicState",
			() => periodicState(cabinet, shortBursts, { relativeTolerance: Number.NaN }),
			/^relativeTolerance needs a value from 1e-13 to 0.01, got NaN/,
		],
		[
			"continuousState",
			() => continuousState(cabinet, shortBursts, { fromSeconds: 0, toSeconds: Number.NaN }),
			/^window.toSeconds needs a time after its start, got NaN/,
		],
		[
			"summarize",
			() => summarize(cabinet, shortBursts, { ceilingPpm: "1000" as never }),
			/^ceilingPpm needs a level in ppm, got "1000"/,
		],
		[
			"summarize",
			() => summarize(cabinet, shortBursts, { ceilingPpm: 1000, statistic: "median" as never }),
			/^statistic needs "peak", "mean" or "worst hour", got "median"/,
		],
		["settingMap", () => settingMap(broken, grid), /^model.volumeM3: needs a volume/],
		[
			"settingMap",
			() => settingMap(cabinet, { ...grid, offSeconds: [Number.NaN] }),
			/^grid.offSeconds\[0\] needs a time of 0 s or more, got NaN/,
		],
		["settingMap", () => settingMap(cabinet, undefined as never), /^grid needs an object/],
		[
			"periodicColumns",
			() => periodicColumns({ ...columns, onPerS: Float64Array.of(1, 2) }),
			/^onPerS needs a Float64Array as long as intakePpm, got a list/,
		],
		[
			"periodicCycle",
			() => periodicCycle(400, Number.NaN, 0.1, 0, 10, 60),
			/^risePpmPerS needs a number of 0 or more, got NaN/,
		],
		["periodicCycle", () => periodicCycle(400, 1, 0.1, 0, 0, 0), /^onSeconds and offSeconds are both 0 s/],
	])("%s names a wrong argument", (_, call, message) => {
		expect(faultsOf(call)[0]).toMatch(message);
	});

	it("takes the former name of the distance of samples", () => {
		const former = { durationSeconds: 60, sampleSeconds: 10 } as never;
		expect(simulate(cabinet, shortBursts, former).co2Ppm).toEqual(
			simulate(cabinet, shortBursts, { durationSeconds: 60, sampleIntervalSeconds: 10 }).co2Ppm,
		);
	});
});

describe("a timeline", () => {
	const nightly: Schedule = {
		kind: "daily",
		parts: [
			{ fromSeconds: 7 * 3600, schedule: { kind: "cycle", onSeconds: 12.1, offSeconds: 540.3 } },
			{ fromSeconds: 22 * 3600, schedule: { kind: "off" } },
		],
	};

	it("holds one period and is its own timeline", () => {
		const timeline = makeTimeline(shortBursts);
		expect(timeline).toMatchObject({ repeatSeconds: 552, periodSeconds: 552 });
		expect(timeline.segments).toHaveLength(2);
		expect(makeTimeline(timeline)).toBe(timeline);
		expect(periodicState(zoned, timeline)).toEqual(periodicState(zoned, shortBursts));
		expect(makeTimeline({ kind: "switches", switchSeconds: [5] }).periodSeconds).toBeNull();
	});

	it("plays each period as index × period + offset, with equal lengths to the last bit", () => {
		for (const schedule of [nightly, { kind: "cycle", onSeconds: 0.1, offSeconds: 0.7 } as const]) {
			const timeline = makeTimeline(schedule);
			const { segments, repeatSeconds } = timeline;
			const played = [...playTimeline(timeline, 30 * repeatSeconds)];
			expect(played).toHaveLength(30 * segments.length);
			for (const [i, { startSeconds, durationSeconds, isOn }] of played.entries()) {
				const own = segments[i % segments.length]!;
				const index = Math.floor(i / segments.length);
				expect([startSeconds, isOn]).toEqual([index * repeatSeconds + own.startSeconds, own.isOn]);
				if (i < played.length - 1) expect(durationSeconds).toBe(own.durationSeconds);
			}
		}
	});

	it("carries the fan's speed from segment to segment", () => {
		const fan = { spinUpTauSeconds: 10, coastDownTauSeconds: 100 };
		const speeds = [...playTimeline(makeTimeline(shortBursts), 1104, fan)].map((s) => s.fanSpeedFraction);
		const top = 1 - Math.exp(-1.2);
		const rest = top * Math.exp(-5.4);
		expect(speeds).toEqual([0, top, rest, 1 - (1 - rest) * Math.exp(-1.2)]);
	});
});
