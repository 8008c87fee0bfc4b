import { computeTransitionCoefficients } from "./transitioncoefficients.ts";

/** From this instant on, until the next edge. */
export interface SwitchEvent {
	readonly timeSeconds: number;
	readonly isOn: boolean;
	/** Entry of `sources` that holds from here on. */
	readonly source: number;
	/** Derivatives of the instant over the phase [-] and over the drift [s] of the timer; 0 where the edge does not hang on it. */
	readonly dTimeDPhase: number;
	readonly dTimeDRateError: number;
	/** Further parameters that move this edge: place of each in the row of slopes, and derivative of the instant over it. */
	readonly movedBy?: readonly { readonly column: number; readonly dTime: number }[];
}

/** One mixed zone and its sensor, in plain numbers. */
export interface ReadingModel {
	readonly volumeM3: number;
	readonly intakePpm: number;
	readonly mixingEfficiency: number;
	readonly deliveredM3PerS: number;
	readonly infiltrationM3PerS: number;
	/** CO2 given off [m3/s]: one figure for each stretch that the edges name. */
	readonly sources: ArrayLike<number>;
	/** Shape of the source over time [-], multiplied with the entry of `sources` that holds; absent when it is level. */
	readonly shape?: ((timeSeconds: number, source: number) => number) | undefined;
	/** Time constant of the sensor [s]; 0 for none. */
	readonly responseSeconds: number;
	/** What the sensor reads too high [ppm]. */
	readonly offsetPpm: number;
	/** Where the propagation begins, default 0 [s]: what went before the first sample that counts is not known. */
	readonly fromSeconds?: number | undefined;
	/** CO2 in the chamber and reading at that time [ppm]. */
	readonly initialCo2Ppm: number;
	readonly initialReadingPpm: number;
}

