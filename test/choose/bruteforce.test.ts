import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import { isBetterCandidate } from "../../lib/choose/search/search.ts";
import { solveHumidity } from "../../lib/compare/humidity.ts";
import { buildModel } from "../../lib/model/build.ts";
import { buildHumidity } from "../../lib/model/humidity.ts";
import { type DisplayGrid, displayGrids } from "../../lib/model/schedule/timer.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";
import { meanDeliveredM3PerS } from "../../lib/solve/continuous.ts";
import { listLimits, passedPpm, statisticValue, targetOf } from "../../lib/solve/criterion.ts";
import { withMaximumSource } from "../../lib/solve/cycles/maximumsource.ts";
import { periodicState } from "../../lib/solve/periodic.ts";
import { summarize } from "../../lib/solve/summary.ts";
import { seededUniform } from "../../lib/statistics/random.ts";
import { chanceOfScenario } from "./compliance.ts";

interface Found {
	readonly on: number;
	readonly off: number;
	readonly air: number;
	readonly peak: number;
}

/** The stated order: least air, fewest switches, lowest peak, shorter burst. */
const isBetter = (a: Found, b: Found): boolean =>
	Math.abs(a.air - b.air) > 1e-12 * b.air
		? a.air < b.air
		: a.on + a.off !== b.on + b.off
			? a.on + a.off > b.on + b.off
			: a.peak !== b.peak
				? a.peak < b.peak
				: a.on < b.on;

const periodicPeak = (model: ReturnType<typeof buildModel>, cycle: Cycle): number => {
	const state = periodicState(model, cycle);
	return state.exists ? state.peakPpm : Number.POSITIVE_INFINITY;
};

/** Every pair that the timer can show, judged one by one by the general solver. */
function bruteForce(s: Scenario, grids: readonly DisplayGrid[], meets?: (cycle: Cycle) => boolean) {
	const model = withMaximumSource(buildModel(s));
	const limits = listLimits(targetOf(s.target));
	const needsHour = limits.some(({ statistic }) => statistic === "worst hour");
	const pairs = new Map<string, Cycle>();
	for (const { on, off } of grids)
		for (const a of on)
			for (const b of off)
				pairs.set(`${a.seconds} ${b.seconds}`, {
					kind: "cycle",
					onSeconds: a.seconds,
					offSeconds: b.seconds,
				});
	let best: Found | null = null;
	let count = 0;
	for (const cycle of pairs.values()) {
		if (cycle.onSeconds < 2 || cycle.offSeconds < 2) continue;
		const state = periodicState(model, cycle);
		if (!state.exists) continue;
		const isMet =
			meets?.(cycle) ??
			limits.every((limit) => {
				const maxHourlyMeanPpm =
					needsHour && limit.statistic === "worst hour"
						? summarize(model, cycle, { ceilingPpm: limit.ppm }).maxHourlyMeanPpm
						: Number.NaN;
				return passedPpm(statisticValue({ ...state, maxHourlyMeanPpm }, limit.statistic), limit) <= 0;
			});
		if (!isMet) continue;
		count++;
		const air = meanDeliveredM3PerS(model, cycle) * 86_400;
		const found = { on: cycle.onSeconds, off: cycle.offSeconds, air, peak: state.peakPpm };
		if (best === null || isBetter(found, best)) best = found;
	}
	return { best, count };
}
type Cycle = { readonly kind: "cycle"; readonly onSeconds: number; readonly offSeconds: number };

const TARGETS = [
	(x: number) => `{ ceiling: ${x} ppm, on: peak }`,
	(x: number) => `{ ceiling: ${x} ppm, on: mean }`,
	(x: number) => `{ ceiling: ${x} ppm, on: worst hour }`,
	(x: number) => `{ ceiling: { peak: ${Math.round(1.2 * x)} ppm, worst hour: ${x} ppm } }`,
	(x: number) =>
		`{ ceiling: { peak: ${x} ppm, mean: ${Math.round(0.9 * x)} ppm }, floor: { trough: 520 ppm } }`,
	(x: number) => `{ ceiling: ${x} ppm, floor: 700 ppm }`,
	(x: number) => `{ ceiling: ${x} ppm, floor: { mean: 600 ppm, peak: 750 ppm } }`,
];
const TIMERS = [
	"{ ranges: [1..9 s by 1 s, 30..210 s by 30 s] }",
	"{ ranges: [2..16 s by 2 s, 12..96 s by 12 s], shared: true }",
	"{ ranges: [1..9 s by 1 s, 60..480 s by 60 s] }",
];

