import {
	dewPointC,
	humidityRatio,
	saturationPa,
	specificVolumeM3PerKgDryAir,
} from "../../lib/model/air/moistair.ts";
import type { Answer, Inputs } from "./check.ts";

const noHeat = "no heat balance here";

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
				h_J_kg: { notOurs: noHeat },
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
				h_J_kg: { notOurs: noHeat },
			};
		}
	}
	return undefined;
}
