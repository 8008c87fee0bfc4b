import type { Model } from "../../model/chamber.ts";
import type { DisplayGrid } from "../../model/schedule/timer.ts";
import { continuousState } from "../../solve/continuous.ts";
import { listLimits, passedPpm, statisticValue } from "../../solve/criterion.ts";
import { makeCycle, makeCycleMaxHourlyMeans, makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import { findRoot } from "../../solve/root.ts";
import { DAY } from "../../time.ts";
import type { BindingConstraint, LimitName } from "../choosetypes.ts";
import { type ChoiceContext, makeSearchProblem } from "../evaluate.ts";
import { type CycleLimits, findShortestBursts } from "./search.ts";

/** A fan beyond all fans [m3/s per m3 of chamber]; the model takes a thousand air changes of a zone per second. */
const HUGE = 40;

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

/** Each limit taken away by itself. */
const RELAXED: Readonly<Record<Exclude<LimitName, "dial" | "quiet">, Partial<CycleLimits>>> = {
	burst: { minOnSeconds: 0 },
	pause: { minOffSeconds: 0 },
	cycle: { maxCycleSeconds: Number.POSITIVE_INFINITY },
	life: { minCycleSeconds: 0 },
};
const UNLIMITED: CycleLimits = {
	minOnSeconds: 0,
	minOffSeconds: 0,
	maxCycleSeconds: Number.POSITIVE_INFINITY,
	minCycleSeconds: 0,
};

/** The binding constraint where no setting meets the target: of the air, then of the timer and the limits. */
export const findBindingConstraint = (
	context: ChoiceContext,
	grids: readonly DisplayGrid[],
): BindingConstraint =>
	findAirConstraint(context.steady.model, context.target.ceilingPpm) ?? findTimerConstraint(context, grids);

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
function findTimerConstraint(context: ChoiceContext, grids: readonly DisplayGrid[]): BindingConstraint {
	const { target, limits, steady } = context;
	const seconds = grids.map((grid) => ({
		onSeconds: grid.on.map((value) => value.seconds),
		offSeconds: grid.off.map((value) => value.seconds),
	}));
	const isFeasibleWith = (some: CycleLimits, asked = target) => {
		const problem = makeSearchProblem({ ...context, limits: some, target: asked });
		return seconds.some((grid) => findShortestBursts(grid, problem).some((k) => k >= 0));
	};
	const ceilings = (target.further ?? []).filter(({ side }) => side === "ceiling");
	const withoutFloors = { ...target, floorPpm: null, further: ceilings };
	const hasFloor = target.floorPpm !== null || (target.further ?? []).length > ceilings.length;
	if (hasFloor && isFeasibleWith(limits, withoutFloors)) {
		const floorPpm = target.floorPpm ?? target.further!.find(({ side }) => side === "floor")!.ppm;
		return { code: "floor", floorPpm, ceilingPpm: target.ceilingPpm };
	}
	// Lists are ascending and may be long.
	const timerMaxOnSeconds = seconds.reduce((most, { onSeconds }) => Math.max(most, onSeconds.at(-1)!), 0);
	const timerMinOffSeconds = seconds.reduce(
		(least, { offSeconds }) => Math.min(least, offSeconds[0]!),
		Number.POSITIVE_INFINITY,
	);
	const { minOnSeconds, minCycleSeconds, maxCycleSeconds } = limits;
	if (minOnSeconds > timerMaxOnSeconds) return { code: "minimum on-time", minOnSeconds, timerMaxOnSeconds };
	if (isFeasibleWith(UNLIMITED)) {
		const alone = (Object.keys(RELAXED) as (keyof typeof RELAXED)[]).filter((name) =>
			isFeasibleWith({ ...limits, ...RELAXED[name] }),
		);
		return {
			code: "cycle limits",
			relaxable: alone,
			minOnSeconds,
			minOffSeconds: Math.max(timerMinOffSeconds, limits.minOffSeconds),
			maxCycleSeconds: Number.isFinite(maxCycleSeconds) ? maxCycleSeconds : null,
			minCycleSeconds,
		};
	}
	const longestOffSeconds = maxOffSeconds(steady, target.ceilingPpm, target.statistic);
	if (longestOffSeconds !== null && timerMinOffSeconds >= longestOffSeconds)
		return { code: "off-time range", maxOffSeconds: longestOffSeconds, timerMinOffSeconds };
	// The burst that the shortest pause would need, over a day if need be.
	const stats = makeCycleStats(steady);
	const hours = makeCycleMaxHourlyMeans(steady);
	const missedPpm = (burst: number) => {
		const cycle = makeCycle(burst, timerMinOffSeconds);
		const own = { ...stats(cycle), maxHourlyMeanPpm: hours(cycle) };
		return listLimits(withoutFloors).reduce(
			(most, limit) => Math.max(most, passedPpm(statisticValue(own, limit.statistic), limit)),
			Number.NEGATIVE_INFINITY,
		);
	};
	const requiredOnSeconds =
		missedPpm(DAY) < 0 && missedPpm(timerMaxOnSeconds) > 0
			? findRoot(missedPpm, timerMaxOnSeconds, DAY)
			: DAY;
	return { code: "on-time range", requiredOnSeconds, timerMaxOnSeconds, timerMinOffSeconds };
}
