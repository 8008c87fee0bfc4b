import { DAY, type SecondsSinceMidnight, sinceMidnight } from "../time.ts";

/** CO2 given off by the substrate when it is not constant. */
export interface Source {
	/** Pure CO2 at chamber conditions [m3/s] at a time by the clock [s] and the CO2 of the zone it stands in [ppm]. */
	m3PerS(time: SecondsSinceMidnight, ppm: number): number;
	/** The rate depends on the time (not only on ppm). */
	readonly isTimeVarying: boolean;
	/** The rate depends on ppm. */
	readonly isPpmDependent: boolean;
	/** Times by the clock at which the rate has a kink or a jump [s], ascending; of one period when it repeats. */
	readonly breakpointsSeconds: readonly number[];
	/** Period after which the rate repeats [s]; null when it never does. */
	readonly periodSeconds: number | null;
	/** A run of this length shows all that the rate does [s]. */
	readonly horizonSeconds: number;
}

/** What the intake CO2 is above its mean through a day that repeats. */
export interface IntakeExcess {
	/** [ppm] at a time by the clock. */
	ppmAt(time: SecondsSinceMidnight): number;
	/** Times of the day at which it has a kink or a jump [s], ascending. */
	readonly breakpointsSeconds: readonly number[];
	/** Its ends [ppm]. */
	readonly lowestPpm: number;
	readonly highestPpm: number;
}

/**
 * The mass balance of one chamber in plain SI numbers; may be written by hand.
 *
 *     mixed zone     V1 dC1/dt = 1e6 (1-σ) G + (m q(t) + L)(Cs - C1) + k (C2 - C1)
 *     stagnant zone  V2 dC2/dt = 1e6 σ G + k (C1 - C2)
 *     sensor         τs dS/dt  = C - S
 *     fan            q → Q as 1 - exp(-t/τup) after switch-on, q → 0 as exp(-t/τdown) after switch-off
 */
export interface Model {
	/** Free air volume V, both zones together [m3]. */
	readonly volumeM3: number;
	/** CO2 of the air drawn in, Cs [ppm]: its mean, where it changes through the day. */
	readonly intakePpm: number;
	/** How it changes; default: it stays. */
	readonly intakeExcess?: IntakeExcess;
	/** Pure CO2 given off at chamber conditions, G [m3/s]; of a `source`, which then serves, its mean. */
	readonly generationM3PerS: number;
	/** A source that varies with time or with CO2. */
	readonly source?: Source;
	/** Leak L, present all the time [m3/s]. */
	readonly infiltrationM3PerS: number;
	/** Flow delivered by the fan at full speed, Q [m3/s]. */
	readonly deliveredM3PerS: number;
	/** Mixing factor m, 0 < m <= 1 [-]. Default 1. */
	readonly mixingEfficiency?: number;
	/** Time constants of the fan, τup and τdown [s]. Default 0. */
	readonly spinUpTauSeconds?: number;
	readonly coastDownTauSeconds?: number;
	/** Share of the volume that is the stagnant zone, V2/V [0..1). Default 0: no such zone. */
	readonly stagnantFraction?: number;
	/** Share σ of the source that stands in the stagnant zone [0..1]. Default 0. */
	readonly stagnantSourceShare?: number;
	/** Exchange between the zones, k [m3/s]. Default 0. */
	readonly interzonalM3PerS?: number;
	/** Time constant of the sensor, τs [s]. Default 0: no sensor state. */
	readonly responseSeconds?: number;
	/** Zone the sensor hangs in. Default mixed. */
	readonly sensorZone?: "mixed" | "stagnant";
	/** CO2 at the start of a run [ppm]. Default: supply air. */
	readonly startPpm?: number;
}

/**
 * The coefficients of the balance, per second and in ppm above the supply air.
 * States: 0 is the mixed zone; `stagnant` and `sensor` are the places of theirs, -1 when absent.
 */
export interface Balance {
	readonly states: number;
	readonly stagnant: number;
	readonly sensor: number;
	/** State that the sensor follows. */
	readonly sensed: number;
	/** State of the zone that holds most of the source: where the crop is. */
	readonly crop: number;
	/** m Q / V1, L / V1, k / V1, k / V2, 1 / τs [1/s]. */
	readonly fanPerS: number;
	readonly infiltrationPerS: number;
	readonly interzonalMixedPerS: number;
	readonly interzonalStagnantPerS: number;
	readonly sensorPerS: number;
	/** Rise of each zone per source [ppm/s per m3/s]: 1e6 (1-σ)/V1 and 1e6 σ/V2. */
	readonly riseMixed: number;
	readonly riseStagnant: number;
}

