import { beforeAll, describe, expect, test } from "vitest";
import { InputError } from "../../lib/errors.ts";
import { estimate } from "../../lib/fit/estimate/estimate.ts";
import type { FitName } from "../../lib/fit/fitoptions.ts";
import type { Fit, FittedParameter } from "../../lib/fit/fittypes.ts";
import { createFitModel } from "../../lib/fit/model/fitmodel.ts";
import { buildModel } from "../../lib/model/build.ts";
import type { Model } from "../../lib/model/chamber.ts";
import type { CycleSchedule } from "../../lib/model/schedule/schedule.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { fitSeries } from "./exactfit.ts";
import { type Synthetic, seriesOf, syntheticSeries } from "./syntheticlog.ts";

const DAY = 86_400;

const scenarioWith = (more = ""): Scenario =>
	parseScenario(
		`
chamber: { volume: 200 L, leak: 0.6 /h, temperature: 18 C${more.includes("stagnant") ? `, ${more}` : ""} }
intake: { co2: 420 ppm }
substrate: { species: oyster, stage: fruiting, mass: 5 kg, rate: 180 mg/(kg h) }
fan: { flow: 60 m3/h }
sensor: { response: 60 s }
schedules: { usual: { on: 10 s, off: 590 s } }
`,
		"cabinet.yaml",
	);

const scenario = scenarioWith();
const usual = scenario.schedules[0]!.schedule as CycleSchedule;
const base = buildModel(scenario);
/** A cabinet that differs from what its grower believes. */
const truth: Model = {
	...base,
	generationM3PerS: 1.3 * base.generationM3PerS,
	deliveredM3PerS: 0.8 * base.deliveredM3PerS,
	infiltrationM3PerS: 1.4 * base.infiltrationM3PerS,
	responseSeconds: 75,
};
const trueValue: Readonly<Record<string, (model: Model) => number>> = {
	generation: ({ generationM3PerS }) => generationM3PerS,
	flow: ({ deliveredM3PerS }) => deliveredM3PerS,
	leak: ({ infiltrationM3PerS }) => infiltrationM3PerS,
	response: ({ responseSeconds }) => responseSeconds ?? 0,
};

const of = (fit: Fit, name: FitName): FittedParameter => fit.parameters.find((one) => one.name === name)!;
const logOf = (more: Partial<Synthetic> = {}) =>
	syntheticSeries({
		model: truth,
		schedule: usual,
		durationSeconds: 3 * DAY,
		stepSeconds: 60,
		fromSeconds: 6000,
		noisePpm: 10,
		rho: 0.5,
		seed: 7,
		...more,
	});

describe("on 200 seeded logs of random cabinets, timers, sensors and noise", () => {
	const names = ["generation", "flow", "leak", "response"] as const;
	/** Of each estimate its error over the stated standard error, and whether the stated interval holds the truth. */
	const found = new Map<string, { error: number; isHit: boolean }[]>();

	beforeAll(() => {
		for (let seed = 1; seed <= 200; seed++) {
			const random = seededUniform(1000 + seed);
			const between = (low: number, high: number) => low + (high - low) * random();
			const rho = seed % 3 === 0 ? 0 : between(0.2, 0.85);
			const responseSeconds = [0, 20, 60, 120, 195][seed % 5]!;
			const period = between(300, 1200);
			const onSeconds = between(5, 30);
			const schedule: CycleSchedule = { kind: "cycle", onSeconds, offSeconds: period - onSeconds };
			const model: Model = {
				...base,
				generationM3PerS: base.generationM3PerS * between(0.5, 2),
				deliveredM3PerS: base.deliveredM3PerS * between(0.5, 1.5),
				infiltrationM3PerS: base.infiltrationM3PerS * between(0.5, 2),
				responseSeconds,
			};
			const series = syntheticSeries({
				model,
				schedule,
				durationSeconds: 1.5 * DAY,
				stepSeconds: period > 700 ? 60 : 30,
				fromSeconds: 6 * period,
				noisePpm: between(4, 20),
				rho,
				quantumPpm: [1, 5, 10][seed % 3]!,
				seed,
			});
			const fit = fitSeries({ ...scenario, schedules: [{ ...scenario.schedules[0]!, schedule }] }, series, {
				phaseSeconds: -6 * period,
				free: ["generation", "flow", "leak", ...(responseSeconds === 0 ? [] : (["response"] as const))],
				...(responseSeconds === 0 ? { fix: { response: 0 } } : {}),
			});
			for (const name of names) {
				const { value, standardError, ci95Low, ci95High, isIdentifiable, status } = of(fit, name);
				if (status === "fixed" || !isIdentifiable) continue;
				const true_ = trueValue[name]!(model);
				const one = {
					error: (value - true_) / standardError!,
					isHit: ci95Low! <= true_ && true_ <= ci95High!,
				};
				found.set(name, [...(found.get(name) ?? []), one]);
			}
		}
	}, 300_000);

	// Errors 1.12 times as large as stated leave 92 of 100 truths inside the interval of 95 per cent, 0.84 times 98: the mean
	// square tells that from half as many logs as a count of hits, which only guards the interval itself.
	test.each(names)(
		"the error of %s is 0.84 to 1.12 of the stated one, and its interval holds the truth",
		(name) => {
			const all = found.get(name)!;
			expect(all.length).toBeGreaterThan(125);
			const scale = Math.sqrt(all.reduce((sum, { error }) => sum + error ** 2, 0) / all.length);
			const share = all.filter(({ isHit }) => isHit).length / all.length;
			expect(scale).toBeGreaterThan(0.84);
			expect(scale).toBeLessThan(1.12);
			expect(share).toBeGreaterThanOrEqual(0.92);
			expect(share).toBeLessThanOrEqual(0.98);
		},
	);
});

