import fc from "fast-check";
import { expect, test } from "vitest";
import { cleanSeries } from "../../lib/logs/clean/clean.ts";
import type { Channel, CleanSeries, ExclusionReason, FanColumnFault, Log } from "../../lib/logs/log.ts";
import { readLog } from "../../lib/logs/read.ts";
import type { Model } from "../../lib/model/chamber.ts";
import { normalQuantile } from "../../lib/statistics/normal.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { seriesWarningWords } from "../../reports/words/logremarks.ts";
import { type Synthetic, seriesOf, syntheticSeries } from "../fit/syntheticlog.ts";
import { refusalOf } from "./refusal.ts";

const DAY = 86_400;
const cycles = {
	"4 s every 4 min": { kind: "cycle", onSeconds: 4, offSeconds: 236 },
	"10 s every 10 min": { kind: "cycle", onSeconds: 10, offSeconds: 590 },
	"60 s every hour": { kind: "cycle", onSeconds: 60, offSeconds: 3540 },
	"10 min on, 10 min off": { kind: "cycle", onSeconds: 600, offSeconds: 600 },
} as const;
type CycleName = keyof typeof cycles;
const chamber = (responseSeconds: number, more: Partial<Model> = {}): Model => ({
	volumeM3: 0.2,
	intakePpm: 420,
	generationM3PerS: 0.0005 / 3600,
	infiltrationM3PerS: 0.05 / 3600,
	deliveredM3PerS: 60 / 3600,
	...(responseSeconds === 0 ? {} : { responseSeconds }),
	...more,
});
const week = (cycle: CycleName, lagSeconds: number, more: Partial<Synthetic> = {}): Log =>
	syntheticSeries({
		model: chamber(lagSeconds),
		schedule: cycles[cycle],
		durationSeconds: 7 * DAY,
		stepSeconds: 60,
		noisePpm: 6,
		rho: 0.7,
		seed: 11,
		...more,
	}).log;

/** A log with some of its readings changed. */
function altered(log: Log, change: (ppm: number, seconds: number, index: number) => number): Log {
	const [channel] = log.channels as [Channel];
	const values = channel.values.map((ppm, i) => Math.round(change(ppm, log.timesSeconds[i]!, i)));
	return { ...log, channels: [{ ...channel, values }] };
}
const counts = ({ exclusions }: CleanSeries): Partial<Record<ExclusionReason, number>> =>
	Object.fromEntries(exclusions.map(({ reason, count }) => [reason, count]));
const both = (log: Log, cycle: CycleName): readonly CleanSeries[] => [
	cleanSeries(log),
	cleanSeries(log, { schedule: cycles[cycle] }),
];

test.each(
	(Object.keys(cycles) as CycleName[]).flatMap((cycle) =>
		[0, 10, 60, 195].map((lag) => [cycle, lag] as const),
	),
)("a week of %s behind a sensor of %i s loses no sample", (cycle, lag) => {
	for (const series of both(week(cycle, lag), cycle)) expect(counts(series)).toEqual({});
});

test("no clean sawtooth loses a sample, whatever its chamber, timer, sensor, noise, display and sampling", () => {
	fc.assert(
		fc.property(
			fc.record({
				cycle: fc.constantFrom(...(Object.keys(cycles) as CycleName[])),
				lag: fc.constantFrom(0, 10, 60, 195),
				generation: fc.constantFrom(0.0002, 0.0005, 0.0012, 0.003),
				fan: fc.constantFrom(20, 60, 120),
				leak: fc.constantFrom(0, 0.05, 0.5),
				stepSeconds: fc.constantFrom(2, 10, 30, 60, 120, 300),
				samples: fc.integer({ min: 60, max: 4000 }),
				fromSeconds: fc.constantFrom(0, 12_345.6),
				noisePpm: fc.constantFrom(0, 2, 6, 20, 40),
				rho: fc.constantFrom(0, 0.5, 0.9, 0.98),
				quantumPpm: fc.constantFrom(1, 1, 10, 50),
				seed: fc.integer({ min: 1, max: 1e6 }),
			}),
			({ cycle, lag, generation, fan, leak, samples, ...rest }) => {
				const { log } = syntheticSeries({
					...rest,
					model: chamber(lag, {
						generationM3PerS: generation / 3600,
						deliveredM3PerS: fan / 3600,
						infiltrationM3PerS: leak / 3600,
					}),
					schedule: cycles[cycle],
					durationSeconds: samples * rest.stepSeconds,
				});
				for (const series of both(log, cycle)) expect(counts(series)).toEqual({});
			},
		),
		{ seed: 4, numRuns: 150 },
	);
});

