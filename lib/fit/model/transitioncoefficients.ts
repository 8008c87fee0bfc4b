import { phi1 } from "../../solve/propagate/phi.ts";

/**
 * How one zone and its sensor answer over a stretch of constant air change:
 *
 *     x' = g - λ x,   r' = κ (x - r)      x: CO2 above the supply air, r: what the sensor shows of it
 *     x(t) = x0 decay + g fill            r(t) = r0 fade + x0 carry + g creep
 *
 * together with the derivatives over λ and κ. Without a sensor (κ infinite) r is x.
 */
export interface TransitionCoefficients {
	/** e^-λt and (1 - e^-λt)/λ [-], [s]. */
	chamberDecay: number;
	chamberStep: number;
	/** d(fill)/dλ [s2]; that of the decay is -t decay. */
	dChamberStepDLambda: number;
	/** e^-κt [-]. */
	sensorDecay: number;
	/** Share of x0 that has reached the reading [-], and its derivatives over λ and κ [s]. */
	chamberToSensor: number;
	dChamberToSensorDLambda: number;
	dChamberToSensorDKappa: number;
	/** Reading per source [s], and its derivatives [s2]. */
	sourceToSensor: number;
	dSourceToSensorDLambda: number;
	dSourceToSensorDKappa: number;
	/** t [s]. */
	seconds: number;
}

/** Below this λt the closed forms over λ cancel, and the series in λ is short. */
const MIN_LAMBDA_T = 1e-3;

/**
 * The answer over `seconds` at an air change rate λ [1/s] and a sensor that follows at κ = 1/τ [1/s], infinite for none.
 *
 * carry = κ ∫ e^-λu e^-κ(t-u) du and creep = ∫ carry dt; both by divided differences that stay exact where λ = κ,
 * and by a series in λ where λt is small.
 */
export function computeTransitionCoefficients(
	lambda: number,
	kappa: number,
	seconds: number,
): TransitionCoefficients {
	const t = seconds;
	const chamberDecay = Math.exp(-lambda * t);
	const chamberStep = t * phi1(lambda * t);
	const dChamberStepDLambda = -t * t * psi(lambda * t);
	if (kappa === Number.POSITIVE_INFINITY)
		return {
			chamberDecay,
			chamberStep,
			dChamberStepDLambda,
			sensorDecay: 0,
			chamberToSensor: chamberDecay,
			dChamberToSensorDLambda: -t * chamberDecay,
			dChamberToSensorDKappa: 0,
			sourceToSensor: chamberStep,
			dSourceToSensorDLambda: dChamberStepDLambda,
			dSourceToSensorDKappa: 0,
			seconds,
		};
	const sensorDecay = Math.exp(-kappa * t);
	const overlap = computeOverlap(lambda, kappa, t);
	const chamberToSensor = kappa * overlap.value;
	const dChamberToSensorDLambda = kappa * overlap.dFirst;
	const dChamberToSensorDKappa = overlap.value + kappa * overlap.dSecond;
	const sensorStep = -Math.expm1(-kappa * t);
	let sourceToSensor: number;
	let dSourceToSensorDLambda: number;
	let dSourceToSensorDKappa: number;
	if (lambda * t > MIN_LAMBDA_T) {
		sourceToSensor = (sensorStep - chamberToSensor) / lambda;
		dSourceToSensorDLambda = -(dChamberToSensorDLambda + sourceToSensor) / lambda;
		dSourceToSensorDKappa = (t * sensorDecay - dChamberToSensorDKappa) / lambda;
	} else {
		// R_k: reading of t^(k+1)/(k+1)!, R_-1 that of a step; the reading of the source is R_0 - λ R_1 + λ² R_2 …
		const tau = 1 / kappa;
		const r = [sensorStep];
		const dRDKappa = [t * sensorDecay];
		let power = 1;
		for (let k = 0; k < 4; k++) {
			power *= t / (k + 1);
			r.push(power - tau * r[k]!);
			dRDKappa.push(tau * (tau * r[k]! - dRDKappa[k]!));
		}
		const alternate = (of: readonly number[]) =>
			of[1]! - lambda * (of[2]! - lambda * (of[3]! - lambda * of[4]!));
		sourceToSensor = alternate(r);
		dSourceToSensorDLambda = -r[2]! + lambda * (2 * r[3]! - 3 * lambda * r[4]!);
		dSourceToSensorDKappa = alternate(dRDKappa);
	}
	return {
		chamberDecay,
		chamberStep,
		dChamberStepDLambda,
		sensorDecay,
		chamberToSensor,
		dChamberToSensorDLambda,
		dChamberToSensorDKappa,
		sourceToSensor,
		dSourceToSensorDLambda,
		dSourceToSensorDKappa,
		seconds,
	};
}

/** ψ(z) = ∫ v e^-zv dv over [0, 1] = (1 - (1 + z) e^-z)/z², by its series where that cancels. */
function psi(z: number): number {
	if (Math.abs(z) > 0.3) return (1 - (1 + z) * Math.exp(-z)) / (z * z);
	let term = 1;
	let sum = 0.5;
	for (let k = 1; k < 14; k++) {
		term *= -z / k;
		sum += term / (k + 2);
	}
	return sum;
}

/** ∫ e^-au e^-b(t-u) du over [0, t], with its derivatives over a and b; symmetric in a and b. */
function computeOverlap(a: number, b: number, t: number): { value: number; dFirst: number; dSecond: number } {
	const swap = a > b;
	const [slow, fast] = swap ? [b, a] : [a, b];
	const w = (fast - slow) * t;
	const head = Math.exp(-slow * t);
	const value = t * head * phi1(w);
	const dFast = -t * t * head * psi(w);
	const dSlow = -t * t * head * (phi1(w) - psi(w));
	return swap ? { value, dFirst: dFast, dSecond: dSlow } : { value, dFirst: dSlow, dSecond: dFast };
}
