/** Time constants of a fan [s], as `Model` has them. Default 0. */
export interface FanDynamics {
	readonly spinUpTauSeconds?: number;
	readonly coastDownTauSeconds?: number;
}

/**
 * Speed of the fan t seconds into a segment, as a share of full speed.
 *
 *     on   f = 1 - (1 - f0) exp(-t/τup)      off   f = f0 exp(-t/τdown)      (3)
 */
export function fanSpeedFraction(fan: FanDynamics, isOn: boolean, fraction: number, seconds: number): number {
	const tau = (isOn ? fan.spinUpTauSeconds : fan.coastDownTauSeconds) ?? 0;
	const rest = tau > 0 ? Math.exp(-seconds / tau) : 0;
	return isOn ? 1 - (1 - fraction) * rest : fraction * rest;
}

/** Integral of (3) over a segment: the seconds at full speed that would move the same air [s]. */
export function fullSpeedSeconds(fan: FanDynamics, isOn: boolean, fraction: number, seconds: number): number {
	const tau = (isOn ? fan.spinUpTauSeconds : fan.coastDownTauSeconds) ?? 0;
	const lag = tau > 0 ? -tau * Math.expm1(-seconds / tau) : 0;
	return isOn ? seconds - (1 - fraction) * lag : fraction * lag;
}