describe("a timer whose clock nobody noted", () => {
	test.each([
		[0.007, 233],
		[-0.007, 411],
		[0.02, 12],
		[0, 590],
	])(
		"with a drift of %d from %d s into a cycle is found to one sample and three standard errors",
		(timerRateError, from) => {
			const fit = fitSeries(
				scenario,
				logOf({ timerRateError, fromSeconds: 6000 + from, durationSeconds: 7 * DAY }),
			);
			const period = 600 * (1 + timerRateError);
			const phase = of(fit, "phase").value;
			const off = (((phase + (6000 + from) * (1 + timerRateError)) % period) + 1.5 * period) % period;
			expect(Math.abs(off - period / 2)).toBeLessThan(60);
			const found = of(fit, "timerRateError");
			expect(Math.abs(found.value - timerRateError)).toBeLessThan(3 * found.standardError!);
			expect(found.standardError!).toBeLessThan(1e-5);
		},
	);

	test("is refused when the samples are too far apart to show the cycle", () => {
		expect(() => fitSeries(scenario, logOf({ stepSeconds: 300 }))).toThrow(/log at 1 min or faster/);
	});
});

describe("what a log does not determine is named, never given with confidence", () => {
	test("a fan that never ran", () => {
		const fit = fitSeries(scenario, logOf({ schedule: { kind: "off" }, fromSeconds: 0 }), {
			test: "rise",
			free: ["generation", "flow", "leak"],
		});
		const flow = of(fit, "flow");
		expect(flow.standardError).toBeNull();
		expect(flow.isIdentifiable).toBe(false);
		expect(fit.confounded.find(({ names }) => names.includes("flow"))!.reason).toEqual({
			code: "fan never on",
		});
		expect(fit.changes.some(({ path }) => path === "fan.flow")).toBe(false);
	});

	test("a leak against respiration over a short rise", () => {
		const fit = fitSeries(
			scenario,
			logOf({
				model: { ...truth, infiltrationM3PerS: truth.infiltrationM3PerS / 10 },
				schedule: { kind: "off" },
				fromSeconds: 0,
				durationSeconds: 900,
				noisePpm: 15,
			}),
			{ test: "rise", free: ["generation", "leak"], fix: { response: 75 } },
		);
		expect(of(fit, "leak").isIdentifiable).toBe(false);
		expect(fit.confounded.some(({ names }) => names.includes("leak"))).toBe(true);
		expect(fit.recommendedTest!.test).toBe("leak test");
	});

	test("offset and flow are strongly correlated, and both errors show it", () => {
		const free = fitSeries(scenario, logOf(), {
			phaseSeconds: -6000,
			free: ["generation", "flow", "leak", "response", "offset"],
		});
		const fixed = fitSeries(scenario, logOf(), {
			phaseSeconds: -6000,
			free: ["generation", "flow", "leak", "response"],
		});
		expect(of(free, "flow").standardError!).toBeGreaterThan(3 * of(fixed, "flow").standardError!);
		const pair = free.confounded.find(({ names }) => names.includes("flow") && names.includes("offset"));
		expect(pair!.resolvedBy).toEqual({ code: "outdoor zero" });
	});

	test("too few samples are refused", () => {
		expect(() => fitSeries(scenario, logOf({ durationSeconds: 300 }), { phaseSeconds: 0 })).toThrow(
			InputError,
		);
	});
});

test("the whole solver, with slopes by differences, finds what the closed form finds", () => {
	const series = logOf({ durationSeconds: DAY / 2 });
	const samples = { ...series, stepSeconds: 60 };
	const fan = { kind: "scheduled", schedule: usual } as const;
	const [closed, solved] = [undefined, "exact" as const].map((method) => {
		const model = createFitModel(base, fan, DAY / 2, [], method);
		const initials: Record<string, number> = {
			generation: base.generationM3PerS,
			flow: base.deliveredM3PerS,
			leak: base.infiltrationM3PerS,
			response: 60,
			initialCo2: 900,
			initialReading: 900,
			phase: -6000,
		};
		const free = ["generation", "flow", "leak", "response", "initialCo2", "initialReading"];
		return estimate(
			model,
			samples,
			model.names.map((name) => ({
				name,
				initial: initials[name] ?? 0,
				lower: name === "phase" ? -1e6 : 0,
				fixed: !free.includes(name),
			})),
		);
	});
	for (const [k, value] of closed!.least.values.entries()) {
		const error = closed!.standardErrors[k];
		if (error === null || error === undefined) continue;
		expect(Math.abs(solved!.least.values[k]! - value)).toBeLessThan(1e-3 * error);
		expect(solved!.standardErrors[k]!).toBeCloseTo(error, 3 - Math.floor(Math.log10(error)));
	}
});