test("a crop that breathes ever more, a schedule that is changed and a chamber shut anew lose no sample", () => {
	const cycle = "10 s every 10 min";
	const grown = altered(
		week(cycle, 60),
		(ppm, seconds) => 420 + (ppm - 420) * (1 + (2 * seconds) / (7 * DAY)),
	);
	const before = week(cycle, 60, { durationSeconds: 3 * DAY, fromSeconds: 7200 });
	const after = week("4 s every 4 min", 60, { durationSeconds: 3 * DAY, fromSeconds: 7200, seed: 12 });
	const joint = (a: Log, b: Log): Log => {
		const ppm = [...a.channels[0]!.values, ...b.channels[0]!.values];
		return seriesOf(
			Float64Array.from(ppm, (_, i) => 60 * i),
			Float64Array.from(ppm),
			60,
		).log;
	};
	const shut = syntheticSeries({
		model: chamber(60),
		schedule: cycles[cycle],
		durationSeconds: DAY,
		stepSeconds: 60,
		noisePpm: 6,
		rho: 0.7,
		seed: 13,
	}).log;
	const longer = week(cycle, 60, {
		schedule: { kind: "cycle", onSeconds: 25, offSeconds: 575 },
		durationSeconds: 3 * DAY,
		fromSeconds: 7200,
		seed: 14,
	});
	for (const [name, log] of Object.entries({
		grown,
		often: joint(before, after),
		longer: joint(before, longer),
		shorter: joint(longer, before),
		shut,
	}))
		for (const series of both(log, cycle)) expect(counts(series), name).toEqual({});
});

test("a rise and a decay without cycles lose no sample", () => {
	const model = chamber(60);
	for (const [generationM3PerS, startPpm] of [
		[model.generationM3PerS!, 500],
		[0, 4000],
	] as const) {
		const ppm = Float64Array.from({ length: 400 }, (_, i) => {
			const rate = (model.infiltrationM3PerS! + 1e-9) / model.volumeM3;
			const steady = 420 + (1e6 * generationM3PerS) / (rate * model.volumeM3);
			return Math.round(
				steady + (startPpm - steady) * Math.exp(-rate * 30 * i) + 5 * Math.sin(1e4 * i ** 1.5),
			);
		});
		const { log } = seriesOf(
			Float64Array.from(ppm, (_, i) => 30 * i),
			ppm,
			30,
		);
		expect(counts(cleanSeries(log))).toEqual({});
	}
});

const OPENED = 3.3 * DAY + 250;
/** What a door opening takes off, for some cycles. */
const opening = (seconds: number): number => (seconds < OPENED ? 0 : Math.exp(-(seconds - OPENED) / 700));

