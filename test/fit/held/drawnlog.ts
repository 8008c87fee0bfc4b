/**
 * Logs of invented chambers of which nobody knows anything exactly: volume, mass, intake, sensor, leak and instants are drawn from what
 * their scenario says of them. Shares no line with the library.
 */

/** Even numbers from 0 to 1 of a seed: Marsaglia's multiply with carry (from memory). */
export function dice(seed: number): () => number {
	let [z, w] = [362436069 ^ seed, 521288629 + 7919 * seed];
	const next = (): number => {
		z = (36969 * (z & 65535) + (z >>> 16)) | 0;
		w = (18000 * (w & 65535) + (w >>> 16)) | 0;
		return (((z << 16) + (w & 65535)) >>> 0) / 4294967296;
	};
	for (let k = 0; k < 20; k++) next();
	return next;
}

/** Bell-shaped numbers of mean 0 and standard deviation 1 (Box and Muller). */
export const bell = (even: () => number) => (): number =>
	Math.sqrt(-2 * Math.log(1 - even())) * Math.cos(2 * Math.PI * even());

/** The ends of a range hold 90 of 100 values, those of a data sheet 95. */
export const [OF_RANGE, OF_SHEET] = [1 / 1.645, 1 / 1.96];

export interface DrawnChamber {
	readonly litres: number;
	readonly leakLPerH: number;
	/** m³/h while the fan runs. */
	readonly flowM3PerH: number;
	readonly outputLPerH: number;
	readonly intakePpm: number;
	readonly startPpm: number;
	/** Sensor: seconds to 63 %, offset, and what it shows per ppm. */
	readonly lagSeconds: number;
	readonly offsetPpm: number;
	readonly gain: number;
}

export interface DrawnRun {
	readonly hours: number;
	readonly stepSeconds: number;
	/** When the fan runs, ascending [s]. */
	readonly blows: readonly { readonly at: number; readonly on: number }[];
	readonly noisePpm: number;
	/** Likeness of neighbouring noise. */
	readonly likeness?: number;
	/** Readings are whole multiples of so many ppm. */
	readonly roundedTo?: number;
}

/** What the logger wrote. */
export function drawnLog(
	chamber: DrawnChamber,
	{ hours, stepSeconds, blows, noisePpm, likeness = 0, roundedTo = 1 }: DrawnRun,
	normal: () => number,
): { readonly timesSeconds: Float64Array; readonly co2Ppm: Float64Array } {
	const { litres, lagSeconds, intakePpm, gain, offsetPpm } = chamber;
	const count = Math.floor((3600 * hours) / stepSeconds) + 1;
	const turns = blows.flatMap(({ at, on }) => [
		{ at, isOn: true },
		{ at: at + on, isOn: false },
	]);
	let [co2, seen, now, isOn, turn] = [chamber.startPpm, chamber.startPpm, 0, false, 0];
	const goOn = (to: number): void => {
		const seconds = to - now;
		now = to;
		if (!(seconds > 0)) return;
		const perSecond = Math.max(
			(chamber.leakLPerH + (isOn ? 1000 * chamber.flowM3PerH : 0)) / 3600 / litres,
			1e-12,
		);
		const end = intakePpm + (1e6 * chamber.outputLPerH) / 3600 / litres / perSecond;
		const left = Math.exp(-perSecond * seconds);
		if (lagSeconds > 0) {
			const part = (co2 - end) / (1 - perSecond * lagSeconds);
			seen = end + part * left + (seen - end - part) * Math.exp(-seconds / lagSeconds);
		}
		co2 = end + (co2 - end) * left;
		if (!(lagSeconds > 0)) seen = co2;
	};
	let noise = noisePpm * normal();
	const times = Float64Array.from({ length: count }, (_, k) => k * stepSeconds);
	const readings = times.map((time) => {
		for (; turn < turns.length && turns[turn]!.at <= time; turn++) {
			goOn(turns[turn]!.at);
			isOn = turns[turn]!.isOn;
		}
		goOn(time);
		const shown = Math.round((gain * seen + offsetPpm + noise) / roundedTo) * roundedTo;
		noise = likeness * noise + noisePpm * Math.sqrt(1 - likeness ** 2) * normal();
		return shown;
	});
	return { timesSeconds: times, co2Ppm: readings };
}
