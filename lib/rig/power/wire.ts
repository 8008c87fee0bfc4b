import { copperAreaM2, type WireSize } from "../../model/fan/conductor.ts";
import type { Scenario, Wire } from "../../scenario/scenario.ts";
import { AMPACITY, CABLE_OVER_BUNDLED } from "../../sources/copper.ts";
import { GOOD_VOLTAGE_DROP, MIN_START_VOLTAGE } from "../../sources/supplies.ts";
import type { RigFinding, VoltageDropFinding, WireFinding } from "../findings.ts";
import type { PowerReport } from "../rigtypes.ts";

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

/** Whether the wire carries the current, and what it costs of the voltage. */
export function wireFindings({ fan, timer, wire }: Scenario, power: PowerReport): RigFinding[] {
	if (wire === null) return [];
	return [...ampacityFinding(wire, power), ...voltageDropFinding(wire, power, [fan, timer])];
}

function ampacityFinding(wire: Wire, { runningAmps, ampacityA }: PowerReport): WireFinding[] {
	if (ampacityA === null) return [];
	return [
		{
			code: "wire",
			about: null,
			verdict: runningAmps > ampacityA * (1 + 1e-9) ? "stop" : "ok",
			size: wire.size,
			runningAmps,
			ampacityA,
			isAmpacityGiven: wire.ampacity !== null,
			isBundled: wire.isBundled,
		},
	];
}

function voltageDropFinding(
	wire: Wire,
	{ volts, voltageDropShare, startingVoltageDropShare, flowLossShare }: PowerReport,
	[fan, timer]: readonly [fan: Scenario["fan"], timer: Scenario["timer"]],
): VoltageDropFinding[] {
	if (volts === null || volts.voltageDropV === null || voltageDropShare === null) return [];
	const { supplyVolts } = volts;
	const good = GOOD_VOLTAGE_DROP.value / 100;
	const startingVolts = supplyVolts * (1 - Math.max(startingVoltageDropShare ?? 0, voltageDropShare));
	// A supply of too low a voltage is judged as such, not as a drop.
	const undervoltedParts = (
		[
			["fan", fan.voltage],
			["timer", timer?.voltage ?? null],
		] as const
	)
		.filter(([, nominal]) => {
			const needed = (MIN_START_VOLTAGE.value / 100) * (nominal?.value ?? supplyVolts);
			return supplyVolts >= needed && startingVolts < needed * (1 - 1e-9);
		})
		.map(([part]) => part);
	return [
		{
			code: "drop",
			about: null,
			verdict:
				undervoltedParts.length > 0 ? "stop" : voltageDropShare > good * (1 + 1e-9) ? "attention" : "ok",
			size: wire.size,
			lengthM: wire.length.value,
			voltageDropV: Math.min(volts.voltageDropV, supplyVolts),
			voltageDropShare,
			fanVolts: volts.volts,
			flowLossShare,
			startingVolts,
			undervoltedParts,
			goodLengthM: (wire.length.value * good * supplyVolts) / volts.voltageDropV,
		},
	];
}
