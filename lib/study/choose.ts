import { InputError } from "../errors.ts";
import { buildModel } from "../model/build.ts";
import type { Model } from "../model/chamber.ts";
import type { Daily } from "../model/schedule.ts";
import { type Dial, type DialGrid, dialGrids, PLAIN_TIMER } from "../model/timer.ts";
import { inWords } from "../model/words.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { cycleFigures, cycleOf } from "../solve/cyclefigures.ts";
import { longestPauseSeconds } from "../solve/longestpause.ts";
import { steadyWorst } from "../solve/steady.ts";
import { formatDuration } from "../units.ts";
import type {
	Boundary,
	Bounds,
	Choice,
	ChooseOptions,
	FeasibleChoice,
	JudgedSetting,
	QuietHours,
	Robust,
	Slip,
} from "./choice.ts";
import { judgeSchedule, warningsOf } from "./compare.ts";
import { type Draws, drawModels } from "./draws.ts";
import { paretoFront } from "./front.ts";
import { type CycleLimits, cycleLimits, MONTH, problemOf, USUAL_OPERATIONS } from "./judge.ts";
import { moistureCost } from "./moisture.ts";
import { drawJudge, oddsOf, quantile } from "./odds.ts";
import {
	bestSetting,
	better,
	type Found,
	type SearchGrid,
	type SearchProblem,
	shortestBursts,
} from "./search.ts";
import { flowNeeded, whyNot } from "./whynot.ts";

const MOST_DRAWS = 1_000_000;
const USUAL_DRAWS = 10_000;
/** Draws for the search with a confidence where each has to be judged by itself, in two zones. */
const FEW_DRAWS = 1000;

/** A grid of the timer with its dials by their seconds, and the search's answer on it. */
interface Searched {
	readonly grid: SearchGrid;
	readonly dials: DialGrid;
	readonly shortest: Int32Array;
	readonly best: Found | null;
}

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
		warnings: [...warningsOf(scenario), ...searchWarnings(scenario, model)],
	};
	const judge = (found: Pick<Found, "onSeconds" | "offSeconds">, dials: DialGrid) =>
		judged(scenario, model, dials, found.onSeconds, found.offSeconds);
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
	const any = uncertain !== null && uncertain.inputs.length > 0;
	const odds = any ? oddsOf(scenario, uncertain, seed, best.onSeconds, best.offSeconds) : null;
	onProgress(0.7);
	const robust =
		confidence === undefined || uncertain === null
			? null
			: robustOf(scenario, model, steady, uncertain, confidence, searched, problem, best);
	onProgress(0.9);
	const searchErrorPpm =
		drawJudge([steady], steady, scenario.target.on).errorPpm(best.onSeconds, best.offSeconds) || 0;
	const choice: FeasibleChoice = {
		...common,
		feasible: true,
		best: settled,
		picks: {
			driestSparing: settled,
			gentlestOnRelay: judge(gentlest, chosen.dials),
			smoothest: judge(smoothest, chosen.dials),
		},
		front,
		odds,
		robust,
		quiet: quietOf(scenario, model, steady, limits, searched, settled),
		slips: slipsOf(steady, problem, best, settled),
		searchErrorPpm,
	};
	onProgress(1);
	return choice;
}

function checked(options: ChooseOptions): ChooseOptions {
	const { confidence, draws, seed } = options;
	if (confidence !== undefined && !(confidence > 0 && confidence < 100))
		throw new InputError(`confidence needs a value above 0 and below 100 %, got ${confidence}`);
	if (draws !== undefined && !(Number.isInteger(draws) && draws >= 0 && draws <= MOST_DRAWS))
		throw new InputError(`draws needs a whole number from 0 to ${MOST_DRAWS}, got ${draws}`);
	if (seed !== undefined && !Number.isSafeInteger(seed))
		throw new InputError(`seed needs a whole number, got ${seed}`);
	if (confidence !== undefined && draws === 0)
		throw new InputError("a confidence needs draws; leave draws out, or give more than 0");
	return options;
}

function search(dials: DialGrid, problem: SearchProblem): Searched {
	const grid = {
		onSeconds: dials.on.map((dial) => dial.seconds),
		offSeconds: dials.off.map((dial) => dial.seconds),
	};
	const shortest = shortestBursts(grid, problem);
	return { grid, dials, shortest, best: bestSetting(grid, problem, shortest) };
}

/** A setting as keyed in, judged by the full model. */
function judged(
	scenario: Scenario,
	model: Model,
	dials: DialGrid,
	onSeconds: number,
	offSeconds: number,
): JudgedSetting {
	const schedule = cycleOf(onSeconds, offSeconds);
	const dial = (list: readonly Dial[], seconds: number) => list.find((d) => d.seconds === seconds)!;
	const operations = scenario.timer?.operations?.value ?? USUAL_OPERATIONS;
	const operationsPerMonth = MONTH / (onSeconds + offSeconds);
	return {
		setting: { on: dial(dials.on, onSeconds), off: dial(dials.off, offSeconds) },
		schedule,
		inWords: inWords(schedule),
		summary: judgeSchedule(scenario, model, schedule),
		moisture: moistureCost(scenario, model, schedule),
		operationsPerMonth,
		contactMonths: operations / operationsPerMonth,
	};
}

