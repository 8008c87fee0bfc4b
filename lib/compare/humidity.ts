import type { Model } from "../model/chamber.ts";
import { buildHumidity, type Humidity } from "../model/humidity.ts";
import { humidityZones } from "../model/humidityzones.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import type { Timeline } from "../model/schedule/timeline.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import type { HumidityCriterion } from "../solve/criterion.ts";
import {
	accumulate,
	makeStatsAccumulator,
	type SolutionSegment,
} from "../solve/propagate/solutionsegment.ts";
import { solveSwitched } from "../solve/zones/limitcycle.ts";
import { DAY, HOUR } from "../time.ts";
import { balanceWater, type HumidityFigures, type WaterBalance } from "./water.ts";

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
	const zones = humidityZones(humidity, schedule);
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
	const { basis, fromSeconds, windowSeconds, stores, gains } = solved;
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
		windowFromSeconds: fromSeconds,
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

/** Relative humidity over time, and when the humidifier runs. */
export interface HumidityCurve {
	readonly timesSeconds: readonly number[];
	/** [%] */
	readonly percent: readonly number[];
	readonly mist: readonly { readonly startSeconds: number; readonly endSeconds: number }[];
}

/** Places of a piece of the solution at which a curve has a point. */
const POINTS_PER_PIECE = 12;

/** The humidity of a pattern, repeated over some seconds from its time 0; of one that does not repeat, its last day. */
export function sampleHumidity(
	scenario: Scenario,
	humidity: Humidity,
	schedule: Schedule | Timeline,
	seconds: number,
): HumidityCurve & { readonly windowFromSeconds: number } {
	const times: number[] = [];
	const levels: number[] = [];
	const runs: { startSeconds: number; endSeconds: number }[] = [];
	let from = Number.NaN;
	const { windowFromSeconds, windowSeconds } = solveHumidity(scenario, humidity, schedule, (piece, isOn) => {
		if (Number.isNaN(from)) from = piece.startSeconds;
		const start = piece.startSeconds - from;
		if (start > seconds) return;
		for (let k = 0; k <= POINTS_PER_PIECE; k++) {
			// Crowded after a switch.
			const t = piece.durationSeconds * (k / POINTS_PER_PIECE) ** 2;
			times.push(start + t);
			levels.push(piece.ppmAt(0, t));
		}
		if (isOn[1] !== true) return;
		const end = start + piece.durationSeconds;
		const last = runs.at(-1);
		if (last !== undefined && start - last.endSeconds < 1e-6) last.endSeconds = end;
		else runs.push({ startSeconds: start, endSeconds: end });
	});
	const turns = Math.max(1, Math.ceil(seconds / windowSeconds));
	const each = Array.from({ length: turns }, (_, turn) => turn * windowSeconds);
	return {
		windowFromSeconds,
		timesSeconds: each.flatMap((shift) => times.map((t) => t + shift)),
		percent: each.flatMap(() => levels),
		mist: each.flatMap((shift) =>
			runs.map(({ startSeconds, endSeconds }) => ({
				startSeconds: startSeconds + shift,
				endSeconds: endSeconds + shift,
			})),
		),
	};
}

/**
 * Water that the exchanged air carries out of a chamber, and the heat that goes with it.
 *
 * Where the file has `water`, or a target for humidity, the humidity follows from the balance of vapour; else the chamber stays at its given one.
 * The temperature stays at its mean. The flow of fan and leakage is taken as the chamber air that it displaces; of the fan's air only the
 * share that mixes in counts, as it does for CO2.
 *
 * @param scenario temperatures [°C], humidities [0..1] and pressure [Pa] of chamber and intake air
 * @param given its model
 * @param schedule when the fan is on
 * @returns water carried out, made and to add [g/day]; relative humidity before and after a burst [0..1]; humidity through the pattern [%]; heat [W]
 * @throws InputError for a model or schedule that makes no sense
 *
 * Source: balances of dry air and vapour (17), (19), (23); water per CO2 from the stoichiometry of glucose.
 * @example
 * const scenario = parseScenario(starterScenario());
 * waterBalance(scenario, buildModel(scenario), { kind: "off" }).moistureLossGPerDay.toFixed(1) // => "7.6"
 */
export function waterBalance(
	scenario: Scenario,
	given: Model | CompiledModel,
	schedule: Schedule,
): WaterBalance {
	const compiled = compile(given);
	const damp = buildHumidity(scenario, compiled.model);
	return balanceWater(
		scenario,
		compiled,
		schedule,
		damp === null ? null : solveHumidity(scenario, damp, schedule),
	);
}
