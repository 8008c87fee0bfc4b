import type { LiquidStore } from "../../model/relays.ts";
import type { ZoneModel } from "../../model/zones.ts";
import type { SparseMatrix } from "./operator.ts";

/** What a store does: its surface is dry, or exchanges vapour, or the air itself is saturated and all that is too much falls out. */
export const DRY = 0;
export const WET = 1;
export const FOG = 2;
export type StoreMode = typeof DRY | typeof WET | typeof FOG;

/** A store as the solver sees it; levels count from the origin of the zones. */
export interface StoreState {
	/** State of its zone. */
	readonly zone: number;
	/** K over the volume of the zone [1/s]. */
	readonly perS: number;
	readonly surface: number;
	readonly saturation: number;
}

export const makeStoreStates = (
	{ zones }: ZoneModel,
	stores: readonly LiquidStore[],
	origin: number,
): StoreState[] =>
	stores.map((store) => {
		const zone = zones.findIndex(({ name }) => name === store.zone);
		return {
			zone,
			perS: store.m3PerS / zones[zone]!.volumeM3,
			surface: store.surface - origin,
			saturation: store.saturation - origin,
		};
	});

/**
 * The balance with the liquid of each store as a state more, in grams per m3 of its zone. With a(x) what the air of the zone gets,
 *
 *     dry  x' = a, m' = 0      wet  x' = a - K/V (x - x_s), m' = K/V (x - x_s)      fog  x' = 0, m' = a      (22)
 *
 * so that x' + m' = a always: no water is lost.
 * @param isWhole false for what an actuator alone adds, to which the surfaces do not belong
 */
export function withLiquid(
	{ firsts, columns, values }: SparseMatrix,
	stores: readonly StoreState[],
	modes: ArrayLike<number>,
	isWhole: boolean,
): SparseMatrix {
	const zones = firsts.length - 1;
	const wide = zones + stores.length;
	const rows: [number, number][][] = Array.from({ length: wide }, () => []);
	for (let row = 0; row < zones; row++) {
		const store = stores.findIndex(({ zone }) => zone === row);
		const to = rows[store >= 0 && modes[store] === FOG ? zones + store : row]!;
		for (let e = firsts[row]!; e < firsts[row + 1]!; e++)
			to.push([columns[e] === zones ? wide : columns[e]!, values[e]!]);
	}
	for (const [i, { zone, perS, surface }] of stores.entries()) {
		if (!isWhole || modes[i] !== WET || perS === 0) continue;
		const own = rows[zone]!;
		for (const [column, value] of [
			[zone, -perS],
			[wide, perS * surface],
		] as const) {
			const held = own.find(([at]) => at === column);
			if (held === undefined) own.push([column, value]);
			else held[1] += value;
			rows[zones + i]!.push([column, -value]);
		}
	}
	const sizes = rows.map((row) => row.length);
	const ends = new Int32Array(wide + 1);
	for (const [i, size] of sizes.entries()) ends[i + 1] = ends[i]! + size;
	const all = rows.flatMap((row) => row.sort(([a], [b]) => a - b));
	return {
		firsts: ends,
		columns: Int32Array.from(all, ([column]) => column),
		values: Float64Array.from(all, ([, value]) => value),
	};
}
