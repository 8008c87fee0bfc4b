import type { Scenario, Wire } from "../../scenario/scenario.ts";
import { GOOD_VOLTAGE_DROP, MIN_START_VOLTAGE } from "../../sources/supplies.ts";
import { finding, isAbove, isBelow, verdictOf } from "../finding.ts";
import type { PowerReport } from "./powerreport.ts";

/** Whether the wire carries the current, and what it costs of the voltage. */
export const cableFindings = (scenario: Scenario, power: PowerReport) =>
	scenario.wire === null
		? []
		: [...ampacityFinding(scenario.wire, power), ...voltageDropFinding(scenario, scenario.wire, power)];

const ampacityFinding = ({ size, ampacity, isBundled }: Wire, { runningAmps, ampacityA }: PowerReport) =>
	ampacityA === null
		? []
		: [
				finding("wire", verdictOf(isAbove(runningAmps, ampacityA), false), {
					size,
					runningAmps,
					ampacityA,
					isAmpacityGiven: ampacity !== null,
					isBundled,
				}),
			];

function voltageDropFinding({ fan, timer }: Scenario, wire: Wire, power: PowerReport) {
	const { volts, voltageDropShare, startingVoltageDropShare, flowLossShare } = power;
	if (volts === null || volts.voltageDropV === null || voltageDropShare === null) return [];
	const { supplyVolts } = volts;
	const good = GOOD_VOLTAGE_DROP.value / 100;
	const startingVolts = supplyVolts * (1 - Math.max(startingVoltageDropShare ?? 0, voltageDropShare));
	// A supply of too low a voltage is judged as such, not as a drop.
	const undervoltedParts = (["fan", "timer"] as const).filter((part) => {
		const nominal = (part === "fan" ? fan.voltage : timer?.voltage)?.value ?? supplyVolts;
		const needed = (MIN_START_VOLTAGE.value / 100) * nominal;
		return supplyVolts >= needed && isBelow(startingVolts, needed);
	});
	return [
		finding("drop", verdictOf(undervoltedParts.length > 0, isAbove(voltageDropShare, good)), {
			size: wire.size,
			/** One way [m]. */
			lengthM: wire.length.value,
			voltageDropV: Math.min(volts.voltageDropV, supplyVolts),
			voltageDropShare,
			fanVolts: volts.volts,
			flowLossShare,
			/** Left while all fans start [V]. */
			startingVolts,
			/** Parts that get too little to start. */
			undervoltedParts,
			/** Longest cable with a good drop, one way [m]. */
			goodLengthM: (wire.length.value * good * supplyVolts) / volts.voltageDropV,
		}),
	];
}
