import { type Fault, InputError, show } from "../../errors.ts";
import { MAX_SERIES_ARGUMENT, phi2 } from "../propagate/phi.ts";

/** Parameter sets of one-zone chambers with instant fans, one set an index; all of one length. */
export interface CycleColumns {
	/** CO2 of the air drawn in [ppm]. */
	readonly intakePpm: Float64Array;
	/** Rise of the closed chamber, 1e6 G/V [ppm/s]. */
	readonly risePpmPerS: Float64Array;
	/** Air changes with the fan on, (m Q + L)/V, and off, L/V [1/s]. */
	readonly onPerS: Float64Array;
	readonly offPerS: Float64Array;
	readonly onSeconds: Float64Array;
	readonly offSeconds: Float64Array;
}

/** Periodic figures, one an index [ppm]; infinite where nothing carries CO2 away. */
export interface PeriodicColumns {
	readonly peakPpm: Float64Array;
	readonly meanPpm: Float64Array;
	readonly troughPpm: Float64Array;
}

/**
 * Peak, mean and trough of the periodic steady state of many cycles, in closed form.
 *
 *     P = Cs + [s b φ1(λ0 b) + e^(-λ0 b) s a φ1(λ1 a)] / (1 - e^(-λ1 a - λ0 b))       (6)
 *     W = Cs + (P - Cs) e^(-λ1 a) + s a φ1(λ1 a)                                     (7)
 *     mean = Cs + [P a φ1(λ1 a) + s a² φ2(λ1 a) + W b φ1(λ0 b) + s b² φ2(λ0 b)]/(a + b)   (8), with P and W above Cs
 *
 * a, b on- and off-time, λ1, λ0 air changes on and off, s rise of the closed chamber. All terms are positive: nothing cancels.
 *
 * @param c columns of one length: intake [ppm], rise [ppm/s], air changes on and off [1/s], on- and off-times [s]
 * @param out columns to be filled, of a former call
 * @returns peak, mean and trough [ppm], infinite where nothing carries CO2 away
 * @throws never
 *
 * Source: derived here; equal to the usual two-branch form with and without leakage.
 * @example periodicColumns({ intakePpm: Float64Array.of(430), risePpmPerS: Float64Array.of(0.33), onPerS: Float64Array.of(0.0667), offPerS: Float64Array.of(0.00001), onSeconds: Float64Array.of(12), offSeconds: Float64Array.of(540) }).peakPpm[0].toFixed(1) // => "756.1"
 */
export function periodicColumns(c: CycleColumns, out?: PeriodicColumns): PeriodicColumns {
	checkColumns(c, out);
	const n = c.intakePpm.length;
	const result = out ?? {
		peakPpm: new Float64Array(n),
		meanPpm: new Float64Array(n),
		troughPpm: new Float64Array(n),
	};
	const { intakePpm, risePpmPerS, onPerS, offPerS, onSeconds, offSeconds } = c;
	const { peakPpm, meanPpm, troughPpm } = result;
	for (let i = 0; i < n; i++) {
		const s = risePpmPerS[i]!;
		const a = onSeconds[i]!;
		const b = offSeconds[i]!;
		const x1 = onPerS[i]! * a;
		const x0 = offPerS[i]! * b;
		// Where the series serves φ2 it serves φ1 = 1 - x φ2 as well, without an exponential.
		const g1 = x1 > MAX_SERIES_ARGUMENT ? 0 : phi2(x1);
		const f1 = x1 > MAX_SERIES_ARGUMENT ? -Math.expm1(-x1) / x1 : 1 - x1 * g1;
		const g0 = x0 > MAX_SERIES_ARGUMENT ? 0 : phi2(x0);
		const f0 = x0 > MAX_SERIES_ARGUMENT ? -Math.expm1(-x0) / x0 : 1 - x0 * g0;
		const purged = x1 * f1;
		const leaked = x0 * f0;
		const gainOn = s * a * f1;
		const gainOff = s * b * f0;
		const peak = (gainOff + (1 - leaked) * gainOn) / (purged + leaked * (1 - purged));
		const trough = peak * (1 - purged) + gainOn;
		const h1 = x1 > MAX_SERIES_ARGUMENT ? (1 - f1) / x1 : g1;
		const h0 = x0 > MAX_SERIES_ARGUMENT ? (1 - f0) / x0 : g0;
		const timeIntegral = peak * a * f1 + s * a * a * h1 + trough * b * f0 + s * b * b * h0;
		peakPpm[i] = intakePpm[i]! + peak;
		troughPpm[i] = intakePpm[i]! + trough;
		meanPpm[i] = intakePpm[i]! + timeIntegral / (a + b);
	}
	return result;
}

