/** Air changes of bursts, with how their errors hang together. */
export interface CountedAir {
	readonly onSeconds: readonly number[];
	/** CO2 before each, above the air drawn in as the file has it [ppm]. */
	readonly excessPpm: readonly number[];
	/** [-] */
	readonly airChanges: readonly number[];
	readonly covariance: Square;
}

/** A value that is found from its start on, or held there; `prior`: standard deviation of what is known of it. */
interface Sought {
	readonly start: number;
	readonly fixed: boolean;
	readonly prior?: number | undefined;
}

/** What the law rests on. */
export interface LawAsked {
	/** Air changes a second at full speed, m Q/V [1/s]. */
	readonly perSecond: Sought;
	/** On-time that a long burst loses, τup - τdown [s]. */
	readonly longLoss: Sought;
	/** What the sensor reads too high beyond what the file has [ppm]. */
	readonly zeroPpm: Sought;
	/** Time constant of a fan that runs down, τdown [s]. */
	readonly coastSeconds: number;
}

/** Air changes of a burst over its on-time. */
export interface BurstLaw {
	/** [1/s], [s] and [ppm]. */
	readonly perSecond: number;
	readonly longLossSeconds: number;
	readonly zeroPpm: number;
	/** Covariance of the three, 0 where one is held, and how they change with the air changes of each burst [3 × bursts]. */
	readonly covariance: Square;
	readonly gain: Square;
	/** Standard deviation from burst to burst that the noise of the log does not explain [-]. */
	readonly scatter: number;
	/** There is more of it than chance would show. */
	readonly scatterStands: boolean;
	/** Bursts less what was found from them alone. */
	readonly degreesOfFreedom: number;
	/** Air changes of a burst so long [-], and their slopes over the three. */
	at(onSeconds: number): BurstAir;
	/** The same as the sensor's zero in the file makes them of such an excess. */
	seenAt(onSeconds: number, excessPpm: number): BurstAir;
	/** Air changes as that zero shows them, freed of it, and their slope over what was seen [-]. */
	freed(seenAirChanges: number, excessPpm: number): { readonly airChanges: number; readonly slope: number };
	/** On-time that a burst loses when a long one loses so much [s]. */
	lossOf(longLossSeconds: number, onSeconds: number): number;
}

export interface BurstAir {
	readonly airChanges: number;
	readonly slopes: readonly [number, number, number];
	/** [s] */
	readonly lossSeconds: number;
}

type Square = readonly (readonly number[])[];

/** A sum of squares stands out from chance at so many of its standard deviations, √(2 degrees of freedom). */
const PLAIN = 3;
/** A fan that speeds up in less time does so at once [s]. */
const AT_ONCE = 1e-3;
/** Steps of a search that needs five, and the change that ends it. */
const MOST_STEPS = 100;
const STILL = 1e-10;

/**
 * Fits the law of a fan that speeds up and runs down exponentially to counted bursts (the mass balance's own fan, over a whole burst):
 *
 *     n = (m Q/V)(t - loss),   loss = (τup - τdown)(1 - e^-t/τup)
 *
 * by generalised least squares. A sensor that reads δ too high shows an excess E as E + δ, and n as -ln(q + (1 - q) e^-n) with q = δ/E before the
 * burst: the less CO2 is left, the more. Bursts that differ by more than their errors get a common scatter beside them, so large that
 * the weighted squares equal the degrees of freedom (Paule and Mandel 1982, from memory).
 */
export function burstLaw(counted: CountedAir, asked: LawAsked): BurstLaw {
	const sought = [asked.perSecond, asked.longLoss, asked.zeroPpm];
	const alone = sought.filter(({ fixed, prior }) => !fixed && prior === undefined).length;
	const degreesOfFreedom = counted.airChanges.length - alone;
	const beyond = (scatter: number): number =>
		fitted(counted, sought, asked.coastSeconds, scatter).squares - degreesOfFreedom;
	let scatter = 0;
	const atFirst = degreesOfFreedom > 0 ? beyond(0) : 0;
	if (atFirst > 0) {
		let low = 0;
		let high = Math.max(...counted.airChanges);
		while (high - low > 1e-3 * high) {
			scatter = (low + high) / 2;
			if (beyond(scatter) > 0) low = scatter;
			else high = scatter;
		}
	}
	const { values, covariance, gain } = fitted(counted, sought, asked.coastSeconds, scatter);
	return {
		perSecond: values[0]!,
		longLossSeconds: values[1]!,
		zeroPpm: values[2]!,
		covariance,
		gain,
		scatter,
		scatterStands: atFirst > PLAIN * Math.sqrt(2 * degreesOfFreedom),
		degreesOfFreedom,
		at: (onSeconds) => airOf(values, asked.coastSeconds, onSeconds),
		seenAt: (onSeconds, excessPpm) => seenOf(values, asked.coastSeconds, onSeconds, excessPpm),
		freed(seenAirChanges, excessPpm) {
			const q = values[2]! / excessPpm;
			const left = Math.exp(-seenAirChanges);
			const kept = Math.max((left - q) / (1 - q), Number.EPSILON);
			return { airChanges: -Math.log(kept), slope: left / (kept * (1 - q)) };
		},
		lossOf: (longLoss, onSeconds) => airOf([1, longLoss], asked.coastSeconds, onSeconds).lossSeconds,
	};
}

