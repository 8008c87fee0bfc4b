import { lagResponse } from "./transitioncoefficients.ts";

/** From this instant on, until the next edge. */
export interface Edge {
	readonly timeSeconds: number;
	readonly on: boolean;
	/** Entry of `sources` that holds from here on. */
	readonly source: number;
	/** Derivatives of the instant over the phase [-] and over the drift [s] of the timer; 0 where the edge does not hang on it. */
	readonly byPhase: number;
	readonly byDrift: number;
	/** Further parameters that move this edge: place of each in the row of slopes, and derivative of the instant over it. */
	readonly moved?: readonly { readonly place: number; readonly by: number }[];
}

/** One mixed zone and its sensor, in plain numbers. */
export interface ReadingModel {
	readonly volumeM3: number;
	readonly supplyPpm: number;
	readonly mixing: number;
	readonly fanM3PerS: number;
	readonly leakM3PerS: number;
	/** CO2 given off [m3/s]: one figure for each stretch that the edges name. */
	readonly sources: ArrayLike<number>;
	/** Shape of the source over time [-], multiplied with it; absent when it is level. */
	readonly shape?: (timeSeconds: number) => number;
	/** Time constant of the sensor [s]; 0 for none. */
	readonly lagSeconds: number;
	/** What the sensor reads too high [ppm]. */
	readonly offsetPpm: number;
	/** CO2 in the chamber and reading at time 0 [ppm]. */
	readonly startPpm: number;
	readonly readingPpm: number;
}

/** Place of each parameter's slope in the row of slopes; -1 where none is wanted. */
export interface SlopePlaces {
	readonly width: number;
	/** Of the first source; the others follow it. */
	readonly source: number;
	readonly fan: number;
	readonly leak: number;
	readonly lag: number;
	readonly offset: number;
	readonly start: number;
	readonly reading: number;
	readonly phase: number;
	readonly drift: number;
}

/** Samples handed over at once: few enough that their slopes stay in the fastest cache. */
export const BLOCK = 128;

/** A run of samples, from number `first` on. The arrays are reused for the next run. */
export interface ReadingBlock {
	first: number;
	count: number;
	/** [slopes | reading] by columns, BLOCK high: d(reading)/d(parameter k) of sample first + i at k BLOCK + i, readings after the last slope. */
	readonly columns: Float64Array;
	/** The column of readings, and the CO2 in the chamber [ppm]. */
	readonly readingPpm: Float64Array;
	readonly chamberPpm: Float64Array;
}

/** A block for so many slopes. */
export function readingBlock(slopes: number): ReadingBlock {
	const columns = new Float64Array((slopes + 1) * BLOCK);
	return {
		first: 0,
		count: 0,
		columns,
		readingPpm: columns.subarray(slopes * BLOCK),
		chamberPpm: new Float64Array(BLOCK),
	};
}

/** Sensor state is left to follow at once below this time constant [s]. */
const INSTANT = 1e-6;

/** A slope that has faded so far, in whatever unit, is 0: left alone it sinks among numbers that processors are slow with. */
const FORGOTTEN = 1e-30;

/**
 * Readings of a sensor at the given times [s, ascending, from 0 on] and their exact slopes over the parameters,
 * propagated from edge to edge and sample to sample in closed form; a shaped source is taken at the middle of each stretch.
 * The first edge must not lie after time 0.
 */
