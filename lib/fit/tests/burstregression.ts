/** Air changes of bursts, with the covariance of their errors. */
export interface BurstAirChanges {
	readonly onSeconds: readonly number[];
	/** CO2 before each, above the air drawn in as the file has it [ppm]. */
	readonly excessPpm: readonly number[];
	/** [-] */
	readonly airChanges: readonly number[];
	readonly covariance: Square;
}

/** A value that is found from its start on, or held there; `prior`: standard deviation of what is known of it. */
interface RegressionParameter {
	readonly initial: number;
	readonly fixed: boolean;
	readonly prior?: number | undefined;
}

/** What the law rests on. */
export interface BurstRegressionInput {
	/** Air changes a second at full speed, m Q/V [1/s]. */
	readonly perSecond: RegressionParameter;
	/** On-time that a long burst loses, τup - τdown [s]. */
	readonly longBurstLostOn: RegressionParameter;
	/** What the sensor reads too high beyond what the file has [ppm]. */
	readonly zeroPpm: RegressionParameter;
	/** Time constant of a fan that runs down, τdown [s]. */
	readonly coastSeconds: number;
}

/** Air changes of a burst over its on-time. */
export interface BurstRegression {
	/** [1/s], [s] and [ppm]. */
	readonly perSecond: number;
	readonly longBurstLostOnSeconds: number;
	readonly zeroPpm: number;
	/** Covariance of the three, 0 where one is held, and how they change with the air changes of each burst [3 × bursts]. */
	readonly covariance: Square;
	readonly gain: Square;
	/** Standard deviation from burst to burst that the noise of the log does not explain [-]. */
	readonly betweenBurstSd: number;
	/** There is more of it than chance would show. */
	readonly isBetweenBurstSdSignificant: boolean;
	/** Bursts less what was found from them alone. */
	readonly degreesOfFreedom: number;
	/** Air changes of a burst so long [-], and their slopes over the three. */
	predictAir(onSeconds: number): BurstAir;
	/** The same as the sensor's zero in the file makes them of such an excess. */
	predictSeenAir(onSeconds: number, excessPpm: number): BurstAir;
	/** Air changes as that zero shows them, freed of it, and their slope over what was seen [-]. */
	correctedForOffset(
		seenAirChanges: number,
		excessPpm: number,
	): { readonly airChanges: number; readonly derivative: number };
	/** On-time that a burst loses when a long one loses so much [s]. */
	lostOnSeconds(longBurstLostOnSeconds: number, onSeconds: number): number;
}

export interface BurstAir {
	readonly airChanges: number;
	readonly jacobian: readonly [number, number, number];
	/** [s] */
	readonly lostOnSeconds: number;
}

type Square = readonly (readonly number[])[];

/** A sum of squares stands out from chance at so many of its standard deviations, √(2 degrees of freedom). */
const MIN_STANDARD_DEVIATIONS = 3;
/** A fan that speeds up in less time does so at once [s]. */
const MIN_TAU_SECONDS = 1e-3;
/** Steps of a search that needs five, and the change that ends it. */
const MAX_ITERATIONS = 100;
const COST_TOLERANCE = 1e-10;

/**
 * Fits the law of a fan that speeds up and runs down exponentially to counted bursts (the mass balance's own fan, over a whole burst):
 *
 *     n = (m Q/V)(t - loss),   loss = (τup - τdown)(1 - e^-t/τup)
 *
 * by generalised least squares. A sensor that reads δ too high shows an excess E as E + δ, and n as -ln(q + (1 - q) e^-n) with q = δ/E before the
 * burst: the less CO2 is left, the more. Bursts that differ by more than their errors get a common scatter beside them, so large that
 * the weighted squares equal the degrees of freedom (Paule and Mandel 1982, from memory).
 */
export function regressBursts(counted: BurstAirChanges, asked: BurstRegressionInput): BurstRegression {
	const sought = [asked.perSecond, asked.longBurstLostOn, asked.zeroPpm];
	const alone = sought.filter(({ fixed, prior }) => !fixed && prior === undefined).length;
	const degreesOfFreedom = counted.airChanges.length - alone;
	const beyond = (betweenBurstSd: number): number =>
		solveRegression(counted, sought, asked.coastSeconds, betweenBurstSd).squares - degreesOfFreedom;
	let betweenBurstSd = 0;
	const atFirst = degreesOfFreedom > 0 ? beyond(0) : 0;
	if (atFirst > 0) {
		let low = 0;
		let high = Math.max(...counted.airChanges);
		while (high - low > 1e-3 * high) {
			betweenBurstSd = (low + high) / 2;
			if (beyond(betweenBurstSd) > 0) low = betweenBurstSd;
			else high = betweenBurstSd;
		}
	}
	const { values, covariance, gain } = solveRegression(counted, sought, asked.coastSeconds, betweenBurstSd);
	return {
		perSecond: values[0]!,
		longBurstLostOnSeconds: values[1]!,
		zeroPpm: values[2]!,
		covariance,
		gain,
		betweenBurstSd,
		isBetweenBurstSdSignificant: atFirst > MIN_STANDARD_DEVIATIONS * Math.sqrt(2 * degreesOfFreedom),
		degreesOfFreedom,
		predictAir: (onSeconds) => predictAir(values, asked.coastSeconds, onSeconds),
		predictSeenAir: (onSeconds, excessPpm) =>
			predictSeenAir(values, asked.coastSeconds, onSeconds, excessPpm),
		correctedForOffset(seenAirChanges, excessPpm) {
			const q = values[2]! / excessPpm;
			const left = Math.exp(-seenAirChanges);
			const kept = Math.max((left - q) / (1 - q), Number.EPSILON);
			return { airChanges: -Math.log(kept), derivative: left / (kept * (1 - q)) };
		},
		lostOnSeconds: (longBurstLostOnSeconds, onSeconds) =>
			predictAir([1, longBurstLostOnSeconds], asked.coastSeconds, onSeconds).lostOnSeconds,
	};
}

