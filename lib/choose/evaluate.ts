import { evaluateSchedule } from "../compare/compare.ts";
import { waterBalance } from "../compare/humidity.ts";
import { findUsefulBurst } from "../model/fan/usefulburst.ts";
import { contactMonths, ratedOperations } from "../model/schedule/contactlife.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { Cycle } from "../model/schedule/schedule.ts";
import type { DisplayGrid } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { CompiledModel } from "../solve/compile.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import { type CriterionTarget, listLimits, type Statistic } from "../solve/criterion.ts";
import { makeCycle, makeCyclePeaks, makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { DAY, HOUR, MONTH } from "../time.ts";
import type { EvaluatedSetting } from "./choosetypes.ts";
import type { DampContext } from "./damp.ts";
import type { CycleLimits, GridPlace, SearchProblem } from "./search/search.ts";
import { makeHourTest } from "./search/worsthourtest.ts";

/** Shortest pause [s]: common practice, no source. */
export const MIN_OFF_SECONDS = 3;

/** What every step of the search goes by. */
export interface ChoiceContext {
	readonly scenario: Scenario;
	readonly target: CriterionTarget;
	/** The full model, which judges what was found; its start belongs to a run, not to a setting. */
	readonly model: CompiledModel;
	/** The model with its highest source and intake held, by which ceilings are searched. */
	readonly steady: CompiledModel;
	/** The model with its lowest source and intake held, by which floors are searched; the same where both stay. */
	readonly lowest: CompiledModel;
	readonly limits: CycleLimits;
	/** What is asked of humidity besides; null: nothing. */
	readonly damp: DampContext | null;
	/** What the full model has judged. */
	readonly known: Map<string, EvaluatedCycle>;
}

/** A pair of times, judged by the full model. */
type EvaluatedCycle = Omit<EvaluatedSetting, "setting" | "probability">;

export function findCycleLimits(scenario: Scenario): CycleLimits {
	const { limits } = scenario;
	return {
		minOnSeconds: findUsefulBurst(scenario).seconds,
		minOffSeconds: limits.pause?.value ?? MIN_OFF_SECONDS,
		maxCycleSeconds: limits.cycle?.value ?? Number.POSITIVE_INFINITY,
		minCycleSeconds: limits.life === null ? 0 : limits.life.value / ratedOperations(scenario),
	};
}

/** The level that each statistic must not pass: of several ceilings the lowest, of several floors the highest [ppm]. */
export function levelsBySide(
	target: CriterionTarget,
	side: "ceiling" | "floor",
): ReadonlyMap<Statistic, number> {
	const levels = new Map<Statistic, number>();
	for (const { side: own, statistic, ppm } of listLimits(target)) {
		if (own !== side) continue;
		const held = levels.get(statistic) ?? ppm;
		levels.set(statistic, side === "ceiling" ? Math.min(held, ppm) : Math.max(held, ppm));
	}
	return levels;
}

/** CO2 that a source feels at most where the target is met: the ceiling of the peak, or about twice that of a mean [ppm]. */
export function highestFeltPpm(target: CriterionTarget): number {
	const ceilings = levelsBySide(target, "ceiling");
	return ceilings.get("peak") ?? 2 * Math.min(...ceilings.values());
}

/** The question that a scenario puts to each setting, judged by models whose source stays. */
export function makeSearchProblem({
	steady,
	lowest,
	target,
	limits,
	damp,
}: Pick<ChoiceContext, "steady" | "lowest" | "target" | "limits" | "damp">): SearchProblem {
	const stats = keepLast(makeCycleStats(steady));
	const peaks = keepLast(makeCyclePeaks(steady));
	const low = lowest === steady ? stats : keepLast(makeCycleStats(lowest));
	const ceilings = levelsBySide(target, "ceiling");
	const floors = levelsBySide(target, "floor");
	const peakPpm = ceilings.get("peak") ?? Number.POSITIVE_INFINITY;
	const hourPpm = ceilings.get("worst hour") ?? Number.POSITIVE_INFINITY;
	// No mean over an hour that is the highest is below the mean over all of them.
	const meanPpm = Math.min(ceilings.get("mean") ?? Number.POSITIVE_INFINITY, hourPpm);
	// More air dries, so that floors of humidity go as those of CO2; the peak of a humidifier's mist goes neither way.
	const isMoist = (cycle: Cycle) => damp === null || damp.keeps(cycle, "floor");
	const isDry = (cycle: Cycle) => damp === null || damp.keeps(cycle, "ceiling");
	const isSolved = damp?.isSolved === true;
	const hasHour = hourPpm < Number.POSITIVE_INFINITY;
	const isHourUnder = hasHour ? makeHourTest(steady, stats, hourPpm) : () => true;
	// A pause of more than an hour ends in an hour without any burst, and no burst leaves less than the intake air has.
	const longestOff = hasHour ? maxOffSeconds(steady, hourPpm, "worst hour") : null;
	const maxOff = longestOff === null ? Number.POSITIVE_INFINITY : Math.max(HOUR, longestOff) * (1 + 1e-9);
	return {
		limits,
		mayStayUnderCeilings: (cycle) =>
			cycle.offSeconds <= maxOff &&
			(peakPpm === Number.POSITIVE_INFINITY || peaks(cycle) <= peakPpm) &&
			(meanPpm === Number.POSITIVE_INFINITY || stats(cycle).meanPpm <= meanPpm) &&
			(isSolved || isDry(cycle)),
		mayStayAboveFloors: (cycle) => {
			if (floors.size === 0) return isMoist(cycle);
			const { peakPpm, meanPpm, troughPpm } = low(cycle);
			return (
				peakPpm >= (floors.get("peak") ?? 0) &&
				meanPpm >= (floors.get("mean") ?? 0) &&
				troughPpm >= (floors.get("trough") ?? 0) &&
				isMoist(cycle)
			);
		},
		meetsTarget: isSolved ? (cycle) => isHourUnder(cycle) && isDry(cycle) : isHourUnder,
		keepsSolvedHumidity: (cycle) => !isSolved || (isMoist(cycle) && isDry(cycle)),
		freshAirM3PerDay: makeFreshAir(steady),
		peakPpm: peaks,
	};
}

/** One cycle is asked for several values in a row. */
function keepLast<T>(compute: (cycle: Cycle) => T): (cycle: Cycle) => T {
	let at: Cycle = { onSeconds: Number.NaN, offSeconds: Number.NaN };
	let value: T;
	return (cycle) => {
		if (cycle.onSeconds !== at.onSeconds || cycle.offSeconds !== at.offSeconds) {
			value = compute(cycle);
			at = cycle;
		}
		return value;
	};
}

/** Fresh air per day by a cycle [m3]. */
function makeFreshAir(compiled: CompiledModel): (cycle: Cycle) => number {
	const { model } = compiled;
	return (model.spinUpTauSeconds ?? 0) === 0 && (model.coastDownTauSeconds ?? 0) === 0
		? ({ onSeconds, offSeconds }) => (model.deliveredM3PerS * DAY * onSeconds) / (onSeconds + offSeconds)
		: ({ onSeconds, offSeconds }) => meanDeliveredM3PerS(compiled, makeCycle(onSeconds, offSeconds)) * DAY;
}

/** A cycle, judged by the full model. */
export function evaluateCycle(
	{ scenario, model, known }: Pick<ChoiceContext, "scenario" | "model" | "known">,
	{ onSeconds, offSeconds }: Cycle,
): EvaluatedCycle {
	const key = `${onSeconds} ${offSeconds}`;
	const held = known.get(key);
	if (held !== undefined) return held;
	const schedule = makeCycle(onSeconds, offSeconds);
	const operationsPerMonth = MONTH / (onSeconds + offSeconds);
	const evaluated = {
		schedule,
		inWords: inWords(schedule),
		summary: evaluateSchedule(scenario, model, schedule),
		moisture: waterBalance(scenario, model, schedule),
		operationsPerMonth,
		contactMonths: contactMonths(scenario, operationsPerMonth),
	};
	known.set(key, evaluated);
	return evaluated;
}

/** A setting as keyed in, judged by the full model. */
export function evaluateSetting(
	context: Pick<ChoiceContext, "scenario" | "model" | "known">,
	grid: DisplayGrid,
	{ onIndex, offIndex }: GridPlace,
	probability: number | null = null,
): EvaluatedSetting {
	const setting = { on: grid.on[onIndex]!, off: grid.off[offIndex]! };
	const cycle = { onSeconds: setting.on.seconds, offSeconds: setting.off.seconds };
	return { setting, ...evaluateCycle(context, cycle), probability };
}
