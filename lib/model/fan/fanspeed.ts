import type { Model } from "../chamber.ts";
import { type Schedule, segments } from "../schedule/schedule.ts";

/**
 * Speed of the fan t seconds into a segment, as a share of full speed.
 *
 *     on   f = 1 - (1 - f0) exp(-t/τup)      off   f = f0 exp(-t/τdown)      (3)
 */
export function fanSpeedFraction(model: Model, isOn: boolean, fraction: number, seconds: number): number {
	const tau = (isOn ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
	const rest = tau > 0 ? Math.exp(-seconds / tau) : 0;
	return isOn ? 1 - (1 - fraction) * rest : fraction * rest;
}

/** Integral of (3) over a segment: the seconds at full speed that would move the same air [s]. */
export function fullSpeedSeconds(model: Model, isOn: boolean, fraction: number, seconds: number): number {
	const tau = (isOn ? model.spinUpTauSeconds : model.coastDownTauSeconds) ?? 0;
	const lag = tau > 0 ? -tau * Math.expm1(-seconds / tau) : 0;
	return isOn ? seconds - (1 - fraction) * lag : fraction * lag;
}

/** Speed of the fan at the start of a period that repeats, as a share of full speed. */
export function periodicFanSpeedFraction(model: Model, schedule: Schedule, periodSeconds: number): number {
	// Over a period the level maps as f → a f + b, because (3) is affine in f0.
	let a = 1;
	let b = 0;
	for (const { isOn, durationSeconds } of segments(schedule, periodSeconds)) {
		const zero = fanSpeedFraction(model, isOn, 0, durationSeconds);
		const slope = fanSpeedFraction(model, isOn, 1, durationSeconds) - zero;
		a *= slope;
		b = slope * b + zero;
	}
	return a < 1 ? b / (1 - a) : b;
}

/** Air through the fan from time 0 to `untilSeconds`, from a level at the start [m3]; the mixing factor is not in it. */
export function deliveredM3(
	model: Model,
	schedule: Schedule,
	untilSeconds: number,
	startFraction: number,
): number {
	let fraction = startFraction;
	let seconds = 0;
	for (const { isOn, durationSeconds } of segments(schedule, untilSeconds)) {
		seconds += fullSpeedSeconds(model, isOn, fraction, durationSeconds);
		fraction = fanSpeedFraction(model, isOn, fraction, durationSeconds);
	}
	return seconds * model.deliveredM3PerS;
}
