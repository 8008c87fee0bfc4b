import { FUSE_OVER_LOAD, STANDARD_FUSES } from "../../sources/fuses.ts";
import { isAbove } from "../finding.ts";

/**
 * Smallest standard fuse of at least 1.25 times the load, under the current-carrying capacity of the wire.
 *
 * @param loadAmps current of fans and timer [A]
 * @param ampacityAmps current-carrying capacity of the wire [A]
 * @returns rating [A]; null when the wire is too thin for any
 * @throws never
 *
 * Source: standard ratings of miniature fuses and the factor 1.25 (`lib/sources/fuses`).
 * @example suggestedFuseA(1.05, 3) // => 1.6
 */
export function suggestedFuseA(loadAmps: number, ampacityAmps: number): number | null {
	const fuse = STANDARD_FUSES.find((rating) => rating >= FUSE_OVER_LOAD.value * loadAmps * (1 - 1e-9));
	return fuse === undefined || isAbove(fuse, ampacityAmps) ? null : fuse;
}