describe("the search", () => {
	it("equals brute force on 60 random problems: each limit, several, floors of each kind, two zones, spin-up, shared ranges", () => {
		const random = seededUniform(7);
		const within = (low: number, high: number) => low * (high / low) ** random();
		let held = 0;
		for (let n = 0; n < 60; n++) {
			const slow = n % 4 === 3 ? ", spin-up: 0.4 s, coast-down: 1.4 s" : "";
			const zones = n % 6 === 5 ? ", stagnant: { share: 30 %, source: 60 %, exchange: 20 m3/h }" : "";
			const s = parseScenario(
				`
intake: { co2: 450 ppm }
chamber: { volume: ${within(60, 900).toFixed(1)} L, leak: ${n % 2 === 0 ? "0 /h" : "0.4 /h"}, temperature: 18 C${zones} }
substrate: { mass: ${within(1, 12).toFixed(2)} kg, rate: 150 mg/(kg h), reference: 18 C }
fan: { flow: ${within(15, 150).toFixed(1)} m3/h${slow} }
timer: ${TIMERS[n % 3]!}
limits: { burst: 2 s, pause: 2 s }
target: ${TARGETS[n % 7]!(Math.round(within(800, 1600)))}`,
				"x.yaml",
				{ schedules: "optional" },
			);
			const expected = bruteForce(s, displayGrids(s.timer!));
			const choice = chooseSetting(s, { draws: 0 });
			expect([n, choice.isFeasible]).toEqual([n, expected.best !== null]);
			if (!choice.isFeasible) continue;
			held++;
			const { onSeconds, offSeconds } = choice.best.schedule;
			expect([n, onSeconds, offSeconds]).toEqual([n, expected.best!.on, expected.best!.off]);
			if (n % 7 !== 2 && n % 7 !== 3)
				expect([n, choice.feasibilityLimits.feasibleCount]).toEqual([n, expected.count]);
		}
		expect(held).toBeGreaterThanOrEqual(40);
	});

	it("with a floor and a ceiling of humidity equals brute force on 20 random problems, with humidifiers and cold walls among them", () => {
		const random = seededUniform(23);
		const within = (low: number, high: number) => low * (high / low) ** random();
		const seen = { held: 0, forbidden: 0, helped: 0 };
		for (let n = 0; n < 20; n++) {
			const [floor, ceiling] = [Math.round(within(60, 88)), Math.round(within(92, 99))];
			const more = [
				"",
				"",
				"",
				`, humidifier: { output: ${within(20, 400).toFixed(0)} g/h, after-burst: 3 s }`,
				`, walls: { transmittance: 2.8 W/(m2 K), room: ${within(12, 17).toFixed(1)} C }`,
			][n % 5]!;
			const s = parseScenario(
				`
intake: { co2: 450 ppm, temperature: ${within(14, 22).toFixed(1)} C, humidity: ${within(35, 70).toFixed(0)} % }
chamber: { volume: ${within(100, 600).toFixed(1)} L, leak: 0.2 /h, temperature: 18 C }
substrate: { mass: ${within(1, 8).toFixed(2)} kg, rate: 150 mg/(kg h), reference: 18 C }
fan: { flow: ${within(15, 100).toFixed(1)} m3/h${n % 4 === 3 ? ", spin-up: 0.4 s, coast-down: 1.4 s" : ""} }
water: { evaporation: ${within(0.3, 6).toFixed(2)} m3/h${more} }
timer: ${TIMERS[n % 3]!}
limits: { burst: 2 s, pause: 2 s }
target: { ceiling: ${Math.round(within(800, 1600))} ppm, humidity: { floor: ${floor} %, on: ${n % 3 === 1 ? "mean" : "trough"}${n % 2 === 0 ? "" : `, ceiling: ${ceiling} %`} } }`,
				"x.yaml",
				{ schedules: "optional" },
			);
			const model = buildModel(s);
			const humidity = buildHumidity(s, model)!;
			const expected = bruteForce(
				s,
				displayGrids(s.timer!),
				(cycle) =>
					periodicPeak(model, cycle) <= s.target.ceiling.value &&
					solveHumidity(s, humidity, cycle).criterion!.isMet,
			);
			const choice = chooseSetting(s, { draws: 0 });
			expect([n, choice.isFeasible]).toEqual([n, expected.best !== null]);
			if (!choice.isFeasible) {
				seen.forbidden++;
				const { bindingConstraint } = choice;
				if (bindingConstraint.code !== "humidity" || bindingConstraint.humidifier === null) continue;
				const { outputKgPerS, seconds } = bindingConstraint.humidifier;
				const control = { kind: "after burst", seconds } as const;
				const helped = { ...humidity, outputGPerS: 1000 * outputKgPerS, control };
				expect(solveHumidity(s, helped, choice.closest!.schedule).criterion!.isMet).toBe(true);
				seen.helped++;
				continue;
			}
			seen.held++;
			const { onSeconds, offSeconds } = choice.best.schedule;
			expect([n, onSeconds, offSeconds]).toEqual([n, expected.best!.on, expected.best!.off]);
			expect(choice.best.summary.criterion.humidity!.isMet).toBe(true);
		}
		expect(seen.held).toBeGreaterThanOrEqual(6);
		expect(seen.forbidden).toBeGreaterThanOrEqual(3);
		expect(seen.helped).toBeGreaterThanOrEqual(1);
	});

	it("for a chance equals brute force over the same draws, with and without floors, worst hours and what may happen", () => {
		const random = seededUniform(11);
		const within = (low: number, high: number) => low * (high / low) ** random();
		let reached = 0;
		for (let n = 0; n < 14; n++) {
			const slow = n % 4 === 3 ? ", spin-up: 0.4 s, coast-down: 1.4 s" : "";
			const zones = n % 6 === 5 ? ", stagnant: { share: 30 %, source: 60 %, exchange: 20 m3/h }" : "";
			const s = parseScenario(
				`
intake: { co2: 420..470 ppm }
chamber: { volume: ${within(100, 900).toFixed(1)} L, leak: 0.2..0.6 /h, temperature: 18 C${zones} }
substrate: { mass: ${within(1, 8).toFixed(2)} kg, rate: 120..190 mg/(kg h), reference: 18 C }
fan: { flow: ${within(40, 200).toFixed(1)} m3/h ±10 %${slow} }
timer: ${TIMERS[n % 3]!}
limits: { burst: 2 s, pause: 2 s }
target: ${TARGETS[n % 7]!(Math.round(within(1100, 1800)))}
${n % 2 === 0 ? "disturbances: off" : ""}`,
				"x.yaml",
				{ schedules: "optional" },
			);
			const { evaluator } = chanceOfScenario(s, 200, 3);
			const expected = bruteForce(
				s,
				displayGrids(s.timer!),
				(cycle) => evaluator.countMisses(cycle, "target") <= 40,
			);
			const choice = chooseSetting(s, { draws: 200, seed: 3, reliabilityPercent: 80 });
			if (!choice.isFeasible) continue;
			const evaluated = choice.chanceConstrained!.evaluated;
			expect([n, evaluated !== null, choice.status === "holds"]).toEqual([
				n,
				expected.best !== null,
				expected.best !== null,
			]);
			if (evaluated === null) continue;
			reached++;
			const { onSeconds, offSeconds } = evaluated.schedule;
			expect([n, onSeconds, offSeconds]).toEqual([n, expected.best!.on, expected.best!.off]);
		}
		expect(reached).toBeGreaterThanOrEqual(8);
	});

	it("prefers of two settings with the same air the longer cycle, then the lower peak, then the shorter burst", () => {
		const setting = (onSeconds: number, offSeconds: number, airM3PerDay = 10) => ({
			onIndex: 0,
			offIndex: 0,
			onSeconds,
			offSeconds,
			airM3PerDay,
		});
		const peaks = { peakPpm: ({ onSeconds }: { onSeconds: number }) => (onSeconds === 7 ? 900 : 1000) };
		expect(isBetterCandidate(setting(4, 236), setting(2, 118), peaks)).toBe(true);
		expect(isBetterCandidate(setting(2, 118), setting(4, 236), peaks)).toBe(false);
		expect(isBetterCandidate(setting(2, 118, 9), setting(4, 236), peaks)).toBe(true);
		expect(isBetterCandidate(setting(7, 113), setting(4, 116), peaks)).toBe(true);
		expect(isBetterCandidate(setting(4, 116), setting(5, 115), peaks)).toBe(true);
		expect(isBetterCandidate(setting(5, 115), setting(4, 116), peaks)).toBe(false);
	});
});
