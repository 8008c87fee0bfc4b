import { evaluateSchedule } from "../compare/compare.ts";
import { moistureLoss } from "../compare/moistureloss.ts";
import type { Model } from "../model/chamber.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { DisplayGrid } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import { meanDeliveredM3PerS } from "../solve/continuous.ts";
import {
	makeCycle,
	makeCycleMaxHourlyMeans,
	makeCyclePeaks,
	makeCycleStats,
} from "../solve/cycles/cyclestats.ts";
import { CONTACT_OPERATIONS } from "../sources/timers.ts";
import { DAY, MONTH } from "../time.ts";
import type { EvaluatedSetting } from "./choosetypes.ts";
import type { GridPlace, SearchProblem } from "./search/search.ts";

/** Shortest burst that is worth its switch, and shortest pause [s]: common practice, no source. */
export const MIN_ON_SECONDS = 3;
export const MIN_OFF_SECONDS = 3;
/** A burst lasts at least so many time constants of the spin-up: judgement. */
export const MIN_SPIN_UPS_PER_BURST = 5;
/** Operations that the contact of a common small relay stands. */
export const DEFAULT_OPERATIONS = CONTACT_OPERATIONS.value;

/** Limits on burst, pause and cycle [s]. */
export interface CycleLimits {
	readonly minOnSeconds: number;
	readonly minOffSeconds: number;
	readonly maxCycleSeconds: number;
	/** From the life that the contact is to have. */
	readonly minCycleSeconds: number;
}

/** What every step of the search goes by. */
export interface ChoiceContext {
	readonly scenario: Scenario;
	/** The full model, which judges what was found. */
	readonly model: CompiledModel;
	/** The model with its highest source held, by which settings are searched. */
	readonly steady: CompiledModel;
	readonly limits: CycleLimits;
}

export function findCycleLimits({ limits, fan, timer }: Scenario): CycleLimits {
	const operations = timer?.ratedOperations?.value ?? DEFAULT_OPERATIONS;
	return {
		minOnSeconds: limits.burst?.value ?? Math.max(MIN_ON_SECONDS, MIN_SPIN_UPS_PER_BURST * fan.spinUp.value),
		minOffSeconds: limits.pause?.value ?? MIN_OFF_SECONDS,
		maxCycleSeconds: limits.cycle?.value ?? Number.POSITIVE_INFINITY,
		minCycleSeconds: limits.life === null ? 0 : limits.life.value / operations,
	};
}

/** The question that a scenario puts to each setting, judged by a model whose source stays. */
export function makeSearchProblem(
	model: Model | CompiledModel,
	{ target }: Scenario,
	limits: CycleLimits,
): SearchProblem {
	const compiled = compile(model);
	const stats = makeCycleStats(compiled);
	const peaks = makeCyclePeaks(compiled);
	const hours = makeCycleMaxHourlyMeans(compiled);
	const { on, ceiling, floor } = target;
	const slack = 1e-9;
	return {
		isWithinLimits: (a, b) =>
			a >= limits.minOnSeconds - slack &&
			b >= limits.minOffSeconds - slack &&
			a + b <= limits.maxCycleSeconds + slack &&
			a + b >= limits.minCycleSeconds - slack,
		...(on === "worst hour"
			? {
					mayBeUnderCeiling: (a: number, b: number) => stats(a, b).meanPpm <= ceiling.value,
					isUnderCeiling: (a: number, b: number) =>
						peaks(a, b) <= ceiling.value || hours(a, b) <= ceiling.value,
				}
			: {
					isUnderCeiling: (a: number, b: number) =>
						(on === "mean" ? stats(a, b).meanPpm : peaks(a, b)) <= ceiling.value,
				}),
		isAboveFloor: (a, b) => floor === null || stats(a, b).meanPpm >= floor.value,
		freshAirM3PerDay: freshAirM3PerDay(compiled),
		peakPpm: peaks,
	};
}

/** Fresh air a day by a cycle [m3]. */
export function freshAirM3PerDay(given: Model | CompiledModel): (on: number, off: number) => number {
	const compiled = compile(given);
	const { model } = compiled;
	const instant = (model.spinUpTauSeconds ?? 0) === 0 && (model.coastDownTauSeconds ?? 0) === 0;
	return instant
		? (on, off) => (model.deliveredM3PerS * DAY * on) / (on + off)
		: (on, off) => meanDeliveredM3PerS(compiled, makeCycle(on, off)) * DAY;
}

/** A setting as keyed in, judged by the full model. */
export function evaluateSetting(
	{ scenario, model }: Pick<ChoiceContext, "scenario" | "model">,
	grid: DisplayGrid,
	{ onIndex, offIndex }: GridPlace,
): EvaluatedSetting {
	const setting = { on: grid.on[onIndex]!, off: grid.off[offIndex]! };
	const schedule = makeCycle(setting.on.seconds, setting.off.seconds);
	const operations = scenario.timer?.ratedOperations?.value ?? DEFAULT_OPERATIONS;
	const operationsPerMonth = MONTH / (schedule.onSeconds + schedule.offSeconds);
	return {
		setting,
		schedule,
		inWords: inWords(schedule),
		summary: evaluateSchedule(scenario, model, schedule),
		moisture: moistureLoss(scenario, model, schedule),
		operationsPerMonth,
		contactMonths: operations / operationsPerMonth,
	};
}
