import { type Humidity, humidityZones } from "../model/humidity.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Timeline } from "../model/schedule/timeline.ts";
import type { Scenario } from "../scenario/scenario.ts";
import type { HumidityCriterion } from "../solve/criterion.ts";
import {
	accumulate,
	makeStatsAccumulator,
	type SolutionSegment,
} from "../solve/propagate/solutionsegment.ts";
import { solveSwitched } from "../solve/zones/limitcycle.ts";
import { DAY, HOUR } from "../time.ts";

/** Relative humidity under a schedule [%], and where the water goes. */
export interface HumidityFigures {
	/** Of the pattern that repeats, or of the last day of a run where none was found. */
	readonly basis: "periodic" | "run";
	readonly windowSeconds: number;
	readonly lowestPercent: number;
	readonly meanPercent: number;
	readonly highestPercent: number;
	/** The level that a burst should not take it below: the target's floor, else the chamber's stated humidity [%]. */
	readonly referencePercent: number;
	readonly belowSecondsPerDay: number;
	/** Longest time below it without a break, so after a burst until it is back [s]; null: it never gets there. */
	readonly recoverySeconds: number | null;
	/** Lost by crop and wet surfaces, given by the humidifier, carried out by air, run off as liquid [g/day]. */
	readonly evaporatedGPerDay: number;
	readonly humidifierGPerDay: number;
	readonly carriedOutGPerDay: number;
	readonly runOffGPerDay: number;
	readonly humidifierStartsPerDay: number;
	readonly humidifierSecondsPerDay: number;
	/** Hours a day in which walls are wet, and in which the air is saturated. */
	readonly wetWallHoursPerDay: number;
	readonly fogHoursPerDay: number;
	/** What the target asks of humidity, and whether it is met; null where it asks nothing. */
	readonly criterion: HumidityCriterion | null;
}

/** Two levels as near as this are the same [%]: events are found by roots. */
const SAME_PERCENT = 1e-9;

/** Whether a humidity meets what a target asks of it; null where it asks nothing. */
export function judgeHumidity(
	target: Scenario["target"]["humidity"],
	{
		lowestPercent,
		meanPercent,
		highestPercent,
	}: Pick<HumidityFigures, "lowestPercent" | "meanPercent" | "highestPercent">,
): HumidityCriterion | null {
	if (target === null) return null;
	const { floor, on, ceiling } = target;
	const floorPercent = floor === null ? null : 100 * floor.value;
	const ceilingPercent = ceiling === null ? null : 100 * ceiling.value;
	const valuePercent = on === "trough" ? lowestPercent : meanPercent;
	return {
		floorPercent,
		on,
		ceilingPercent,
		valuePercent,
		highestPercent,
		isMet:
			valuePercent >= (floorPercent ?? 0) - SAME_PERCENT &&
			highestPercent <= (ceilingPercent ?? 100) + SAME_PERCENT,
	};
}

/** Longest time below a level without a break, over the ends of a pattern that repeats. */
function makeSpells(level: number) {
	let now = 0;
	let longest = 0;
	let first: number | null = null;
	const end = () => {
		first ??= now;
		longest = Math.max(longest, now);
		now = 0;
	};
	return {
		add(solution: SolutionSegment) {
			let from = 0;
			for (const to of [...solution.turningPoints(0), solution.durationSeconds]) {
				const seen = makeStatsAccumulator();
				const piece: SolutionSegment = {
					...solution,
					durationSeconds: to - from,
					ppmAt: (i, t) => solution.ppmAt(i, from + t),
					integralTo: () => 0,
					turningPoints: () => [],
				};
				accumulate(seen, piece, 0, Number.POSITIVE_INFINITY, level);
				const isBelowFirst = piece.ppmAt(0, 0) < level;
				const isBelowLast = piece.ppmAt(0, to - from) < level;
				if (!isBelowFirst && seen.belowSeconds > 0) end();
				now += seen.belowSeconds;
				if (!isBelowLast) end();
				from = to;
			}
		},
		/** @param wraps what stands at the end of the window goes on at its start */
		longest(wraps: boolean): number | null {
			if (first === null) return null;
			return Math.max(longest, wraps ? now + first : now);
		},
	};
}

/** The humidity that a schedule brings about: (23) with its humidifier, its fog and its walls. */
export function solveHumidity(
	scenario: Scenario,
	humidity: Humidity,
	schedule: Schedule | Timeline,
	onSolution?: (solution: SolutionSegment, isOn: readonly boolean[]) => void,
): HumidityFigures {
	const control = scenario.water?.humidifier?.control ?? null;
	const zones = humidityZones(humidity, control, schedule);
	const { saturationGPerM3, dryShare, evaporationM3PerS, heatDrivenGPerS, outputGPerS } = humidity;
	const target = scenario.target.humidity;
	const referencePercent = 100 * (target?.floor ?? scenario.chamber.humidity).value;
	const below = makeStatsAccumulator();
	const spells = makeSpells(referencePercent);
	const solved = solveSwitched(zones, (solution, isOn) => {
		accumulate(below, solution, 0, Number.POSITIVE_INFINITY, referencePercent);
		spells.add(solution);
		onSolution?.(solution, isOn);
	});
	const { basis, windowSeconds, stores, gains } = solved;
	const air = solved.levels[zones.zones[0]!.name]!;
	const perDay = DAY / windowSeconds;
	// Grams of vapour or liquid per per-cent of a zone's air; what evaporates pushes out air besides.
	const grams = (volumeM3: number) => (volumeM3 * saturationGPerM3) / 100 / dryShare;
	const stored = (of: (i: number) => number) =>
		zones.zones.reduce((sum, { volumeM3 }, i) => sum + grams(volumeM3) * of(i), 0) * perDay;
	const runOff = stored((i) => stores[i]!.gain);
	const mist = solved.actuators.humidifier ?? { onSeconds: 0, starts: 0 };
	const evaporatedGPerDay =
		DAY * (evaporationM3PerS * saturationGPerM3 * (1 - air.meanPpm / 100) + heatDrivenGPerS);
	const humidifierGPerDay = outputGPerS * mist.onSeconds * perDay;
	const hours = (pick: (store: (typeof stores)[number]) => number) =>
		(stores.reduce((most, store) => Math.max(most, pick(store)), 0) * perDay) / HOUR;
	const levels = { lowestPercent: air.troughPpm, meanPercent: air.meanPpm, highestPercent: air.peakPpm };
	return {
		basis,
		windowSeconds,
		...levels,
		referencePercent,
		belowSecondsPerDay: below.belowSeconds * perDay,
		recoverySeconds: below.belowSeconds === 0 ? 0 : spells.longest(basis === "periodic"),
		evaporatedGPerDay,
		humidifierGPerDay,
		carriedOutGPerDay:
			evaporatedGPerDay + humidifierGPerDay - runOff - stored((i) => gains[zones.zones[i]!.name]!),
		runOffGPerDay: Math.max(0, runOff),
		humidifierStartsPerDay: mist.starts * perDay,
		humidifierSecondsPerDay: mist.onSeconds * perDay,
		wetWallHoursPerDay: hours(({ wetSeconds }) => wetSeconds),
		fogHoursPerDay: hours(({ fogSeconds }) => fogSeconds),
		criterion: judgeHumidity(target, levels),
	};
}
