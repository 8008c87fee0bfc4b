import { findScenarioWarnings } from "../compare/warnings.ts";
import { InputError } from "../errors.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { DEFAULT_TIMER, displayGrids } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { compile } from "../solve/compile.ts";
import { withMaximumSource } from "../solve/cycles/maximumsource.ts";
import type { Choice, ChoiceWarning, ChooseOptions, FeasibleChoice } from "./choosetypes.ts";
import { evaluateEntryErrors } from "./entryerrors.ts";
import { type ChoiceContext, evaluateSetting, findCycleLimits, makeSearchProblem } from "./evaluate.ts";
import { solveChanceConstrained } from "./probability/chanceconstraint.ts";
import { drawModels } from "./probability/draws.ts";
import { estimateComplianceProbability, makeDrawEvaluator } from "./probability/probability.ts";
import { findBindingConstraint } from "./search/bindingconstraint.ts";
import { paretoFront } from "./search/front.ts";
import {
	computeFeasibilityLimits,
	findBestOfAll,
	findClosest,
	search,
	traceFeasibilityBoundary,
} from "./search/gridsearch.ts";
import { findQuietHours, type SolveReliably } from "./search/quiet.ts";
import type { GridPlace } from "./search/search.ts";

const MAX_DRAWS = 1_000_000;
const DEFAULT_DRAWS = 10_000;

/**
 * The timer setting that meets the target with the least fresh air, of all that the timer can show; its alternatives; and the
 * chance of meeting the target where inputs are uncertain.
 *
 * @param scenario as `parseScenario` gives it; it needs a fan
 * @param options confidence [%], number of draws, seed
 * @returns `{ isFeasible: true, best, recommended, … }`, or `{ isFeasible: false, … }` with the constraint that binds; CO2 [ppm], times [s], air [m3/day]
 * @throws InputError for options that make no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project; search over the grid of the timer's display values (DEVELOPERS.md).
 * @example chooseSetting(parseScenario(starterScenario()), { draws: 100 }).isFeasible // => true
 */
export function chooseSetting(scenario: Scenario, options: ChooseOptions = {}): Choice {
	const {
		draws: wanted = DEFAULT_DRAWS,
		seed = 1,
		reliabilityPercent,
		onProgress = () => {},
	} = checkOptions(options);
	const model = buildModel(scenario);
	const steady = compile(withMaximumSource(model));
	const timer = scenario.timer ?? DEFAULT_TIMER;
	const limits = findCycleLimits(scenario);
	const context: ChoiceContext = { scenario, model: compile(model), steady, limits };
	const problem = makeSearchProblem(steady, scenario, limits);
	const searched = displayGrids(timer).map((displayGrid) => search(displayGrid, problem));
	onProgress(0.1);
	const chosen = findBestOfAll(searched, problem);
	const shown = chosen ?? searched[0]!;
	const common = {
		scenario,
		model,
		feasibilityLimits: computeFeasibilityLimits(context, searched, problem),
		feasibilityBoundary: traceFeasibilityBoundary(shown),
		warnings: [...findScenarioWarnings(scenario, wanted > 0), ...findSearchWarnings(scenario, model)],
	};
	if (chosen === null) {
		const closest = findClosest(context, searched, problem);
		return {
			...common,
			isFeasible: false,
			bindingConstraint: findBindingConstraint(
				scenario,
				steady.model,
				limits,
				searched.map(({ displayGrid }) => displayGrid),
			),
			closest: closest === null ? null : evaluateSetting(context, closest.displayGrid, closest.place),
		};
	}
	const { best } = chosen;
	const evaluate = (place: GridPlace) => evaluateSetting(context, chosen.displayGrid, place);
	const evaluatedBest = evaluate(best);
	const front = paretoFront(chosen, problem, steady, best.airM3PerDay);
	const smallestRipple = front.reduce((a, b) => (b.ripplePpm < a.ripplePpm ? b : a), front[0]!);
	const fewestSwitchings = front.reduce((a, b) => (b.burstsPerDay < a.burstsPerDay ? b : a), front[0]!);
	onProgress(0.3);
	const uncertain = wanted > 0 ? drawModels(scenario, wanted, seed) : null;
	onProgress(0.5);
	const solveReliably: SolveReliably | null =
		reliabilityPercent === undefined || uncertain === null
			? null
			: (...among) => solveChanceConstrained(context, { draws: uncertain, reliabilityPercent }, ...among);
	const chanceConstrained = solveReliably === null ? null : solveReliably(searched, problem, best);
	const recommended = chanceConstrained?.evaluated ?? evaluatedBest;
	onProgress(0.7);
	const any = uncertain !== null && uncertain.inputs.length > 0;
	const complianceProbability = any
		? estimateComplianceProbability(scenario, uncertain, seed, recommended.schedule)
		: null;
	onProgress(0.9);
	const searchErrorPpm =
		makeDrawEvaluator([steady], steady, scenario.target.on).errorPpm(best.onSeconds, best.offSeconds) || 0;
	const choice: FeasibleChoice = {
		...common,
		isFeasible: true,
		best: evaluatedBest,
		recommended,
		alternatives: {
			leastAir: evaluatedBest,
			fewestSwitchings: evaluate(fewestSwitchings.place),
			smallestRipple: evaluate(smallestRipple.place),
		},
		front: front.map(({ place: _, ...point }) => point),
		complianceProbability,
		chanceConstrained,
		quiet: findQuietHours(context, searched, recommended, solveReliably),
		entryErrors: evaluateEntryErrors(steady, problem, recommended.schedule),
		searchErrorPpm,
	};
	onProgress(1);
	return choice;
}

function checkOptions(options: ChooseOptions): ChooseOptions {
	const { reliabilityPercent, draws, seed } = options;
	// Below an even chance the central values themselves would fail.
	if (reliabilityPercent !== undefined && !(reliabilityPercent >= 50 && reliabilityPercent < 100))
		throw new InputError(
			`reliabilityPercent needs a value from 50 to below 100 %, got ${reliabilityPercent}`,
		);
	if (draws !== undefined && !(Number.isInteger(draws) && draws >= 0 && draws <= MAX_DRAWS))
		throw new InputError(`draws needs a whole number from 0 to ${MAX_DRAWS}, got ${draws}`);
	if (seed !== undefined && !Number.isSafeInteger(seed))
		throw new InputError(`seed needs a whole number, got ${seed}`);
	if (reliabilityPercent !== undefined && draws === 0)
		throw new InputError("reliabilityPercent needs draws; leave draws out, or give more than 0");
	return options;
}

function findSearchWarnings({ timer }: Scenario, { source }: Model): ChoiceWarning[] {
	return [
		...(timer === null ? [{ code: "timer assumed", path: "timer" } as const] : []),
		...(source === undefined ? [] : [{ code: "maximum source", path: "substrate" } as const]),
	];
}