const COLUMNS = ["intakePpm", "risePpmPerS", "onPerS", "offPerS", "onSeconds", "offSeconds"] as const;
const FIGURES = ["peakPpm", "meanPpm", "troughPpm"] as const;

function checkColumns(columns: CycleColumns, out: PeriodicColumns | undefined): void {
	const length = columns?.intakePpm?.length;
	const faults: Fault[] = [];
	const check = (name: string, column: unknown) => {
		if (!(column instanceof Float64Array && column.length === length))
			faults.push({
				message: `${name} needs a Float64Array as long as intakePpm, got ${show(column)}`,
			});
	};
	for (const key of COLUMNS) check(key, columns?.[key]);
	if (out !== undefined) for (const key of FIGURES) check(`out.${key}`, out?.[key]);
	if (faults.length > 0) throw new InputError(faults);
}

/** Figures of the periodic regime of a cycle in the zone of the crop [ppm]; infinite where nothing is carried away. */
export interface CycleStats {
	readonly peakPpm: number;
	readonly meanPpm: number;
	readonly troughPpm: number;
}

/**
 * Peak, mean and trough of one cycle, (6) to (8); see `periodicColumns`.
 *
 * @param intakePpm CO2 of the intake air [ppm]
 * @param risePpmPerS rise of the closed chamber [ppm/s]
 * @param onPerS air changes with the fan on [1/s]
 * @param offPerS air changes with the fan off [1/s]
 * @param onSeconds on-time [s]
 * @param offSeconds off-time [s]
 * @returns peak, mean and trough [ppm], infinite where nothing carries CO2 away
 * @throws never
 *
 * Source: derived here.
 * @example periodicCycle(430, 0.33, 0.0667, 0.00001, 12, 540).peakPpm.toFixed(1) // => "756.1"
 */
export function periodicCycle(
	intakePpm: number,
	risePpmPerS: number,
	onPerS: number,
	offPerS: number,
	onSeconds: number,
	offSeconds: number,
): CycleStats {
	const sum: unknown = intakePpm + risePpmPerS + onPerS + offPerS + onSeconds + offSeconds;
	const isSound = intakePpm >= 0 && risePpmPerS >= 0 && onPerS >= 0 && offPerS >= 0;
	if (
		!(
			isSound &&
			onSeconds >= 0 &&
			offSeconds >= 0 &&
			typeof sum === "number" &&
			sum < Number.POSITIVE_INFINITY
		)
	)
		refuseCycle({ intakePpm, risePpmPerS, onPerS, offPerS, onSeconds, offSeconds });
	if (onSeconds + offSeconds === 0)
		throw new InputError("onSeconds and offSeconds are both 0 s, so the cycle has no length");
	const one = (x: number) => Float64Array.of(x);
	const columns = periodicColumns({
		intakePpm: one(intakePpm),
		risePpmPerS: one(risePpmPerS),
		onPerS: one(onPerS),
		offPerS: one(offPerS),
		onSeconds: one(onSeconds),
		offSeconds: one(offSeconds),
	});
	return { peakPpm: columns.peakPpm[0]!, meanPpm: columns.meanPpm[0]!, troughPpm: columns.troughPpm[0]! };
}

function refuseCycle(given: Readonly<Record<(typeof COLUMNS)[number], unknown>>): never {
	const isWrong = (x: unknown) => !(typeof x === "number" && x >= 0 && x < Number.POSITIVE_INFINITY);
	throw new InputError(
		COLUMNS.filter((key) => isWrong(given[key])).map((key) => ({
			message: `${key} needs a number of 0 or more, got ${show(given[key])}`,
		})),
	);
}
