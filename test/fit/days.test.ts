import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { dayName, splitDays, summarizeDays } from "../../lib/fit/days.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit, FitDay, FittedParameter } from "../../lib/fit/fittypes.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Model } from "../../lib/model/chamber.ts";
import { updateScenario } from "../../lib/scenario/edit/update.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { fitSeries } from "./exactfit.ts";
import { syntheticSeries } from "./syntheticlog.ts";

const DAY = 86_400;
const HOUR = 3600;
const layout = (zone: string | null) => ({
	startUtcSeconds: 0,
	layout: {
		encoding: "utf-8",
		delimiter: ",",
		decimal: ".",
		preambleLines: 0,
		headerLines: 1,
		timeFormat: "",
		zone,
		zoneFrom: "option",
	} as const,
});
const from = (zone: string | null, instant: string | null) => ({
	...layout(zone),
	startUtcSeconds: instant === null ? null : Date.parse(instant) / 1000,
});
const lengths = (days: ReturnType<typeof splitDays>): number[] =>
	days.map(({ fromSeconds, toSeconds }) => (toSeconds - fromSeconds) / HOUR);

describe("days of a log", () => {
	test("run from midnight to midnight in its zone, the first and the last as far as the log goes", () => {
		const days = splitDays(from("Europe/Berlin", "2026-03-10T07:12:00Z"), 2.5 * DAY);
		expect(days.map(dayName)).toEqual(["day 1 · 2026-03-10", "day 2 · 2026-03-11", "day 3 · 2026-03-12"]);
		expect(lengths(days)).toEqual([15.8, 24, 20.2]);
		expect(days[0]!.fromSeconds).toBe(0);
		expect(days.at(-1)!.toSeconds).toBe(2.5 * DAY);
	});

	test("are an hour shorter or longer where the clocks change", () => {
		const spring = splitDays(from("Europe/Berlin", "2026-03-27T23:00:00Z"), 3 * DAY - HOUR);
		expect(spring.map(({ date }) => date)).toEqual(["2026-03-28", "2026-03-29", "2026-03-30"]);
		expect(lengths(spring)).toEqual([24, 23, 24]);
		const autumn = splitDays(from("America/New_York", "2026-10-31T04:00:00Z"), 3 * DAY + HOUR);
		expect(autumn.map(({ date }) => date)).toEqual(["2026-10-31", "2026-11-01", "2026-11-02"]);
		expect(lengths(autumn)).toEqual([24, 25, 24]);
	});

	test("count from the first sample where the log has no dates", () => {
		const days = splitDays(from(null, null), 3.5 * DAY);
		expect(days.map(dayName)).toEqual(["day 1", "day 2", "day 3", "day 4"]);
		expect(lengths(days)).toEqual([24, 24, 24, 12]);
	});

	test("take in what the log has of a day when that is less than six hours", () => {
		const days = splitDays(from("UTC", "2026-03-10T20:00:00Z"), 2 * DAY + 6 * HOUR);
		expect(days.map(({ date }) => date)).toEqual(["2026-03-11", "2026-03-12"]);
		expect(lengths(days)).toEqual([28, 26]);
		// A log of four hours over midnight is one day, that of its longer part.
		const night = splitDays(from("UTC", "2026-03-10T22:30:00Z"), 4 * HOUR);
		expect(night).toEqual([{ day: 1, date: "2026-03-11", fromSeconds: 0, toSeconds: 4 * HOUR }]);
		expect(splitDays(from("UTC", "2026-03-10T12:00:00Z"), 600)).toHaveLength(1);
	});

	test("cover a log without gap or overlap and begin at midnight, in any zone, by the platform's own calendar", () => {
		fc.assert(
			fc.property(
				fc.constantFrom(
					"Europe/Berlin",
					"America/New_York",
					"Asia/Kolkata",
					"Australia/Lord_Howe",
					"UTC",
					"Asia/Kathmandu",
				),
				fc.integer({ min: 0, max: 365 * 24 * 60 }),
				fc.integer({ min: 1, max: 20_000 }),
				(zone, minute, minutes) => {
					const start = Date.UTC(2026, 0, 1) / 1000 + 60 * minute;
					const days = splitDays({ ...layout(zone), startUtcSeconds: start }, 60 * minutes);
					expect(days[0]!.fromSeconds).toBe(0);
					expect(days.at(-1)!.toSeconds).toBe(60 * minutes);
					days.slice(1).forEach((day, k) => {
						expect(day.fromSeconds).toBe(days[k]!.toSeconds);
						const shown = new Date(1000 * (start + day.fromSeconds)).toLocaleString("sv-SE", {
							timeZone: zone,
						});
						expect(shown).toBe(`${day.date} 00:00:00`);
						expect(day.toSeconds - day.fromSeconds).toBeGreaterThanOrEqual(6 * HOUR);
					});
				},
			),
			{ seed: 12, numRuns: 200 },
		);
	});
});

