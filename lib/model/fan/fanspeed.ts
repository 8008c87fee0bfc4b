import type { Model } from "../chamber.ts";
import { type Schedule, segments } from "../schedule/schedule.ts";

/**
 * Speed of the fan t seconds into a segment, as a share of full speed.
 *
 *     on   f = 1 - (1 - f0) exp(-t/τup)      off   f = f0 exp(-t/τdown)      (3)
 */
export function fanLevel(model: Model, on: boolean, level: number, seconds: number): number {
	const tau = (on ? model.spinUpSeconds : model.coastDownSeconds) ?? 0;
	const rest = tau > 0 ? Math.exp(-seconds / tau) : 0;
	return on ? 1 - (1 - level) * rest : level * rest;
}

/** Integral of (3) over a segment: the seconds at full speed that would move the same air [s]. */
export function fanSeconds(model: Model, on: boolean, level: number, seconds: number): number {
	const tau = (on ? model.spinUpSeconds : model.coastDownSeconds) ?? 0;
	const lag = tau > 0 ? -tau * Math.expm1(-seconds / tau) : 0;
	return on ? seconds - (1 - level) * lag : level * lag;
}

/** Speed of the fan at the start of a period that repeats, as a share of full speed. */
export function fanRegimeLevel(model: Model, schedule: Schedule, periodSeconds: number): number {
	// Over a period the level maps as f → a f + b, because (3) is affine in f0.
	let a = 1;
	let b = 0;
	for (const { on, durationSeconds } of segments(schedule, periodSeconds)) {
		const zero = fanLevel(model, on, 0, durationSeconds);
		const slope = fanLevel(model, on, 1, durationSeconds) - zero;
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
	startLevel: number,
): number {
	let level = startLevel;
	let seconds = 0;
	for (const { on, durationSeconds } of segments(schedule, untilSeconds)) {
		seconds += fanSeconds(model, on, level, durationSeconds);
		level = fanLevel(model, on, level, durationSeconds);
	}
	return seconds * model.fanM3PerS;
}