test.each(["10 s every 10 min", "60 s every hour"] as const)(
	"an opened door is left out until the pattern is back: %s",
	(cycle) => {
		const log = altered(week(cycle, 60), (ppm, seconds) => ppm - (ppm - 430) * 0.8 * opening(seconds));
		for (const series of both(log, cycle)) {
			expect(series.exclusions.map(({ reason }) => reason)).toEqual(["door opening"]);
			expect(series.exclusions[0]).toMatchObject({ offPpm: 30, offShare: 0.02, offSigmas: 6, cycles: 3 });
			const { intervals } = series.exclusions[0]!;
			const first = intervals[0]!;
			// The first sample after it may still lie among those of other cycles.
			expect(first.fromSeconds).toBeGreaterThanOrEqual(OPENED - 1);
			expect(first.fromSeconds).toBeLessThan(OPENED + 300);
			const last = intervals.at(-1)!;
			expect(last.toSeconds).toBeLessThan(OPENED + 3 * 3600);
			expect(last.toSeconds - first.fromSeconds).toBeGreaterThan(300);
		}
		expect(counts(cleanSeries(log, { keep: ["door opening"] }))).toEqual({});
	},
);

test("what happens every day at one time is part of the pattern", () => {
	const cycle = "10 s every 10 min";
	const log = altered(week(cycle, 60), (ppm, seconds) => {
		const since = (seconds % DAY) - 40_000;
		return since < 0 ? ppm : ppm - (ppm - 430) * 0.8 * Math.exp(-since / 700);
	});
	expect(counts(cleanSeries(log))).toEqual({});
});

test("single readings that jump are outliers, and only they", () => {
	const spiked = new Map([
		[500, 300],
		[501, 320],
		[2005, -250],
		[7777, 900],
	]);
	for (const cycle of ["10 s every 10 min", "60 s every hour"] as const) {
		const log = altered(week(cycle, 60), (ppm, _, i) => ppm + (spiked.get(i) ?? 0));
		for (const series of both(log, cycle)) {
			expect([...series.excluded].flatMap((code, i) => (code > 0 ? [i] : []))).toEqual([...spiked.keys()]);
			expect(counts(series)).toEqual({ outlier: 4 });
		}
		expect(counts(cleanSeries(log, { keep: ["outlier"] }))).toEqual({});
	}
});

test("spikes are found without a cycle too", () => {
	const ppm = Float64Array.from({ length: 300 }, (_, i) => Math.round(600 + 4 * i + 3 * Math.sin(i ** 1.7)));
	ppm[100]! += 200;
	ppm[200]! -= 400;
	const series = cleanSeries(
		seriesOf(
			Float64Array.from(ppm, (_, i) => 30 * i),
			ppm,
			30,
		).log,
	);
	expect([...series.excluded].flatMap((code, i) => (code > 0 ? [i] : []))).toEqual([100, 200]);
});

test("after a step of the baseline the shorter part is left out", () => {
	const cycle = "60 s every hour";
	const at = 2 * DAY + 2000;
	const log = altered(week(cycle, 60), (ppm, seconds) => (seconds < at ? ppm : ppm - 120));
	for (const series of both(log, cycle)) {
		expect(series.exclusions.map(({ reason }) => reason)).toEqual(["baseline step"]);
		const [stretch] = series.exclusions[0]!.intervals;
		expect(stretch!.fromSeconds).toBe(0);
		expect(Math.abs(stretch!.toSeconds - at)).toBeLessThanOrEqual(60);
	}
	expect(counts(cleanSeries(log, { keep: ["baseline step"] }))).toEqual({});
});

test("a reading that stands still for hours amid a sawtooth is stuck", () => {
	const cycle = "10 s every 10 min";
	const source = week(cycle, 60);
	const held = source.channels[0]!.values[3003]!;
	const log = altered(source, (ppm, _, i) => (i >= 3003 && i < 3127 ? held : ppm));
	for (const series of both(log, cycle)) expect(counts(series)).toEqual({ stuck: 124 });
	expect(counts(cleanSeries(log, { keep: ["stuck", "door opening"] }))).toEqual({});
});

