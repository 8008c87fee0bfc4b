import type { SwitchedZones } from "../../model/relays.ts";
import { DAY } from "../../time.ts";
import {
	accumulate,
	type ConcentrationStats,
	computeStats,
	makeStatsAccumulator,
	type SolutionSegment,
	trimBefore,
} from "../propagate/solutionsegment.ts";
import { findCommonPeriod, periodicSpeeds } from "./intervals.ts";
import { DRY, FOG } from "./liquid.ts";
import { solveZonePeriod } from "./periodiczones.ts";
import {
	type CompiledSwitched,
	compileSwitched,
	laterBy,
	type SwitchedState,
	startSwitched,
	walkSwitched,
} from "./switchedwalk.ts";

/** What zones with relays and liquid come to. */
export interface SwitchedSolution {
	/** The pattern that repeats, or the last day of a run, where none was found. */
	readonly basis: "periodic" | "run";
	/** Start of what is described, after time 0 of the schedules, and its length [s]. */
	readonly fromSeconds: number;
	readonly windowSeconds: number;
	/** Level of each zone and sensor, by name. */
	readonly levels: Readonly<Record<string, ConcentrationStats>>;
	/** What each actuator does in the window, by name: time on [s] and how often it starts. */
	readonly actuators: Readonly<Record<string, { readonly onSeconds: number; readonly starts: number }>>;
	readonly stores: readonly {
		readonly wetSeconds: number;
		readonly fogSeconds: number;
		/** What is more in the store at the end of the window than at its start, and so runs off [level]. */
		readonly gain: number;
	}[];
	/** Change of each zone over the window [level]; 0 where the pattern repeats. */
	readonly gains: Readonly<Record<string, number>>;
}

/** Periods that are tried, and by how much a state may still differ from the one before, as a share of the largest level. */
const MAX_PERIODS = 400;
/** So long, all periods together, is a pattern waited for [s]. */
const MAX_WAIT_SECONDS = 30 * DAY;
const REPEATS = 1e-12;
/** Switches by which a cycle without a clock must repeat. */
const MAX_SWITCHES = 600;
const MAX_RUN_SECONDS = 8 * DAY;

interface Cycle {
	readonly start: SwitchedState;
	readonly seconds: number;
}

const scaleOf = ({ zones }: CompiledSwitched, { state }: SwitchedState): number =>
	state.reduce((most, x) => Math.max(most, Math.abs(x)), Math.abs(zones.balance.origin));

const isSame = (compiled: CompiledSwitched, a: SwitchedState, b: SwitchedState): boolean => {
	const n = compiled.zones.balance.states;
	const near = REPEATS * scaleOf(compiled, b);
	return (
		a.state.every((x, i) => i >= n || Math.abs(x - b.state[i]!) <= near) &&
		a.relays.every(({ isOn }, i) => isOn === b.relays[i]!.isOn)
	);
};

/** A state that repeats by the clock: the map of a period is iterated, and its slowest part taken to its end at once. */
function findClockedCycle(compiled: CompiledSwitched, seconds: number): Cycle | null {
	const { zones } = compiled;
	const n = zones.balance.states;
	const guess = zones.isLinear ? solveZonePeriod(zones, seconds) : null;
	let start = startSwitched(compiled);
	start = { ...start, speeds: periodicSpeeds(zones.actuators, seconds) };
	if (guess !== null)
		start = { ...start, state: Float64Array.from(start.state, (x, i) => (i < n ? guess.state[i]! : x)) };
	for (const { zone, saturation } of compiled.stores)
		start.state[zone] = Math.min(start.state[zone]!, saturation);
	const next = (at: SwitchedState) => laterBy(walkSwitched(compiled, seconds, at), seconds);
	const most = Math.min(MAX_PERIODS, Math.max(8, MAX_WAIT_SECONDS / seconds));
	for (let periods = 0; periods < most; periods += 2) {
		const first = next(start);
		const second = next(first);
		// A store that dries comes back as it was, one that never does grows by as much each time.
		const grows = (a: SwitchedState, b: SwitchedState) =>
			b.state.map((x, i) => (i < n ? 0 : x - a.state[i]!));
		const before = grows(start, first);
		const isSteady = grows(first, second).every(
			(x, i) => Math.abs(x - before[i]!) <= 1e-9 * Math.max(1, Math.abs(x)) && x >= -1e-9,
		);
		if (isSteady && isSame(compiled, start, first) && isSame(compiled, first, second))
			return { start: first, seconds };
		let along = 0;
		let own = 0;
		for (let i = 0; i < n; i++) {
			const step = first.state[i]! - start.state[i]!;
			along += step * (second.state[i]! - first.state[i]!);
			own += step * step;
		}
		const ratio = own > 0 ? along / own : 0;
		const factor = Math.abs(ratio) < 0.9999 ? ratio / (1 - ratio) : 0;
		start = {
			...second,
			state: second.state.map((x, i) => (i < n ? x + factor * (x - first.state[i]!) : x)),
		};
		for (const { zone, saturation } of compiled.stores)
			start.state[zone] = Math.min(start.state[zone]!, saturation);
	}
	return null;
}