/** Place of each parameter's slope in the row of slopes; -1 where none is wanted. */
export interface JacobianColumns {
	readonly width: number;
	/** Of the first source; the others follow it. */
	readonly source: number;
	readonly flow: number;
	readonly leak: number;
	readonly response: number;
	readonly offset: number;
	readonly initialCo2: number;
	readonly initialReading: number;
	readonly phase: number;
	readonly timerRateError: number;
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
export function createReadingBlock(parameterCount: number): ReadingBlock {
	const columns = new Float64Array((parameterCount + 1) * BLOCK);
	return {
		first: 0,
		count: 0,
		columns,
		readingPpm: columns.subarray(parameterCount * BLOCK),
		chamberPpm: new Float64Array(BLOCK),
	};
}

/** Sensor state is left to follow at once below this time constant [s]. */
const MIN_RESPONSE_SECONDS = 1e-6;

/** A shaped source counts as level over so long [s]. */
const LEVEL = 300;

/** A slope that has faded so far, in whatever unit, is 0: left alone it sinks among numbers that processors are slow with. */
const MIN_DERIVATIVE = 1e-30;

/**
 * Readings of a sensor at the given times [s, ascending, from 0 on] and their exact slopes over the parameters,
 * propagated from edge to edge and sample to sample in closed form; a shaped source is taken at the middle of each stretch, none of
 * which is longer than five minutes.
 * The first edge must not lie after the beginning; readings before it are NaN.
 */
export function predictReadings(
	model: ReadingModel,
	events: readonly SwitchEvent[],
	timesSeconds: ArrayLike<number>,
	take: (block: ReadingBlock) => void,
	columnOf: JacobianColumns = NO_COLUMNS,
): void {
	const { volumeM3, intakePpm, mixingEfficiency, sources, shape, offsetPpm, fromSeconds = 0 } = model;
	const kappa =
		model.responseSeconds > MIN_RESPONSE_SECONDS ? 1 / model.responseSeconds : Number.POSITIVE_INFINITY;
	const isLagging = Number.isFinite(kappa);
	const leak = model.infiltrationM3PerS / volumeM3;
	const fan = (mixingEfficiency * model.deliveredM3PerS) / volumeM3;
	const rise = 1e6 / volumeM3;
	const longest = shape === undefined ? Number.POSITIVE_INFINITY : LEVEL;
	const fanOff = createTransitionTable(leak, kappa);
	const fanOn = createTransitionTable(leak + fan, kappa);
	const { width } = columnOf;
	const dx = new Float64Array(width);
	const dr = new Float64Array(width);
	const dLambdaDFlow = mixingEfficiency / volumeM3;
	const dKappaDResponse = isLagging ? -kappa * kappa : 0;

	let x = model.initialCo2Ppm - intakePpm;
	let r = isLagging ? model.initialReadingPpm - intakePpm - offsetPpm : x;
	if (columnOf.initialCo2 >= 0) dx[columnOf.initialCo2] = 1;
	if (isLagging) {
		if (columnOf.initialReading >= 0) dr[columnOf.initialReading] = 1;
		if (columnOf.offset >= 0) dr[columnOf.offset] = -1;
	} else dr.set(dx);

	let time = fromSeconds;
	let next = 0;
	while (next + 1 < events.length && events[next + 1]!.timeSeconds <= fromSeconds) next++;
	let { isOn, source } = events[next]!;
	next++;
	let eventSeconds = events[next]?.timeSeconds ?? Number.POSITIVE_INFINITY;

	const block = createReadingBlock(width);
	const { columns, readingPpm, chamberPpm } = block;
	const count = timesSeconds.length;
	for (let first = 0; first < count; first += BLOCK) {
		const rows = Math.min(BLOCK, count - first);
		for (let i = 0; i < rows; i++) {
			const sample = timesSeconds[first + i]!;
			// From edge to edge, then to the sample.
			for (;;) {
				const until = Math.min(eventSeconds, sample, time + longest);
				const t = until - time;
				if (t > 0) {
					const { table, rowOf } = isOn ? fanOn : fanOff;
					const row = rowOf(t);
					const chamberDecay = table[row + CHAMBER_DECAY]!;
					const chamberStep = table[row + CHAMBER_STEP]!;
					const sensorDecay = table[row + SENSOR_DECAY]!;
					const chamberToSensor = table[row + CHAMBER_TO_SENSOR]!;
					const sourceToSensor = table[row + SOURCE_TO_SENSOR]!;
					const share = rise * (shape === undefined ? 1 : shape(time + t / 2, source));
					const g = share * sources[source]!;
					if (width > 0) {
						for (let k = 0; k < width; k++) {
							dr[k] = sensorDecay * dr[k]! + chamberToSensor * dx[k]!;
							dx[k] = chamberDecay * dx[k]!;
						}
						if (columnOf.source >= 0) {
							dx[columnOf.source + source]! += share * chamberStep;
							dr[columnOf.source + source]! += share * sourceToSensor;
						}
						const dXDLambda = g * table[row + D_CHAMBER_STEP_D_LAMBDA]! - t * chamberDecay * x;
						const dRDLambda =
							x * table[row + D_CHAMBER_TO_SENSOR_D_LAMBDA]! + g * table[row + D_SOURCE_TO_SENSOR_D_LAMBDA]!;
						if (columnOf.leak >= 0) {
							dx[columnOf.leak]! += dXDLambda / volumeM3;
							dr[columnOf.leak]! += dRDLambda / volumeM3;
						}
						if (isOn && columnOf.flow >= 0) {
							dx[columnOf.flow]! += dXDLambda * dLambdaDFlow;
							dr[columnOf.flow]! += dRDLambda * dLambdaDFlow;
						}
						if (columnOf.response >= 0) {
							const dRDKappa =
								x * table[row + D_CHAMBER_TO_SENSOR_D_KAPPA]! + g * table[row + D_SOURCE_TO_SENSOR_D_KAPPA]!;
							dr[columnOf.response]! += dKappaDResponse * (dRDKappa - t * sensorDecay * r);
						}
					}
					r = sensorDecay * r + chamberToSensor * x + sourceToSensor * g;
					x = chamberDecay * x + chamberStep * g;
					time = until;
				}
				if (until < eventSeconds) {
					if (until < sample) continue;
					break;
				}
				const event = events[next]!;
				// A later switch lets the old slope of x run on: x jumps in its derivative by the difference of the two slopes.
				if (event.isOn !== isOn) {
					const jump = (event.isOn ? fan : -fan) * x;
					if (columnOf.phase >= 0) dx[columnOf.phase]! += jump * event.dTimeDPhase;
					if (columnOf.timerRateError >= 0) dx[columnOf.timerRateError]! += jump * event.dTimeDRateError;
					if (!isLagging) {
						if (columnOf.phase >= 0) dr[columnOf.phase] = dx[columnOf.phase]!;
						if (columnOf.timerRateError >= 0) dr[columnOf.timerRateError] = dx[columnOf.timerRateError]!;
					}
					if (event.movedBy !== undefined)
						for (const { column, dTime } of event.movedBy) {
							dx[column]! += jump * dTime;
							if (!isLagging) dr[column] = dx[column]!;
						}
				}
				isOn = event.isOn;
				source = event.source;
				next++;
				eventSeconds = events[next]?.timeSeconds ?? Number.POSITIVE_INFINITY;
			}
			for (let k = 0; k < width; k++) columns[k * BLOCK + i] = dr[k]!;
			if (columnOf.offset >= 0) columns[columnOf.offset * BLOCK + i]! += 1;
			readingPpm[i] = sample < fromSeconds ? Number.NaN : intakePpm + r + offsetPpm;
			chamberPpm[i] = sample < fromSeconds ? Number.NaN : intakePpm + x;
		}
		block.first = first;
		block.count = rows;
		take(block);
		for (let k = 0; k < width; k++)
			if (Math.abs(dx[k]!) < MIN_DERIVATIVE && Math.abs(dr[k]!) < MIN_DERIVATIVE) {
				dx[k] = 0;
				dr[k] = 0;
			}
	}
}

/** No slope is wanted. */
export const NO_COLUMNS: JacobianColumns = {
	width: 0,
	source: -1,
	flow: -1,
	leak: -1,
	response: -1,
	offset: -1,
	initialCo2: -1,
	initialReading: -1,
	phase: -1,
	timerRateError: -1,
};

/** Slots of the memory of answers, as a power of two. */
const SLOT_BITS = 8;

/** Places within a row of remembered answers; see TransitionCoefficients. */
const [
	SECONDS,
	CHAMBER_DECAY,
	CHAMBER_STEP,
	SENSOR_DECAY,
	CHAMBER_TO_SENSOR,
	SOURCE_TO_SENSOR,
	D_CHAMBER_STEP_D_LAMBDA,
	D_CHAMBER_TO_SENSOR_D_LAMBDA,
	D_SOURCE_TO_SENSOR_D_LAMBDA,
	D_CHAMBER_TO_SENSOR_D_KAPPA,
	D_SOURCE_TO_SENSOR_D_KAPPA,
	ROW,
] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11] as const;

