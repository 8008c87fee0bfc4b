import type { Model } from "../../model/chamber.ts";
import type { DisplayGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { continuousState } from "../../solve/continuous.ts";
import { makeCycleStats } from "../../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../../solve/cycles/maxofftime.ts";
import { findRoot } from "../../solve/root.ts";
import { formatDuration, formatQuantity } from "../../units/format.ts";
import type { InfeasibleChoice } from "../choosetypes.ts";
import { type CycleLimits, MIN_SPIN_UPS_PER_BURST, makeSearchProblem } from "../evaluate.ts";
import { findShortestBursts } from "./search.ts";

/** A fan beyond all fans [m3/s per m3 of chamber]. */
const HUGE = 1e6;

/**
 * Flow that holds the ceiling if it never stops [m3/s].
 * @returns 0 when the leak alone does; null when no flow does, for the air drawn in, or a stagnant corner, is above it
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

/** The binding reason why no setting holds. */
export function findBindingConstraint(
	scenario: Scenario,
	model: Model,
	limits: CycleLimits,
	grids: readonly DisplayGrid[],
): Pick<InfeasibleChoice, "bindingConstraint" | "reason" | "constraint"> {
	const { ceiling, on } = scenario.target;
	const ppm = (x: number) => `${Math.round(x)} ppm`;
	const flow = (x: number) => formatQuantity(x, "flow");
	const answer = (
		bindingConstraint: InfeasibleChoice["bindingConstraint"],
		reason: string,
		constraint: InfeasibleChoice["constraint"],
	) => ({
		bindingConstraint,
		reason,
		constraint,
	});

	if (model.intakePpm >= ceiling.value)
		return answer(
			"intake air",
			`The intake air has ${ppm(model.intakePpm)}, the ceiling is ${ppm(ceiling.value)}: no schedule can meet it. Draw in fresher air, or raise the ceiling.`,
			{ quantity: "CO2 of the intake air", required: ceiling.value, available: model.intakePpm, unit: "ppm" },
		);
	const needed = findNeededFlow(model, ceiling.value);
	if (needed === null) {
		const least =
			continuousState({ ...model, deliveredM3PerS: HUGE * model.volumeM3 }, { kind: "continuous" }) ?? 0;
		return answer(
			"stagnant zone",
			`The stagnant corner stands at ${ppm(least)} whatever the fan moves. Stir the air, or bring the inlet to the crop.`,
			{ quantity: "CO2 of the stagnant zone", required: ceiling.value, available: least, unit: "ppm" },
		);
	}
	if (needed >= model.deliveredM3PerS)
		return answer(
			"delivered flow",
			`Even a fan that never stops would have to deliver ${flow(needed)}; this one delivers ${flow(model.deliveredM3PerS)}. A larger filter, a shorter duct or a stronger fan would help, or less substrate.`,
			{ quantity: "flow", required: needed * 3600, available: model.deliveredM3PerS * 3600, unit: "m3/h" },
		);

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
	const free: CycleLimits = {
		minOnSeconds: 0,
		minOffSeconds: 0,
		maxCycleSeconds: Number.POSITIVE_INFINITY,
		minCycleSeconds: 0,
	};
	const { floor } = scenario.target;
	if (floor !== null && isFeasibleWith(limits, null))
		return answer(
			"floor",
			`Settings hold the ceiling of ${ppm(ceiling.value)}, but their mean is below the floor of ${ppm(floor.value)}. A smaller flow, or a timer with finer steps, would let the band be met.`,
			{ quantity: "mean CO2", required: floor.value, available: ceiling.value, unit: "ppm" },
		);
	const maxOnSeconds = Math.max(...seconds.flatMap(({ onSeconds }) => onSeconds));
	const minOffSeconds = Math.min(...seconds.flatMap(({ offSeconds }) => offSeconds));
	if (limits.minOnSeconds > maxOnSeconds)
		return answer(
			"minimum on-time",
			`A burst must last ${formatDuration(limits.minOnSeconds)} here (${MIN_SPIN_UPS_PER_BURST} spin-up times of the fan, or your limit), and the timer runs for ${formatDuration(maxOnSeconds)} at most.`,
			{ quantity: "on-time", required: limits.minOnSeconds, available: maxOnSeconds, unit: "s" },
		);
	if (isFeasibleWith(free, floor)) {
		const pause = Math.max(minOffSeconds, limits.minOffSeconds);
		return answer(
			"cycle limits",
			`The timer could hold the ceiling, but not within the limits: bursts from ${formatDuration(limits.minOnSeconds)}, pauses from ${formatDuration(pause)}${Number.isFinite(limits.maxCycleSeconds) ? `, cycles up to ${formatDuration(limits.maxCycleSeconds)}` : ""}${limits.minCycleSeconds > 0 ? `, cycles from ${formatDuration(limits.minCycleSeconds)} for the life of the contact` : ""}. Loosen one of them.`,
			{
				quantity: "cycle",
				required: Math.max(limits.minCycleSeconds, limits.minOnSeconds + pause),
				available: Number.isFinite(limits.maxCycleSeconds)
					? limits.maxCycleSeconds
					: maxOnSeconds + minOffSeconds,
				unit: "s",
			},
		);
	}
	const pause = maxOffSeconds(model, ceiling.value, on);
	if (pause !== null && minOffSeconds >= pause)
		return answer(
			"off-time range",
			`No pause may be longer than ${formatDuration(pause)} here, whatever the fan, and the shortest the timer can show is ${formatDuration(minOffSeconds)}.`,
			{ quantity: "off-time", required: pause, available: minOffSeconds, unit: "s" },
		);
	// The burst that the shortest pause would need, over a day if need be.
	const stats = makeCycleStats(model);
	const violationPpm = (burst: number) => {
		const { peakPpm, meanPpm } = stats(burst, minOffSeconds);
		return (on === "peak" ? peakPpm : meanPpm) - ceiling.value;
	};
	const burst = violationPpm(86_400) < 0 ? findRoot(violationPpm, maxOnSeconds, 86_400) : 86_400;
	return answer(
		"on-time range",
		`After the shortest pause of ${formatDuration(minOffSeconds)} the fan would have to run for ${formatDuration(burst)}, and the timer runs for ${formatDuration(maxOnSeconds)} at most.`,
		{ quantity: "on-time", required: burst, available: maxOnSeconds, unit: "s" },
	);
}
