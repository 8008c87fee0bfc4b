import { judgeSchedule } from "../compare/compare.ts";
import { moistureCost } from "../compare/moistureloss.ts";
import type { Model } from "../model/chamber.ts";
import { inWords } from "../model/schedule/inwords.ts";
import type { Dial, DialGrid } from "../model/schedule/timer.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { meanFanM3PerS } from "../solve/continuous.ts";
import { cycleFigures, cycleOf, cyclePeaks, cycleWorstHourPpm } from "../solve/cycles/cyclestats.ts";
import { CONTACT_OPERATIONS } from "../sources/timers.ts";
import type { JudgedSetting } from "./choosetypes.ts";
import type { SearchProblem } from "./search/search.ts";

/** Shortest burst that is worth its switch, and shortest pause [s]: common practice, no source. */
export const SHORTEST_BURST_SECONDS = 3;
export const SHORTEST_PAUSE_SECONDS = 3;
/** A burst lasts at least so many time constants of the spin-up: judgement. */
export const SPIN_UPS_A_BURST = 5;
/** Operations that the contact of a common small relay stands. */
export const USUAL_OPERATIONS = CONTACT_OPERATIONS.value;
/** [s] */
export const MONTH = 30.44 * 86_400;

/** Limits on burst, pause and cycle [s]. */
export interface CycleLimits {
	readonly shortestOn: number;
	readonly shortestOff: number;
	readonly longestCycle: number;
	/** From the life that the contact is to have. */
	readonly shortestCycle: number;
}

export function cycleLimits({ limits, fan, timer }: Scenario): CycleLimits {
	const operations = timer?.operations?.value ?? USUAL_OPERATIONS;
	return {
		shortestOn: limits.burst?.value ?? Math.max(SHORTEST_BURST_SECONDS, SPIN_UPS_A_BURST * fan.spinUp.value),
		shortestOff: limits.pause?.value ?? SHORTEST_PAUSE_SECONDS,
		longestCycle: limits.cycle?.value ?? Number.POSITIVE_INFINITY,
		shortestCycle: limits.life === null ? 0 : limits.life.value / operations,
	};
}

/** The question that a scenario puts to each setting, judged by a model whose source stays. */
export function problemOf(model: Model, { target }: Scenario, limits: CycleLimits): SearchProblem {
	const figures = cycleFigures(model);
	const peaks = cyclePeaks(model);
	const { on, ceiling, floor } = target;
	const slack = 1e-9;
	return {
		allowed: (a, b) =>
			a >= limits.shortestOn - slack &&
			b >= limits.shortestOff - slack &&
			a + b <= limits.longestCycle + slack &&
			a + b >= limits.shortestCycle - slack,
		...(on === "worst hour"
			? {
					mayHold: (a: number, b: number) => figures(a, b).meanPpm <= ceiling.value,
					holds: (a: number, b: number) =>
						peaks(a, b) <= ceiling.value || cycleWorstHourPpm(model, a, b) <= ceiling.value,
				}
			: {
					holds: (a: number, b: number) =>
						(on === "mean" ? figures(a, b).meanPpm : peaks(a, b)) <= ceiling.value,
				}),
		accepts: (a, b) => floor === null || figures(a, b).meanPpm >= floor.value,
		airPerDay: airPerDay(model),
		peakPpm: peaks,
	};
}

/** Fresh air a day by a cycle [m3]. */
export function airPerDay(model: Model): (on: number, off: number) => number {
	const instant = (model.spinUpSeconds ?? 0) === 0 && (model.coastDownSeconds ?? 0) === 0;
	return instant
		? (on, off) => (model.fanM3PerS * 86_400 * on) / (on + off)
		: (on, off) => meanFanM3PerS(model, cycleOf(on, off)) * 86_400;
}

/** A setting as keyed in, judged by the full model. */
export function judgedSetting(
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