function boundaryOf({ grid, shortest }: Searched): Boundary {
	return {
		offSeconds: Float64Array.from(grid.offSeconds),
		onSeconds: Float64Array.from(shortest, (k) => grid.onSeconds[k] ?? Number.NaN),
	};
}

function boundsOf(
	scenario: Scenario,
	steady: Model,
	limits: CycleLimits,
	searched: readonly Searched[],
	problem: SearchProblem,
): Bounds {
	const { ceiling, on } = scenario.target;
	let settings = 0;
	let holding = 0;
	for (const { grid, shortest } of searched)
		for (const [j, off] of grid.offSeconds.entries()) {
			const { onSeconds } = grid;
			const allowed = span(onSeconds, (a) => problem.allowed(a, off));
			settings += allowed.to - allowed.from;
			const first = shortest[j]!;
			if (first < 0) continue;
			// From the shortest burst that holds upwards, the mean falls, until it leaves a band.
			let low = first;
			let high = allowed.to;
			if (scenario.target.floor === null) low = high;
			while (low < high) {
				const middle = (low + high) >> 1;
				if (problem.accepts(onSeconds[middle]!, off)) low = middle + 1;
				else high = middle;
			}
			holding += low - first;
		}
	return {
		longestOffSeconds: longestPauseSeconds(steady, ceiling.value, on),
		flowNeededM3PerS: steady.supplyPpm >= ceiling.value ? null : flowNeeded(steady, ceiling.value),
		flowM3PerS: steady.fanM3PerS,
		shortestOnSeconds: limits.shortestOn,
		shortestOffSeconds: limits.shortestOff,
		longestCycleSeconds: limits.longestCycle,
		settings,
		holding,
	};
}

