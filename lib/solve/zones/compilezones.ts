import type { ZoneModel } from "../../model/zones.ts";
import type { Transition } from "../propagate/linear.ts";
import type { SolutionSegment } from "../propagate/solutionsegment.ts";
import { type TimedActuator, timeActuator } from "./intervals.ts";
import { makeZoneBalance, type SparseMatrix, type ZoneBalance } from "./operator.ts";
import { makeZoneSystem, type ZoneSystem } from "./series.ts";

/** What is on and what is off, with what was worked out for it. */
export interface Combination extends ZoneSystem {
	readonly isOn: readonly boolean[];
	/** The combination after one actuator is switched. */
	readonly switched: (Combination | undefined)[];
	/** Transitions by duration; a number counts how often one was asked for. */
	readonly transitions: Map<number, Transition | number>;
}

/** A model of zones, checked, with what solvers work out from it. */
export interface CompiledZones {
	readonly model: ZoneModel;
	readonly balance: ZoneBalance;
	readonly actuators: readonly TimedActuator[];
	/** No source is a function, so the exact path serves. */
	readonly isLinear: boolean;
	/** Nothing that is switched takes time for it. */
	readonly areInstant: boolean;
	combine(isOn: readonly boolean[]): Combination;
	/** Flows and sources of one actuator alone. */
	matrixOf(actuator: number): SparseMatrix;
}

/**
 * @param origin level from which states count; default outdoors
 * @throws InputError for a model that makes no sense or whose air does not balance
 */
export function compileZones(model: ZoneModel, origin?: number): CompiledZones {
	const balance = makeZoneBalance(model, origin);
	const known = new Map<string, Combination>();
	const matrices = new Map<number, SparseMatrix>();
	return {
		model,
		balance,
		actuators: (model.actuators ?? []).map(timeActuator),
		isLinear: balance.varying.length === 0,
		areInstant: (model.actuators ?? []).every(
			({ spinUpTauSeconds, coastDownTauSeconds }) => !spinUpTauSeconds && !coastDownTauSeconds,
		),
		combine(isOn) {
			const key = isOn.map(Number).join("");
			let found = known.get(key);
			if (found === undefined) {
				const system = makeZoneSystem(balance.combine((i) => (i < 0 || isOn[i] ? 1 : 0)));
				found = { ...system, isOn: [...isOn], switched: [], transitions: new Map() };
				known.set(key, found);
			}
			return found;
		},
		matrixOf(actuator) {
			let found = matrices.get(actuator);
			if (found === undefined) {
				found = balance.combine((i) => (i === actuator ? 1 : 0));
				matrices.set(actuator, found);
			}
			return found;
		},
	};
}

/** Where a run stands: levels above the origin, and the speed of each actuator. */
export interface ZoneState {
	readonly state: Float64Array;
	readonly speeds: ArrayLike<number>;
}

/** What a run shows of itself; "stop" ends it. */
export interface ZoneObserver {
	readonly onSolution?: (solution: SolutionSegment, isOn: readonly boolean[]) => unknown;
	readonly onInterval?: (startSeconds: number, state: Float64Array) => void;
}

/** All zones at one level or at their own, everything at rest. */
export function startOfZones({ model, balance, actuators }: CompiledZones, level?: number): ZoneState {
	const state = new Float64Array(balance.states);
	const startOf = (name: string) =>
		level ?? model.zones.find((zone) => zone.name === name)?.start ?? model.outdoor;
	const names = [...model.zones.map(({ name }) => name), ...(model.sensors ?? []).map(({ zone }) => zone)];
	for (const [i, name] of names.entries()) state[i] = startOf(name) - balance.origin;
	return { state, speeds: new Float64Array(actuators.length) };
}
