import { type LagResponse, lagResponse } from "./lagresponse.ts";

/** From this instant on, until the next edge. */
export interface Edge {
	readonly timeSeconds: number;
	readonly on: boolean;
	/** Entry of `sources` that holds from here on. */
	readonly source: number;
	/** Derivatives of the instant over the phase [-] and over the drift [s] of the timer; 0 where the edge does not hang on it. */
	readonly byPhase: number;
	readonly byDrift: number;
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

/** Takes sample i: the reading, the CO2 in the chamber [ppm], and d(reading)/d(parameter), which is reused for the next sample. */
export type TakeReading = (
	index: number,
	readingPpm: number,
	chamberPpm: number,
	slopes: Float64Array,
) => void;

const NO_SLOPES = new Float64Array(0);
/** Sensor state is left to follow at once below this time constant [s]. */
const INSTANT = 1e-6;

/**
 * Readings of a sensor at the given times [s, ascending, from 0 on] and their exact slopes over the parameters,
 * propagated from edge to edge and sample to sample in closed form; a shaped source is taken at the middle of each stretch.
 * The first edge must not lie after time 0.
 */
export function readings(
	model: ReadingModel,
	edges: readonly Edge[],
	timesSeconds: ArrayLike<number>,
	take: TakeReading,
	places: SlopePlaces | null = null,
): void {
	const { volumeM3, supplyPpm, mixing, sources, shape, offsetPpm } = model;
	const follow = model.lagSeconds > INSTANT ? 1 / model.lagSeconds : Number.POSITIVE_INFINITY;
	const leak = model.leakM3PerS / volumeM3;
	const fan = (mixing * model.fanM3PerS) / volumeM3;
	const rise = 1e6 / volumeM3;
	const answers = [answersAt(leak, follow), answersAt(leak + fan, follow)] as const;
	const width = places?.width ?? 0;
	const dx = new Float64Array(width);
	const dr = new Float64Array(width);
	const out = places === null ? NO_SLOPES : new Float64Array(width);
	const at = places ?? NOWHERE;
	const perFan = mixing / volumeM3;
	const perLag = Number.isFinite(follow) ? -follow * follow : 0;

	let x = model.startPpm - supplyPpm;
	let r = Number.isFinite(follow) ? model.readingPpm - supplyPpm - offsetPpm : x;
	if (at.start >= 0) dx[at.start] = 1;
	if (Number.isFinite(follow)) {
		if (at.reading >= 0) dr[at.reading] = 1;
		if (at.offset >= 0) dr[at.offset] = -1;
	} else dr.set(dx);

	let time = 0;
	let next = 0;
	while (next + 1 < edges.length && edges[next + 1]!.timeSeconds <= 0) next++;
	let { on, source } = edges[next]!;
	next++;

	const go = (until: number): void => {
		const t = until - time;
		if (t <= 0) return;
		const a = answers[on ? 1 : 0](t);
		const share = rise * (shape === undefined ? 1 : shape(time + t / 2));
		const g = share * sources[source]!;
		if (width > 0) {
			const { decay, fade, carry } = a;
			for (let k = 0; k < width; k++) {
				dr[k] = fade * dr[k]! + carry * dx[k]!;
				dx[k] = decay * dx[k]!;
			}
			if (at.source >= 0) {
				dx[at.source + source]! += share * a.fill;
				dr[at.source + source]! += share * a.creep;
			}
			const xByRate = g * a.fillByRate - t * decay * x;
			const rByRate = x * a.carryByRate + g * a.creepByRate;
			if (at.leak >= 0) {
				dx[at.leak]! += xByRate / volumeM3;
				dr[at.leak]! += rByRate / volumeM3;
			}
			if (on && at.fan >= 0) {
				dx[at.fan]! += xByRate * perFan;
				dr[at.fan]! += rByRate * perFan;
			}
			if (at.lag >= 0) dr[at.lag]! += perLag * (x * a.carryByFollow + g * a.creepByFollow - t * fade * r);
		}
		r = a.fade * r + a.carry * x + a.creep * g;
		x = a.decay * x + a.fill * g;
		time = until;
	};

	const count = timesSeconds.length;
	for (let i = 0; i < count; i++) {
		const sample = timesSeconds[i]!;
		while (next < edges.length && edges[next]!.timeSeconds <= sample) {
			const edge = edges[next]!;
			go(edge.timeSeconds);
			// A later switch lets the old slope of x run on: x jumps in its derivative by the difference of the two slopes.
			if (edge.on !== on) {
				const jump = (edge.on ? fan : -fan) * x;
				if (at.phase >= 0) dx[at.phase]! += jump * edge.byPhase;
				if (at.drift >= 0) dx[at.drift]! += jump * edge.byDrift;
				if (!Number.isFinite(follow)) {
					if (at.phase >= 0) dr[at.phase] = dx[at.phase]!;
					if (at.drift >= 0) dr[at.drift] = dx[at.drift]!;
				}
			}
			on = edge.on;
			source = edge.source;
			next++;
		}
		go(sample);
		if (width > 0) {
			out.set(dr);
			if (at.offset >= 0) out[at.offset]! += 1;
		}
		take(i, supplyPpm + r + offsetPpm, supplyPpm + x, out);
	}
}

const NOWHERE: SlopePlaces = {
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

/** Slots of the memory of answers; a power of two. */
const SLOTS = 256;

/** Answers at one rate, remembered by length: most stretches of a log are one sample step long. */
function answersAt(rate: number, follow: number): (seconds: number) => LagResponse {
	const memory = Array<LagResponse | undefined>(SLOTS);
	return (seconds) => {
		const slot = Math.round(seconds * 16) & (SLOTS - 1);
		const known = memory[slot];
		if (known !== undefined && known.seconds === seconds) return known;
		const answer = lagResponse(rate, follow, seconds);
		memory[slot] = answer;
		return answer;
	};
}
