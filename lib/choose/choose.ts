import { warningsOf } from "../compare/compare.ts";
import { InputError } from "../errors.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import { type DialGrid, dialGrids, PLAIN_TIMER } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { steadyWorst } from "../solve/cycles/maximumsource.ts";
import type { Choice, ChooseOptions, FeasibleChoice } from "./choosetypes.ts";
import { slipsOf } from "./entryerrors.ts";
import { cycleLimits, judgedSetting, problemOf } from "./evaluate.ts";
import { robustOf } from "./probability/chanceconstraint.ts";
import { drawModels } from "./probability/draws.ts";
import { drawJudge, oddsOf } from "./probability/probability.ts";
import { whyNot } from "./search/bindingconstraint.ts";
import { paretoFront } from "./search/front.ts";
import { boundaryOf, boundsOf, nearestOf, type Searched, search } from "./search/gridsearch.ts";
import { quietOf } from "./search/quiet.ts";
import { better, type Found, type SearchProblem } from "./search/search.ts";

const MOST_DRAWS = 1_000_000;
const USUAL_DRAWS = 10_000;

/**
 * The setting that a timer can show and that spares the air most among all that hold the target; the alternatives; and the
 * odds, where inputs are only roughly known.
 * @throws InputError for options that make no sense, SolverError when a numerical path cannot vouch for its answer
 */
export function chooseSetting(scenario: Scenario, options: ChooseOptions = {}): Choice {
	const { draws: wanted = USUAL_DRAWS, seed = 1, confidence, onProgress = () => {} } = checked(options);
	const model = buildModel(scenario);
	const steady = steadyWorst(model);
	const timer = scenario.timer ?? PLAIN_TIMER;
	const limits = cycleLimits(scenario);
	const problem = problemOf(steady, scenario, limits);
	const searched = dialGrids(timer).map((dials) => search(dials, problem));
	onProgress(0.1);
	const chosen = searched.reduce<Searched | null>(
		(a, b) => (b.best !== null && (a?.best == null || better(b.best, a.best, problem)) ? b : a),
		null,
	);
	const shown = chosen ?? searched[0]!;
	const common = {
		scenario,
		model,
		bounds: boundsOf(scenario, steady, limits, searched, problem),
		boundary: boundaryOf(shown),
		warnings: [...warningsOf(scenario, wanted > 0), ...searchWarnings(scenario, model)],
	};
	const judge = (found: Pick<Found, "onSeconds" | "offSeconds">, dials: DialGrid) =>
		judgedSetting(scenario, model, dials, found.onSeconds, found.offSeconds);
	if (chosen?.best == null) {
		const nearest = nearestOf(searched, problem, steady, scenario);
		return {
			...common,
			feasible: false,
			...whyNot(
				scenario,
				steady,
				limits,
				searched.map(({ dials }) => dials),
			),
			nearest: nearest === null ? null : judge(nearest.found, nearest.dials),
		};
	}
	const { best } = chosen;
	const settled = judge(best, chosen.dials);
	const front = paretoFront(chosen.grid, chosen.shortest, problem, steady, best.airM3PerDay);
	const smoothest = front.reduce((a, b) => (b.ripplePpm < a.ripplePpm ? b : a), front[0]!);
	const gentlest = front.reduce((a, b) => (b.burstsPerDay < a.burstsPerDay ? b : a), front[0]!);
	onProgress(0.3);
	const uncertain = wanted > 0 ? drawModels(scenario, wanted, seed) : null;
	onProgress(0.5);
	const sure =
		confidence === undefined || uncertain === null
			? null
			: (among: readonly Searched[], within: SearchProblem, central: Found) =>
					robustOf(scenario, model, steady, uncertain, confidence, among, within, central);
	const robust = sure === null ? null : sure(searched, problem, best);
	const recommended = robust?.judged ?? settled;
	const { onSeconds, offSeconds } = recommended.schedule;
	onProgress(0.7);
	const any = uncertain !== null && uncertain.inputs.length > 0;
	const odds = any ? oddsOf(scenario, uncertain, seed, onSeconds, offSeconds) : null;
	onProgress(0.9);
	const searchErrorPpm =
		drawJudge([steady], steady, scenario.target.on).errorPpm(best.onSeconds, best.offSeconds) || 0;
	const choice: FeasibleChoice = {
		...common,
		feasible: true,
		best: settled,
		recommended,
		picks: {
			driestSparing: settled,
			gentlestOnRelay: judge(gentlest, chosen.dials),
			smoothest: judge(smoothest, chosen.dials),
		},
		front,
		odds,
		robust,
		quiet: quietOf(scenario, model, steady, limits, searched, recommended, sure),
		slips: slipsOf(steady, problem, recommended.schedule),
		searchErrorPpm,
	};
	onProgress(1);
	return choice;
}

function checked(options: ChooseOptions): ChooseOptions {
	const { confidence, draws, seed } = options;
	// Below an even chance the central values themselves would fail.
	if (confidence !== undefined && !(confidence >= 50 && confidence < 100))
		throw new InputError(`confidence needs a value from 50 to below 100 %, got ${confidence}`);
	if (draws !== undefined && !(Number.isInteger(draws) && draws >= 0 && draws <= MOST_DRAWS))
		throw new InputError(`draws needs a whole number from 0 to ${MOST_DRAWS}, got ${draws}`);
	if (seed !== undefined && !Number.isSafeInteger(seed))
		throw new InputError(`seed needs a whole number, got ${seed}`);
	if (confidence !== undefined && draws === 0)
		throw new InputError("a confidence needs draws; leave draws out, or give more than 0");
	return options;
}

function searchWarnings(scenario: Scenario, model: Model): string[] {
	const warnings: string[] = [];
	if (scenario.timer === null)
		warnings.push("timer: not given; a three-digit display of 1 to 999 s is assumed for both periods.");
	if (model.source !== undefined)
		warnings.push(
			"substrate: respiration changes; settings are searched for its highest rate of the run and judged by the full model.",
		);
	return warnings;
}