/** The stretch of a list in which a test holds; it holds in one stretch. */
function span(list: readonly number[], test: (x: number) => boolean): { from: number; to: number } {
	const from = list.findIndex(test);
	return from < 0 ? { from: 0, to: 0 } : { from, to: list.findLastIndex(test) + 1 };
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

/** Of all settings the one with the lowest figure: the longest burst and the shortest pause within the limits. */
function nearestOf(
	searched: readonly Searched[],
	problem: SearchProblem,
	steady: Model,
	{ target }: Scenario,
): { found: Pick<Found, "onSeconds" | "offSeconds">; dials: DialGrid } | null {
	const figures = cycleFigures(steady);
	const miss = (on: number, off: number) => {
		const { peakPpm, meanPpm } = figures(on, off);
		const over = Math.max(0, (target.on === "peak" ? peakPpm : meanPpm) - target.ceiling.value);
		return over + (target.floor === null ? 0 : Math.max(0, target.floor.value - meanPpm));
	};
	let nearest: { found: Pick<Found, "onSeconds" | "offSeconds">; dials: DialGrid; miss: number } | null =
		null;
	for (const { grid, dials, shortest } of searched)
		for (const [j, offSeconds] of grid.offSeconds.entries()) {
			// With a floor the shortest burst that holds the ceiling is nearest to the band, else the longest one.
			const k =
				shortest[j]! >= 0
					? shortest[j]!
					: grid.onSeconds.findLastIndex((on) => problem.allowed(on, offSeconds));
			const onSeconds = grid.onSeconds[k];
			if (onSeconds === undefined) continue;
			const by = miss(onSeconds, offSeconds);
			if (nearest === null || by < nearest.miss)
				nearest = { found: { onSeconds, offSeconds }, dials, miss: by };
		}
	return nearest;
}

/** The same search with "holds in so many draws of a hundred" in place of "holds". */
function robustOf(
	scenario: Scenario,
	model: Model,
	steady: Model,
	all: Draws,
	confidence: number,
	searched: readonly Searched[],
	problem: SearchProblem,
	best: Found,
): Robust {
	const { ceiling, on } = scenario.target;
	const few = (steady.stagnantFraction ?? 0) > 0;
	const models = few ? all.models.slice(0, FEW_DRAWS) : all.models;
	const hardest = hardestFirst(models, steady, on, best);
	const judge = drawJudge(models, steady, on, hardest);
	const mostAbove = Math.floor(models.length * (1 - confidence / 100) + 1e-9);
	// What the mean allows says nothing here: each setting is judged in all draws, as far as the sweep goes by the factor of
	// the best setting. In two zones, where that would take too long, the sweep asks the one draw that as many are harder than
	// may fail. What it finds is then held against all draws by its own factor.
	const { mayHold: _, ...plain } = problem;
	const factor = judge.factor(best.onSeconds, best.offSeconds);
	const sure: SearchProblem = few
		? problemOf(models[hardest[mostAbove]!]!, scenario, cycleLimits(scenario))
		: { ...plain, holds: (a, b) => judge.holds(a, b, ceiling.value, mostAbove, factor) };
	const longer = ({ onSeconds }: SearchGrid, found: Found): Found | null => {
		const { offSeconds } = found;
		for (let k = onSeconds.indexOf(found.onSeconds); k < onSeconds.length; k++) {
			const a = onSeconds[k]!;
			if (problem.allowed(a, offSeconds) && judge.holds(a, offSeconds, ceiling.value, mostAbove))
				return problem.accepts(a, offSeconds)
					? { onSeconds: a, offSeconds, airM3PerDay: problem.airPerDay(a, offSeconds) }
					: null;
		}
		return null;
	};
	let chosen: { found: Found; dials: DialGrid } | null = null;
	for (const { grid, dials } of searched) {
		const swept = bestSetting(grid, sure, shortestBursts(grid, sure, { onlyBest: true }));
		const found = swept === null ? null : longer(grid, swept);
		if (found !== null && (chosen === null || better(found, chosen.found, problem)))
			chosen = { found, dials };
	}
	const at = chosen?.found ?? {
		onSeconds: Math.max(...searched.flatMap(({ grid }) => grid.onSeconds)),
		offSeconds: Math.min(...searched.flatMap(({ grid }) => grid.offSeconds)),
	};
	const values = judge.values(at.onSeconds, at.offSeconds);
	const sorted = values.toSorted();
	return {
		confidence,
		judged:
			chosen === null
				? null
				: judged(scenario, model, chosen.dials, chosen.found.onSeconds, chosen.found.offSeconds),
		probability: values.filter((ppm) => ppm <= ceiling.value).length / values.length,
		p05Ppm: quantile(sorted, 0.05),
		p50Ppm: quantile(sorted, 0.5),
		p95Ppm: quantile(sorted, 0.95),
	};
}

/** Order of the draws by their figure at one setting, highest first: where one fails, those in front of it fail as a rule. */
function hardestFirst(
	models: readonly Model[],
	steady: Model,
	on: Scenario["target"]["on"],
	at: Found,
): number[] {
	const values = drawJudge(models, steady, on).values(at.onSeconds, at.offSeconds);
	return Array.from(values.keys()).sort((a, b) => values[b]! - values[a]!);
}

/** A gentler cycle for the quiet hours, and both together over the day. */
function quietOf(
	scenario: Scenario,
	model: Model,
	steady: Model,
	limits: CycleLimits,
	searched: readonly Searched[],
	day: JudgedSetting,
): QuietHours | null {
	const { quiet } = scenario.limits;
	if (quiet === null) return null;
	const { fromSeconds, toSeconds } = quiet;
	const problem = problemOf(steady, scenario, {
		...limits,
		shortestCycle: Math.max(limits.shortestCycle, quiet.cycle.value),
	});
	let chosen: { found: Found; dials: DialGrid } | null = null;
	for (const { dials } of searched) {
		const { best } = search(dials, problem);
		if (best !== null && (chosen === null || better(best, chosen.found, problem)))
			chosen = { found: best, dials };
	}
	if (chosen === null) return { fromSeconds, toSeconds, judged: null, schedule: null, summary: null };
	const night = judged(scenario, model, chosen.dials, chosen.found.onSeconds, chosen.found.offSeconds);
	const parts = [
		{ fromSeconds: toSeconds, schedule: day.schedule },
		{ fromSeconds, schedule: night.schedule },
	].sort((a, b) => a.fromSeconds - b.fromSeconds);
	const schedule: Daily = { kind: "daily", parts };
	return {
		fromSeconds,
		toSeconds,
		judged: night,
		schedule,
		summary: judgeSchedule(scenario, model, schedule),
	};
}

/** The classic slips at the timer. */
function slipsOf(steady: Model, problem: SearchProblem, best: Found, { schedule }: JudgedSetting): Slip[] {
	const { onSeconds: on, offSeconds: off } = schedule;
	const figures = cycleFigures(steady);
	const runs = (seconds: number) => `the fan runs for ${formatDuration(seconds)}`;
	const rests = (seconds: number) => `rests for ${formatDuration(seconds)}`;
	const slip = (kind: Slip["kind"], onSeconds: number, offSeconds: number): Slip => ({
		kind,
		onSeconds,
		offSeconds,
		peakPpm: figures(onSeconds, offSeconds).peakPpm,
		freshAirM3PerDay: problem.airPerDay(onSeconds, offSeconds),
		sign: `${runs(onSeconds)} and ${rests(offSeconds)}, not ${formatDuration(best.onSeconds)} and ${formatDuration(best.offSeconds)}`,
	});
	return [
		slip("swapped", off, on),
		slip("on ×10", on * 10, off),
		slip("on ÷10", on / 10, off),
		slip("off ×10", on, off * 10),
		slip("off ÷10", on, off / 10),
	];
}