/** The law at its values. */
function predictAir(values: readonly number[], coastSeconds: number, onSeconds: number): BurstAir {
	const [perSecond, longBurstLostOnSeconds] = [values[0]!, values[1]!];
	// A fan that loses less than nothing runs down more slowly than was known, and speeds up at once.
	const tauSeconds = Math.max(longBurstLostOnSeconds + coastSeconds, MIN_TAU_SECONDS);
	const unsettled = Math.exp(-onSeconds / tauSeconds);
	const lostOnSeconds = longBurstLostOnSeconds * (1 - unsettled);
	const dLostOn =
		1 - unsettled - (longBurstLostOnSeconds * unsettled * onSeconds) / (tauSeconds * tauSeconds);
	return {
		airChanges: perSecond * (onSeconds - lostOnSeconds),
		jacobian: [onSeconds - lostOnSeconds, -perSecond * dLostOn, 0],
		lostOnSeconds,
	};
}

/** The law as a sensor with another zero shows it. */
function predictSeenAir(
	values: readonly number[],
	coastSeconds: number,
	onSeconds: number,
	excessPpm: number,
): BurstAir {
	const air = predictAir(values, coastSeconds, onSeconds);
	const q = values[2]! / excessPpm;
	const kept = Math.exp(-air.airChanges);
	const left = q + (1 - q) * kept;
	const dAir = ((1 - q) * kept) / left;
	const [a, b] = air.jacobian;
	return {
		airChanges: -Math.log(left),
		jacobian: [dAir * a, dAir * b, -(1 - kept) / (excessPpm * left)],
		lostOnSeconds: air.lostOnSeconds,
	};
}

/** The values by Gauss and Newton, a step that does not help being halved. */
function solveRegression(
	{ onSeconds, excessPpm, airChanges, covariance: errors }: BurstAirChanges,
	sought: readonly RegressionParameter[],
	coastSeconds: number,
	betweenBurstSd: number,
): {
	readonly values: readonly number[];
	readonly squares: number;
	readonly covariance: Square;
	readonly gain: Square;
} {
	const weights = invert(
		errors.map((row, i) => row.map((value, j) => (i === j ? value + betweenBurstSd ** 2 : value))),
	);
	// A prior weighs like one burst more, of a value itself.
	const known = sought.map(({ prior, fixed }) => (prior === undefined || fixed ? 0 : 1 / prior ** 2));
	const look = (values: readonly number[]) => {
		const predicted = onSeconds.map((t, k) => predictSeenAir(values, coastSeconds, t, excessPpm[k]!));
		const left = airChanges.map((n, k) => n - predicted[k]!.airChanges);
		const jacobian = sought.map(({ fixed }, j) => predicted.map((one) => (fixed ? 0 : one.jacobian[j]!)));
		const weighed = jacobian.map((column) => weights.map((row) => dot(row, column)));
		// A value that is held has a row of its own, which says that it stays.
		const normal = jacobian.map((a, i) =>
			weighed.map((b, j) => dot(a, b) + (i === j ? (sought[i]!.fixed ? 1 : known[i]!) : 0)),
		);
		const covariance = invert(normal).map((row, i) => row.map((value) => (sought[i]!.fixed ? 0 : value)));
		const gain = covariance.map((row) =>
			airChanges.map((_, k) =>
				dot(
					row,
					weighed.map((column) => column[k]!),
				),
			),
		);
		const off = values.map((value, j) => known[j]! * (sought[j]!.initial - value));
		const squares =
			dot(
				left,
				weights.map((row) => dot(row, left)),
			) + off.reduce((sum, pull, j) => sum + pull * (sought[j]!.initial - values[j]!), 0);
		const step = gain.map((row, j) => dot(row, left) + dot(covariance[j]!, off));
		return { values, squares, covariance, gain, step };
	};
	let best = look(sought.map(({ initial }) => initial));
	let share = 1;
	for (let turn = 0; turn < MAX_ITERATIONS && share > COST_TOLERANCE; turn++) {
		const next = look(best.values.map((value, j) => value + share * best.step[j]!));
		// A logarithm of less than nothing is no number, and no gain either.
		if (!(next.squares <= best.squares)) {
			share /= 2;
			continue;
		}
		const gained = best.squares - next.squares;
		best = next;
		share = Math.min(1, 2 * share);
		if (gained <= COST_TOLERANCE * best.squares) break;
	}
	return best;
}

const dot = (a: readonly number[], b: readonly number[]): number =>
	a.reduce((sum, value, k) => sum + value * b[k]!, 0);

/** Inverse of a symmetric positive matrix by Gauss and Jordan; rows and columns are scaled, for seconds stand beside air changes. */
function invert(matrix: Square): Square {
	const n = matrix.length;
	const scale = matrix.map((row, i) => Math.sqrt(row[i]!));
	const rows = matrix.map((row, i) => [
		...row.map((value, j) => value / (scale[i]! * scale[j]!)),
		...row.map((_, j) => (i === j ? 1 : 0)),
	]);
	for (let c = 0; c < n; c++) {
		const pivot = rows[c]![c]!;
		rows[c] = rows[c]!.map((value) => value / pivot);
		for (let i = 0; i < n; i++) {
			const factor = rows[i]![c]!;
			if (i !== c && factor !== 0) rows[i] = rows[i]!.map((value, j) => value - factor * rows[c]![j]!);
		}
	}
	return rows.map((row, i) => row.slice(n).map((value, j) => value / (scale[i]! * scale[j]!)));
}