test("clipping is a flat top at a range's end, not a coarse display nor a peak that happens to be round", () => {
	const source = week("60 s every hour", 60, {
		model: chamber(60, { generationM3PerS: 0.0012 / 3600 }),
		noisePpm: 0,
	});
	const clipped = altered(source, (ppm) => Math.min(ppm, 2000));
	const above = source.channels[0]!.values.filter((ppm) => ppm >= 2000).length;
	expect(above).toBeGreaterThan(100);
	expect(counts(cleanSeries(clipped))).toEqual({ clipped: above });
	expect(counts(cleanSeries(clipped, { keep: ["clipped"] })).clipped).toBeUndefined();
	// Not at the end of a range.
	expect(counts(cleanSeries(altered(source, (ppm) => Math.min(ppm, 2037))))).toEqual({});
	const coarse = altered(source, (ppm) => Math.min(2000, 500 * Math.round(ppm / 500)));
	const peak = Math.max(...coarse.channels[0]!.values);
	expect(peak).toBe(2000);
	const top = Math.max(...source.channels[0]!.values);
	const scaled = altered(source, (ppm) => (ppm * 5000) / top);
	expect(counts(cleanSeries(scaled))).toEqual({});
});

test("a ceiling is found beneath stray readings, one or some, which are left out with it", () => {
	const source = week("60 s every hour", 60, { model: chamber(60, { generationM3PerS: 0.0012 / 3600 }) });
	const cut = altered(source, (ppm) => Math.min(ppm, 2000));
	const high = [...cut.channels[0]!.values].flatMap((ppm, i) => (ppm === 2000 ? [i] : []));
	for (const strays of [
		[[high[200]!, 2600]],
		// A stray reading at the end of another range, and two in a row.
		[
			[high[10]!, 5000],
			[high[700]!, 2412],
			[high[701]!, 2300],
		],
	] as const) {
		const log = altered(cut, (ppm, _, i) => strays.find(([at]) => at === i)?.[1] ?? ppm);
		for (const series of both(log, "60 s every hour")) {
			expect(counts(series)).toEqual({ clipped: high.length });
			expect(series.exclusions[0]).toMatchObject({
				reason: "clipped",
				limitPpm: 2000,
				strayReadings: strays.length,
			});
		}
	}
	// Not so many, nor so near: there the sensor still measures.
	const often = altered(cut, (ppm, _, i) => (ppm === 2000 && i % 4 === 0 ? 2400 : ppm));
	const near = altered(cut, (ppm, _, i) => (ppm === 2000 && i % 40 === 0 ? 2010 : ppm));
	for (const log of [often, near]) expect(counts(cleanSeries(log)).clipped).toBeUndefined();
});

test("whatever is cut off, by noise, display and sampling, is found at its ceiling", () => {
	fc.assert(
		fc.property(
			fc.record({
				ceiling: fc.constantFrom(2000, 2500, 5000, 10_000, 40_000),
				excess: fc.constantFrom(1.15, 1.5, 3),
				noisePpm: fc.constantFrom(0, 2, 6, 20),
				rho: fc.constantFrom(0, 0.7),
				quantumPpm: fc.constantFrom(1, 10),
				stepSeconds: fc.constantFrom(10, 30, 60),
				strays: fc.integer({ min: 0, max: 3 }),
				seed: fc.integer({ min: 1, max: 1e6 }),
			}),
			({ ceiling, excess, quantumPpm, strays, seed, ...rest }) => {
				const source = week("60 s every hour", 60, { ...rest, seed, durationSeconds: DAY });
				const [low, high] = [420, Math.max(...source.channels[0]!.values)];
				const scale = (excess * ceiling - low) / (high - low);
				const cut = altered(source, (ppm) =>
					Math.min(ceiling, quantumPpm * Math.round((low + (ppm - low) * scale) / quantumPpm)),
				);
				const at = [...cut.channels[0]!.values].flatMap((ppm, i) => (ppm === ceiling ? [i] : []));
				const stray = new Set(Array.from({ length: strays }, (_, k) => at[(seed + 5 * k) % at.length]));
				const log = altered(cut, (ppm, _, i) => (stray.has(i) ? ceiling + 100 * quantumPpm : ppm));
				expect(counts(cleanSeries(log)).clipped).toBe(at.length);
			},
		),
		{ seed: 8, numRuns: 100 },
	);
});

