import type { Relay, SwitchedZones } from "../../model/relays.ts";
import type { SolutionSegment } from "../propagate/solutionsegment.ts";
import { findRoot } from "../root.ts";
import { type CompiledZones, compileZones, startOfZones } from "./compilezones.ts";
import { mergeIntervals } from "./intervals.ts";
import { DRY, FOG, makeStoreStates, type StoreState, WET, withLiquid } from "./liquid.ts";
import type { SparseMatrix } from "./operator.ts";
import { makeZoneSegment, splitInterval } from "./propagatezones.ts";
import { makeZoneStep, makeZoneSystem, type Pull, type ZoneStep, type ZoneSystem } from "./series.ts";

/** A relay with the places of what it looks at and drives; levels count from the origin. */
interface CompiledRelay extends Relay {
	readonly state: number;
	readonly drives: number;
	/** 1 where it takes down what rises, -1 where it keeps up what falls. */
	readonly sign: number;
}

export interface CompiledSwitched {
	readonly zones: CompiledZones;
	readonly relays: readonly CompiledRelay[];
	readonly stores: readonly StoreState[];
	systemOf(isOn: readonly boolean[], modes: ArrayLike<number>): ZoneSystem;
	pullOf(actuator: number, modes: ArrayLike<number>): SparseMatrix;
}

/** @throws InputError for a model that makes no sense or whose air does not balance */
export function compileSwitched(model: SwitchedZones): CompiledSwitched {
	const { relays = [], stores = [], sensors = [], actuators = [] } = model;
	const zones = compileZones(model);
	const { origin } = zones.balance;
	const names = [...model.zones, ...sensors].map(({ name }) => name);
	const states = makeStoreStates(model, stores, origin);
	const systems = new Map<string, ZoneSystem>();
	const pulls = new Map<string, SparseMatrix>();
	const keep = <T>(known: Map<string, T>, key: string, make: () => T): T => {
		const found = known.get(key) ?? make();
		known.set(key, found);
		return found;
	};
	return {
		zones,
		stores: states,
		relays: relays.map((relay) => ({
			...relay,
			on: relay.on - origin,
			off: relay.off === null ? null : relay.off - origin,
			sign: relay.off !== null && relay.off > relay.on ? -1 : 1,
			state: names.indexOf(relay.of),
			drives: actuators.findIndex(({ name }) => name === relay.actuator),
		})),
		systemOf: (isOn, modes) =>
			keep(systems, `${isOn.map(Number).join("")}:${Array.from(modes).join("")}`, () =>
				makeZoneSystem(withLiquid(zones.combine(isOn).matrix, states, modes, true)),
			),
		pullOf: (actuator, modes) =>
			keep(pulls, `${actuator}:${Array.from(modes).join("")}`, () =>
				withLiquid(zones.matrixOf(actuator), states, modes, false),
			),
	};
}

/** Where a relay stands. */
interface RelayState {
	isOn: boolean;
	/** When it switched last, and when a switch that is on its way comes; NaN: none. */
	since: number;
	due: number;
	/** When it looks next, where it does so from time to time. */
	looks: number;
}

/** Where a run stands: levels above the origin with the liquid of each store after them, speeds, modes, relays. */
export interface SwitchedState {
	readonly state: Float64Array;
	readonly speeds: Float64Array;
	readonly modes: Uint8Array;
	readonly relays: readonly RelayState[];
}

/** Every zone at its start, surfaces dry, nothing switched on by a relay. */
export function startSwitched({ zones, stores, relays }: CompiledSwitched, level?: number): SwitchedState {
	const { state, speeds } = startOfZones(zones, level);
	for (const { zone, saturation } of stores) state[zone] = Math.min(state[zone]!, saturation);
	return {
		state: Float64Array.from([...state, ...stores.map(() => 0)]),
		speeds: Float64Array.from(speeds),
		modes: new Uint8Array(stores.length),
		relays: relays.map(() => ({ isOn: false, since: Number.NEGATIVE_INFINITY, due: Number.NaN, looks: 0 })),
	};
}

/** The same state, seen from a time that is `seconds` later. */
export const laterBy = (at: SwitchedState, seconds: number): SwitchedState => ({
	...at,
	relays: at.relays.map((one) => ({
		...one,
		since: one.since - seconds,
		due: one.due - seconds,
		looks: one.looks - seconds,
	})),
});

export interface SwitchedObserver {
	/** "stop" ends the walk. */
	readonly onSolution?: (
		solution: SolutionSegment,
		isOn: readonly boolean[],
		modes: ArrayLike<number>,
	) => unknown;
	/** A relay has switched; "stop" ends the walk. */
	readonly onSwitch?: (relay: number, seconds: number, now: () => SwitchedState) => unknown;
}

