import { copperAreaM2, type WireSize } from "../../model/fan/conductor.ts";
import type { Scenario, Wire } from "../../scenario/scenario.ts";
import { AMPACITY, AMPACITY_SOURCE, CABLE_OVER_BUNDLED } from "../../sources/copper.ts";
import { GOOD_VOLTAGE_DROP, MAX_VOLTAGE_DROP, MIN_START_VOLTAGE } from "../../sources/supplies.ts";
import type { FormatValue, PowerReport, RigFinding } from "../rigtypes.ts";

/** "AWG 20", "0.5 mm²" */
export const wireName = (size: WireSize): string => ("awg" in size ? `AWG ${size.awg}` : `${size.mm2} mm²`);

/**
 * What a wire may carry: three times its bundled figure, never above its chassis figure, and the bundled one in a bundle.
 * A size between two of the table counts as the thinner.
 * @returns [A]; null below AWG 24, for which no figure is at hand
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
export function wireItems(
	{ fan, timer, wire }: Scenario,
	power: PowerReport,
	say: FormatValue,
): RigFinding[] {
	const { runningAmps, ampacityA, volts, voltageDropShare, startingVoltageDropShare, flowLossShare } = power;
	if (wire === null) return [];
	const items: RigFinding[] = [];
	const name = wireName(wire.size);
	if (ampacityA !== null) {
		const over = runningAmps > ampacityA * (1 + 1e-9);
		items.push({
			id: "wire",
			about: null,
			verdict: over ? "stop" : "ok",
			finding: over
				? `Fans and timer take ${say(runningAmps, "current")}, more than ${name} may carry (${say(ampacityA, "current")}).`
				: `${name} may carry ${say(ampacityA, "current")}; fans and timer take ${say(runningAmps, "current")}.`,
			reason:
				wire.ampacity === null
					? `Tables differ sixfold; taken is ${wire.isBundled ? "the figure for bundled wires" : "three times the figure for bundled wires, never above that for single ones"} (${AMPACITY_SOURCE}; judgement).`
					: "A wire above its rating melts its insulation.",
			remedy: over ? "Take a thicker wire, or fewer fans on it." : null,
			values: [
				{ label: "current", value: runningAmps, dimension: "current" },
				{ label: "the wire may carry", value: ampacityA, dimension: "current" },
			],
		});
	}
	if (volts === null || volts.voltageDropV === null || voltageDropShare === null) return items;
	const { supplyVolts } = volts;
	const dropVolts = Math.min(volts.voltageDropV, supplyVolts);
	const good = GOOD_VOLTAGE_DROP.value / 100;
	const most = MAX_VOLTAGE_DROP.value / 100;
	const goodLength = (wire.length.value * good * supplyVolts) / volts.voltageDropV;
	const starting = supplyVolts * (1 - Math.max(startingVoltageDropShare ?? 0, voltageDropShare));
	const least = MIN_START_VOLTAGE.value / 100;
	// A supply of too low a voltage is judged as such, not as a drop.
	const undervoltedParts = (
		[
			["fan", fan.voltage],
			["timer", timer?.voltage ?? null],
		] as const
	)
		.filter(([, nominal]) => {
			const needed = least * (nominal?.value ?? supplyVolts);
			return supplyVolts >= needed && starting < needed * (1 - 1e-9);
		})
		.map(([what]) => what);
	const stops = undervoltedParts.length > 0;
	const reaches =
		voltageDropShare >= 1
			? `${name}, there and back, would take all of the voltage`
			: `${name}, there and back, lose ${say(dropVolts, "voltage")} (${say(voltageDropShare, "fraction")}): ${say(volts.volts, "voltage")} reach the fan${
					flowLossShare === null ? "" : `, which costs ${say(flowLossShare, "fraction")} of the flow`
				}`;
	const start =
		!stops || voltageDropShare >= 1
			? ""
			: starting <= 0
				? " When all start together it takes all of the voltage."
				: ` When all start together ${say(starting, "voltage")} are left, less than ${say(least, "fraction")} of what ${undervoltedParts.join(" and ")} ${undervoltedParts.length > 1 ? "are" : "is"} made for: relays drop out and the timer resets.`;
	items.push({
		id: "drop",
		about: null,
		verdict: stops ? "stop" : voltageDropShare > good * (1 + 1e-9) ? "attention" : "ok",
		finding: `${say(wire.length.value, "length")} of ${reaches}.${start}`,
		reason: `Up to ${GOOD_VOLTAGE_DROP.value} % is good, ${MAX_VOLTAGE_DROP.value} % is the limit (common practice, no source). Flow falls about as the voltage does.`,
		remedy:
			!stops && voltageDropShare <= good * (1 + 1e-9)
				? null
				: `${voltageDropShare > most ? "Beyond the limit: take" : "Take"} a thicker wire, or at most ${say(goodLength, "length")} of this one.`,
		values: [
			{ label: "drop", value: dropVolts, dimension: "voltage" },
			{ label: "share of the supply", value: voltageDropShare, dimension: "fraction" },
			...(flowLossShare === null
				? []
				: [{ label: "flow lost", value: flowLossShare, dimension: "fraction" as const }]),
			...(fan.current === null
				? []
				: [
						{
							label: "longest run for a good drop, one way",
							value: goodLength,
							dimension: "length" as const,
						},
					]),
		],
	});
	return items;
}
