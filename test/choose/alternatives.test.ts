import { describe, expect, it } from "vitest";
import { chooseSetting } from "../../lib/choose/choose.ts";
import type { FeasibleChoice } from "../../lib/choose/choosetypes.ts";
import { makeSearchProblem } from "../../lib/choose/evaluate.ts";
import { makeContext, searchTimer } from "../../lib/choose/prepare.ts";
import { chanceOf } from "../../lib/choose/probability/chanceconstraint.ts";
import { removeDominated } from "../../lib/choose/search/front.ts";
import { parseScenario } from "../../lib/scenario/parse.ts";
import { makeCycleStats } from "../../lib/solve/cycles/cyclestats.ts";
import { chanceOfScenario } from "./compliance.ts";

const DRAWS = 300;
const read = (target: string, more = "") =>
	parseScenario(
		`
chamber: { volume: 420 L, leak: 0.3 /h, temperature: 17 C }
intake: { co2: 480 ppm }
substrate: { species: oyster, mass: 8 kg, rate: 100..220 mg/(kg h), reference: 17 C, volume: 12 L }
fan: { flow: 70 m3/h ±10 % }
timer: { ranges: [2..30 s by 1 s, 30..600 s by 15 s] }
target: ${target}
${more}`,
		"x.yaml",
		{ schedules: "optional" },
	);
const choose = (scenario: ReturnType<typeof read>): FeasibleChoice => {
	const choice = chooseSetting(scenario, { draws: DRAWS });
	if (!choice.isFeasible || choice.status !== "holds") throw new Error(choice.status);
	return choice;
};

describe("what is offered beside the recommended setting", () => {
	it.each([
		"{ ceiling: 1000 ppm }",
		"{ ceiling: 1000 ppm, floor: 560 ppm }",
		"{ ceiling: 950 ppm, on: worst hour }",
	])("has the chance asked for, each point of the trade-off too: %s", (target) => {
		const scenario = read(target);
		const choice = choose(scenario);
		const chance = chanceOfScenario(scenario, DRAWS);
		for (const one of choice.front) expect(chanceOf(chance, one)).toBeGreaterThanOrEqual(0.9);
		for (const one of Object.values(choice.alternatives))
			expect(one.probability!).toBeGreaterThanOrEqual(0.9);
		expect(choice.alternatives.leastAir).toBe(choice.recommended);
	});

	it("is the trade-off that brute force finds among all settings with that chance", () => {
		const scenario = read("{ ceiling: 1000 ppm }");
		const choice = choose(scenario);
		const context = makeContext(scenario);
		const problem = makeSearchProblem(context);
		const chance = chanceOfScenario(scenario, DRAWS);
		const stats = makeCycleStats(context.steady);
		const { recommended } = choice;
		const most = recommended.summary.freshAirM3PerDay * 1.25 * (1 + 1e-9);
		const { onSeconds: on, offSeconds: off } = recommended.schedule;
		const grid = searchTimer(scenario, () => problem)
			.map((result) => result.grid)
			.find(({ onSeconds, offSeconds }) => onSeconds.includes(on) && offSeconds.includes(off))!;
		const all = grid.onSeconds.flatMap((onSeconds) =>
			grid.offSeconds.flatMap((offSeconds) => {
				const cycle = { onSeconds, offSeconds };
				const freshAirM3PerDay = problem.freshAirM3PerDay(cycle);
				if (onSeconds < 3 || offSeconds < 3 || freshAirM3PerDay > most || chanceOf(chance, cycle) < 0.9)
					return [];
				const { peakPpm, troughPpm } = stats(cycle);
				const burstsPerDay = 86_400 / (onSeconds + offSeconds);
				return [{ ...cycle, freshAirM3PerDay, burstsPerDay, ripplePpm: peakPpm - troughPpm, peakPpm }];
			}),
		);
		expect(all.length).toBeGreaterThan(20);
		const pairs = (list: readonly { onSeconds: number; offSeconds: number }[]) =>
			list.map((one) => `${one.onSeconds}/${one.offSeconds}`).sort();
		expect(pairs(choice.front)).toEqual(pairs(removeDominated(all)));
		expect(choice.frontRule).toBe("all settings");
	});
});
