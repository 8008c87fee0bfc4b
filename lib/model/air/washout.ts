/** A mixed zone whose CO2 tends to a steady value. */
export interface Washout {
	/** CO2 at the start [ppm]. */
	readonly startPpm: number;
	/** CO2 that it tends to, Cs + 1e6 G/(Q + L) [ppm]: that of the intake air where nothing is given off. */
	readonly steadyPpm: number;
	/** Air changes by fan and leakage together [1/h]. */
	readonly airChangesPerHour: number;
}

/**
 * Time in which a mixed zone falls, or rises, to a level:  t = ln[(C0 - C∞)/(C - C∞)]/λ   (28)
 * @param washout start C0 and steady value C∞ [ppm], air changes λ [1/h]
 * @param levelPpm C [ppm]
 * @returns time [s], 0 at the start itself; null when the level is not on the way
 * @throws never
 *
 * Source: exponential washout of a mixed zone, derived here.
 * @example secondsToLevel({ startPpm: 2000, steadyPpm: 420, airChangesPerHour: 60 }, 1000).toFixed(1) // => "60.1"
 */
export function secondsToLevel(washout: Washout, levelPpm: number): number | null {
	const { startPpm, steadyPpm, airChangesPerHour } = washout;
	if (levelPpm === startPpm) return 0;
	const ratio = (startPpm - steadyPpm) / (levelPpm - steadyPpm);
	if (!(ratio > 1 && Number.isFinite(ratio) && airChangesPerHour > 0)) return null;
	return (3600 * Math.log(ratio)) / airChangesPerHour;
}
