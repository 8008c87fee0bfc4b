import { findScenarioWarnings } from "../compare/warnings.ts";
import { InputError } from "../errors.ts";
import { buildModel } from "../model/build.ts";
import { DEFAULT_TIMER, displayGrids } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { compile } from "../solve/compile.ts";
import { targetOf } from "../solve/criterion.ts";
import { withMaximumSource, withMinimumSource } from "../solve/cycles/maximumsource.ts";
import { CONFIDENCE } from "../sources/disturbances.ts";
import type { ChoiceWarning, ChooseOptions } from "./choosetypes.ts";
import { makeDamp } from "./damp.ts";
import { type ChoiceContext, findCycleLimits, highestFeltPpm } from "./evaluate.ts";
import { type SearchResult, search } from "./search/gridsearch.ts";
import type { SearchGrid, SearchProblem } from "./search/search.ts";

const MAX_DRAWS = 1_000_000;
const DEFAULT_DRAWS = 10_000;

/** The options of a choice with their defaults. Throws InputError. */
export function readOptions(scenario: Scenario, options: ChooseOptions): Required<ChooseOptions> {
	const { draws = DEFAULT_DRAWS, seed = 1, onProgress = () => {}, reliabilityPercent: asked } = options;
	const { confidence } = scenario.target;
	const reliabilityPercent = asked ?? (confidence === null ? CONFIDENCE.value : 100 * confidence.value);
	// Below an even chance the central values themselves would fail.
	if (!(reliabilityPercent >= 50 && reliabilityPercent < 100))
		throw new InputError(
			`reliabilityPercent needs a value from 50 to below 100 %, got ${reliabilityPercent}`,
		);
	if (!(Number.isInteger(draws) && draws >= 0 && draws <= MAX_DRAWS))
		throw new InputError(`draws needs a whole number from 0 to ${MAX_DRAWS}, got ${draws}`);
	if (!Number.isSafeInteger(seed)) throw new InputError(`seed needs a whole number, got ${seed}`);
	if (asked !== undefined && draws === 0)
		throw new InputError("reliabilityPercent needs draws; leave draws out, or give more than 0");
	return { draws, seed, onProgress, reliabilityPercent };
}

export function makeContext(scenario: Scenario): ChoiceContext {
	// CO2 at the start belongs to a run; no setting is to blame for it.
	const { startPpm: _, ...model } = buildModel(scenario);
	const target = targetOf(scenario.target);
	const steady = compile(withMaximumSource(model));
	const stays = model.source === undefined && model.intakeExcess === undefined;
	return {
		scenario,
		target,
		model: compile(model),
		steady,
		lowest: stays ? steady : compile(withMinimumSource(model, highestFeltPpm(target))),
		limits: findCycleLimits(scenario),
		damp: makeDamp(scenario, model),
		known: new Map(),
	};
}

/** Everything that the timer can show, searched. */
export const searchTimer = (
	{ timer }: Scenario,
	problemOf: (grid: SearchGrid) => SearchProblem,
): SearchResult[] =>
	displayGrids(timer ?? DEFAULT_TIMER).map((displayGrid) => search(displayGrid, problemOf));

export const findWarnings = (scenario: Scenario, isDrawn: boolean): ChoiceWarning[] => [
	...findScenarioWarnings(scenario, isDrawn),
	...(isDrawn && scenario.fan.filter !== null && scenario.fan.curve === null
		? [{ code: "filter load not counted", path: "fan.filter" } as const]
		: []),
	...(scenario.timer === null ? [{ code: "timer assumed", path: "timer" } as const] : []),
	...(buildModel(scenario).source === undefined
		? []
		: [{ code: "maximum source", path: "substrate" } as const]),
];
