import { summarize } from "../../lib/index.ts";
import { findRoot } from "../../lib/solve/root.ts";
import { parseValue } from "../../lib/units/read.ts";
import { box, HOUR, ppmAfter, SUPPLY_PPM, steadyPpm } from "./box.ts";
import type { Answer, Inputs } from "./check.ts";

const M3_PER_FT3 = (() => {
	const read = parseValue("1 ft3", ["volume"]);
	return "value" in read ? read.value : Number.NaN;
})();
/** Litres per second to m3/s, and per minute. */
const LITRE = 1e-3;

/** Steady states and build-up under flow that never stops. */
export function dilution(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	const person = (litresPerS: number, generationLitresPerS: number, intakePpm = SUPPLY_PPM) => ({
		...box(0, 0),
		intakePpm,
		generationM3PerS: generationLitresPerS * LITRE,
		deliveredM3PerS: litresPerS * LITRE,
	});
	switch (id) {
		case "DIL-01": {
			const model = person(one("Q_L_per_s"), one("G_L_per_min") / 60);
			return { rise_ppm: { what: "steady rise by one person", ours: steadyPpm(model) - SUPPLY_PPM } };
		}
		case "DIL-03":
			return {
				Q_L_per_s_person: {
					what: "flow a person that holds the rise at 600 ppm, by root search",
					ours: list("G_L_per_s").map((g) =>
						findRoot((q) => steadyPpm(person(q, g)) - SUPPLY_PPM - one("rise_ppm"), 0.1, 100),
					),
				},
			};
		case "DIL-04": {
			// 403 ft3 of vapour per pint at unit specific gravity and molar mass is the manual's own factor, not ours.
			const vapourCfm = (403 * one("SG") * one("ER_pint_per_min")) / one("MW");
			const rise = (cfm: number, mixingEfficiency: number) =>
				steadyPpm({
					...box(0, 0),
					mixingEfficiency,
					generationM3PerS: (vapourCfm * M3_PER_FT3) / 60,
					deliveredM3PerS: (cfm * M3_PER_FT3) / 60,
				}) - SUPPLY_PPM;
			const flowFor = (mixing: number) => findRoot((cfm) => rise(cfm, mixing) - one("C_ppm"), 1, 1e5);
			return {
				Qprime_cfm: { what: "flow under perfect mixing, by root search", ours: flowFor(1) },
				Q_cfm: { what: "flow with the mixing factor 1/K, by root search", ours: flowFor(1 / one("K")) },
			};
		}
		case "DIL-05": {
			const model = {
				volumeM3: one("V_ft3") * M3_PER_FT3,
				intakePpm: 0,
				generationM3PerS: (one("G_cfm") * M3_PER_FT3) / 60,
				deliveredM3PerS: (one("Qprime_cfm") * M3_PER_FT3) / 60,
				infiltrationM3PerS: 0,
			};
			const { firstExceedanceSeconds } = summarize(
				model,
				{ kind: "continuous" },
				{ ceilingPpm: one("C_target_ppm") },
			);
			return {
				t_to_200ppm_min: {
					what: "minutes to 200 ppm from a fresh start",
					ours: firstExceedanceSeconds === null ? null : firstExceedanceSeconds / 60,
				},
				C_after_60min_ppm: {
					what: "ppm after an hour",
					ours: ppmAfter(model, one("t_min") * 60, "continuous", 0),
				},
			};
		}
		case "DIL-07": {
			// A first-order loss acts exactly as a leak to air without the gas, and the balance does not mind mg/m3 for ppm.
			const model = {
				volumeM3: one("V_m3"),
				intakePpm: 0,
				generationM3PerS: one("S_mg_per_h") / HOUR / 1e6,
				deliveredM3PerS: one("Q_m3_per_h") / HOUR,
				infiltrationM3PerS: (one("k_per_h") * one("V_m3")) / HOUR,
			};
			return {
				C_ss_mg_m3: { what: "steady state, the loss entered as a leak", ours: steadyPpm(model) },
				C_1h_mg_m3: {
					what: "after an hour, the loss entered as a leak",
					ours: ppmAfter(model, one("t_h") * HOUR, "continuous", 0),
				},
				C_ss_ppm: { notOurs: "no molar mass but that of CO2 is known" },
			};
		}
		case "DIL-09": {
			const model = person(one("Q_L_per_s"), one("G_L_per_min") / 60, one("C_in_ppm"));
			return {
				approx_ppm: { what: "steady state", ours: steadyPpm(model) },
				exact_ppm: { notOurs: "the model leaves aside that the CO2 given off adds to the outflow" },
			};
		}
	}
	return undefined;
}
