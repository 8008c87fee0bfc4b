import { solveHumidity } from "../compare/humidity.ts";
import type { Model } from "../model/chamber.ts";
import { buildHumidity, type Humidity } from "../model/humidity.ts";
import type { Cycle } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import { passedPpm, statisticValue, type TargetLimit } from "../solve/criterion.ts";
import type { CycleStats } from "../solve/cycles/closedform.ts";
import { cycleRates, makeCycle, makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { findRoot } from "../solve/root.ts";

/** What is asked of humidity, and how a cycle is judged by it; levels in % RH. */
export interface DampContext {
	readonly humidity: Humidity;
	readonly central: CompiledModel;
	readonly limits: readonly TargetLimit[];
	/** Whether a humidifier or cold walls ask for the solver from event to event, which the draws do not go by. */
	readonly isSolved: boolean;
	readonly stats: (cycle: Cycle) => CycleStats;
	/** Whether a cycle keeps the limits of one side. */
	readonly keeps: (cycle: Cycle, side: TargetLimit["side"]) => boolean;
}

/** Levels are found by roots [%]. */
const SAME_PERCENT = 1e-9;

/** The humidity that a target asks for; null where it asks for none. */
export function makeDamp(scenario: Scenario, model: Model): DampContext | null {
	const asked = scenario.target.humidity;
	const humidity = asked === null ? null : buildHumidity(scenario, model);
	if (asked === null || humidity === null) return null;
	const { floor, on, ceiling } = asked;
	const limit = (side: TargetLimit["side"], statistic: TargetLimit["statistic"], share: number) => ({
		side,
		statistic,
		ppm: 100 * share + (side === "floor" ? -SAME_PERCENT : SAME_PERCENT),
		isHumidity: true,
	});
	const { startPpm: _, ...air } = humidity.model;
	const central = compile(air);
	const isSolved = humidity.outputGPerS > 0 || humidity.wallPercent < 100;
	const linear = makeCycleStats(central);
	const known = new Map<string, CycleStats>();
	const limits = [
		...(floor === null ? [] : [limit("floor", on, floor.value)]),
		...(ceiling === null || ceiling.value >= 1 ? [] : [limit("ceiling", "peak", ceiling.value)]),
	];
	// The closed form is exact where nothing condenses.
	const closedForm = (cycle: Cycle) => {
		const own = humidity.outputGPerS === 0 ? linear(cycle) : null;
		return own !== null && own.peakPpm <= humidity.wallPercent ? own : null;
	};
	const stats = (cycle: Cycle) => {
		const own = closedForm(cycle);
		if (own !== null) return own;
		const key = `${cycle.onSeconds} ${cycle.offSeconds}`;
		const found = known.get(key) ?? solveCycle(scenario, humidity, cycle);
		known.set(key, found);
		return found;
	};
	const foggy = central.balance.states === 1 && !isSolved ? makeFoggyTrough(central) : null;
	return {
		humidity,
		central,
		limits,
		isSolved,
		stats,
		keeps(cycle, side) {
			const own = closedForm(cycle);
			// Fog is at 100 %, over every ceiling here; after it, no burst leaves less than it would of air without mist.
			if (own === null && foggy !== null) {
				if (side === "ceiling") return !limits.some((one) => one.side === "ceiling");
				const least = foggy(cycle);
				if (limits.every((one) => one.side !== side || least >= one.ppm)) return true;
			}
			return keepsHumidity(own ?? stats(cycle), limits, side);
		},
	};
}

/** What a burst leaves of saturated air at least, in one zone [%]. */
function makeFoggyTrough(central: CompiledModel): ((cycle: Cycle) => number) | null {
	const { spinUpTauSeconds = 0, coastDownTauSeconds = 0, intakePpm } = central.model;
	if (spinUpTauSeconds > 0 || coastDownTauSeconds > 0) return null;
	const { risePpmPerS, onPerS } = cycleRates(central);
	const goal = onPerS > 0 ? intakePpm + risePpmPerS / onPerS : 100;
	return ({ onSeconds }) => goal + (100 - goal) * Math.exp(-onPerS * onSeconds);
}

function solveCycle(scenario: Scenario, humidity: Humidity, { onSeconds, offSeconds }: Cycle): CycleStats {
	const found = solveHumidity(scenario, humidity, makeCycle(onSeconds, offSeconds));
	return { peakPpm: found.highestPercent, meanPpm: found.meanPercent, troughPpm: found.lowestPercent };
}

/** What the draws go by as well. */
export const drawnHumidity = (damp: DampContext | null): readonly TargetLimit[] =>
	damp === null || damp.isSolved ? [] : damp.limits;

/** Whether a cycle keeps the limits of one side. */
const keepsHumidity = (
	stats: CycleStats,
	limits: readonly TargetLimit[],
	side: TargetLimit["side"],
): boolean =>
	limits.every(
		(limit) =>
			limit.side !== side ||
			passedPpm(statisticValue({ ...stats, maxHourlyMeanPpm: Number.NaN }, limit.statistic), limit) <= 0,
	);

/** The first limit of humidity that a cycle misses; null where it keeps all. */
export function findHumidityFault({ stats, limits }: DampContext, cycle: Cycle) {
	const own = { ...stats(cycle), maxHourlyMeanPpm: Number.NaN };
	for (const limit of limits) {
		const valuePercent = statisticValue(own, limit.statistic);
		if (passedPpm(valuePercent, limit) > 0)
			return {
				side: limit.side,
				on: limit.statistic as "trough" | "mean" | "peak",
				limitPercent: Math.round(1e6 * limit.ppm) / 1e6,
				valuePercent,
			};
	}
	return null;
}

/** A humidifier that would do: so much for so long after each burst. */
export interface HumidifierNeeded {
	readonly outputKgPerS: number;
	readonly seconds: number;
	readonly lowestPercent: number;
	readonly meanPercent: number;
	readonly highestPercent: number;
}

/** Shares of the pause over which the mist may be given, the shortest first, and its shortest time [s]. */
const SHARES_OF_PAUSE = [0.05, 0.15, 0.4, 0.9];
const MIN_MIST_SECONDS = 2;

/** The smallest humidifier after each burst by which a cycle keeps the humidity; null where none does, for it must not fog above the ceiling. */
export function findHumidifier(
	scenario: Scenario,
	{ humidity, limits }: DampContext,
	{ onSeconds, offSeconds }: Cycle,
): HumidifierNeeded | null {
	const floor = limits.find(({ side }) => side === "floor");
	if (floor === undefined) return null;
	for (const share of SHARES_OF_PAUSE) {
		const seconds = Math.round(Math.max(MIN_MIST_SECONDS, share * offSeconds));
		const control = { kind: "after burst", seconds } as const;
		const solve = (outputGPerS: number) =>
			solveCycle(scenario, { ...humidity, outputGPerS, control }, { onSeconds, offSeconds });
		const misses = (logarithm: number) =>
			floor.ppm -
			statisticValue({ ...solve(Math.exp(logarithm)), maxHourlyMeanPpm: Number.NaN }, floor.statistic);
		// As much as would fill the air several times over.
		const most = Math.log((30 * humidity.saturationGPerM3 * humidity.model.volumeM3) / seconds);
		if (misses(most) > 0) continue;
		const outputGPerS = Math.exp(findRoot(misses, most - 14, most)) * (1 + 1e-9);
		const stats = solve(outputGPerS);
		if (keepsHumidity(stats, limits, "ceiling"))
			return {
				outputKgPerS: outputGPerS / 1000,
				seconds,
				lowestPercent: stats.troughPpm,
				meanPercent: stats.meanPpm,
				highestPercent: stats.peakPpm,
			};
	}
	return null;
}
