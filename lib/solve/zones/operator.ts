import { checkZones, OUTDOORS, resolveMixing, type ZoneModel } from "../../model/zones.ts";

/** A sparse matrix, row by row, whose last column is what is added whatever the state: (x, 1) → A x + f. */
export interface SparseMatrix {
	readonly firsts: Int32Array;
	readonly columns: Int32Array;
	readonly values: Float64Array;
}

/** Entry of a matrix, driven by an actuator or, with -1, always there. */
interface Entry {
	readonly row: number;
	readonly column: number;
	readonly perS: number;
	readonly by: number;
}

/** The balance of a model of zones in coefficients. States: the zones, then the sensors, as levels above `origin`. */
export interface ZoneBalance {
	readonly states: number;
	readonly origin: number;
	/** The sum of all entries, each times the speed of its actuator. */
	combine(speedOf: (actuator: number) => number): SparseMatrix;
	/** Sources that are not constant, with the share of them that a state gets [1/m3]. */
	readonly varying: readonly {
		readonly state: number;
		readonly by: number;
		readonly perM3: number;
		readonly perS: Exclude<NonNullable<ZoneModel["sources"]>[number]["perS"], number>;
	}[];
}

/**
 * Coefficients of (18).
 * @param origin level from which states count; default outdoors, by which the excess keeps its digits
 * @throws InputError for a model that makes no sense or whose air does not balance
 */
export function makeZoneBalance(model: ZoneModel, origin = model.outdoor): ZoneBalance {
	checkZones(model);
	const { zones, sensors = [], surfaces = [], sources = [], actuators = [], outdoor } = model;
	const zoneOf = new Map(zones.map(({ name }, i) => [name, i]));
	const actuatorOf = new Map(actuators.map(({ name }, i) => [name, i]));
	const byOf = (by: string | undefined) => (by === undefined ? -1 : actuatorOf.get(by)!);
	const states = zones.length + sensors.length;
	const entries: Entry[] = [];
	const add = (row: number, column: number, perS: number, by = -1) => {
		if (perS !== 0) entries.push({ row, column, perS, by });
	};
	for (const { from, to, m3PerS, by } of resolveMixing(model.flows)) {
		if (to === OUTDOORS) continue;
		const row = zoneOf.get(to)!;
		const perS = m3PerS / zones[row]!.volumeM3;
		add(row, row, -perS, byOf(by));
		if (from === OUTDOORS) add(row, states, perS * (outdoor - origin), byOf(by));
		else add(row, zoneOf.get(from)!, perS, byOf(by));
	}
	for (const { zone, m3PerS, level } of surfaces) {
		const row = zoneOf.get(zone)!;
		const perS = m3PerS / zones[row]!.volumeM3;
		add(row, row, -perS);
		add(row, states, perS * (level - origin));
	}
	for (const { zone, perS, by } of sources) {
		const row = zoneOf.get(zone)!;
		if (typeof perS === "number") add(row, states, perS / zones[row]!.volumeM3, byOf(by));
	}
	for (const [i, { zone, responseSeconds }] of sensors.entries()) {
		add(zones.length + i, zones.length + i, -1 / responseSeconds);
		add(zones.length + i, zoneOf.get(zone)!, 1 / responseSeconds);
	}
	return {
		states,
		origin,
		combine(speedOf) {
			const dense = new Float64Array(states * (states + 1));
			const isThere = new Uint8Array(dense.length);
			for (const { row, column, perS, by } of entries) {
				const speed = by < 0 ? speedOf(-1) : speedOf(by);
				if (speed === 0) continue;
				dense[row * (states + 1) + column]! += speed * perS;
				isThere[row * (states + 1) + column] = 1;
			}
			return compress(dense, isThere, states);
		},
		varying: sources.flatMap(({ zone, perS, by }) =>
			typeof perS === "number"
				? []
				: [{ state: zoneOf.get(zone)!, by: byOf(by), perM3: 1 / zones[zoneOf.get(zone)!]!.volumeM3, perS }],
		),
	};
}

function compress(dense: Float64Array, isThere: Uint8Array, rows: number): SparseMatrix {
	const count = isThere.reduce((sum, x) => sum + x, 0);
	const firsts = new Int32Array(rows + 1);
	const columns = new Int32Array(count);
	const values = new Float64Array(count);
	let next = 0;
	for (let row = 0; row < rows; row++) {
		for (let column = 0; column <= rows; column++) {
			const place = row * (rows + 1) + column;
			if (isThere[place] === 0) continue;
			columns[next] = column;
			values[next++] = dense[place]!;
		}
		firsts[row + 1] = next;
	}
	return { firsts, columns, values };
}

/** Largest rate at which a state gives off what it holds [1/s]. */
export function largestLoss({ firsts, columns, values }: SparseMatrix): number {
	let loss = 0;
	for (let row = 0; row + 1 < firsts.length; row++)
		for (let e = firsts[row]!; e < firsts[row + 1]!; e++)
			if (columns[e] === row) loss = Math.max(loss, Math.abs(values[e]!));
	return loss;
}
