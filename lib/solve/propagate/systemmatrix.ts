import type { Balance } from "../../model/chamber.ts";
import type { Matrix } from "./matrix.ts";

/** Rates [1/s] and forcing [ppm/s] of the balance with the fan at full speed or at rest. */
export function systemMatrix(b: Balance, source: number, on: boolean): { a: Matrix; forcing: Float64Array } {
	const n = b.states;
	const a = new Float64Array(n * n);
	const forcing = new Float64Array(n);
	a[0] = -(b.infiltrationPerS + (on ? b.fanPerS : 0) + b.interzonalMixedPerS);
	forcing[0] = b.riseMixed * source;
	if (b.stagnant >= 0) {
		a[b.stagnant] = b.interzonalMixedPerS;
		a[b.stagnant * n] = b.interzonalStagnantPerS;
		a[b.stagnant * n + b.stagnant] = -b.interzonalStagnantPerS;
		forcing[b.stagnant] = b.riseStagnant * source;
	}
	if (b.sensor >= 0) {
		a[b.sensor * n + b.sensed] = b.sensorPerS;
		a[b.sensor * n + b.sensor] = -b.sensorPerS;
	}
	return { a, forcing };
}
