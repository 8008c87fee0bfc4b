import type { Model } from "../../model/chamber.ts";
import type { DisplayGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { continuousState } from "../../solve/continuous.ts";
import { makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import { findRoot } from "../../solve/root.ts";
import { DAY } from "../../time.ts";
import type { BindingConstraint } from "../choosetypes.ts";
import { type CycleLimits, makeSearchProblem } from "../evaluate.ts";
import { findShortestBursts } from "./search.ts";

/** A fan beyond all fans [m3/s per m3 of chamber]. */
const HUGE = 1e6;

/**
 * Continuous flow that keeps CO2 under the ceiling [m3/s].
 * @returns 0 when leakage alone does; null when no flow does, because the intake air, or a stagnant zone, is above it
 */
export function findNeededFlow(model: Model, ceilingPpm: number): number | null {
	const level = (deliveredM3PerS: number) =>
		continuousState({ ...model, deliveredM3PerS }, { kind: "continuous" }) ?? Number.POSITIVE_INFINITY;
	if (level(0) <= ceilingPpm) return 0;
	const most = HUGE * model.volumeM3;
	if (!(level(most) < ceilingPpm)) return null;
	// In the logarithm, for the flow may lie anywhere over many powers of ten.
	return Math.exp(
		findRoot((x) => level(Math.exp(x)) - ceilingPpm, Math.log(1e-12 * model.volumeM3), Math.log(most)),
	);
}

/** No limits but those of the timer. */
const UNLIMITED: CycleLimits = {
	minOnSeconds: 0,
	minOffSeconds: 0,
	maxCycleSeconds: Number.POSITIVE_INFINITY,
	minCycleSeconds: 0,
};

/** The binding constraint where no setting meets the target: of the air, then of the timer and the limits. */
export function findBindingConstraint(
	scenario: Scenario,
	model: Model,
	limits: CycleLimits,
	grids: readonly DisplayGrid[],
): BindingConstraint {
	return (
		findAirConstraint(model, scenario.target.ceiling.value) ??
		findTimerConstraint(scenario, model, limits, grids)
	);
}

/** Why even continuous flow does not keep CO2 under the ceiling; null when it does. */
function findAirConstraint(model: Model, ceilingPpm: number): BindingConstraint | null {
	const { intakePpm, deliveredM3PerS } = model;
	if (intakePpm >= ceilingPpm) return { code: "intake air", intakePpm, ceilingPpm };
	const requiredM3PerS = findNeededFlow(model, ceilingPpm);
	if (requiredM3PerS === null) {
		const most = { ...model, deliveredM3PerS: HUGE * model.volumeM3 };
		const lowestPpm = continuousState(most, { kind: "continuous" }) ?? 0;
		return { code: "stagnant zone", lowestPpm, ceilingPpm };
	}
	return requiredM3PerS >= deliveredM3PerS
		? { code: "delivered flow", requiredM3PerS, deliveredM3PerS }
		: null;
}

/** Why no cycle meets the target although continuous flow keeps CO2 under the ceiling. */
function findTimerConstraint(
	scenario: Scenario,
	model: Model,
	limits: CycleLimits,
	grids: readonly DisplayGrid[],
): BindingConstraint {
	const { ceiling, floor, on } = scenario.target;
	const seconds = grids.map((grid) => ({
		onSeconds: grid.on.map((value) => value.seconds),
		offSeconds: grid.off.map((value) => value.seconds),
	}));
	const isFeasibleWith = (some: CycleLimits, floor: Scenario["target"]["floor"]) => {
		const problem = makeSearchProblem(model, { ...scenario, target: { ...scenario.target, floor } }, some);
		return seconds.some((grid) =>
			findShortestBursts(grid, problem).some(
				(k, j) => k >= 0 && problem.isAboveFloor(grid.onSeconds[k]!, grid.offSeconds[j]!),
			),
		);
	};
	if (floor !== null && isFeasibleWith(limits, null))
		return { code: "floor", floorPpm: floor.value, ceilingPpm: ceiling.value };
	const timerMaxOnSeconds = Math.max(...seconds.flatMap(({ onSeconds }) => onSeconds));
	const timerMinOffSeconds = Math.min(...seconds.flatMap(({ offSeconds }) => offSeconds));
	const { minOnSeconds, minCycleSeconds, maxCycleSeconds } = limits;
	if (minOnSeconds > timerMaxOnSeconds) return { code: "minimum on-time", minOnSeconds, timerMaxOnSeconds };
	if (isFeasibleWith(UNLIMITED, floor))
		return {
			code: "cycle limits",
			minOnSeconds,
			minOffSeconds: Math.max(timerMinOffSeconds, limits.minOffSeconds),
			maxCycleSeconds: Number.isFinite(maxCycleSeconds) ? maxCycleSeconds : null,
			minCycleSeconds,
		};
	const longestOffSeconds = maxOffSeconds(model, ceiling.value, on);
	if (longestOffSeconds !== null && timerMinOffSeconds >= longestOffSeconds)
		return { code: "off-time range", maxOffSeconds: longestOffSeconds, timerMinOffSeconds };
	// The burst that the shortest pause would need, over a day if need be.
	const stats = makeCycleStats(model);
	const violationPpm = (burst: number) => {
		const { peakPpm, meanPpm } = stats(burst, timerMinOffSeconds);
		return (on === "peak" ? peakPpm : meanPpm) - ceiling.value;
	};
	const requiredOnSeconds = violationPpm(DAY) < 0 ? findRoot(violationPpm, timerMaxOnSeconds, DAY) : DAY;
	return { code: "on-time range", requiredOnSeconds, timerMaxOnSeconds, timerMinOffSeconds };
}
