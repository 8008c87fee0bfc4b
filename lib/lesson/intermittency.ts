import { phi1, phi2 } from "../solve/propagate/phi.ts";
import { findRoot } from "../solve/root.ts";

/**
 * x coth x - 1 as Lambert's continued fraction x²/(3 + x²/(5 + x²/(7 + …))): all terms positive, so that nothing cancels
 * where x is small. From memory; tests hold it against the closed form.
 */
function cothExcess(x: number): number {
	if (x > 2) return x / Math.tanh(x) - 1;
	let tail = 25;
	for (let odd = 23; odd >= 3; odd -= 2) tail = odd + (x * x) / tail;
	return (x * x) / tail;
}

/**
 * By how much the mean of bursts lies above that of continuous flow with the same air, over the latter's excess:
 *
 *     R - 1 = g² [(n/2) coth(n/2) - 1],  g = 1 - d      (19)
 *
 * @param dutyCycle d, share of the time in which the fan is on [0..1]
 * @param airChangesPerBurst n, air changes of one burst [-]
 * @returns penalty [-]; n²g²/12 where n is small
 * @throws never
 *
 * Source: derived here.
 * Valid for: one well-mixed zone without leak, an instant fan. Derived here.
 * @example meanPenalty(0.25, 1).toFixed(3) // => "0.046"
 */
export function meanPenalty(dutyCycle: number, airChangesPerBurst: number): number {
	return (1 - dutyCycle) ** 2 * cothExcess(airChangesPerBurst / 2);
}

/**
 * By how much the peak of bursts lies above continuous flow with the same air, over the latter's excess:
 *
 *     P - 1 = g [n/(1 - e^-n) - 1]      (20)
 *
 * @param dutyCycle d = 1 - g, share of the time in which the fan is on [0..1]
 * @param airChangesPerBurst n, air changes of one burst [-]
 * @returns penalty [-]; n g/2 where n is small
 * @throws never
 *
 * Valid for: as `meanPenalty`.
 * Source: derived here.
 * @example peakPenalty(0.25, 1).toFixed(3) // => "0.436"
 */
export function peakPenalty(dutyCycle: number, airChangesPerBurst: number): number {
	// 1 - φ1(n) = n φ2(n).
	return ((1 - dutyCycle) * airChangesPerBurst * phi2(airChangesPerBurst)) / phi1(airChangesPerBurst);
}

/**
 * Efficacy at equal mean: air that continuous flow needs, over the air of bursts that reach the same mean.
 *
 *     ε = [1 - g² N coth(N/ε)]/(1 - g²)      (21)
 *
 * It is solved as n = 2 N R(n), n the air changes of one burst and ε = 2 N/n = 1/R.
 * @param dutyCycle d = 1 - g, share of the time in which the fan is on [0..1]
 * @param turnover N, half the air changes that the continuous flow makes in a cycle [-]
 * @returns efficacy [0..1]; null when no burst, however strong, reaches that mean: g² N >= 1
 * @throws never
 *
 * Valid for: one well-mixed zone without leak, an instant fan.
 * Source: M. H. Sherman (2006), "Efficacy of intermittent ventilation for providing acceptable indoor air quality"; the
 * abstract was read, the relation is from memory and derived again here.
 * @example equalMeanEfficacy(0.3, 0.5)?.toFixed(4) // => "0.9581"
 */
export function equalMeanEfficacy(dutyCycle: number, turnover: number): number | null {
	const g = 1 - dutyCycle;
	return findEfficacy(turnover, 1 - g * g * turnover, (n) => meanPenalty(dutyCycle, n));
}

/**
 * Efficacy at equal peak, which is what a ceiling asks for:
 *
 *     d ε + g N [1 + coth(N/ε)] = 1      (22)
 *
 * @param dutyCycle d = 1 - g, share of the time in which the fan is on [0..1]
 * @param turnover N, half the air changes that the continuous flow makes in a cycle [-]
 * @returns efficacy [0..1]; null when no burst, however strong, reaches that peak: 2 g N >= 1
 * @throws never
 *
 * Valid for: as `equalMeanEfficacy`.
 * Source: derived here.
 * @example equalPeakEfficacy(0.3, 0.5)?.toFixed(4) // => "0.5492"
 */
export function equalPeakEfficacy(dutyCycle: number, turnover: number): number | null {
	return findEfficacy(turnover, 1 - 2 * (1 - dutyCycle) * turnover, (n) => peakPenalty(dutyCycle, n));
}

/**
 * Root of n = 2 N [1 + penalty(n)]; the penalty is below n times (1 - room)/(2 N), so the root is below 2 N/room.
 * @returns 2 N/n
 */
function findEfficacy(turnover: number, room: number, penalty: (n: number) => number): number | null {
	if (turnover === 0) return 1;
	if (!(room > 0)) return null;
	const least = 2 * turnover;
	const airChanges = findRoot((n) => n - least * (1 + penalty(n)), least, least / room);
	return least / airChanges;
}
