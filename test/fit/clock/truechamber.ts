/**
 * A chamber of which all is known, for logs to be made of. It shares nothing with the library: its own physics, its own
 * constants, classical Runge-Kutta in small steps, its own bursts, its own noise.
 */
export interface TrueChamber {
	/** Free air with the crop inside [m3]. */
	readonly airM3: number;
	readonly intakePpm: number;
	readonly flowM3PerH: number;
	readonly leakM3PerH: number;
	/** Time constant of the sensor [s]. */
	readonly lagSeconds: number;
	readonly crop: TrueCrop;
	/** Share of the air that stands still, share of the crop in it, and exchange with the rest [m3/h]. */
	readonly stagnant?: { readonly share: number; readonly cropShare: number; readonly exchangeM3PerH: number };
}

export interface TrueCrop {
	/** Fresh mass [kg]; 0 for an empty chamber. */
	readonly massKg: number;
	/** At the reference temperature [mg/(kg h)]. */
	readonly rateMgPerKgH: number;
	readonly referenceC: number;
	readonly q10: number;
	/** Temperature of the chamber [°C] so many seconds after the midnight before the first sample. */
	readonly celsius: (seconds: number) => number;
	/** What the stage does to the rate, by the same clock [-]. */
	readonly stage?: (seconds: number) => number;
	/** CO2 at which the crop gives off half [ppm]. */
	readonly halfPpm?: number;
}

/** A cycle that begins at midnight, or other cycles by hours of the day; a daily timer counts 24 h from one midnight to the next. */
export type TrueTimer =
	| TrueCycle
	| readonly (TrueCycle & { readonly fromHour: number })[]
	| "off"
	| TrueBursts;
interface TrueCycle {
	readonly on: number;
	readonly off: number;
}
/** Bursts by hand: when each begins [s after midnight] and how long it lasts [s]. */
interface TrueBursts {
	readonly bursts: readonly { readonly at: number; readonly on: number }[];
}

export interface TrueLog {
	/** Since the first sample [s]. */
	readonly seconds: readonly number[];
	/** What the sensor shows, noise in it and rounded [ppm]. */
	readonly ppm: readonly number[];
	/** Air in the chamber, as a thermometer shows it [°C]. */
	readonly celsius: readonly number[];
	/** CO2 given off, mean over a part of the log, from the first sample to the last unless it is named [m3/s]. */
	readonly meanSourceM3PerS: (fromSeconds?: number, toSeconds?: number) => number;
	/** Highest CO2 in the chamber [ppm]. */
	readonly peakPpm: number;
}

export interface TrueRun {
	readonly timer: TrueTimer;
	/** Time of day of the first sample [h]. */
	readonly startHour: number;
	readonly hours: number;
	readonly stepSeconds?: number;
	/** CO2 at the first sample [ppm]; absent: the chamber has run for a day before. */
	readonly startPpm?: number;
	/** Standard deviation of the noise [ppm]. */
	readonly noisePpm?: number;
	/** Standard deviation of the thermometer's noise [K]. */
	readonly noiseK?: number;
	readonly seed?: number;
}

const GAS = 8.314462618;
const CO2_KG_PER_MOL = 0.0440095;
const SEA_LEVEL_PASCAL = 101_325;
const HOURS_24 = 24 * 3600;

/** Litres of pure CO2 given off in a second, over 1000, at a moment and the CO2 around the crop. */
export function trueSourceM3PerS(crop: TrueCrop, seconds: number, ppm: number): number {
	const celsius = crop.celsius(seconds);
	const kgPerS = (crop.massKg * crop.rateMgPerKgH) / 1e6 / 3600;
	const warmth = crop.q10 ** ((celsius - crop.referenceC) / 10);
	const felt = crop.halfPpm === undefined ? 1 : crop.halfPpm / (crop.halfPpm + ppm);
	const m3PerKg = (GAS * (celsius + 273.15)) / (CO2_KG_PER_MOL * SEA_LEVEL_PASCAL);
	return kgPerS * warmth * felt * (crop.stage?.(seconds) ?? 1) * m3PerKg;
}

/** Cosine over the day. */
export const swinging =
	(meanC: number, swingK: number, warmestHour: number) =>
	(seconds: number): number =>
		meanC + swingK * Math.cos((2 * Math.PI * (seconds - 3600 * warmestHour)) / HOURS_24);

/** When the fan goes on and off between two moments [s after midnight], as [on, off) pairs. */
function burstsOf(timer: TrueTimer, from: number, to: number): [number, number][] {
	if (timer === "off") return [];
	if ("bursts" in timer) return timer.bursts.map(({ at, on }) => [at, at + on]);
	const found: [number, number][] = [];
	const cycles = ({ on, off }: TrueCycle, begin: number, end: number) => {
		for (let k = 0; begin + k * (on + off) < end; k++) {
			const start = begin + k * (on + off);
			found.push([start, Math.min(start + on, end)]);
		}
	};
	if ("on" in timer) {
		const before = Math.ceil(Math.max(-from, 0) / (timer.on + timer.off)) + 1;
		cycles(timer, -before * (timer.on + timer.off), to);
	} else
		for (let day = Math.floor(from / HOURS_24) - 1; day * HOURS_24 < to; day++)
			timer.forEach((part, i) => {
				const next = timer[i + 1]?.fromHour ?? timer[0]!.fromHour + 24;
				cycles(part, day * HOURS_24 + 3600 * part.fromHour, day * HOURS_24 + 3600 * next);
			});
	return found.filter(([on, off]) => off > from && on < to);
}

