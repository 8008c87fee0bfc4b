import { type Fault, gatherFaults, InputError, show } from "../../errors.ts";
import type { Model } from "../../model/chamber.ts";
import { type CompiledModel, compile } from "../compile.ts";
import { periodicState } from "../periodic.ts";
import { MAX_SERIES_ARGUMENT, phi2 } from "../propagate/phi.ts";

/** Periods whose every pair is a setting [s]. */
export interface SettingGrid {
	readonly onSeconds: ArrayLike<number>;
	readonly offSeconds: ArrayLike<number>;
}

/** Figures of the periodic regime of every setting [ppm]: on-time i and off-time j at i · (number of off-times) + j. */
export interface SettingMap {
	readonly peakPpm: Float64Array;
	readonly meanPpm: Float64Array;
	readonly troughPpm: Float64Array;
}

/** What one phase of each length does to the excess x: x → x (1 - lost) + gain, and its integral is x · reach + area. */
interface PhaseTables {
	/** 1 - e^(-λt) */
	readonly decayed: Float64Array;
	/** s t φ1(λt) [ppm] */
	readonly gain: Float64Array;
	/** t φ1(λt) [s] */
	readonly freeTimeIntegral: Float64Array;
	/** s t² φ2(λt) [ppm s] */
	readonly forcedTimeIntegral: Float64Array;
}

/** Phases at one rate of air change [1/s] and rise of the closed chamber [ppm/s]. */
function tabulatePhases(risePpmPerS: number, perS: number, seconds: ArrayLike<number>): PhaseTables {
	const n = seconds.length;
	const [decayed, gain, freeTimeIntegral, forcedTimeIntegral] = [0, 0, 0, 0].map(
		() => new Float64Array(n),
	) as [Float64Array, Float64Array, Float64Array, Float64Array];
	for (let i = 0; i < n; i++) {
		const t = seconds[i]!;
		const x = perS * t;
		const f2 = x <= MAX_SERIES_ARGUMENT ? phi2(x) : 0;
		const f1 = x <= MAX_SERIES_ARGUMENT ? 1 - x * f2 : -Math.expm1(-x) / x;
		decayed[i] = x * f1;
		freeTimeIntegral[i] = t * f1;
		gain[i] = risePpmPerS * t * f1;
		forcedTimeIntegral[i] = risePpmPerS * t * t * (x <= MAX_SERIES_ARGUMENT ? f2 : (1 - f1) / x);
	}
	return { decayed, gain, freeTimeIntegral, forcedTimeIntegral };
}

/** One mixed zone, constant source, a fan without spin-up and coast-down: the closed form serves. */
export function isOneZone({ model, isLinear }: CompiledModel): boolean {
	return (
		isLinear &&
		(model.spinUpTauSeconds ?? 0) === 0 &&
		(model.coastDownTauSeconds ?? 0) === 0 &&
		(model.stagnantFraction ?? 0) === 0
	);
}

/**
 * Peak, mean and trough of every setting of a grid, for people who plot themselves.
 *
 * Of a one-zone chamber with an instant fan by equations 6 to 8, from tables of what each burst and each pause does; of any
 * other linear model setting by setting, some thousand times slower.
 *
 * @param given the mass balance; its source must be constant
 * @param grid on-times and off-times [s]
 * @param out columns to be filled, of a former call with a grid of the same size
 * @returns columns [ppm]: on-time i and off-time j at i · (number of off-times) + j
 * @throws InputError for a model whose source changes, which has no periodic steady state to evaluate
 *
 * Source: this project.
 * @example settingMap({ volumeM3: 0.18, intakePpm: 430, generationM3PerS: 6e-8, infiltrationM3PerS: 2e-6, deliveredM3PerS: 0.012 }, { onSeconds: [12], offSeconds: [540] }).peakPpm[0].toFixed(2) // => "759.22"
 */
