import type { Model } from "../model/chamber.ts";
import { buildHumidity } from "../model/humidity.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import type { SolverOptions } from "../solve/propagate/propagate.ts";
import type { Summary } from "../solve/summary.ts";
import { type Comparison, compareBy, evaluateAir } from "./comparison.ts";
import { solveHumidity, waterBalance } from "./humidity.ts";

/**
 * Evaluates one schedule of a scenario against the scenario's target.
 *
 * @param scenario whose target counts
 * @param model its model, or another one
 * @param schedule when the fan is on
 * @param options method and tolerance of the solver
 * @returns the summary: CO2 [ppm], times [s], air [m3/day]
 * @throws InputError for a model or schedule that makes no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project.
 * @example
 * const scenario = parseScenario(starterScenario());
 * evaluateSchedule(scenario, buildModel(scenario), { kind: "continuous" }).burstsPerDay // => 0
 */
export function evaluateSchedule(
	scenario: Scenario,
	model: Model | CompiledModel,
	schedule: Schedule,
	options: SolverOptions = {},
): Summary {
	const summary = evaluateAir(scenario, model, schedule, options);
	if (scenario.target.humidity === null) return summary;
	const damp = buildHumidity(scenario, compile(model).model)!;
	const humidity = solveHumidity(scenario, damp, schedule).criterion!;
	const { criterion } = summary;
	return { ...summary, criterion: { ...criterion, isMet: criterion.isMet && humidity.isMet, humidity } };
}

/**
 * Evaluates all schedules of a scenario and names the one that meets the target with the least fresh air.
 *
 * @param scenario as `parseScenario` gives it
 * @param options method and tolerance of the solver
 * @returns each schedule with its summary (CO2 [ppm], times [s], air [m3/day]), the best one, those that tie with it, or the closest
 * @throws InputError for a model that makes no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project.
 * @example compareSchedules(parseScenario(starterScenario())).best // => "by day and night"
 */
export const compareSchedules = (scenario: Scenario, options: SolverOptions = {}): Comparison =>
	compareBy(scenario, (model, schedule) => ({
		summary: evaluateSchedule(scenario, model, schedule, options),
		water: waterBalance(scenario, model, schedule),
	}));
