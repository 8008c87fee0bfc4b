import type { Scenario } from "../scenario/scenario.ts";
import { compile } from "../solve/compile.ts";
import { makeCyclePeaks } from "../solve/cycles/cyclestats.ts";
import { makeEquivalentCycle, withInstantFan } from "../solve/cycles/equivalentcycle.ts";
import type {
	BindingConstraint,
	Choice,
	ChooseOptions,
	EvaluatedSetting,
	FeasibleChoice,
} from "./choosetypes.ts";
import { findHumidifier, findHumidityFault } from "./damp.ts";
import { evaluateEntryErrors } from "./entryerrors.ts";
import { type ChoiceContext, evaluateSetting, makeSearchProblem } from "./evaluate.ts";
import { findWarnings, makeContext, readOptions, searchTimer } from "./prepare.ts";
import {
	type Chance,
	chanceOf,
	type ReliableSetting,
	solveChanceConstrained,
} from "./probability/chanceconstraint.ts";
import { makeDrawEvaluator } from "./probability/drawevaluator.ts";
import { drawModels } from "./probability/draws.ts";
import { expectAirOnceKnown } from "./probability/fieldtest.ts";
import { estimateComplianceProbability } from "./probability/probability.ts";
import { reliableFront } from "./probability/reliablefront.ts";
import { findActiveLimits } from "./search/activelimits.ts";
import { findBindingConstraint } from "./search/bindingconstraint.ts";
import { frontRule, paretoFront } from "./search/front.ts";
import {
	computeFeasibilityLimits,
	type FoundSetting,
	findClosest,
	type SearchResult,
	traceFeasibilityBoundary,
} from "./search/gridsearch.ts";
import { findQuietHours } from "./search/quiet.ts";
import { type Candidate, isBetterCandidate, makeCandidate, type SearchProblem } from "./search/search.ts";
import { gradeChance } from "./status.ts";

/** So many settings that the search takes for good are held against a full model that varies before none is said to do. */
const MAX_TRIES = 20;

/**
 * The timer setting that meets the target with the chance asked for and the least fresh air, of all that the timer can show; the one
 * for central values beside it, its alternatives, and what the chance depends on.
 *
 * @param scenario as `parseScenario` gives it; it needs a fan
 * @param options chance [%], number of draws, seed
 * @returns `{ isFeasible: true, status, best, recommended, … }`, or `{ isFeasible: false, … }` with the constraint that binds; CO2 [ppm], times [s], air [m3/day]
 * @throws InputError for options that make no sense; SolverError when a numerical path cannot vouch for its answer
 *
 * Source: this project; search over the grid of the timer's display values (DEVELOPERS.md).
 * @example chooseSetting(parseScenario(starterScenario()), { draws: 100 }).isFeasible // => true
 */
export function chooseSetting(scenario: Scenario, options: ChooseOptions = {}): Choice {
	const { draws: count, seed, reliabilityPercent, onProgress } = readOptions(scenario, options);
	const context = makeContext(scenario);
	const problem = makeSearchProblem(context);
	const searched = searchTimer(scenario, () => problem);
	onProgress(0.1);
	const chosen = findHeld(context, searched, problem);
	const drawn = count > 0 ? drawModels(scenario, count, seed) : null;
	const draws = drawn?.inputs.length ? drawn : null;
	onProgress(0.3);
	const common = {
		scenario,
		model: context.model.model,
		reliabilityPercent: draws === null ? null : reliabilityPercent,
		feasibilityLimits: computeFeasibilityLimits(context, searched, problem),
		feasibilityBoundary: traceFeasibilityBoundary(chosen?.result ?? searched[0]!),
		warnings: findWarnings(scenario, count > 0),
	};
	if (chosen === null) {
		const dry = findDespiteHumidity(context);
		const closest =
			dry === null
				? findClosest(context, searched, problem)
				: { displayGrid: dry.result.displayGrid, place: dry.best };
		const evaluator = draws === null ? null : makeDrawEvaluator(draws, context);
		return {
			...common,
			isFeasible: false,
			status: "fails",
			bindingConstraint:
				dry === null
					? findBindingConstraint(
							{ ...context, damp: null },
							searched.map(({ displayGrid }) => displayGrid),
						)
					: humidityConstraint(context, dry),
			closest: closest && evaluateFound(context, closest, draws && { draws, evaluator: evaluator! }),
		};
	}
	const { best, result } = chosen;
	const chance = draws && { draws, evaluator: makeDrawEvaluator(draws, context), reliabilityPercent };
	const evaluatedBest = evaluateFound(context, { displayGrid: result.displayGrid, place: best }, chance);
	onProgress(0.5);
	const solved = chance === null ? null : solveChanceConstrained(context, chance, searched, problem, best);
	const reached = solved?.reached ?? null;
	const recommended = reached?.evaluated ?? evaluatedBest;
	const { grid, displayGrid, found } = reached ?? { ...result, found: best };
	// What is offered beside the recommended setting holds as surely as it does.
	const { front, rule } =
		chance === null || reached === null
			? {
					front: paretoFront(result, problem, context.steady, best.airM3PerDay),
					rule: frontRule(result, context.steady),
				}
			: reliableFront(context, chance, reached);
	const evaluate = (place: FoundSetting["place"]) => evaluateFound(context, { displayGrid, place }, chance);
	const smallestRipple = front.reduce((a, b) => (b.ripplePpm < a.ripplePpm ? b : a), front[0]!);
	const fewestSwitchings = front.reduce((a, b) => (b.burstsPerDay < a.burstsPerDay ? b : a), front[0]!);
	onProgress(0.7);
	const expectAir = (input: number) =>
		chance === null || reached === null ? null : expectAirOnceKnown(chance, input, reached, problem);
	const choice: FeasibleChoice = {
		...common,
		isFeasible: true,
		status:
			solved === null || reached !== null ? "holds" : gradeChance(solved.chanceConstrained.bestProbability),
		best: evaluatedBest,
		recommended,
		activeLimits: findActiveLimits(grid, context.limits, found),
		alternatives: {
			leastAir: recommended,
			fewestSwitchings: evaluate(fewestSwitchings.place),
			smallestRipple: evaluate(smallestRipple.place),
		},
		front: front.map(({ place: _, ...point }) => point),
		frontRule: rule,
		complianceProbability:
			chance === null ? null : estimateComplianceProbability(context, chance, seed, found, expectAir),
		chanceConstrained: solved && { ...solved.chanceConstrained, price: priceOf(reached, evaluatedBest) },
		quiet: findQuietHours(context, searched, recommended, reached === null ? null : chance),
		entryErrors: evaluateEntryErrors(
			context.steady,
			problem,
			recommended.schedule,
			searched.map(({ displayGrid }) => displayGrid),
		),
		searchErrorPpm: searchError(context, best),
	};
	onProgress(1);
	return choice;
}