/** Two moments so near to each other are one [s]. */
const SAME_SECONDS = 1e-9;
/** Places of a step in which a slope is looked at. */
const LOOKS = 8;

/** First time of a step at which g, above 0 before, is so no longer; pieces between `turns` are monotone. */
function firstCrossing(g: (t: number) => number, turns: readonly number[], until: number): number | null {
	let [from, before] = [0, g(0)];
	for (const to of [...turns, until]) {
		if (to > until) break;
		const now = g(to);
		if (before > 0 && now <= 0) return findRoot(g, from, to);
		[from, before] = [to, now];
	}
	return null;
}

/**
 * Walks zones whose switches look at levels, and whose vapour condenses, from time 0: exact laws between events, events by roots.
 * A relay looks at whether its level is passed, never for a crossing alone: a slow sensor still rises after its fan was switched on.
 * @returns where the run stands at its end, with times as they are in the run
 */
export function walkSwitched(
	compiled: CompiledSwitched,
	untilSeconds: number,
	start: SwitchedState,
	{ onSolution, onSwitch }: SwitchedObserver = {},
): SwitchedState {
	const { zones, relays, systemOf, pullOf } = compiled;
	const { balance, actuators } = zones;
	const n = balance.states;
	const state = Float64Array.from(start.state);
	const modes = Uint8Array.from(start.modes);
	const speeds = Float64Array.from(start.speeds);
	const at = start.relays.map((one) => ({ ...one }));
	const originOf = (i: number) => (i < n ? balance.origin : 0);
	const driven = new Map(relays.map(({ drives }, i) => [drives, i]));
	const now = (): SwitchedState => ({
		state: state.slice(),
		speeds: speeds.slice(),
		modes: modes.slice(),
		relays: at.map((one) => ({ ...one })),
	});
	const tauOf = (i: number, isOn: boolean) =>
		(isOn ? actuators[i]!.spinUpTauSeconds : actuators[i]!.coastDownTauSeconds) ?? 0;
	const slopeAt = (row: number, { matrix }: ZoneSystem, pulls: readonly Pull[]) => {
		const rowOf = ({ firsts, columns, values }: SparseMatrix) => {
			let sum = 0;
			for (let e = firsts[row]!; e < firsts[row + 1]!; e++)
				sum += values[e]! * (columns[e] === state.length ? 1 : state[columns[e]!]!);
			return sum;
		};
		return pulls.reduce((sum, pull) => sum + pull.away * rowOf(pull.matrix), rowOf(matrix));
	};
	const flip = (i: number, t: number): boolean => {
		const one = at[i]!;
		one.isOn = !one.isOn;
		one.since = t;
		one.due = Number.NaN;
		return onSwitch?.(i, t, now) === "stop";
	};
	/** Whether the level of a relay asks for a switch; 0 and below: it does. */
	const asks = (i: number, level: number): number => {
		const { sign, on, off } = relays[i]!;
		if (!at[i]!.isOn) return -sign * (level - on);
		return off === null ? 0 : sign * (level - off);
	};
	const allowedFrom = (i: number) =>
		at[i]!.since + ((at[i]!.isOn ? relays[i]!.shortestOnSeconds : relays[i]!.shortestOffSeconds) ?? 0);
	const switchOrWait = (i: number, t: number): boolean => {
		const delay = relays[i]!.delaySeconds ?? 0;
		if (delay === 0) return flip(i, t);
		at[i]!.due = t + delay;
		return false;
	};

	for (const interval of mergeIntervals(actuators, untilSeconds, start.speeds)) {
		const end = interval.startSeconds + interval.durationSeconds;
		for (const [i] of actuators.entries()) if (!driven.has(i)) speeds[i] = interval.speeds[i]!;
		for (let t = interval.startSeconds; t < end - SAME_SECONDS; ) {
			// What has become due, and what a relay that may switch sees.
			for (let i = 0; i < relays.length; i++) {
				const one = at[i]!;
				const every = relays[i]!.everySeconds ?? 0;
				const looksNow = every === 0 || t >= one.looks - SAME_SECONDS;
				if (every > 0 && looksNow) one.looks = t + every;
				if (one.due <= t + SAME_SECONDS) {
					if (flip(i, t)) return now();
				} else if (
					Number.isNaN(one.due) &&
					looksNow &&
					t >= allowedFrom(i) - SAME_SECONDS &&
					asks(i, state[relays[i]!.state]!) <= 0 &&
					switchOrWait(i, t)
				)
					return now();
			}
			const isOn = interval.isOn.map((on, i) => (driven.has(i) ? at[driven.get(i)!]!.isOn : on));
			const pullsNow = (): Pull[] =>
				zones.areInstant
					? []
					: actuators.flatMap((_, i) => {
							const away = speeds[i]! - (isOn[i] ? 1 : 0);
							const tauSeconds = tauOf(i, isOn[i]!);
							return tauSeconds > 0 && Math.abs(away) > 1e-17
								? [{ actuator: i, matrix: pullOf(i, modes), away, tauSeconds }]
								: [];
						});
			settleModes(compiled, state, modes, (row) => slopeAt(row, systemOf(isOn, modes), pullsNow()));
			// The next thing that the clock alone brings.
			let until = end;
			for (const [i, one] of at.entries()) {
				const every = relays[i]!.everySeconds ?? 0;
				for (const moment of [one.due, every > 0 ? one.looks : allowedFrom(i)])
					if (moment > t + SAME_SECONDS && moment < until) until = moment;
			}
			const { system, pulls, h } = splitInterval(systemOf(isOn, modes), pullsNow(), until - t).next().value!;
			const step = makeZoneStep(system, pulls, state, h);
			let first = h;
			let happens: (() => boolean) | null = null;
			const watch = (g: (s: number) => number, turns: readonly number[], event: () => boolean) => {
				const found = firstCrossing(g, turns, first);
				if (found !== null) [first, happens] = [found, event];
			};
			for (let i = 0; i < relays.length; i++) {
				const { state: row, everySeconds = 0 } = relays[i]!;
				if (everySeconds > 0 || !Number.isNaN(at[i]!.due) || t < allowedFrom(i) - SAME_SECONDS) continue;
				if (at[i]!.isOn && relays[i]!.off === null) continue;
				watch(
					(s) => asks(i, step.at(row, s)),
					step.turningPoints(row),
					() => switchOrWait(i, t),
				);
			}
			watchStores(compiled, step, state, modes, pulls.length > 0 || n > 1, watch);
			onSolution?.(makeZoneSegment(step, originOf, t, first, isOn[0] ?? false), isOn, modes);
			for (let i = 0; i < state.length; i++) state[i] = step.at(i, first);
			for (const [i] of actuators.entries()) {
				const tau = tauOf(i, isOn[i]!);
				const goal = isOn[i] ? 1 : 0;
				speeds[i] = tau > 0 ? goal + (speeds[i]! - goal) * Math.exp(-first / tau) : goal;
			}
			t += first;
			const stop = (happens as (() => boolean) | null)?.();
			if (stop === true) return now();
		}
	}
	return now();
}