/** A cycle of relays alone: from one switch to another that finds the same state. */
function findRelayCycle(compiled: CompiledSwitched): Cycle | null {
	const seen: { at: number; state: SwitchedState }[] = [];
	let found: Cycle | null = null;
	walkSwitched(compiled, MAX_RUN_SECONDS, startSwitched(compiled), {
		onSwitch(relay, at, now) {
			const state = now();
			if (relay !== 0 || !state.relays[0]!.isOn) return undefined;
			const known = seen.findLast((one) => isSame(compiled, one.state, state));
			if (known !== undefined) found = { start: laterBy(state, at), seconds: at - known.at };
			seen.push({ at, state });
			return found !== null || seen.length > MAX_SWITCHES ? "stop" : undefined;
		},
	});
	return found;
}

/**
 * Zones whose switches look at levels and whose vapour condenses: the pattern that repeats, or the last day of a run where none is found.
 * @param model zones, flows, sources, relays and stores; air must balance in every zone
 * @param onSolution is shown each piece of the window in order, with what is on and the mode of each store
 * @throws InputError for a model that makes no sense or whose air does not balance
 */
export function solveSwitched(
	model: SwitchedZones,
	onSolution?: (solution: SolutionSegment, isOn: readonly boolean[]) => void,
	runSeconds = 3 * DAY,
): SwitchedSolution {
	const compiled = compileSwitched(model);
	const { zones, relays, stores } = compiled;
	const n = zones.balance.states;
	const clocked = zones.actuators.filter((_, i) => relays.every(({ drives }) => drives !== i));
	const isAutonomous =
		relays.length > 0 && clocked.every(({ timeline }) => timeline.repeatSeconds === Number.POSITIVE_INFINITY);
	const period = isAutonomous ? null : findCommonPeriod(clocked);
	const cycle = isAutonomous
		? findRelayCycle(compiled)
		: period === null
			? null
			: findClockedCycle(compiled, period);
	const windowSeconds = cycle?.seconds ?? Math.min(DAY, runSeconds);
	const fromSeconds = cycle === null ? runSeconds - windowSeconds : 0;
	const seen = Array.from({ length: n }, makeStatsAccumulator);
	const use = zones.actuators.map(() => ({ onSeconds: 0, starts: 0 }));
	const liquid = stores.map(() => ({ wetSeconds: 0, fogSeconds: 0 }));
	let before: readonly boolean[] | null = null;
	let first: readonly boolean[] | null = null;
	const start = cycle?.start ?? startSwitched(compiled);
	const begin = walkSwitched(compiled, fromSeconds, start);
	const end = walkSwitched(compiled, fromSeconds + windowSeconds, start, {
		onSolution(whole, isOn, modes) {
			const solution = trimBefore(whole, fromSeconds);
			if (solution === null) return;
			const { durationSeconds } = solution;
			onSolution?.(solution, isOn);
			for (const [i, one] of seen.entries())
				accumulate(one, solution, i, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
			for (const [i, one] of use.entries()) {
				if (!isOn[i]) continue;
				one.onSeconds += durationSeconds;
				if (before?.[i] === false || (before === null && cycle !== null)) one.starts++;
			}
			for (const [i, one] of liquid.entries()) {
				if (modes[i] !== DRY) one.wetSeconds += durationSeconds;
				if (modes[i] === FOG) one.fogSeconds += durationSeconds;
			}
			before = [...isOn];
			first ??= before;
		},
	});
	// What is on at both ends of a pattern that repeats does not start there.
	for (const [i, one] of use.entries()) if (cycle !== null && first?.[i] && before?.[i]) one.starts--;
	const names = [...model.zones, ...(model.sensors ?? [])].map(({ name }) => name);
	const named = <T>(value: (i: number) => T) => Object.fromEntries(names.map((name, i) => [name, value(i)]));
	return {
		basis: cycle === null ? "run" : "periodic",
		fromSeconds,
		windowSeconds,
		levels: named((i) => computeStats(seen[i]!)),
		actuators: Object.fromEntries(zones.actuators.map(({ name }, i) => [name, use[i]!])),
		stores: liquid.map((one, i) => ({ ...one, gain: end.state[n + i]! - begin.state[n + i]! })),
		gains: named((i) => end.state[i]! - begin.state[i]!),
	};
}
