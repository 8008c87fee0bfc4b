import {
	continuousState,
	type Model,
	type PeriodicSteadyState,
	periodicState,
	simulate,
} from "../../lib/index.ts";

export const HOUR = 3600;
/** Not 0 on purpose, so that a supply counted twice or not at all shows; where a case leaves it free. */
export const SUPPLY_PPM = 420;

/** A chamber of 1 m3 by its rates: rise of the closed chamber [ppm/h], air changes by fan and leak [1/h]. */
export function box(risePpmPerH: number, fanPerH: number, leakPerH = 0): Model {
	return {
		volumeM3: 1,
		intakePpm: SUPPLY_PPM,
		generationM3PerS: risePpmPerH / HOUR / 1e6,
		deliveredM3PerS: fanPerH / HOUR,
		infiltrationM3PerS: leakPerH / HOUR,
	};
}

/** The regime of a chamber, counted from the supply air [ppm]. */
export function excess(
	model: Model,
	onHours: number,
	offHours: number,
): { peak: number; mean: number; trough: number } {
	const steadyState = periodicState(model, {
		kind: "cycle",
		onSeconds: onHours * HOUR,
		offSeconds: offHours * HOUR,
	}) as PeriodicSteadyState;
	return {
		peak: steadyState.peakPpm - model.intakePpm,
		mean: steadyState.meanPpm - model.intakePpm,
		trough: steadyState.troughPpm - model.intakePpm,
	};
}

/** CO2 under flow that never stops [ppm]; NaN when there is none. */
export const steadyPpm = (model: Model): number =>
	continuousState(model, { kind: "continuous" }) ?? Number.NaN;

/** CO2 after a time under flow that never stops, or with the fan off [ppm]. */
export function ppmAfter(model: Model, seconds: number, fan: "continuous" | "off", startPpm: number): number {
	const { co2Ppm } = simulate(
		model,
		{ kind: fan },
		{ startPpm, durationSeconds: seconds, sampleTimes: [seconds] },
	);
	return co2Ppm[0]!;
}