test("a steady state that lies at the end of a range is no ceiling: it is crept up to", () => {
	fc.assert(
		fc.property(
			fc.record({
				ceiling: fc.constantFrom(2000, 2500, 3000, 5000, 10_000),
				quantumPpm: fc.constantFrom(1, 10, 50),
				/** Where in its step of the display the steady state lies. */
				share: fc.double({ min: -0.49, max: 0.49, noNaN: true }),
				timeConstantSteps: fc.constantFrom(4, 10, 40, 200),
				lengths: fc.constantFrom(6, 12, 30),
				noise: fc.constantFrom(0, 0.05, 0.3, 1),
				strays: fc.integer({ min: 0, max: 2 }),
				seed: fc.integer({ min: 1, max: 1e6 }),
			}),
			({ ceiling, quantumPpm, share, timeConstantSteps, lengths, noise, strays, seed }) => {
				const random = seededUniform(seed);
				const steady = ceiling + share * quantumPpm;
				const cycle = lengths * timeConstantSteps;
				const ppm = Float64Array.from({ length: 4 * cycle }, (_, i) => {
					const rising = 1 - Math.exp(-(i % cycle) / timeConstantSteps);
					const truth = 450 + (steady - 450) * rising + noise * quantumPpm * normalQuantile(random());
					return quantumPpm * Math.round(truth / quantumPpm);
				});
				for (let k = 0; k < strays; k++) ppm[Math.floor(random() * ppm.length)] = ceiling + 100 * quantumPpm;
				const times = Float64Array.from(ppm, (_, i) => 60 * i);
				expect(counts(cleanSeries(seriesOf(times, ppm, 60).log)).clipped).toBeUndefined();
			},
		),
		{ seed: 9, numRuns: 300 },
	);
});

test("warm-up is what is asked for, or readings below any air at the start", () => {
	const log = week("10 s every 10 min", 60, { durationSeconds: DAY });
	const asked = cleanSeries(log, { warmUpSeconds: 600 });
	expect(asked.exclusions).toMatchObject([
		{ reason: "warm-up", count: 10, intervals: [{ fromSeconds: 0, toSeconds: 540 }] },
	]);
	const low = altered(log, (ppm, _, i) => (i < 4 ? 100 + 50 * i : ppm));
	expect(counts(cleanSeries(low))).toEqual({ "warm-up": 4 });
	const always = altered(log, (ppm) => ppm - 500);
	expect(counts(cleanSeries(always))).toEqual({});
});

test("a minimum pinned at 400 ppm is warned of", () => {
	const log = altered(week("60 s every hour", 0), (ppm) => Math.max(400, ppm - 60));
	expect(cleanSeries(log).warnings).toMatchObject([{ code: "automatic baseline", baselinePpm: 400 }]);
	expect(cleanSeries(week("60 s every hour", 0)).warnings).toEqual([]);
});

/** An hour of samples with a fan column; the fan is on from second 590 of each ten minutes. */
function fanLog(stepSeconds: number, state: (seconds: number) => string): Log {
	const rows = Array.from({ length: Math.floor((4 * 3600) / stepSeconds) }, (_, i) => {
		const seconds = i * stepSeconds;
		return `${seconds},${Math.round(800 + 0.3 * (seconds % 600))},${state(seconds)}`;
	});
	return readLog(["time (s),CO2 (ppm),fan", ...rows].join("\n"));
}
const onAt = (seconds: number): boolean => seconds % 600 >= 590;
function word(seconds: number): string {
	return onAt(seconds) ? "on" : "off";
}
const setting = { onSeconds: 10, offSeconds: 590 };

