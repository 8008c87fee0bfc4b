import type { Scenario } from "../scenario/scenario.ts";
import type { Model } from "./chamber.ts";
import { respiration } from "./crop/respiration.ts";

/** Free air volume: the chamber less the substrate of known volume [m3]. */
export function freeVolumeM3({ chamber, substrate }: Scenario): number {
	return substrate.reduce((volume, s) => volume - (s.volume?.value ?? 0), chamber.volume.value);
}

/** The mass balance of a scenario, from the central values of all its inputs. */
export function buildModel(scenario: Scenario): Model {
	const { chamber, intake, fan, sensor, start } = scenario;
	const volumeM3 = freeVolumeM3(scenario);
	const source = respiration(scenario);
	const { leak, stagnant } = chamber;
	return {
		volumeM3,
		supplyPpm: intake.co2.value,
		...(typeof source === "number"
			? { generationM3PerS: source }
			: { generationM3PerS: source.m3PerS(0, intake.co2.value), source }),
		leakM3PerS: leak.dimension === "air changes" ? leak.value * volumeM3 : leak.value,
		fanM3PerS: fan.flow.value,
		mixing: chamber.mixing.value,
		spinUpSeconds: fan.spinUp.value,
		coastDownSeconds: fan.coastDown.value,
		...(stagnant === null
			? {}
			: {
					stagnantFraction: stagnant.share.value,
					stagnantSourceShare: stagnant.source.value,
					exchangeM3PerS:
						stagnant.exchange.dimension === "air changes"
							? stagnant.exchange.value * volumeM3 * stagnant.share.value
							: stagnant.exchange.value,
				}),
		...(sensor === null ? {} : { sensorSeconds: sensor.response.value, sensorZone: sensor.zone }),
		startPpm: start.value,
	};
}