describe("other ways to fit", () => {
	test("respiration day by day follows a crop that doubles", () => {
		const doubling: Model = {
			...truth,
			source: {
				m3PerS: (t) => truth.generationM3PerS * (t < 2 * DAY ? 1 : 2),
				isTimeVarying: true,
				isPpmDependent: false,
				breakpointsSeconds: [2 * DAY],
				periodSeconds: null,
				horizonSeconds: 4 * DAY,
			},
		};
		const fit = fitSeries(scenario, logOf({ model: doubling, durationSeconds: 4 * DAY, fromSeconds: 0 }), {
			phaseSeconds: 0,
			days: true,
			free: ["generation", "flow", "response"],
			fix: { leak: truth.infiltrationM3PerS },
		});
		const days = fit.days!;
		expect(days).toHaveLength(4);
		for (const [k, { value, standardError }] of days.entries()) {
			const true_ = truth.generationM3PerS * (k < 2 ? 1 : 2);
			expect(Math.abs(value - true_)).toBeLessThan(4 * standardError!);
			expect(standardError!).toBeLessThan(0.02 * true_);
		}
	});

	test("a dead corner goes through the whole solver", () => {
		const cornered = scenarioWith("stagnant: { share: 30 %, source: 60 %, exchange: 2 m3/h }");
		const model = { ...buildModel(cornered), deliveredM3PerS: truth.deliveredM3PerS };
		const fit = fitSeries(cornered, logOf({ model, durationSeconds: DAY / 2, noisePpm: 5 }), {
			phaseSeconds: -6000,
			free: ["generation", "flow"],
			fix: { response: 60 },
		});
		for (const name of ["generation", "flow"] as const) {
			const one = of(fit, name);
			expect(Math.abs(one.value - trueValue[name]!(model))).toBeLessThan(4 * one.standardError!);
			expect(one.standardError!).toBeLessThan(0.05 * one.value);
		}
	});

	test("intervals by profile likelihood agree with the errors where the problem is nearly linear", () => {
		const fit = fitSeries(scenario, logOf(), {
			phaseSeconds: -6000,
			free: ["generation", "flow"],
			fix: { leak: truth.infiltrationM3PerS, response: 75 },
			profile: true,
		});
		expect(fit.profiles.map(({ name }) => name)).toEqual(["generation", "flow"]);
		for (const { name, ci95Low, ci95High } of fit.profiles) {
			const { value, standardError } = of(fit, name);
			expect((ci95High! - ci95Low!) / (2 * 1.96 * standardError!)).toBeCloseTo(1, 2);
			expect((ci95High! + ci95Low!) / 2 / value).toBeCloseTo(1, 2);
		}
	});

	test("a value known from elsewhere narrows what hangs on it", () => {
		const loose = fitSeries(scenario, logOf(), {
			phaseSeconds: -6000,
			free: ["generation", "flow", "leak", "response"],
		});
		const tight = fitSeries(scenario, logOf(), {
			phaseSeconds: -6000,
			free: ["generation", "flow", "response"],
			fix: { leak: `${truth.infiltrationM3PerS * 3.6e6} L/h` },
		});
		expect(of(tight, "generation").standardError!).toBeLessThan(of(loose, "generation").standardError! / 4);
		expect(of(tight, "leak").value).toBeCloseTo(truth.infiltrationM3PerS, 12);
	});

	test("names that do not exist, and units that do not fit, are all refused at once", () => {
		expect(() => fitSeries(scenario, logOf(), { fix: { leak: "3 kg", fog: 1 } as never })).toThrow(
			/fix leak.*\n.*fix fog/,
		);
	});
});

test("hours left out at the start cost nothing but their samples: values and errors are those of the rest alone", () => {
	const series = logOf({ durationSeconds: 3 * DAY });
	const from = 1.25 * DAY;
	const excluded = series.excluded.map((_, i) => (series.timesSeconds[i]! < from ? 1 : 0));
	const options = { phaseSeconds: -6000, free: ["generation", "flow", "leak", "response"] } as const;
	const fit = fitSeries(scenario, { ...series, excluded }, options);
	const rest = (of: Float64Array) => of.filter((_, i) => excluded[i] === 0);
	const alone = fitSeries(
		scenario,
		seriesOf(
			rest(series.timesSeconds).map((time) => time - from),
			rest(series.co2Ppm),
			60,
		),
		{ ...options, phaseSeconds: -6000 - from },
	);
	for (const name of ["generation", "flow", "leak", "response", "initialCo2"] as const) {
		expect(of(fit, name).value / of(alone, name).value).toBeCloseTo(1, 6);
		expect(of(fit, name).standardError! / of(alone, name).standardError!).toBeCloseTo(1, 5);
	}
	expect(fit.curve.sensorPpm.slice(0, 10).every(Number.isNaN)).toBe(true);
	expect(fit.residuals.isAdequate).toBe(true);
});
