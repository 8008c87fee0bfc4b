import { parseScenario } from "../../lib/index.ts";
import { airDensityKgPerM3, co2MgPerM3, co2VolumeM3 } from "../../lib/model/air/gaslaws.ts";
import { EXPOSURE_LIMITS, GAS_CONSTANT, MOLAR_MASS_CO2, OUTDOOR_CO2 } from "../../lib/sources/constants.ts";
import type { Dimension } from "../../lib/units/dimensions.ts";
import { parseValue } from "../../lib/units/read.ts";
import type { Answer, Inputs } from "./check.ts";

const read = (text: string, dimension: Dimension): number => {
	const reading = parseValue(text, [dimension]);
	return "value" in reading ? reading.value : Number.NaN;
};

const pressureAt = (metres: number): number =>
	parseScenario(
		`
name: Altitude
chamber: { volume: 100 L, altitude: ${metres} m }
substrate: { species: oyster, mass: 1 kg }
fan: { flow: 10 m3/h }
schedules: { never off: continuous }
`,
	).chamber.pressure.value;

/** Constants, conversions and the pressure that a scenario file gets from its altitude. */
export function units(id: string, { one, list }: Inputs): Record<string, Answer> | undefined {
	if (id.startsWith("ATM-"))
		return {
			p_Pa: {
				what: `pressure of a scenario at an altitude of ${one("Z_m")} m`,
				ours: pressureAt(one("Z_m")),
			},
		};
	switch (id) {
		case "UNI-01":
			return { R_J_mol_K: { what: "molar gas constant", ours: GAS_CONSTANT.value } };
		case "UNI-02":
			return { M_g_mol: { what: "molar mass of CO2", ours: MOLAR_MASS_CO2.value } };
		case "UNI-03":
			return {
				Vm_L_mol: {
					what: "litres of a mole of CO2",
					ours: 1000 * co2VolumeM3(one("M") / 1000, one("T_C"), one("P_Pa")),
				},
				mg_m3: { what: "mg/m3 in 1 ppm of CO2", ours: co2MgPerM3(one("ppm"), one("T_C"), one("P_Pa")) },
			};
		case "UNI-05":
			return {
				ft3_m3: { what: '"1 ft3" as read, in m3', ours: read("1 ft3", "volume") },
				cfm_m3_s: { what: '"1 cfm" as read, in m3/s', ours: read("1 cfm", "flow") },
				cfm_m3_h: { what: '"1 cfm" against "1 m3/h"', ours: read("1 cfm", "flow") / read("1 m3/h", "flow") },
				cfm_L_s: { what: '"1 cfm" against "1 L/s"', ours: read("1 cfm", "flow") / read("1 L/s", "flow") },
				US_gal_L: {
					what: '"1 gal" against "1 L"',
					ours: read("1 gal", "volume") / read("1 L", "volume"),
				},
				UK_gal_L: {
					what: '"1 UK gal" against "1 L"',
					ours: read("1 UK gal", "volume") / read("1 L", "volume"),
				},
				in_m: { what: '"1 in" as read, in m', ours: read("1 in", "length") },
				lb_kg: { what: '"1 lb" as read, in kg', ours: read("1 lb", "mass") },
			};
		case "UNI-06": {
			const other = { notOurs: "an inch of water is the conventional one here, whatever its temperature" };
			return {
				inH2O_conventional_Pa: { what: '"1 inH2O" as read, in Pa', ours: read("1 inH2O", "pressure") },
				inH2O_4C_Pa: other,
				inH2O_60F_Pa: other,
			};
		}
		case "AIR-01":
			return {
				rho_kg_m3: {
					what: "density of dry air at 15 to 25 °C",
					ours: list("T_C").map((celsius) => airDensityKgPerM3(celsius, one("p_Pa"))),
				},
			};
	}
	return undefined;
}

const limit = (what: string): number | null =>
	EXPOSURE_LIMITS.find((row) => row.what.startsWith(what))?.value ?? null;

/** Limits for people and the CO2 of outdoor air, as the sources hold them. */
export function limits(id: string, { list }: Inputs): Record<string, Answer> | undefined {
	const of = (what: string) => ({ what, ours: limit(what) });
	switch (id) {
		case "LIM-01":
			return {
				PEL_TWA_ppm: of("OSHA permissible exposure limit, 8-h average"),
				PEL_mg_m3: { notOurs: "limits are held in ppm only" },
			};
		case "LIM-02":
			return {
				REL_TWA_ppm: of("NIOSH recommended limit"),
				REL_ST_ppm: of("NIOSH short-term limit"),
				IDLH_ppm: of("NIOSH immediately dangerous to life or health"),
			};
		case "LIM-03":
			return {
				TLV_TWA_ppm: of("ACGIH threshold limit value, 8 h"),
				TLV_STEL_ppm: of("ACGIH short-term limit, 15 min"),
			};
		case "OUT-01":
			return {
				ppm: {
					what: "outdoor CO2, global annual mean 2015 to 2025",
					ours: list("year").map((year) => OUTDOOR_CO2[year]?.value ?? null),
				},
			};
	}
	return undefined;
}
