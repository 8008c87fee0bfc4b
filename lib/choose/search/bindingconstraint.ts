import type { Model } from "../../model/chamber.ts";
import type { DialGrid } from "../../model/schedule/timer.ts";
import type { Scenario } from "../../scenario/scenario.ts";
import { continuousState } from "../../solve/continuous.ts";
import { cycleFigures } from "../../solve/cycles/cyclestats.ts";
import { longestPauseSeconds } from "../../solve/cycles/maxofftime.ts";
import { findRoot } from "../../solve/root.ts";
import { formatDuration, formatQuantity } from "../../units/units.ts";
import type { InfeasibleChoice } from "../choosetypes.ts";
import { type CycleLimits, problemOf, SPIN_UPS_A_BURST } from "../evaluate.ts";
import { shortestBursts } from "./search.ts";

/** A fan beyond all fans [m3/s per m3 of chamber]. */
const HUGE = 1e6;

/**
 * Flow that holds the ceiling if it never stops [m3/s].
 * @returns 0 when the leak alone does; null when no flow does, for the air drawn in, or a stagnant corner, is above it
 */
export function flowNeeded(model: Model, ceilingPpm: number): number | null {
	const level = (fanM3PerS: number) =>
		continuousState({ ...model, fanM3PerS }, { kind: "continuous" }) ?? Number.POSITIVE_INFINITY;
	if (level(0) <= ceilingPpm) return 0;
	const most = HUGE * model.volumeM3;
	if (!(level(most) < ceilingPpm)) return null;
	// In the logarithm, for the flow may lie anywhere over many powers of ten.
	return Math.exp(
		findRoot((x) => level(Math.exp(x)) - ceilingPpm, Math.log(1e-12 * model.volumeM3), Math.log(most)),
	);
}

/** The binding reason why no setting holds. */
export function whyNot(
	scenario: Scenario,
	model: Model,
	limits: CycleLimits,
	grids: readonly DialGrid[],
): Pick<InfeasibleChoice, "cause" | "reason" | "bound"> {
	const { ceiling, on } = scenario.target;
	const ppm = (x: number) => `${Math.round(x)} ppm`;
	const flow = (x: number) => formatQuantity(x, "flow");
	const answer = (cause: InfeasibleChoice["cause"], reason: string, bound: InfeasibleChoice["bound"]) => ({
		cause,
		reason,
		bound,
	});

	if (model.supplyPpm >= ceiling.value)
		return answer(
			"intake air",
			`The intake air has ${ppm(model.supplyPpm)}, the ceiling is ${ppm(ceiling.value)}: no schedule can meet it. Draw in fresher air, or raise the ceiling.`,
			{ what: "CO2 of the intake air", needed: ceiling.value, available: model.supplyPpm, unit: "ppm" },
		);
	const needed = flowNeeded(model, ceiling.value);
	if (needed === null) {
		const least =
			continuousState({ ...model, fanM3PerS: HUGE * model.volumeM3 }, { kind: "continuous" }) ?? 0;
		return answer(
			"stagnant zone",
			`The stagnant corner stands at ${ppm(least)} whatever the fan moves. Stir the air, or bring the inlet to the crop.`,
			{ what: "CO2 of the stagnant zone", needed: ceiling.value, available: least, unit: "ppm" },
		);
	}
	if (needed >= model.fanM3PerS)
		return answer(
			"flow too small",
			`Even a fan that never stops would have to deliver ${flow(needed)}; this one delivers ${flow(model.fanM3PerS)}. A larger filter, a shorter duct or a stronger fan would help, or less substrate.`,
			{ what: "flow", needed: needed * 3600, available: model.fanM3PerS * 3600, unit: "m3/h" },
		);

	const seconds = grids.map((grid) => ({
		onSeconds: grid.on.map((dial) => dial.seconds),
		offSeconds: grid.off.map((dial) => dial.seconds),
	}));
	const holdsWith = (some: CycleLimits, floor: Scenario["target"]["floor"]) => {
		const problem = problemOf(model, { ...scenario, target: { ...scenario.target, floor } }, some);
		return seconds.some((grid) =>
			shortestBursts(grid, problem).some(
				(k, j) => k >= 0 && problem.accepts(grid.onSeconds[k]!, grid.offSeconds[j]!),
			),
		);
	};
	const free: CycleLimits = {
		shortestOn: 0,
		shortestOff: 0,
		longestCycle: Number.POSITIVE_INFINITY,
		shortestCycle: 0,
	};
	const { floor } = scenario.target;
	if (floor !== null && holdsWith(limits, null))
		return answer(
			"floor",
			`Settings hold the ceiling of ${ppm(ceiling.value)}, but their mean is below the floor of ${ppm(floor.value)}. A smaller flow, or a timer with finer steps, would let the band be met.`,
			{ what: "mean CO2", needed: floor.value, available: ceiling.value, unit: "ppm" },
		);
	const longestOn = Math.max(...seconds.flatMap(({ onSeconds }) => onSeconds));
	const shortestOff = Math.min(...seconds.flatMap(({ offSeconds }) => offSeconds));
	if (limits.shortestOn > longestOn)
		return answer(
			"burst shorter than the fan needs",
			`A burst must last ${formatDuration(limits.shortestOn)} here (${SPIN_UPS_A_BURST} spin-up times of the fan, or your limit), and the timer runs for ${formatDuration(longestOn)} at most.`,
			{ what: "on-time", needed: limits.shortestOn, available: longestOn, unit: "s" },
		);
	if (holdsWith(free, floor)) {
		const pause = Math.max(shortestOff, limits.shortestOff);
		return answer(
			"limits",
			`The timer could hold the ceiling, but not within the limits: bursts from ${formatDuration(limits.shortestOn)}, pauses from ${formatDuration(pause)}${Number.isFinite(limits.longestCycle) ? `, cycles up to ${formatDuration(limits.longestCycle)}` : ""}${limits.shortestCycle > 0 ? `, cycles from ${formatDuration(limits.shortestCycle)} for the life of the contact` : ""}. Loosen one of them.`,
			{
				what: "cycle",
				needed: Math.max(limits.shortestCycle, limits.shortestOn + pause),
				available: Number.isFinite(limits.longestCycle) ? limits.longestCycle : longestOn + shortestOff,
				unit: "s",
			},
		);
	}
	const pause = longestPauseSeconds(model, ceiling.value, on);
	if (pause !== null && shortestOff >= pause)
		return answer(
			"timer cannot rest so briefly",
			`No pause may be longer than ${formatDuration(pause)} here, whatever the fan, and the shortest the timer can show is ${formatDuration(shortestOff)}.`,
			{ what: "off-time", needed: pause, available: shortestOff, unit: "s" },
		);
	// The burst that the shortest pause would need, over a day if need be.
	const figures = cycleFigures(model);
	const judged = (burst: number) => {
		const { peakPpm, meanPpm } = figures(burst, shortestOff);
		return (on === "peak" ? peakPpm : meanPpm) - ceiling.value;
	};
	const burst = judged(86_400) < 0 ? findRoot(judged, longestOn, 86_400) : 86_400;
	return answer(
		"timer cannot run so long",
		`After the shortest pause of ${formatDuration(shortestOff)} the fan would have to run for ${formatDuration(burst)}, and the timer runs for ${formatDuration(longestOn)} at most.`,
		{ what: "on-time", needed: burst, available: longestOn, unit: "s" },
	);
}
