import type { DailyIntake, Scenario } from "../scenario/scenario.ts";
import { DAY, HOUR, timeOfDay } from "../time.ts";
import { type IntakeExcess, type Model, meanSourceM3PerS, type Source } from "./chamber.ts";
import { computeGeneration, type TemperatureProfile } from "./crop/respiration.ts";
import { deliveredFlow } from "./fan/deliveredflow.ts";
import { personM3PerS, type Room, type RoomAir, roomAir } from "./roomair.ts";

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
	const infiltrationM3PerS = leak.dimension === "air changes" ? leak.value * volumeM3 : leak.value;
	const room = intake.room === null ? null : roomAround(scenario, intake.room, source, infiltrationM3PerS);
	return {
		volumeM3,
		intakePpm: room === null ? intake.co2.value : room.meanPpm,
		...(room === null || room.excess === null ? {} : { intakeExcess: room.excess }),
		...(intake.daily === null ? {} : { intakeExcess: buildIntakeExcess(intake.daily) }),
		...(typeof source === "number"
			? { generationM3PerS: source }
			: { generationM3PerS: meanOf(source, intake.co2.value), source }),
		infiltrationM3PerS,
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

/** What the people of a room give off, each entry of it [m3/s]. */
export const peopleM3PerS = ({ chamber, intake }: Scenario): number[] =>
	(intake.room?.people ?? []).map(
		({ met, count }) => count * personM3PerS(met.value, intake.temperature.value, chamber.pressure.value),
	);

/**
 * The room's air, with all its chambers like this one. Of an exhaust outdoors the leakage alone brings CO2 back, at most that of a chamber at its
 * ceiling, and what the fans draw through the room besides is not reckoned: on the safe side.
 */
function roomAround(
	scenario: Scenario,
	room: Room,
	source: number | Source,
	infiltrationM3PerS: number,
): RoomAir {
	const outdoor = room.outdoorCo2.value;
	const each = typeof source === "number" ? source : meanOf(source, outdoor);
	const leaked = 1e-6 * infiltrationM3PerS * Math.max(scenario.target.ceiling.value - outdoor, 0);
	const reaches = room.exhaust === "inside" ? each : Math.min(each, leaked);
	return roomAir(room, room.chambers * reaches, peopleM3PerS(scenario));
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