export function readings(
	model: ReadingModel,
	edges: readonly Edge[],
	timesSeconds: ArrayLike<number>,
	take: (block: ReadingBlock) => void,
	places: SlopePlaces = NOWHERE,
): void {
	const { volumeM3, supplyPpm, mixing, sources, shape, offsetPpm } = model;
	const follow = model.lagSeconds > INSTANT ? 1 / model.lagSeconds : Number.POSITIVE_INFINITY;
	const lags = Number.isFinite(follow);
	const leak = model.leakM3PerS / volumeM3;
	const fan = (mixing * model.fanM3PerS) / volumeM3;
	const rise = 1e6 / volumeM3;
	const still = answersAt(leak, follow);
	const blown = answersAt(leak + fan, follow);
	const { width } = places;
	const dx = new Float64Array(width);
	const dr = new Float64Array(width);
	const perFan = mixing / volumeM3;
	const perLag = lags ? -follow * follow : 0;

	let x = model.startPpm - supplyPpm;
	let r = lags ? model.readingPpm - supplyPpm - offsetPpm : x;
	if (places.start >= 0) dx[places.start] = 1;
	if (lags) {
		if (places.reading >= 0) dr[places.reading] = 1;
		if (places.offset >= 0) dr[places.offset] = -1;
	} else dr.set(dx);

	let time = 0;
	let next = 0;
	while (next + 1 < edges.length && edges[next + 1]!.timeSeconds <= 0) next++;
	let { on, source } = edges[next]!;
	next++;
	let edgeSeconds = edges[next]?.timeSeconds ?? Number.POSITIVE_INFINITY;

	const block = readingBlock(width);
	const { columns, readingPpm, chamberPpm } = block;
	const count = timesSeconds.length;
	for (let first = 0; first < count; first += BLOCK) {
		const rows = Math.min(BLOCK, count - first);
		for (let i = 0; i < rows; i++) {
			const sample = timesSeconds[first + i]!;
			// From edge to edge, then to the sample.
			for (;;) {
				const until = Math.min(edgeSeconds, sample);
				const t = until - time;
				if (t > 0) {
					const { table, rowOf } = on ? blown : still;
					const row = rowOf(t);
					const decay = table[row + DECAY]!;
					const fill = table[row + FILL]!;
					const fade = table[row + FADE]!;
					const carry = table[row + CARRY]!;
					const creep = table[row + CREEP]!;
					const share = rise * (shape === undefined ? 1 : shape(time + t / 2));
					const g = share * sources[source]!;
					if (width > 0) {
						for (let k = 0; k < width; k++) {
							dr[k] = fade * dr[k]! + carry * dx[k]!;
							dx[k] = decay * dx[k]!;
						}
						if (places.source >= 0) {
							dx[places.source + source]! += share * fill;
							dr[places.source + source]! += share * creep;
						}
						const xByRate = g * table[row + FILL_BY_RATE]! - t * decay * x;
						const rByRate = x * table[row + CARRY_BY_RATE]! + g * table[row + CREEP_BY_RATE]!;
						if (places.leak >= 0) {
							dx[places.leak]! += xByRate / volumeM3;
							dr[places.leak]! += rByRate / volumeM3;
						}
						if (on && places.fan >= 0) {
							dx[places.fan]! += xByRate * perFan;
							dr[places.fan]! += rByRate * perFan;
						}
						if (places.lag >= 0) {
							const byFollow = x * table[row + CARRY_BY_FOLLOW]! + g * table[row + CREEP_BY_FOLLOW]!;
							dr[places.lag]! += perLag * (byFollow - t * fade * r);
						}
					}
					r = fade * r + carry * x + creep * g;
					x = decay * x + fill * g;
					time = until;
				}
				if (edgeSeconds > sample) break;
				const edge = edges[next]!;
				// A later switch lets the old slope of x run on: x jumps in its derivative by the difference of the two slopes.
				if (edge.on !== on) {
					const jump = (edge.on ? fan : -fan) * x;
					if (places.phase >= 0) dx[places.phase]! += jump * edge.byPhase;
					if (places.drift >= 0) dx[places.drift]! += jump * edge.byDrift;
					if (!lags) {
						if (places.phase >= 0) dr[places.phase] = dx[places.phase]!;
						if (places.drift >= 0) dr[places.drift] = dx[places.drift]!;
					}
					if (edge.moved !== undefined)
						for (const { place, by } of edge.moved) {
							dx[place]! += jump * by;
							if (!lags) dr[place] = dx[place]!;
						}
				}
				on = edge.on;
				source = edge.source;
				next++;
				edgeSeconds = edges[next]?.timeSeconds ?? Number.POSITIVE_INFINITY;
			}
			for (let k = 0; k < width; k++) columns[k * BLOCK + i] = dr[k]!;
			if (places.offset >= 0) columns[places.offset * BLOCK + i]! += 1;
			readingPpm[i] = supplyPpm + r + offsetPpm;
			chamberPpm[i] = supplyPpm + x;
		}
		block.first = first;
		block.count = rows;
		take(block);
		for (let k = 0; k < width; k++)
			if (Math.abs(dx[k]!) < FORGOTTEN && Math.abs(dr[k]!) < FORGOTTEN) {
				dx[k] = 0;
				dr[k] = 0;
			}
	}
}

/** No slope is wanted. */
export const NOWHERE: SlopePlaces = {
	width: 0,
	source: -1,
	fan: -1,
	leak: -1,
	lag: -1,
	offset: -1,
	start: -1,
	reading: -1,
	phase: -1,
	drift: -1,
};

/** Slots of the memory of answers, as a power of two. */
const SLOT_BITS = 8;

/** Places within a row of remembered answers; see LagResponse. */
const [
	SECONDS,
	DECAY,
	FILL,
	FADE,
	CARRY,
	CREEP,
	FILL_BY_RATE,
	CARRY_BY_RATE,
	CREEP_BY_RATE,
	CARRY_BY_FOLLOW,
	CREEP_BY_FOLLOW,
	ROW,
] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11] as const;

/** Answers at one rate, remembered by length in the rows of a table: most stretches of a log are one sample step long. */
interface Answers {
	readonly table: Float64Array;
	/** Where the row for a length [s] begins. */
	rowOf(seconds: number): number;
}

function answersAt(rate: number, follow: number): Answers {
	const table = new Float64Array(ROW << SLOT_BITS);
	return {
		table,
		rowOf(seconds) {
			// Spread by the golden section: lengths are mostly multiples of one step.
			const row = ROW * (Math.imul(seconds * 16, 0x9e3779b1) >>> (32 - SLOT_BITS));
			if (table[row + SECONDS] === seconds) return row;
			const answer = lagResponse(rate, follow, seconds);
			table[row + SECONDS] = seconds;
			table[row + DECAY] = answer.decay;
			table[row + FILL] = answer.fill;
			table[row + FADE] = answer.fade;
			table[row + CARRY] = answer.carry;
			table[row + CREEP] = answer.creep;
			table[row + FILL_BY_RATE] = answer.fillByRate;
			table[row + CARRY_BY_RATE] = answer.carryByRate;
			table[row + CREEP_BY_RATE] = answer.creepByRate;
			table[row + CARRY_BY_FOLLOW] = answer.carryByFollow;
			table[row + CREEP_BY_FOLLOW] = answer.creepByFollow;
			return row;
		},
	};
}