describe("days together", () => {
	const parameter = (k: number, value: number): FittedParameter => ({
		name: `generation of day ${k + 1}`,
		label: "",
		dimension: "flow",
		value,
		standardError: 1,
		ci95Low: 0,
		ci95High: 1,
		initial: 7,
		lower: 0,
		upper: Number.POSITIVE_INFINITY,
		status: "free",
		isAtBound: false,
		isIdentifiable: true,
		shares: [],
		alsoAs: [],
	});
	const day = (k: number, fromDays: number, toDays: number, more: Partial<FitDay> = {}): FitDay => ({
		day: k + 1,
		date: null,
		fromSeconds: fromDays * DAY,
		toSeconds: toDays * DAY,
		from: null,
		to: null,
		isWhole: toDays - fromDays >= 0.9,
		value: [10, 20, 60][k]!,
		standardError: 1,
		respirationRate: null,
		isIdentifiable: true,
		...more,
	});
	const parameters = [10, 20, 60].map((value, k) => parameter(k, value));
	/** A sum with its error, by hand; t of 2. */
	const found =
		(covariance: number[][], factor = 1) =>
		(weights: readonly number[]) => {
			const value = weights.reduce((sum, weight, k) => sum + weight * [10, 20, 60][k]!, 0);
			const variance = weights.reduce(
				(sum, a, i) => sum + weights.reduce((part, b, j) => part + a * b * covariance[i]![j]!, 0),
				0,
			);
			const standardError = Math.sqrt(variance * factor);
			return {
				value,
				standardError,
				ci95Low: value - 2 * standardError,
				ci95High: value + 2 * standardError,
				shares: [],
				alsoAs: [],
			};
		};
	const covariance = [
		[4, 1, 0.5],
		[1, 9, 2],
		[0.5, 2, 16],
	];

	test("have the mean of their values by their lengths, with the error of that sum", () => {
		const days = [day(0, 0, 0.5), day(1, 0.5, 1.5)];
		const { mean } = summarizeDays(days, parameters, found(covariance, 1.44));
		// By hand: (10/2 + 20) / 1.5, and (4/4 + 2 · 1/2 + 9) / 2.25 · 1.44.
		expect(mean.value).toBeCloseTo(25 / 1.5, 12);
		expect(mean.standardError).toBeCloseTo(Math.sqrt((11 / 2.25) * 1.44), 12);
		expect(mean).toMatchObject({
			name: "generation",
			label: "CO₂ output, mean of 2 days",
			initial: 7,
			isIdentifiable: true,
		});
		expect(mean.ci95High! - mean.value).toBeCloseTo(2 * mean.standardError!, 12);
	});

	test("rise by the slope of a line through them", () => {
		const two = summarizeDays([day(0, 0, 1), day(1, 1, 2)], parameters, found(covariance));
		expect(two.trendPerDay!.value).toBeCloseTo(10, 12);
		expect(two.trendPerDay!.standardError).toBeCloseTo(Math.sqrt(4 - 2 * 1 + 9), 12);
		const three = summarizeDays([day(0, 0, 1), day(1, 1, 2), day(2, 2, 3)], parameters, found(covariance));
		// Equal lengths: (third - first) / 2, whose variance is (4 - 2 · 0.5 + 16) / 4.
		expect(three.trendPerDay!.value).toBeCloseTo(25, 12);
		expect(three.trendPerDay!.standardError).toBeCloseTo(Math.sqrt(19 / 4), 12);
		expect(three).toMatchObject({ leastDay: 1, greatestDay: 3, writtenDay: 3 });
		expect(summarizeDays([day(0, 0, 1)], parameters, found(covariance)).trendPerDay).toBeNull();
	});

	test("leave out a day whose error cannot be had, and write the last whole one that is told", () => {
		const days = [day(0, 0, 1), day(1, 1, 2), day(2, 2, 3, { standardError: null, isIdentifiable: false })];
		const daily = summarizeDays(days, parameters, found(covariance));
		expect(daily.mean.value).toBe(15);
		expect(daily).toMatchObject({ leastDay: 1, greatestDay: 2, writtenDay: 2 });
		const cut = [day(0, 0, 0.5), day(1, 0.5, 1.2, { isIdentifiable: true })];
		expect(summarizeDays(cut, parameters, found(covariance)).writtenDay).toBe(2);
		const none = days.map((one) => ({ ...one, standardError: null, isIdentifiable: false }));
		expect(summarizeDays(none, parameters, found(covariance))).toMatchObject({
			mean: { standardError: null, isIdentifiable: false },
			trendPerDay: null,
			writtenDay: null,
		});
	});
});