/** Answers at one rate, remembered by length in the rows of a table: most stretches of a log are one sample step long. */
interface TransitionTable {
	readonly table: Float64Array;
	/** Where the row for a length [s] begins. */
	rowOf(seconds: number): number;
}

function createTransitionTable(lambda: number, kappa: number): TransitionTable {
	const table = new Float64Array(ROW << SLOT_BITS);
	return {
		table,
		rowOf(seconds) {
			// Spread by the golden section: lengths are mostly multiples of one step.
			const row = ROW * (Math.imul(seconds * 16, 0x9e3779b1) >>> (32 - SLOT_BITS));
			if (table[row + SECONDS] === seconds) return row;
			const coefficients = computeTransitionCoefficients(lambda, kappa, seconds);
			table[row + SECONDS] = seconds;
			table[row + CHAMBER_DECAY] = coefficients.chamberDecay;
			table[row + CHAMBER_STEP] = coefficients.chamberStep;
			table[row + SENSOR_DECAY] = coefficients.sensorDecay;
			table[row + CHAMBER_TO_SENSOR] = coefficients.chamberToSensor;
			table[row + SOURCE_TO_SENSOR] = coefficients.sourceToSensor;
			table[row + D_CHAMBER_STEP_D_LAMBDA] = coefficients.dChamberStepDLambda;
			table[row + D_CHAMBER_TO_SENSOR_D_LAMBDA] = coefficients.dChamberToSensorDLambda;
			table[row + D_SOURCE_TO_SENSOR_D_LAMBDA] = coefficients.dSourceToSensorDLambda;
			table[row + D_CHAMBER_TO_SENSOR_D_KAPPA] = coefficients.dChamberToSensorDKappa;
			table[row + D_SOURCE_TO_SENSOR_D_KAPPA] = coefficients.dSourceToSensorDKappa;
			return row;
		},
	};
}
