import { makeContext } from "../../lib/choose/prepare.ts";
import { makeDrawEvaluator } from "../../lib/choose/probability/drawevaluator.ts";
import { drawModels } from "../../lib/choose/probability/draws.ts";
import { estimateComplianceProbability } from "../../lib/choose/probability/probability.ts";
import type { Cycle } from "../../lib/model/schedule/schedule.ts";
import type { Scenario } from "../../lib/scenario/scenario.ts";

/** Draws of a scenario and what judges a cycle in all of them. */
export function chanceOfScenario(scenario: Scenario, count: number, seed = 1) {
	const context = makeContext(scenario);
	const draws = drawModels(scenario, count, seed);
	return { context, draws, evaluator: makeDrawEvaluator(draws, context) };
}

/** The chance of one cycle in a number of draws. */
export function complianceOf(scenario: Scenario, count: number, cycle: Cycle) {
	const { context, ...chance } = chanceOfScenario(scenario, count);
	return estimateComplianceProbability(context, chance, 1, cycle);
}