/** Longest steps of the integration, with the fan off and on [s]. */
const STILL_STEP = 10;
const BLOWN_STEP = 0.5;
/** What a chamber has run before its log begins [s]. */
const BEFORE = HOURS_24;

/** The log of a chamber. */
export function trueLog(chamber: TrueChamber, run: TrueRun): TrueLog {
	const { airM3, intakePpm, lagSeconds, crop, stagnant } = chamber;
	const { startHour, hours, stepSeconds = 60, startPpm, noisePpm = 0, noiseK = 0, seed = 1 } = run;
	const share = stagnant?.share ?? 0;
	const cropShare = stagnant?.cropShare ?? 0;
	const mixedM3 = airM3 * (1 - share);
	const stillM3 = airM3 * share;
	const exchange = (stagnant?.exchangeM3PerH ?? 0) / 3600;
	const slopes = (t: number, [c, z, s]: readonly number[], on: boolean): number[] => {
		const flow = (chamber.leakM3PerH + (on ? chamber.flowM3PerH : 0)) / 3600;
		return [
			(1e6 * (1 - cropShare) * trueSourceM3PerS(crop, t, c!) +
				flow * (intakePpm - c!) +
				exchange * (z! - c!)) /
				mixedM3,
			share > 0 ? (1e6 * cropShare * trueSourceM3PerS(crop, t, z!) + exchange * (c! - z!)) / stillM3 : 0,
			lagSeconds > 0 ? (c! - s!) / lagSeconds : 0,
		];
	};

	const first = 3600 * startHour;
	const last = first + 3600 * hours;
	const begin = startPpm === undefined ? first - BEFORE : first;
	const samples = Math.floor((last - first) / stepSeconds) + 1;
	const edges = burstsOf(run.timer, begin, last + 1).flatMap(([on, off]) => [
		{ at: on, on: true },
		{ at: off, on: false },
	]);
	edges.sort((a, b) => a.at - b.at || Number(a.on) - Number(b.on));
	let on = false;
	let edge = 0;
	for (; edge < edges.length && edges[edge]!.at <= begin; edge++) on = edges[edge]!.on;

	let t = begin;
	let y = Array.from({ length: 3 }, () => startPpm ?? intakePpm);
	let given = 0;
	let peakPpm = 0;
	const clean: number[] = [];
	/** Litres given off up to each sample, over 1000. */
	const givenAt: number[] = [];
	while (clean.length < samples) {
		const sample = first + clean.length * stepSeconds;
		const until = Math.min(sample, edges[edge]?.at ?? Number.POSITIVE_INFINITY);
		const parts = Math.ceil((until - t) / (on ? BLOWN_STEP : STILL_STEP));
		const from = t;
		for (let k = 0; k < parts; k++) {
			const h = (until - from) / parts;
			const at = from + k * h;
			const move = (slope: readonly number[], by: number) => y.map((value, i) => value + by * slope[i]!);
			const k1 = slopes(at, y, on);
			const k2 = slopes(at + h / 2, move(k1, h / 2), on);
			const k3 = slopes(at + h / 2, move(k2, h / 2), on);
			const k4 = slopes(at + h, move(k3, h), on);
			const middle = move(k2, h / 2);
			y = y.map((value, i) => value + (h / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!));
			if (at >= first) {
				given +=
					h *
					((1 - cropShare) * trueSourceM3PerS(crop, at + h / 2, middle[0]!) +
						cropShare * trueSourceM3PerS(crop, at + h / 2, middle[1]!));
				peakPpm = Math.max(peakPpm, y[0]!);
			}
		}
		t = until;
		for (; edge < edges.length && edges[edge]!.at <= t; edge++) on = edges[edge]!.on;
		if (t === sample) {
			clean.push(lagSeconds > 0 ? y[2]! : y[0]!);
			givenAt.push(given);
		}
	}

	const random = dice(seed);
	const seconds = clean.map((_, i) => i * stepSeconds);
	let noise = noisePpm * random();
	const ppm = clean.map((value) => {
		const shown = Math.round(value + noise);
		noise = LIKENESS * noise + noisePpm * Math.sqrt(1 - LIKENESS ** 2) * random();
		return shown;
	});
	const celsius = seconds.map((s) => Math.round(100 * (crop.celsius(first + s) + noiseK * random())) / 100);
	const whole = seconds.at(-1)!;
	return {
		seconds,
		ppm,
		celsius,
		peakPpm,
		meanSourceM3PerS: (from = 0, to = whole) =>
			(givenAt[Math.round(to / stepSeconds)]! - givenAt[Math.round(from / stepSeconds)]!) / (to - from),
	};
}

/** Correlation of a reading's noise with that of the one before. */
const LIKENESS = 0.4;

/** Standard normal numbers: a linear congruential generator, and Box and Muller's two for two. */
function dice(seed: number): () => number {
	let state = (seed * 2_654_435_761 + 12_345) >>> 0;
	const uniform = () => {
		state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
		return (state + 0.5) / 2 ** 32;
	};
	for (let k = 0; k < 8; k++) uniform();
	return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
