import { ohmPerM, voltageDrop } from "../../lib/model/fan/conductor.ts";
import { awgDiameterM, IEC_60228 } from "../../lib/sources/copper.ts";
import type { Answer, Inputs } from "./check.ts";

const FOOT = 0.3048;

/** Resistance of wires by their size, and what a pair of them costs of the voltage. */
export function wires(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	switch (id) {
		case "DCW-01":
			return {
				ohm_per_1000ft: {
					what: "ohm of 1000 ft of copper, AWG 10 to 24",
					ours: list("awg").map((awg) => 1000 * FOOT * ohmPerM({ awg }, 20)),
				},
			};
		case "DCW-02":
			return {
				d_mm: {
					what: "diameter in mm, AWG 12 to 24",
					ours: list("awg").map((awg) => 1000 * awgDiameterM(awg)),
				},
				ohm_per_km: {
					what: "ohm of 1 km of copper, AWG 12 to 24",
					ours: list("awg").map((awg) => 1000 * ohmPerM({ awg }, 20)),
				},
			};
		case "DCW-04":
			return {
				class1_2_ohm_km: {
					what: "greatest ohm of 1 km, solid or stranded, 0.5 to 6 mm2",
					ours: list("mm2").map((mm2) => IEC_60228.find(([size]) => size === mm2)?.[1] ?? null),
				},
				// Held per metre, so that the division by 1000 is undone.
				class5_ohm_km: {
					what: "greatest ohm of 1 km, flexible, 0.5 to 6 mm2",
					ours: list("mm2").map((mm2) => Number((1000 * ohmPerM({ mm2 }, 20)).toPrecision(12))),
				},
			};
		case "DCW-AWG":
			return {
				ohm_per_m: {
					what: "ohm of 1 m of copper, AWG 16 to 28",
					ours: list("awg").map((awg) => ohmPerM({ awg }, 20)),
				},
			};
		case "DCW-RUN":
			return {
				L_m: {
					what: "longest run in m for 3 % of 12 V, AWG 24 to 18 at 0.5 to 2 A",
					ours: list("I_A").flatMap((ampere) =>
						list("awg").map((awg) => (0.03 * 12) / voltageDrop(1, ohmPerM({ awg }, 20), ampere)),
					),
				},
			};
		case "DCW-06": {
			const drop = voltageDrop(one("L_m"), one("ohm_per_km") / 1000, one("I_A"));
			return {
				dV: { what: "V lost in a pair of wires of 5 m at 0.5 A", ours: drop },
				pct: { what: "% of 12 V lost in them", ours: (100 * drop) / one("V_supply") },
				V_load: { what: "V that reach the fan", ours: one("V_supply") - drop },
			};
		}
	}
	return undefined;
}
