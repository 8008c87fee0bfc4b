import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import type { FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { removeDominated } from "../../lib/choose/search/front.ts";
import { InputError } from "../../lib/errors.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { seededUniform } from "../../lib/statistics/random.ts";

const scenario = (lines: string) =>
	parseScenario(
		`
intake: { co2: 450 ppm }
${lines}`,
		"cabinet.yaml",
		{ schedules: "optional" },
	);

const cabinet = (
	more = "",
	target = "{ ceiling: 1000 ppm }",
	fan = "{ flow: 60 m3/h }",
	rate = "150 mg/(kg h)",
) =>
	scenario(`
chamber: { volume: 300 L, leak: 0.2 /h, temperature: 18 C }
substrate: { species: oyster, mass: 6 kg, rate: ${rate} }
fan: ${fan}
target: ${target}
${more}`);

const feasible = (s: Scenario, options = {}): FeasibleChoice => {
	const choice = chooseSetting(s, { draws: 0, ...options });
	if (!choice.isFeasible) throw new Error(choice.bindingConstraint.code);
	return choice;
};

describe("the best setting", () => {
	it("is judged again as keyed in, and holds", () => {
		const choice = feasible(cabinet());
		const { summary, setting, schedule } = choice.best;
		expect(summary.criterion.isMet).toBe(true);
		expect([setting.on.seconds, setting.off.seconds]).toEqual([schedule.onSeconds, schedule.offSeconds]);
		expect(setting.on.display).toBe(String(schedule.onSeconds).padStart(3, "0"));
		// One step less of fan, or one more of rest, does not hold.
		for (const [onSeconds, off] of [
			[schedule.onSeconds - 1, schedule.offSeconds],
			[schedule.onSeconds, schedule.offSeconds + 1],
		] as const) {
			const worse = periodicState(choice.model, { kind: "cycle", onSeconds, offSeconds: off });
			expect(worse.exists && worse.peakPpm).toBeGreaterThan(1000);
		}
	});

	it("respects the limits: burst, pause, cycle and the life of the contact", () => {
		const plain = feasible(cabinet());
		const long = feasible(cabinet("limits: { burst: 8 s }"));
		expect(long.best.schedule.onSeconds).toBeGreaterThanOrEqual(8);
		expect(long.best.summary.freshAirM3PerDay).toBeGreaterThan(plain.best.summary.freshAirM3PerDay);
		const lasting = feasible(
			cabinet("limits: { life: 2 years }\ntimer: { ranges: [1..999 s by 1 s], operations: 100000 }"),
		);
		expect(lasting.best.contactMonths).toBeGreaterThanOrEqual(24 * 0.999);
		expect(lasting.best.operationsPerMonth * lasting.best.contactMonths).toBeCloseTo(100_000, 6);
		const short = feasible(cabinet("limits: { cycle: 60 s }"));
		expect(short.best.schedule.onSeconds + short.best.schedule.offSeconds).toBeLessThanOrEqual(60);
		const spun = feasible(cabinet("", "{ ceiling: 1000 ppm }", "{ flow: 60 m3/h, spin-up: 2 s }"));
		expect(spun.best.schedule.onSeconds).toBeGreaterThanOrEqual(10);
	});

	it("has alternatives on a front that nothing beats, none with more than a quarter more air", () => {
		const { best, alternatives, front } = feasible(cabinet());
		const least = best.summary.freshAirM3PerDay;
		for (const point of front) {
			expect(point.peakPpm).toBeLessThanOrEqual(1000);
			expect(point.freshAirM3PerDay).toBeLessThanOrEqual(1.25 * least * (1 + 1e-9));
		}
		expect(alternatives.leastAir).toBe(best);
		expect(alternatives.fewestSwitchings.summary.burstsPerDay).toBe(
			Math.min(...front.map((p) => p.burstsPerDay)),
		);
		expect(alternatives.smallestRipple.summary.ripplePpm).toBeCloseTo(
			Math.min(...front.map((p) => p.ripplePpm)),
			6,
		);
		for (const { summary } of Object.values(alternatives)) expect(summary.criterion.isMet).toBe(true);
	});

	it("keeps of any points those that no other equals or beats in all three", () => {
		const random = seededUniform(3);
		const points = Array.from({ length: 400 }, () => ({
			onSeconds: 1,
			offSeconds: 1,
			freshAirM3PerDay: Math.round(10 * random()),
			burstsPerDay: Math.round(10 * random()),
			ripplePpm: Math.round(10 * random()),
			peakPpm: 0,
		}));
		const front = removeDominated(points);
		const beats = (a: (typeof points)[number], b: (typeof points)[number]) =>
			a.freshAirM3PerDay <= b.freshAirM3PerDay &&
			a.burstsPerDay <= b.burstsPerDay &&
			a.ripplePpm <= b.ripplePpm;
		for (const point of points) expect(front.some((kept) => beats(kept, point))).toBe(true);
		for (const [i, a] of front.entries())
			for (const [k, b] of front.entries()) if (i !== k) expect(beats(a, b)).toBe(false);
	});

	it("finds a gentler cycle for quiet hours and judges both together", () => {
		const choice = feasible(cabinet('limits: { quiet: { from: "22:00", to: "07:00", cycle: 5 min } }'));
		const { evaluated, summary, schedule } = choice.quiet!;
		expect(evaluated!.schedule.onSeconds + evaluated!.schedule.offSeconds).toBeGreaterThanOrEqual(300);
		expect(schedule!.parts.map(({ fromSeconds }) => fromSeconds)).toEqual([7 * 3600, 22 * 3600]);
		expect(summary!.criterion.isMet).toBe(true);
	});

	it("shows the slips that the dial can show, and no other", () => {
		const kinds = (timer: string) =>
			feasible(cabinet(`timer: { ranges: [${timer}] }`)).entryErrors.map(({ kind }) => kind);
		const { schedule } = feasible(cabinet()).recommended;
		expect([schedule.onSeconds * 10 < 999, schedule.offSeconds * 10 > 999]).toEqual([true, true]);
		// Seconds by the second: no tenths, no minutes, no pause ten times as long.
		expect(kinds("1..999 s by 1 s").filter((kind) => kind !== "off ÷10")).toEqual(["swapped", "on ×10"]);
		const wide = kinds("1..999 s by 1 s, 1..999 min by 1 min");
		expect(wide).toEqual(expect.arrayContaining(["swapped", "on ×60", "off ×60", "both ×60", "on ×10"]));
		// Both in one range: a wrong range is wrong for both, and the two never have different ones.
		const shared = feasible(
			cabinet("timer: { ranges: [1..999 s by 1 s, 1..999 min by 1 min], shared: true }"),
		);
		expect(shared.entryErrors.map(({ kind }) => kind)).toContain("both ×60");
		expect(shared.entryErrors.map(({ kind }) => kind)).not.toContain("off ×60");
	});

	it("shows what the classic slips would do", () => {
		const { entryErrors, best } = feasible(cabinet("timer: { ranges: [1..9999 s by 1 s], digits: 4 }"));
		const swapped = entryErrors.find(({ kind }) => kind === "swapped")!;
		expect(swapped.onSeconds).toBe(best.schedule.offSeconds);
		expect(swapped.freshAirM3PerDay).toBeGreaterThan(10 * best.summary.freshAirM3PerDay);
		const rare = entryErrors.find(({ kind }) => kind === "off ×10")!;
		expect(rare.peakPpm).toBeGreaterThan(best.summary.peakPpm);
		expect(rare).toMatchObject({
			onSeconds: best.schedule.onSeconds,
			offSeconds: 10 * best.schedule.offSeconds,
		});
	});

	it("stays right for a crop in a stagnant corner, a swing of temperature and a flush", () => {
		for (const s of [
			cabinet("", "{ ceiling: 1200 ppm }", "{ flow: 60 m3/h, spin-up: 0.5 s, coast-down: 1 s }"),
			scenario(`
chamber: { volume: 300 L, leak: 0.2 /h, temperature: { mean: 18 C, swing: 3 K, warmest: "15:00" }, stagnant: { share: 30 %, source: 60 %, exchange: 20 m3/h } }
substrate: { species: oyster, mass: 6 kg, rate: 150 mg/(kg h), inhibition: 3 % }
fan: { flow: 60 m3/h }
timer: { ranges: [5..300 s by 5 s] }
target: { ceiling: 1500 ppm }`),
		]) {
			const choice = feasible(s);
			expect(choice.best.summary.criterion.isMet).toBe(true);
		}
	});
});

describe("why nothing holds", () => {
	const why = (s: Scenario) => {
		const choice = chooseSetting(s, { draws: 0 });
		if (choice.isFeasible) throw new Error("it holds");
		return choice;
	};

	it("is that the fan is too small, with the flow that would be needed", () => {
		const choice = why(cabinet("", "{ ceiling: 1000 ppm }", "{ flow: 0.5 m3/h }"));
		expect(choice).toMatchObject({
			bindingConstraint: { code: "delivered flow", deliveredM3PerS: expect.closeTo(0.5 / 3600, 12) },
		});
		// Steady state: flow and leak together carry 1e6 G at 550 ppm of excess.
		const needed = (1e6 * choice.model.generationM3PerS) / 550 - choice.model.infiltrationM3PerS;
		expect(choice.bindingConstraint).toMatchObject({ requiredM3PerS: expect.closeTo(needed, 10) });
		expect(choice.closest).not.toBeNull();
	});

	it("is that the timer cannot rest so briefly, or cannot run so long", () => {
		const rests = why(cabinet("timer: { ranges: [30..90 min by 30 min] }"));
		const { generationM3PerS, infiltrationM3PerS, volumeM3 } = rests.model;
		// x' = 1e6 G/V - (L/V) x from 0 to 550 ppm.
		const top = (1e6 * generationM3PerS) / infiltrationM3PerS;
		expect(rests.bindingConstraint).toMatchObject({
			code: "off-time range",
			maxOffSeconds: expect.closeTo((-volumeM3 / infiltrationM3PerS) * Math.log(1 - 550 / top), 4),
			timerMinOffSeconds: 1800,
		});
		const runs = why(
			cabinet(
				"timer: { ranges: [5..6 s by 1 s] }\nlimits: { pause: 5 s }",
				"{ ceiling: 1000 ppm }",
				"{ flow: 1.3 m3/h }",
			),
		);
		expect(runs.bindingConstraint).toMatchObject({
			code: "on-time range",
			timerMaxOnSeconds: 6,
			timerMinOffSeconds: 5,
		});
	});

	it("counts the briefest rest and the longest burst of all ranges, and the burst that the rest would need", () => {
		const rests = why(
			cabinet("timer: { ranges: [40..80 min by 40 min, 30..90 min by 30 min], shared: true }"),
		);
		expect(rests.bindingConstraint).toMatchObject({ code: "off-time range", timerMinOffSeconds: 1800 });
		const runs = why(
			cabinet(
				"timer: { ranges: [7..8 s by 1 s, 5..6 s by 1 s], shared: true }\nlimits: { pause: 5 s }",
				"{ ceiling: 1000 ppm }",
				"{ flow: 1.3 m3/h }",
			),
		);
		if (runs.bindingConstraint.code !== "on-time range") throw new Error(runs.bindingConstraint.code);
		expect(runs.bindingConstraint).toMatchObject({ timerMaxOnSeconds: 8, timerMinOffSeconds: 5 });
		// The excess relaxes to 1e6 G/L in the pause and to 1e6 G/(L + Q) in the burst; the peak closes the pause.
		const { generationM3PerS: g, infiltrationM3PerS: l, volumeM3, deliveredM3PerS: q } = runs.model;
		const kept = Math.exp((-5 * l) / volumeM3);
		const peakOf = (burst: number) => {
			const left = Math.exp((-burst * (l + q)) / volumeM3);
			const [still, blown] = [(1e6 * g) / l, (1e6 * g) / (l + q)];
			return (still * (1 - kept) + kept * blown * (1 - left)) / (1 - kept * left);
		};
		expect(peakOf(runs.bindingConstraint.requiredOnSeconds)).toBeCloseTo(550, 4);
	});

	it("takes the longest rest by the statistic that the target names", () => {
		const rests = why(
			cabinet("timer: { ranges: [120..180 min by 60 min] }", "{ ceiling: 1000 ppm, on: mean }"),
		);
		if (rests.bindingConstraint.code !== "off-time range") throw new Error(rests.bindingConstraint.code);
		const { generationM3PerS: g, infiltrationM3PerS: l, volumeM3 } = rests.model;
		// Mean of the rise from the intake's level over the whole pause: 1e6 G/L (1 - (1 - e^-x)/x), x = L t/V.
		const x = (rests.bindingConstraint.maxOffSeconds * l) / volumeM3;
		expect(((1e6 * g) / l) * (1 - (1 - Math.exp(-x)) / x)).toBeCloseTo(550, 3);
	});

	it("is that the fan needs longer bursts than the timer has, or that the limits leave nothing", () => {
		const spun = why(
			cabinet(
				"timer: { ranges: [0.1..9.9 s by 0.1 s] }",
				"{ ceiling: 1000 ppm }",
				"{ flow: 60 m3/h, spin-up: 3 s }",
			),
		);
		expect(spun.bindingConstraint).toEqual({
			code: "minimum on-time",
			minOnSeconds: 15,
			timerMaxOnSeconds: 9.9,
		});
		const limited = why(cabinet("limits: { life: 40 years }"));
		expect(limited.bindingConstraint).toMatchObject({ code: "cycle limits", maxCycleSeconds: null });
	});

	it("is that the band cannot be met", () => {
		const banded = why(
			cabinet("timer: { ranges: [60..600 s by 60 s] }", "{ ceiling: 1000 ppm, floor: 990 ppm }"),
		);
		expect(banded.bindingConstraint).toEqual({ code: "floor", floorPpm: 990, ceilingPpm: 1000 });
	});

	it("is that a stagnant corner stands above the ceiling whatever the fan moves", () => {
		const corner = why(
			scenario(`
chamber: { volume: 300 L, leak: 0.2 /h, temperature: 18 C, stagnant: { share: 30 %, source: 80 %, exchange: 0.3 m3/h } }
substrate: { species: oyster, mass: 6 kg, rate: 150 mg/(kg h) }
fan: { flow: 60 m3/h }
target: { ceiling: 1000 ppm }`),
		);
		if (corner.bindingConstraint.code !== "stagnant zone") throw new Error("another constraint");
		expect(corner.bindingConstraint.lowestPpm).toBeGreaterThan(1000);
	});
});

describe("bad options", () => {
	it("get one clear line each", () => {
		const s = cabinet();
		for (const [options, message] of [
			[{ reliabilityPercent: 0.9 }, "reliabilityPercent needs a value from 50 to below 100 %, got 0.9"],
			[{ reliabilityPercent: 100 }, "reliabilityPercent needs a value from 50 to below 100 %, got 100"],
			[{ draws: -1 }, "draws needs a whole number from 0 to 1000000, got -1"],
			[{ seed: 0.5 }, "seed needs a whole number, got 0.5"],
			[
				{ draws: 0, reliabilityPercent: 90 },
				"reliabilityPercent needs draws; leave draws out, or give more than 0",
			],
		] as const)
			expect(() => chooseSetting(s, options)).toThrow(new InputError(message));
	});
});
