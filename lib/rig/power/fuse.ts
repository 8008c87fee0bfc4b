import { FUSE_OVER_FAULT, FUSE_OVER_LOAD, STANDARD_FUSES } from "../../sources/fuses.ts";
import type { FuseFinding } from "../findings.ts";
import type { PowerReport, RigWiring } from "../rigtypes.ts";

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
	return fuse === undefined || fuse > ampacityAmps * (1 + 1e-9) ? null : fuse;
}

/** Whether the fuse carries the load and protects the wire. */
export function fuseFinding(power: PowerReport, wiring: RigWiring | null): FuseFinding {
	const { runningAmps, ampacityA, suggestedFuseAmps, fuseAmps } = power;
	const outcome = fuseOutcome(power);
	const isStop = outcome === "none fits" || outcome === "above the wire" || outcome === "below the load";
	return {
		code: "fuse",
		about: null,
		verdict: isStop ? "stop" : outcome === "ok" ? "ok" : "attention",
		outcome,
		runningAmps,
		fuseAmps,
		suggestedFuseAmps,
		ampacityA,
		limitingSupplyAmps: isStop ? null : limitingSupplyAmps(power, wiring),
	};
}

function fuseOutcome({
	runningAmps,
	ampacityA,
	suggestedFuseAmps,
	fuseAmps,
}: PowerReport): FuseFinding["outcome"] {
	if (fuseAmps === null) return ampacityA !== null && suggestedFuseAmps === null ? "none fits" : "missing";
	if (ampacityA !== null && fuseAmps > ampacityA * (1 + 1e-9)) return "above the wire";
	if (fuseAmps < runningAmps * (1 - 1e-9)) return "below the load";
	return fuseAmps < FUSE_OVER_LOAD.value * runningAmps * (1 - 1e-9) ? "little margin" : "ok";
}

/** An adapter limits its current near its rating, which is all that a fault can draw from it. */
function limitingSupplyAmps(
	{ fuseAmps, suggestedFuseAmps, supplyAmps }: PowerReport,
	wiring: RigWiring | null,
): number | null {
	const fuse = fuseAmps ?? suggestedFuseAmps;
	const isCondemned = wiring?.verdict.faults.some(
		({ code, severity }) => severity === "stop" && code.startsWith("fuse"),
	);
	if (isCondemned || fuse === null || supplyAmps === null) return null;
	return fuse > FUSE_OVER_FAULT.value * supplyAmps ? supplyAmps : null;
}
