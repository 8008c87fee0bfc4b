import type { DailyIntake, Scenario } from "../scenario/scenario.ts";
import { DAY, HOUR, timeOfDay } from "../time.ts";
import { type IntakeExcess, type Model, meanSourceM3PerS, type Source } from "./chamber.ts";
import { computeGeneration, type TemperatureProfile } from "./crop/respiration.ts";
import { deliveredFlow } from "./fan/deliveredflow.ts";

/**
 * Free air volume: the chamber less the substrate of known volume.
 *
 * @param scenario as `parseScenario` gives it
 * @returns volume [m3]
 * @throws never
 *
 * Source: this project.
 * @example freeVolumeM3(parseScenario(starterScenario())).toFixed(3) // => "0.170"
 */
export function freeVolumeM3({ chamber, substrate }: Scenario): number {
	return substrate.reduce((volume, s) => volume - (s.volume?.value ?? 0), chamber.volume.value);
}

/** A source that varies is looked at so often for its mean; a cosine needs far less. */
const LOOKS = 96;

/**
 * The mass balance of a scenario, from the central values of all its inputs.
 *
 * @param scenario as `parseScenario` gives it
 * @param temperature of the chamber [°C]; by default as the scenario has it
 * @returns the model in plain SI numbers: [m3], [m3/s], [ppm], [s]
 * @throws never
 *
 * Source: this project; the equations stand at `Model`.
 * @example buildModel(parseScenario(starterScenario())).volumeM3.toFixed(3) // => "0.170"
 */
export function buildModel(scenario: Scenario, temperature?: TemperatureProfile): Model {
	const { chamber, intake, fan, sensor, start } = scenario;
	const volumeM3 = freeVolumeM3(scenario);
	const source = computeGeneration(scenario, temperature);
	const { leak, stagnant } = chamber;
	return {
		volumeM3,
		intakePpm: intake.co2.value,
		...(intake.daily === null ? {} : { intakeExcess: buildIntakeExcess(intake.daily) }),
		...(typeof source === "number"
			? { generationM3PerS: source }
			: { generationM3PerS: meanOf(source, intake.co2.value), source }),
		infiltrationM3PerS: leak.dimension === "air changes" ? leak.value * volumeM3 : leak.value,
		deliveredM3PerS: deliveredFlow(scenario).value,
		mixingEfficiency: chamber.mixing.value,
		spinUpTauSeconds: fan.spinUp.value,
		coastDownTauSeconds: fan.coastDown.value,
		...(stagnant === null
			? {}
			: {
					stagnantFraction: stagnant.share.value,
					stagnantSourceShare: stagnant.source.value,
					interzonalM3PerS:
						stagnant.exchange.dimension === "air changes"
							? stagnant.exchange.value * volumeM3 * stagnant.share.value
							: stagnant.exchange.value,
				}),
		...(sensor === null ? {} : { responseSeconds: sensor.response.value, sensorZone: sensor.zone }),
		startPpm: start.value,
	};
}

/** By day is from 06:00 to 18:00. */
const DAY_FROM_SECONDS = 6 * HOUR;
const DAY_TO_SECONDS = 18 * HOUR;

function buildIntakeExcess(daily: DailyIntake): IntakeExcess {
	if (daily.shape === "swing") {
		const { amplitude, highestSeconds } = daily;
		return {
			ppmAt: (time) => amplitude.value * Math.cos((2 * Math.PI * (time - highestSeconds)) / DAY),
			breakpointsSeconds: [],
			lowestPpm: -amplitude.value,
			highestPpm: amplitude.value,
		};
	}
	const half = (daily.day.value - daily.night.value) / 2;
	return {
		ppmAt: (time) => {
			const at = timeOfDay(time);
			return at >= DAY_FROM_SECONDS && at < DAY_TO_SECONDS ? half : -half;
		},
		breakpointsSeconds: [DAY_FROM_SECONDS, DAY_TO_SECONDS],
		lowestPpm: -Math.abs(half),
		highestPpm: Math.abs(half),
	};
}

const meanOf = (source: Source, ppm: number): number =>
	meanSourceM3PerS({ source, generationM3PerS: 0 }, ppm, 0, source.horizonSeconds, LOOKS);