export function settingMap(given: Model | CompiledModel, grid: SettingGrid, out?: SettingMap): SettingMap {
	const faults: Fault[] = [];
	let checked: CompiledModel | undefined;
	gatherFaults(faults, () => {
		checked = compile(given);
	});
	faults.push(...findGridFaults(grid, out));
	if (checked === undefined || faults.length > 0) throw new InputError(faults);
	const compiled: CompiledModel = checked;
	const { onSeconds, offSeconds } = grid;
	const [rows, columns] = [onSeconds.length, offSeconds.length];
	const result = out ?? {
		peakPpm: new Float64Array(rows * columns),
		meanPpm: new Float64Array(rows * columns),
		troughPpm: new Float64Array(rows * columns),
	};
	if (!compiled.isLinear)
		throw new InputError("a map of settings needs a source that depends neither on time nor on CO2");
	if (isOneZone(compiled)) fillOneZone(compiled, grid, result);
	else
		for (let i = 0; i < rows; i++)
			for (let j = 0; j < columns; j++) {
				const steadyState = periodicState(compiled, {
					kind: "cycle",
					onSeconds: onSeconds[i]!,
					offSeconds: offSeconds[j]!,
				});
				const at = i * columns + j;
				result.peakPpm[at] = steadyState.exists ? steadyState.peakPpm : Number.POSITIVE_INFINITY;
				result.meanPpm[at] = steadyState.exists ? steadyState.meanPpm : Number.POSITIVE_INFINITY;
				result.troughPpm[at] = steadyState.exists ? steadyState.troughPpm : Number.POSITIVE_INFINITY;
			}
	return result;
}

/** Settings of lengths that are no times would be NaN, and so would a map of another size have gaps. */
function findGridFaults(grid: SettingGrid, out: SettingMap | undefined): Fault[] {
	if (typeof grid !== "object" || grid === null)
		return [{ message: `grid needs an object with onSeconds and offSeconds, got ${show(grid)}` }];
	const faults: Fault[] = [];
	for (const key of ["onSeconds", "offSeconds"] as const) {
		const list: ArrayLike<number> = grid[key];
		if (!(Array.isArray(list) || ArrayBuffer.isView(list))) {
			faults.push({ message: `grid.${key} needs a list of times in s, got ${show(list)}` });
			continue;
		}
		for (let i = 0; i < list.length; i++)
			if (!(typeof list[i] === "number" && list[i]! >= 0 && list[i]! < Number.POSITIVE_INFINITY)) {
				faults.push({ message: `grid.${key}[${i}] needs a time of 0 s or more, got ${show(list[i])}` });
				break;
			}
	}
	if (faults.length > 0) return faults;
	const size = grid.onSeconds.length * grid.offSeconds.length;
	if (out !== undefined)
		for (const key of ["peakPpm", "meanPpm", "troughPpm"] as const)
			if (!(out?.[key] instanceof Float64Array && out[key].length === size))
				faults.push({
					message: `out.${key} needs a Float64Array of ${size} places, got ${show(out?.[key])}`,
				});
	const hasNoOn = Array.from(grid.onSeconds).includes(0);
	if (hasNoOn && Array.from(grid.offSeconds).includes(0))
		faults.push({
			message: "grid has an on-time and an off-time of 0 s, a cycle without length; leave one of them out",
		});
	return faults;
}

function fillOneZone(
	{ model, balance: b, sourceM3PerS }: CompiledModel,
	{ onSeconds, offSeconds }: SettingGrid,
	out: SettingMap,
): void {
	const rise = b.riseMixed * sourceM3PerS;
	const on = tabulatePhases(rise, b.infiltrationPerS + b.fanPerS, onSeconds);
	const off = tabulatePhases(rise, b.infiltrationPerS, offSeconds);
	const columns = offSeconds.length;
	for (let i = 0; i < onSeconds.length; i++)
		fillRow(
			out,
			i * columns,
			model.intakePpm,
			onSeconds[i]!,
			on.decayed[i]!,
			on.gain[i]!,
			on.freeTimeIntegral[i]!,
			on.forcedTimeIntegral[i]!,
			offSeconds,
			off,
		);
}

/** All off-times with one on-time. Plain numbers in, so that the loop is compiled tight. */
function fillRow(
	out: SettingMap,
	offset: number,
	intakePpm: number,
	seconds: number,
	decayed: number,
	gain: number,
	freeTimeIntegral: number,
	forcedTimeIntegral: number,
	offSeconds: ArrayLike<number>,
	off: PhaseTables,
): void {
	const { peakPpm, meanPpm, troughPpm } = out;
	const {
		decayed: decayed0,
		gain: gain0,
		freeTimeIntegral: freeTimeIntegral0,
		forcedTimeIntegral: forcedTimeIntegral0,
	} = off;
	const kept = 1 - decayed;
	for (let j = 0; j < offSeconds.length; j++) {
		const l0 = decayed0[j]!;
		const peak = (gain0[j]! + (1 - l0) * gain) / (decayed + l0 * kept);
		const trough = peak * kept + gain;
		peakPpm[offset + j] = intakePpm + peak;
		troughPpm[offset + j] = intakePpm + trough;
		meanPpm[offset + j] =
			intakePpm +
			(peak * freeTimeIntegral +
				forcedTimeIntegral +
				trough * freeTimeIntegral0[j]! +
				forcedTimeIntegral0[j]!) /
				(seconds + offSeconds[j]!);
	}
}