test("a fan column that catches each burst gives the switch instants, to half a step", () => {
	for (const [step, schedule] of [
		[1, setting],
		[2, setting],
		[1, undefined],
	] as const) {
		const { fan, warnings } = cleanSeries(fanLog(step, word), {
			...(schedule === undefined ? {} : { schedule }),
			fanState: "now",
		});
		expect(warnings).toEqual([]);
		expect(fan!.onAtStart).toBe(false);
		expect(fan!.switchesSeconds.length).toBe(47);
		for (const [k, at] of fan!.switchesSeconds.entries())
			expect(Math.abs(at - (600 * Math.floor(k / 2) + (k % 2 === 0 ? 590 : 600)))).toBeLessThanOrEqual(
				step / 2 + 1e-9,
			);
	}
});

type Untrusted = readonly [
	string,
	number,
	(seconds: number) => string,
	typeof setting,
	FanColumnFault,
	words: string,
];
const untrusted: readonly Untrusted[] = [
	[
		"never on",
		60,
		(_: number) => "0",
		setting,
		{ fault: "never on", everySeconds: 60 },
		"never shows the fan on: with a row every 1 min it misses shorter bursts",
	],
	[
		"on in single samples",
		10,
		word,
		setting,
		{ fault: "bursts too short for its steps", everySeconds: 10 },
		"bursts of one or two rows",
	],
	[
		"with bursts missing",
		1,
		(s: number) => (s % 1800 < 600 ? word(s) : "off"),
		setting,
		{ fault: "number of bursts", bursts: 8, expectedBursts: 24, expectedBy: "schedule" },
		"shows 8 bursts where the schedule has 24",
	],
	[
		"with other bursts than the schedule",
		1,
		word,
		{ onSeconds: 60, offSeconds: 540 },
		{ fault: "on-time", onSeconds: 10, scheduledSeconds: 60 },
		"shows bursts of 10 s; the schedule has 1 min",
	],
	["always on", 1, (_: number) => "on", setting, { fault: "always on" }, "always shows the fan on"],
	[
		"with a hole",
		1,
		(s: number) => (s > 4000 && s < 4900 ? "" : word(s)),
		setting,
		{ fault: "gap", gapSeconds: 900 },
		"a gap of 15 min",
	],
	[
		"empty but for a state",
		60,
		(s: number) => (s === 0 ? "0" : ""),
		setting,
		{ fault: "no states" },
		"has no states",
	],
	[
		"on once, to the end",
		1,
		(s: number) => (s > 14_000 ? "1" : "0"),
		setting,
		{ fault: "no whole burst" },
		"no whole burst",
	],
];

test.each(untrusted)(
	"a fan column that is %s is not trusted, and that is said",
	(_, step, state, schedule, fault, words) => {
		const { fan, warnings } = cleanSeries(fanLog(step, state), { schedule });
		expect(fan).toBeNull();
		expect(warnings).toEqual([{ code: "fan column", ...fault }]);
		expect(seriesWarningWords(warnings[0]!)).toContain(words);
		expect(seriesWarningWords(warnings[0]!)).toContain("the programmed schedule must say when the fan ran");
	},
);

test("the chamber's column is taken unless another is named; one that is not there is refused", () => {
	const log = readLog("time (s),CO2 inlet,CO2 chamber\n0,420,900\n60,421,910\n120,422,920\n");
	expect(cleanSeries(log).channel.name).toBe("CO2 chamber");
	for (const column of ["CO2 inlet", "inlet", "column 2"])
		expect([...cleanSeries(log, { column }).co2Ppm]).toEqual([420, 421, 422]);
	expect(refusalOf(() => cleanSeries(log, { column: "outlet" }))[0]).toMatchObject({ path: "column" });
});

test("what is missing stays left out whatever is kept, and the log is left as it was", () => {
	const log = readLog("time (s),CO2\n0,900\n60,\n120,920\n");
	const copy = structuredClone(log);
	const series = cleanSeries(log, { keep: ["missing", "outlier"] });
	expect([...series.excluded]).toEqual([0, 1, 0]);
	expect(log).toEqual(copy);
	expect(series.co2Ppm).toBe(log.channels[0]!.values);
});
