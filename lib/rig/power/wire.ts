import { copperAreaM2, type WireSize } from "../../model/fan/conductor.ts";
import type { Wire } from "../../scenario/scenario.ts";
import { AMPACITY, CABLE_OVER_BUNDLED } from "../../sources/copper.ts";

/**
 * Name of a wire size.
 *
 * @param size `{ awg }` or `{ mm2 }`
 * @returns one or two words
 * @throws never
 *
 * Source: this project.
 * @example wireName({ awg: 20 }) // => "AWG 20"
 */
export const wireName = (size: WireSize): string => ("awg" in size ? `AWG ${size.awg}` : `${size.mm2} mm²`);

/**
 * Current-carrying capacity of a wire: three times its bundled figure, never above its chassis figure, and the bundled one in a
 * bundle. A size between two of the table counts as the thinner.
 *
 * @param size `{ awg }` or `{ mm2 }`
 * @param isBundled whether it lies in a bundle
 * @returns current [A]; null below AWG 24, for which no figure is at hand
 * @throws never
 *
 * Source: a table of wire ratings (`lib/sources/copper`); the factor three is judgement.
 * @example ampacityA({ awg: 20 }, false) // => 4.5
 */
export function ampacityA(size: WireSize, isBundled: boolean): number | null {
	// The table falls; a metric size is thinner than the gauge that it is sold as by a hair.
	const row = AMPACITY.find(([gauge]) => copperAreaM2(size) >= copperAreaM2({ awg: gauge }) * (1 - 1e-9));
	if (row === undefined) return null;
	const [, chassis, low] = row;
	return isBundled ? low : Math.min(CABLE_OVER_BUNDLED.value * low, chassis);
}

/** What the wire of a file may carry, as told or as judged [A]. */
export const ampacityOfWireA = (wire: Wire | null): number | null =>
	wire === null ? null : (wire.ampacity?.value ?? ampacityA(wire.size, wire.isBundled));