/** Puts each store into the mode that its zone asks for. */
function settleModes(
	{ stores, zones }: CompiledSwitched,
	state: Float64Array,
	modes: Uint8Array,
	slopeOf: (row: number) => number,
): void {
	const n = zones.balance.states;
	for (const [i, { zone, surface, saturation, perS }] of stores.entries()) {
		const level = state[zone]!;
		const isWetted = state[n + i]! > 0;
		if (level >= saturation) {
			// As if the air could hold more: does it go on rising?
			modes[i] = perS > 0 && (isWetted || surface < saturation) ? WET : DRY;
			if (slopeOf(zone) > 0) {
				modes[i] = FOG;
				state[zone] = saturation;
				continue;
			}
		}
		modes[i] = DRY;
		if (perS > 0 && (isWetted || level > surface || (level === surface && slopeOf(zone) > 0))) modes[i] = WET;
	}
}

/** So little vapour turns to liquid where fog ends, that its end is not its beginning [g/m3]. */
const NUDGE = 1e-12;

/** The events of the stores: saturation, a surface that gets wet or dry, fog that ends. */
function watchStores(
	{ stores, zones }: CompiledSwitched,
	step: ZoneStep,
	state: Float64Array,
	modes: ArrayLike<number>,
	canTurn: boolean,
	watch: (g: (s: number) => number, turns: readonly number[], event: () => boolean) => void,
): void {
	const n = zones.balance.states;
	const looks = Array.from({ length: LOOKS - 1 }, (_, k) => ((k + 1) * step.seconds) / LOOKS);
	for (const [i, { zone, surface, saturation, perS }] of stores.entries()) {
		const put = (place: number, level: number) => () => {
			state[place] = level;
			return false;
		};
		if (modes[i] === FOG) {
			if (!canTurn) continue;
			const excess = (s: number) => step.slope(n + i, s) - perS * (saturation - surface);
			watch(excess, looks, () => {
				state[n + i]! += NUDGE;
				return put(zone, saturation - NUDGE)();
			});
			continue;
		}
		const turns = step.turningPoints(zone);
		watch((s) => saturation - step.at(zone, s), turns, put(zone, saturation));
		if (modes[i] === DRY && perS > 0 && surface < saturation)
			watch((s) => surface - step.at(zone, s), turns, put(zone, surface));
		if (modes[i] === WET) watch((s) => step.at(n + i, s), step.turningPoints(n + i), put(n + i, 0));
	}
}