/** The law at its values. */
function airOf(values: readonly number[], coastSeconds: number, onSeconds: number): BurstAir {
	const [perSecond, longLoss] = [values[0]!, values[1]!];
	// A fan that loses less than nothing runs down more slowly than was known, and speeds up at once.
	const up = Math.max(longLoss + coastSeconds, AT_ONCE);
	const unsettled = Math.exp(-onSeconds / up);
	const lossSeconds = longLoss * (1 - unsettled);
	const lossSlope = 1 - unsettled - (longLoss * unsettled * onSeconds) / (up * up);
	return {
		airChanges: perSecond * (onSeconds - lossSeconds),
		slopes: [onSeconds - lossSeconds, -perSecond * lossSlope, 0],
		lossSeconds,
	};
}

/** The law as a sensor with another zero shows it. */
function seenOf(
	values: readonly number[],
	coastSeconds: number,
	onSeconds: number,
	excessPpm: number,
): BurstAir {
	const air = airOf(values, coastSeconds, onSeconds);
	const q = values[2]! / excessPpm;
	const kept = Math.exp(-air.airChanges);
	const left = q + (1 - q) * kept;
	const byAir = ((1 - q) * kept) / left;
	const [a, b] = air.slopes;
	return {
		airChanges: -Math.log(left),
		slopes: [byAir * a, byAir * b, -(1 - kept) / (excessPpm * left)],
		lossSeconds: air.lossSeconds,
	};
}

/** The values by Gauss and Newton, a step that does not help being halved. */
function fitted(
	{ onSeconds, excessPpm, airChanges, covariance: errors }: CountedAir,
	sought: readonly Sought[],
	coastSeconds: number,
	scatter: number,
): {
	readonly values: readonly number[];
	readonly squares: number;
	readonly covariance: Square;
	readonly gain: Square;
} {
	const weights = inverseOf(
		errors.map((row, i) => row.map((value, j) => (i === j ? value + scatter ** 2 : value))),
	);
	// A prior weighs like one burst more, of a value itself.
	const known = sought.map(({ prior, fixed }) => (prior === undefined || fixed ? 0 : prior ** -2));
	const look = (values: readonly number[]) => {
		const laws = onSeconds.map((t, k) => seenOf(values, coastSeconds, t, excessPpm[k]!));
		const left = airChanges.map((n, k) => n - laws[k]!.airChanges);
		const slopes = sought.map(({ fixed }, j) => laws.map((one) => (fixed ? 0 : one.slopes[j]!)));
		const weighed = slopes.map((column) => weights.map((row) => dot(row, column)));
		// A value that is held has a row of its own, which says that it stays.
		const normal = slopes.map((a, i) =>
			weighed.map((b, j) => dot(a, b) + (i === j ? (sought[i]!.fixed ? 1 : known[i]!) : 0)),
		);
		const covariance = inverseOf(normal).map((row, i) => row.map((value) => (sought[i]!.fixed ? 0 : value)));
		const gain = covariance.map((row) =>
			airChanges.map((_, k) =>
				dot(
					row,
					weighed.map((column) => column[k]!),
				),
			),
		);
		const off = values.map((value, j) => known[j]! * (sought[j]!.start - value));
		const squares =
			dot(
				left,
				weights.map((row) => dot(row, left)),
			) + off.reduce((sum, pull, j) => sum + pull * (sought[j]!.start - values[j]!), 0);
		const step = gain.map((row, j) => dot(row, left) + dot(covariance[j]!, off));
		return { values, squares, covariance, gain, step };
	};
	let best = look(sought.map(({ start }) => start));
	let share = 1;
	for (let turn = 0; turn < MOST_STEPS && share > STILL; turn++) {
		const next = look(best.values.map((value, j) => value + share * best.step[j]!));
		// A logarithm of less than nothing is no number, and no gain either.
		if (!(next.squares <= best.squares)) {
			share /= 2;
			continue;
		}
		const gained = best.squares - next.squares;
		best = next;
		share = Math.min(1, 2 * share);
		if (gained <= STILL * best.squares) break;
	}
	return best;
}

const dot = (a: readonly number[], b: readonly number[]): number =>
	a.reduce((sum, value, k) => sum + value * b[k]!, 0);

/** Inverse of a symmetric positive matrix by Gauss and Jordan; rows and columns are scaled, for seconds stand beside air changes. */
function inverseOf(matrix: Square): Square {
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
