import {
	airAfterBurst,
	dewPointC,
	enthalpyKJPerKg,
	humidityRatio,
	latentShare,
	type MoistAir,
	saturationPa,
	specificVolumeM3PerKgDryAir,
	vapourGPerM3,
	wallC,
} from "../../lib/model/air/moistair.ts";
import type { Answer, Inputs } from "./check.ts";

/** Moist air: saturation, humidity ratio, dew point and volume. */
export function psychrometrics(
	id: string,
	{ one, list, published }: Inputs,
): Record<string, Answer> | undefined {
	switch (id) {
		case "PSY-01":
		case "PSY-03":
			return { p_Pa: { what: "saturation pressure of water", ours: list("t_C").map(saturationPa) } };
		case "PSY-07":
			return {
				W: {
					what: "humidity ratio of saturated air",
					ours: list("t_C").map((t) => humidityRatio(saturationPa(t), one("P_Pa"))),
				},
			};
		case "PSY-09": {
			const [celsius, pascal] = [one("tdb_C"), one("P_Pa")];
			const relativeHumidity = published("RH");
			return {
				W: {
					what: "humidity ratio from the published relative humidity",
					ours: humidityRatio(relativeHumidity * saturationPa(celsius), pascal),
				},
				t_dew_C: {
					what: "dew point from the published relative humidity",
					ours: dewPointC({ celsius, relativeHumidity }),
				},
				RH: { notOurs: "wet-bulb temperature is no input here" },
				h_J_kg: { notOurs: "the humidity ratio that it belongs to is printed to too few digits" },
				v_m3_kg: {
					what: "volume of moist air from the published humidity ratio",
					ours: specificVolumeM3PerKgDryAir(celsius, published("W"), pascal),
				},
			};
		}
		case "PSY-10": {
			const humidities = list("RH");
			return {
				td_C: {
					what: "dew point",
					ours: list("t_C").map((celsius, i) => dewPointC({ celsius, relativeHumidity: humidities[i]! })),
				},
			};
		}
		case "PSY-11": {
			const volume = specificVolumeM3PerKgDryAir(one("t_C"), one("W"), one("P_Pa"));
			return {
				v_m3_kg: { what: "volume of moist air", ours: volume },
				rho: { what: "density of moist air", ours: (1 + one("W")) / volume },
				h_J_kg: { what: "enthalpy of moist air", ours: 1000 * enthalpyKJPerKg(one("t_C"), one("W")) },
			};
		}
		case "NPS-03":
			return {
				h_J_kg: { what: "enthalpy of moist air", ours: 1000 * enthalpyKJPerKg(one("t_C"), one("W")) },
				t_back_C: { notOurs: "asked for through the mix of two airs, in NPS-17" },
				W_back: { notOurs: "not asked for" },
			};
		case "NPS-04":
			return {
				h_J_kg: {
					what: "enthalpy of saturated air",
					ours: list("t_C").map(
						(t) => 1000 * enthalpyKJPerKg(t, humidityRatio(saturationPa(t), one("p_Pa"))),
					),
				},
			};
		case "NPS-14":
			return {
				rho_s_g_m3: {
					what: "vapour density at saturation",
					ours: list("t_C").map((t) => vapourGPerM3(saturationPa(t), t)),
				},
			};
		case "NPS-17": {
			const [chamber, intake] = ["chamber", "intake"].map((place) => ({
				celsius: one(`${place}_C`),
				relativeHumidity: one(`${place}_rh`),
			})) as [MoistAir, MoistAir];
			// Theirs is the dry air that stays, ours all air: the moister has less of the dry.
			const dry = ({ celsius, relativeHumidity }: MoistAir) =>
				101_325 - relativeHumidity * saturationPa(celsius);
			const stays = Math.exp(-one("n")) / dry(chamber);
			const kept = stays / (stays - Math.expm1(-one("n")) / dry(intake));
			const after = airAfterBurst(-Math.log(kept), chamber, intake, 101_325);
			return {
				t_C: { what: "temperature after a purge with cold air", ours: after.celsius },
				rh: { what: "relative humidity after it", ours: after.relativeHumidity },
			};
		}
		case "MTR-08":
			return {
				f_convection_only: {
					what: "share of its heat that a wet surface gives off as vapour, at saturation",
					ours: list("t_C").map((t) => latentShare(t, 0)),
				},
				f_with_equal_radiation: {
					what: "the same with radiation",
					ours: list("t_C").map((t) => latentShare(t, 1)),
				},
			};
		case "HUM-09": {
			const walls = list("U_W_m2K").map((u) => wallC(one("t_i_C"), one("t_o_C"), u));
			return {
				t_si_C: { what: "inner temperature of a wall", ours: walls },
				rh_limit: {
					what: "humidity above which it sweats",
					ours: walls.map((t) => saturationPa(t) / saturationPa(one("t_i_C"))),
				},
			};
		}
	}
	return undefined;
}
