import type { ZoneModel } from "../../model/zones.ts";
import { DAY } from "../../time.ts";
import type { Transition } from "../propagate/linear.ts";
import { solve } from "../propagate/matrix.ts";
import { compose } from "../propagate/segmentpropagator.ts";
import {
	accumulate,
	type ConcentrationStats,
	computeStats,
	makeStatsAccumulator,
	type SolutionSegment,
	trimBefore,
} from "../propagate/solutionsegment.ts";
import { type CompiledZones, compileZones, startOfZones, type ZoneState } from "./compilezones.ts";
import { findCommonPeriod, mergeIntervals, periodicSpeeds } from "./intervals.ts";
import { findPulls, makeCombinationWalk, propagateZones, transitionOf } from "./propagatezones.ts";

/** Whether each zone gets air from outdoors, or meets a surface, at some time of a period. */
function isAired({ balance, actuators }: CompiledZones, periodSeconds: number): boolean {
	const runs = actuators.map(() => false);
	for (const { isOn } of mergeIntervals(actuators, periodSeconds, new Float64Array(actuators.length)))
		for (const [i, on] of isOn.entries()) if (on) runs[i] = true;
	const { firsts, columns, values } = balance.combine((i) => (i < 0 || runs[i] ? 1 : 0));
	const n = balance.states;
	const isReached = new Array<boolean>(n).fill(false);
	for (let round = 0; round < n; round++)
		for (let row = 0; row < n; row++) {
			let kept = 0;
			let lost = 0;
			for (let e = firsts[row]!; e < firsts[row + 1]!; e++) {
				const column = columns[e]!;
				if (column === row) lost -= values[e]!;
				else if (column < n) {
					kept += values[e]!;
					if (values[e]! > 0 && isReached[column]) isReached[row] = true;
				}
			}
			if (lost - kept > 1e-12 * lost) isReached[row] = true;
		}
	return isReached.every(Boolean);
}

/**
 * State that repeats after a period of linear zones; null where some zone gets no air. The map of a period is affine, x → M x + c, and 1 - M is
 * gathered beside M.
 */
export function solveZonePeriod(zones: CompiledZones, periodSeconds: number): ZoneState | null {
	const { balance, actuators } = zones;
	const n = balance.states;
	if (!isAired(zones, periodSeconds)) return null;
	const speeds = periodicSpeeds(actuators, periodSeconds);
	const walk = makeCombinationWalk(zones);
	let whole: Transition | null = null;
	for (const interval of mergeIntervals(actuators, periodSeconds, speeds)) {
		const next = transitionOf(zones, walk(interval), findPulls(zones, interval), interval.durationSeconds);
		whole = whole === null ? next : compose(whole, next, n);
	}
	const state = whole === null ? null : solve(whole.oneMinusMatrix, whole.input, n);
	return state === null ? null : { state, speeds };
}

/** What the zones come to. */
export interface ZoneSolution {
	/** The pattern that repeats, or the last day of a run, where none does. */
	readonly basis: "periodic" | "run";
	/** Why none repeats; null where one does. */
	readonly cause: "no air" | "incommensurate periods" | "varying source" | null;
	/** Length of what is described [s]. */
	readonly windowSeconds: number;
	/** Peak, mean and trough of each zone and sensor, by name [level]. */
	readonly levels: Readonly<Record<string, ConcentrationStats>>;
	/** Level of each at the start of the window, by name. */
	readonly start: Readonly<Record<string, number>>;
}

/**
 * Levels of CO2 or water vapour in any number of zones: of the periodic steady state, or of the last day of a run where there is none.
 *
 *     V_i dx_i/dt = Σ m s q_ji (x_j - x_i) + Σ s S + Σ K (x_s - x_i)          (18)
 *
 * @param model zones, flows, actuators and sources; air must balance in every zone
 * @param durationSeconds length of the run, where nothing repeats [s]; default 30 days
 * @param onSolution is shown each piece of the window in order
 * @returns peak, mean and trough of each zone and sensor [level: ppm, g/m3], and whether they are of a pattern that repeats
 * @throws InputError for a model that makes no sense, or whose air does not balance, with the zone and by how much; SolverError when Runge-Kutta cannot
 *   vouch for its answer
 *
 * Source: this project; uniformisation (Jensen 1953, from memory).
 * @example solveZones({ zones: [{ name: "room", volumeM3: 30 }], flows: [{ from: "outdoors", to: "room", m3PerS: 0.01 }, { from: "room", to: "outdoors", m3PerS: 0.01 }], sources: [{ zone: "room", perS: 1 }], outdoor: 420 }).levels.room.meanPpm.toFixed(3) // => "520.000"
 */
export function solveZones(
	model: ZoneModel,
	durationSeconds = 30 * DAY,
	onSolution?: (solution: SolutionSegment) => void,
): ZoneSolution {
	const zones = compileZones(model);
	const period = findCommonPeriod(zones.actuators);
	const periodic = period === null || !zones.isLinear ? null : solveZonePeriod(zones, period);
	const cause = !zones.isLinear ? "varying source" : period === null ? "incommensurate periods" : "no air";
	const windowSeconds = periodic === null ? Math.min(DAY, durationSeconds) : period!;
	const fromSeconds = periodic === null ? durationSeconds - windowSeconds : 0;
	const begin = propagateZones(zones, fromSeconds, periodic ?? startOfZones(zones));
	const names = [...model.zones, ...(model.sensors ?? [])].map(({ name }) => name);
	const seen = names.map(makeStatsAccumulator);
	propagateZones(zones, fromSeconds + windowSeconds, periodic ?? startOfZones(zones), {
		onSolution(whole) {
			const solution = trimBefore(whole, fromSeconds);
			if (solution === null) return;
			onSolution?.(solution);
			for (const [i, one] of seen.entries())
				accumulate(one, solution, i, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
		},
	});
	const named = <T>(value: (i: number) => T) => Object.fromEntries(names.map((name, i) => [name, value(i)]));
	return {
		basis: periodic === null ? "run" : "periodic",
		cause: periodic === null ? cause : null,
		windowSeconds,
		levels: named((i) => computeStats(seen[i]!)),
		start: named((i) => model.outdoor + begin.state[i]!),
	};
}