/** Coefficients of the balance of a model that was checked, see `checkModel`. */
export function balance(model: Model): Balance {
	const share = model.stagnantFraction ?? 0;
	const sigma = share > 0 ? (model.stagnantSourceShare ?? 0) : 0;
	const mixedM3 = model.volumeM3 * (1 - share);
	const stagnantM3 = model.volumeM3 * share;
	const interzonalM3PerS = share > 0 ? (model.interzonalM3PerS ?? 0) : 0;
	const sensor = model.responseSeconds ?? 0;
	const stagnant = share > 0 ? 1 : -1;
	return {
		states: 1 + (share > 0 ? 1 : 0) + (sensor > 0 ? 1 : 0),
		stagnant,
		sensor: sensor > 0 ? 1 + (share > 0 ? 1 : 0) : -1,
		sensed: model.sensorZone === "stagnant" ? Math.max(stagnant, 0) : 0,
		crop: sigma > 0.5 ? stagnant : 0,
		fanPerS: ((model.mixingEfficiency ?? 1) * model.deliveredM3PerS) / mixedM3,
		infiltrationPerS: model.infiltrationM3PerS / mixedM3,
		interzonalMixedPerS: interzonalM3PerS / mixedM3,
		interzonalStagnantPerS: share > 0 ? interzonalM3PerS / stagnantM3 : 0,
		sensorPerS: sensor > 0 ? 1 / sensor : 0,
		riseMixed: (1e6 * (1 - sigma)) / mixedM3,
		riseStagnant: share > 0 ? (1e6 * sigma) / stagnantM3 : 0,
	};
}

/** The balance is linear and its source constant, so the exact path serves. */
export function isLinear({ source, intakeExcess }: Model): boolean {
	return intakeExcess === undefined && !(source?.isTimeVarying || source?.isPpmDependent);
}

/** Source or intake air change with time. */
export const isTimeVarying = ({ source, intakeExcess }: Model): boolean =>
	intakeExcess !== undefined || source?.isTimeVarying === true;

/** Source of a model at a time by the clock [s] and CO2 [ppm], in m3/s. */
export function sourceM3PerS(model: Model, time: SecondsSinceMidnight, ppm: number): number {
	return model.source === undefined ? model.generationM3PerS : model.source.m3PerS(time, ppm);
}

/** Moments at which a source is looked at for its mean: a day to a few minutes. */
const LOOKS = 512;

/** Source of a model at a CO2 [ppm], in m3/s: its mean between two times by the clock, or from midnight on over all that it does. */
export function meanSourceM3PerS(
	{ source, generationM3PerS }: Pick<Model, "source" | "generationM3PerS">,
	ppm: number,
	fromSeconds = 0,
	toSeconds = source?.horizonSeconds ?? 0,
	looks = LOOKS,
): number {
	if (source === undefined) return generationM3PerS;
	if (!source.isTimeVarying) return source.m3PerS(sinceMidnight(fromSeconds), ppm);
	const step = (toSeconds - fromSeconds) / looks;
	let sum = 0;
	for (let i = 0; i < looks; i++) sum += source.m3PerS(sinceMidnight(fromSeconds + (i + 0.5) * step), ppm);
	return sum / looks;
}

/** The same chamber with a crop that gives off its mean over the day at any time of it. */
export function averageSource(model: Model): Model {
	const { source } = model;
	if (source === undefined || !source.isTimeVarying) return model;
	const level = { ...source, isTimeVarying: false, breakpointsSeconds: [], repeatsSeconds: null };
	return { ...model, source: { ...level, m3PerS: (_, ppm) => meanSourceM3PerS(model, ppm) } };
}

/**
 * The same chamber in a run that does not begin at midnight: time 0 of the run lies at `start` by the clock. This is the one place
 * where the time of a run and the time by the clock meet.
 */
export function startModelAt(model: Model, start: SecondsSinceMidnight): Model {
	const { source, intakeExcess } = model;
	if (!isTimeVarying(model) || start === 0) return model;
	const move = (times: readonly number[], period: number | null) =>
		times
			.map((time) => (period === null ? time - start : (((time - start) % period) + period) % period))
			.sort((a, b) => a - b);
	return {
		...model,
		...(intakeExcess !== undefined && {
			intakeExcess: {
				...intakeExcess,
				ppmAt: (time) => intakeExcess.ppmAt(sinceMidnight(start + time)),
				breakpointsSeconds: move(intakeExcess.breakpointsSeconds, DAY),
			},
		}),
		...(source?.isTimeVarying === true && {
			source: {
				...source,
				m3PerS: (time, ppm) => source.m3PerS(sinceMidnight(start + time), ppm),
				breakpointsSeconds: move(source.breakpointsSeconds, source.periodSeconds),
			},
		}),
	};
}
