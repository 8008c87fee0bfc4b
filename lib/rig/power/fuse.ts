import { FUSE_OVER_FAULT, FUSE_OVER_LOAD, STANDARD_FUSES } from "../../sources/fuses.ts";
import type { FormatValue, PowerReport, RigFinding, RigWiring } from "../rigtypes.ts";

/**
 * Smallest standard fuse of at least 1.25 times the load [A], under what the wire may carry.
 * @returns null when the wire is too thin for any
 * @example suggestedFuseA(1.05, 3) // => 1.6
 */
export function suggestedFuseA(loadAmps: number, ampacityAmps: number): number | null {
	const fuse = STANDARD_FUSES.find((rating) => rating >= FUSE_OVER_LOAD.value * loadAmps * (1 - 1e-9));
	return fuse === undefined || fuse > ampacityAmps * (1 + 1e-9) ? null : fuse;
}

/** Whether the fuse carries the load and protects the wire. */
export function fuseItem(power: PowerReport, wiring: RigWiring | null, say: FormatValue): RigFinding {
	const { runningAmps, ampacityA, suggestedFuseAmps, fuseAmps, supplyAmps } = power;
	const amps = (value: number) => say(value, "current");
	const suggestion =
		suggestedFuseAmps === null
			? null
			: `${amps(suggestedFuseAmps)}, time-lag, as the first thing after the supply's +`;
	// An adapter limits its current near its rating, which is all that a fault can draw from it.
	const wanted = fuseAmps ?? suggestedFuseAmps;
	const condemned = wiring?.verdict.faults.some(
		({ code, severity }) => severity === "stop" && code.startsWith("fuse"),
	);
	const limited =
		!condemned && wanted !== null && supplyAmps !== null && wanted > FUSE_OVER_FAULT.value * supplyAmps
			? ` A supply that limits itself at ${amps(supplyAmps)} may never blow a fuse of ${amps(wanted)}: its own limit is then the protection.`
			: "";
	const item = (verdict: RigFinding["verdict"], says: string, remedy: string | null): RigFinding => ({
		id: "fuse",
		about: null,
		verdict,
		finding: verdict === "stop" ? says : says + limited,
		reason: `A fuse protects the wire: at least ${FUSE_OVER_LOAD.value} times the load (${amps(FUSE_OVER_LOAD.value * runningAmps)}), at most what the wire may carry${ampacityA === null ? "" : ` (${amps(ampacityA)})`}; time-lag, because motors start with more.`,
		remedy,
		values: [
			{ label: "load", value: runningAmps, dimension: "current" },
			...(suggestedFuseAmps === null
				? []
				: [{ label: "standard fuse", value: suggestedFuseAmps, dimension: "current" as const }]),
			...(ampacityA === null
				? []
				: [{ label: "the wire may carry", value: ampacityA, dimension: "current" as const }]),
		],
	});
	const instead =
		suggestion === null ? "Take a thicker wire, then a fuse that fits it." : `Take ${suggestion}.`;
	if (fuseAmps === null) {
		if (ampacityA !== null && suggestedFuseAmps === null)
			return item(
				"stop",
				"No standard fuse carries the load and still protects this wire.",
				"Take a thicker wire.",
			);
		return item("attention", "No fuse is named.", suggestion === null ? null : `Put in ${suggestion}.`);
	}
	if (ampacityA !== null && fuseAmps > ampacityA * (1 + 1e-9))
		return item("stop", `A fuse of ${amps(fuseAmps)} lets the wire burn first.`, instead);
	if (fuseAmps < runningAmps * (1 - 1e-9))
		return item(
			"stop",
			`A fuse of ${amps(fuseAmps)} blows: fans and timer take ${amps(runningAmps)}.`,
			instead,
		);
	if (fuseAmps < FUSE_OVER_LOAD.value * runningAmps * (1 - 1e-9))
		return item(
			"attention",
			`A fuse of ${amps(fuseAmps)} ages fast: fans and timer take ${amps(runningAmps)}.`,
			instead,
		);
	return item("ok", `A fuse of ${amps(fuseAmps)} carries fans and timer (${amps(runningAmps)}).`, null);
}
