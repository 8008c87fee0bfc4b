import { FUSE_OVER_FAULT, FUSE_OVER_LOAD } from "../../sources/fuses.ts";
import { finding, isAbove, isBelow, verdictOf } from "../finding.ts";
import type { RigWiring } from "../wiring/rigwiring.ts";
import type { PowerReport } from "./powerreport.ts";

/** Whether the fuse carries the load and protects the wire. */
export function fuseFinding(power: PowerReport, wiring: RigWiring | null) {
	const { runningAmps, ampacityA, suggestedFuseAmps, fuseAmps } = power;
	const outcome = fuseOutcome(power);
	const isStop = outcome === "none fits" || outcome === "above the wire" || outcome === "below the load";
	return finding("fuse", verdictOf(isStop, outcome !== "ok"), {
		outcome,
		runningAmps,
		fuseAmps,
		/** Standard fuse for this load; null when none fits under the ampacity of the wire. */
		suggestedFuseAmps,
		ampacityA,
		/** Rating of a supply that limits itself before such a fuse blows [A]; null where the fuse protects. */
		limitingSupplyAmps: isStop ? null : limitingSupplyAmps(power, wiring),
	});
}

function fuseOutcome({ runningAmps, ampacityA, suggestedFuseAmps, fuseAmps }: PowerReport) {
	if (fuseAmps === null) return ampacityA !== null && suggestedFuseAmps === null ? "none fits" : "missing";
	if (ampacityA !== null && isAbove(fuseAmps, ampacityA)) return "above the wire";
	if (isBelow(fuseAmps, runningAmps)) return "below the load";
	return isBelow(fuseAmps, FUSE_OVER_LOAD.value * runningAmps) ? "little margin" : "ok";
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
