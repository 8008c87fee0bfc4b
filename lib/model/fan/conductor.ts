import {
	awgDiameterM,
	COPPER_RESISTIVITY,
	COPPER_TEMPERATURE_COEFFICIENT,
	IEC_60228,
} from "../../sources/copper.ts";

/** Size of a copper wire. */
export type WireSize = { readonly awg: number } | { readonly mm2: number };

/** Copper in a wire [m2]. */
export const copperAreaM2 = (size: WireSize): number =>
	"awg" in size ? (Math.PI / 4) * awgDiameterM(size.awg) ** 2 : size.mm2 * 1e-6;

/**
 * Resistance of one metre of wire:  R' = rho/A (1 + 0.00393 (t - 20))   (26)
 * @param size `{ awg }` or `{ mm2 }`
 * @param celsius temperature of the copper [°C]
 * @returns resistance [ohm/m]; of a metric size the greatest that IEC 60228 allows a flexible wire
 * @throws never
 *
 * Source: IEC 60228 for metric sizes, the definition of AWG for others (`lib/sources/copper`).
 * @example ohmPerM({ awg: 20 }, 20).toFixed(4) // => "0.0333"
 */
export function ohmPerM(size: WireSize, celsius: number): number {
	const warmth = 1 + COPPER_TEMPERATURE_COEFFICIENT.value * (celsius - 20);
	const standard = "mm2" in size ? IEC_60228.find(([mm2]) => mm2 === size.mm2) : undefined;
	const cold = standard === undefined ? COPPER_RESISTIVITY.value / copperAreaM2(size) : standard[2] / 1000;
	return cold * warmth;
}

/**
 * Voltage lost in a pair of wires:  dV = 2 L R' I   (27)
 * @param lengthM one way [m]
 * @param ohmPerMetre R' [ohm/m]
 * @param ampere I [A]
 * @returns voltage [V]
 * @throws never
 *
 * Source: Ohm's law.
 * @example voltageDrop(5, 0.026, 0.5) // => 0.13
 */
export const voltageDrop = (lengthM: number, ohmPerMetre: number, ampere: number): number =>
	2 * lengthM * ohmPerMetre * ampere;