/** A setting as found, judged by the full model and, where there are draws, in all of them. */
export const evaluateFound = (
	context: ChoiceContext,
	{ displayGrid, place }: FoundSetting,
	chance: Pick<Chance, "draws" | "evaluator"> | null,
): EvaluatedSetting => {
	const cycle = {
		onSeconds: displayGrid.on[place.onIndex]!.seconds,
		offSeconds: displayGrid.off[place.offIndex]!.seconds,
	};
	return evaluateSetting(context, displayGrid, place, chance && chanceOf(chance, cycle));
};

/** What the chance costs over the best setting. */
const priceOf = (reached: ReliableSetting | null, best: EvaluatedSetting) =>
	reached && {
		freshAirM3PerDay: reached.evaluated.summary.freshAirM3PerDay - best.summary.freshAirM3PerDay,
		moistureLossGPerDay: reached.evaluated.moisture.moistureLossGPerDay - best.moisture.moistureLossGPerDay,
	};

/**
 * The best setting of all grids. Where source or intake vary, the search goes by their ends, and the full model has the last word:
 * on what the search takes for good, and on what it takes for the closest.
 */
function findHeld(
	context: ChoiceContext,
	searched: readonly SearchResult[],
	problem: SearchProblem,
): { readonly result: SearchResult; readonly best: Candidate } | null {
	const ranked = searched
		.flatMap((result) =>
			Array.from(result.shortest, (onIndex, offIndex) => ({ onIndex, offIndex }))
				.filter(({ onIndex }) => onIndex >= 0)
				.map((place) => ({ result, best: makeCandidate(result.grid, problem, place) })),
		)
		.sort((a, b) => (isBetterCandidate(a.best, b.best, problem) ? -1 : 1));
	if (context.model.isLinear) return ranked[0] ?? null;
	const closest = ranked.length > 0 ? null : findClosest(context, searched, problem);
	const tried = ranked.slice(0, MAX_TRIES);
	if (closest !== null) {
		const result = searched.find(({ displayGrid }) => displayGrid === closest.displayGrid)!;
		tried.push({ result, best: makeCandidate(result.grid, problem, closest.place) });
	}
	return (
		tried.find(
			({ result, best }) => evaluateSetting(context, result.displayGrid, best).summary.criterion.isMet,
		) ?? null
	);
}

/** The best setting where only humidity forbids all; null where CO2 alone does. */
function findDespiteHumidity(context: ChoiceContext): ReturnType<typeof findHeld> {
	if (context.damp === null) return null;
	const { humidity: _, ...target } = context.scenario.target;
	const scenario = { ...context.scenario, target: { ...target, humidity: null } };
	const alone = { ...context, scenario, damp: null, known: new Map() };
	const problem = makeSearchProblem(alone);
	return findHeld(
		alone,
		searchTimer(scenario, () => problem),
		problem,
	);
}

function humidityConstraint(
	{ scenario, damp }: ChoiceContext,
	{ result, best }: NonNullable<ReturnType<typeof findHeld>>,
): BindingConstraint {
	const { displayGrid } = result;
	const setting = { on: displayGrid.on[best.onIndex]!, off: displayGrid.off[best.offIndex]! };
	return {
		code: "humidity",
		...findHumidityFault(damp!, best)!,
		setting,
		humidifier: findHumidifier(scenario, damp!, best),
	};
}

/** Peak of the instant fan that moves the same air, which draws go by before they are corrected, less the exact one [ppm]. */
function searchError({ steady }: ChoiceContext, best: Candidate): number {
	const fast = makeCyclePeaks(compile(withInstantFan(steady.model)));
	return fast(makeEquivalentCycle(steady.model)(best)) - makeCyclePeaks(steady)(best);
}