describe("a crop that gives off more every day", () => {
	const text = `# Stays.
chamber: { volume: 200 L, leak: 0.6 /h, temperature: 18 C }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 180 mg/(kg h) }
fan: { flow: 60 m3/h }
sensor: { response: 60 s }
schedules: { usual: { on: 10 s, off: 590 s } }
`;
	const scenario = parseScenario(text, "cabinet.yaml");
	const base = buildModel(scenario);
	const rise = 0.15 * base.generationM3PerS;
	/** From 22:00 UTC, so that its third day is the last whole one in Berlin. */
	const start = Date.UTC(2026, 4, 1, 22) / 1000;
	const logOf = (source: (seconds: number) => number, seed = 7) => {
		const model: Model = {
			...base,
			source: {
				m3PerS: source,
				isTimeVarying: true,
				isPpmDependent: false,
				breakpointsSeconds: [1, 2, 3, 4].map((day) => day * DAY),
				periodSeconds: null,
				horizonSeconds: 5 * DAY,
			},
		};
		const series = syntheticSeries({
			model,
			schedule: scenario.schedules[0]!.schedule,
			durationSeconds: 3.5 * DAY,
			stepSeconds: 60,
			noisePpm: 8,
			rho: 0.5,
			seed,
		});
		const log = { ...series.log, fileName: "week.csv", startUtcSeconds: start };
		return { ...series, log: { ...log, layout: { ...log.layout, zone: "Europe/Berlin" } } };
	};
	const options = { phaseSeconds: 0, fix: { leak: base.infiltrationM3PerS, response: 60 } } as const;
	const of = (fit: Fit, name: FitName) => fit.parameters.find((one) => one.name === name)!;
	let fit: Fit;
	beforeAll(() => {
		fit = fitSeries(
			scenario,
			logOf((t) => base.generationM3PerS + rise * Math.floor(t / DAY)),
			{
				...options,
				days: true,
			},
		);
	});

	test("has its days with dates and instants, each within its error", () => {
		expect(fit.days!.map(({ date }) => date)).toEqual([
			"2026-05-02",
			"2026-05-03",
			"2026-05-04",
			"2026-05-05",
		]);
		expect(fit.days![1]).toMatchObject({
			day: 2,
			fromSeconds: DAY,
			toSeconds: 2 * DAY,
			from: "2026-05-02T22:00:00.000Z",
			to: "2026-05-03T22:00:00.000Z",
			isWhole: true,
		});
		expect(fit.days!.map(({ isWhole }) => isWhole)).toEqual([true, true, true, false]);
		expect(of(fit, "generation of day 2").label).toBe("CO₂ output on day 2 · 2026-05-03");
		for (const { day, value, standardError } of fit.days!)
			expect(Math.abs(value - base.generationM3PerS - rise * (day - 1))).toBeLessThan(4 * standardError!);
	});

	test("has the mean and the rise that it truly has", () => {
		const { mean, trendPerDay, leastDay, greatestDay } = fit.daily!;
		// 3 days and a half: the last counts half.
		const true_ = base.generationM3PerS + (rise * (0 + 1 + 2 + 3 / 2)) / 3.5;
		expect(Math.abs(mean.value - true_)).toBeLessThan(4 * mean.standardError!);
		expect(mean.standardError!).toBeLessThan(0.02 * true_);
		// Middles of the days are 1, 1, and 0.75 days apart, so that the line is a little steeper than the steps.
		expect(trendPerDay!.value / rise).toBeGreaterThan(0.95);
		expect(trendPerDay!.value / rise).toBeLessThan(1.2);
		expect({ least: leastDay, greatest: greatestDay }).toEqual({ least: 1, greatest: 4 });
		expect(fit.respirationRate!.value).toBeGreaterThan(0);
	});

	test("is written back as it breathes now: the last whole day, named in the file, with its company", () => {
		expect(fit.daily!.writtenDay).toBe(3);
		const change = fit.changes.find(({ path }) => path === "substrate[0].rate")!;
		expect(change.part).toBe("last whole day, 2026-05-04");
		expect(fit.changeCorrelations!.between).toContain("substrate[0].rate");
		const free = fit.free.indexOf("generation of day 3");
		const flow = fit.free.indexOf("flow");
		expect(fit.changeCorrelations!.matrix[0]![1]).toBeCloseTo(fit.correlation[free]![flow]!, 12);
		const stamp = { log: "week.csv", on: "2026-05-05" };
		const after = updateScenario(text, fit.changes, stamp, "cabinet.yaml", fit.changeCorrelations);
		expect(after).toContain('fitted: "week.csv, last whole day, 2026-05-04"');
		expect(after).toMatch(/flow: \{ value: [^}]*, fitted: week\.csv, on/);
		const model = buildModel(parseScenario(after, "cabinet.yaml"));
		expect(Math.abs(model.generationM3PerS - fit.days![2]!.value)).toBeLessThan(
			2 * fit.days![2]!.standardError!,
		);
	});

	test("that does not change has the mean that a fit of the whole log finds, and no rise", () => {
		let plainly = 0;
		for (let seed = 1; seed <= 20; seed++) {
			const log = logOf(() => base.generationM3PerS, seed);
			const { mean, trendPerDay } = fitSeries(scenario, log, { ...options, days: true }).daily!;
			const one = of(fitSeries(scenario, log, options), "generation");
			expect(Math.abs(mean.value - one.value)).toBeLessThan(one.standardError!);
			expect(mean.standardError! / one.standardError!).toBeGreaterThan(0.8);
			expect(mean.standardError! / one.standardError!).toBeLessThan(1.3);
			if (trendPerDay!.ci95Low! > 0 || trendPerDay!.ci95High! < 0) plainly++;
		}
		// Of twenty, one is expected outside its 95 % interval.
		expect(plainly).toBeLessThanOrEqual(4);
	});

	test("held at a known value, days write nothing and say nothing", () => {
		const held = fitSeries(
			scenario,
			logOf(() => base.generationM3PerS),
			{
				...options,
				days: true,
				fix: { ...options.fix, generation: base.generationM3PerS },
			},
		);
		expect(held.daily).toMatchObject({ mean: { status: "fixed", standardError: null }, writtenDay: null });
		expect(held.changes.some(({ path }) => path.startsWith("substrate"))).toBe(false);
	});
});
