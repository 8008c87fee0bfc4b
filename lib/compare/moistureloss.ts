import { co2VolumeM3 } from "../model/air/gaslaws.ts";
import { type MoistAir, relativeHumidityAfter, waterCarriedKgPerM3 } from "../model/air/moistair.ts";
import { type Model, meanSourceM3PerS } from "../model/chamber.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { burstsPerDay } from "../model/schedule/timeline.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import { continuousState, meanDeliveredM3PerS } from "../solve/continuous.ts";
import { WATER_PER_CO2 } from "../sources/water.ts";
import { DAY } from "../time.ts";

/** What the exchanged air costs in moisture. */
export interface MoistureLoss {
	/** Water carried out by fan and leak [g/day]; negative when the intake air is the moister. */
	readonly moistureLossGPerDay: number;
	/** Water that respiration itself makes [g/day]. */
	readonly metabolicWaterGPerDay: number;
	/** What a humidifier, or the blocks themselves, must give [g/day], never below 0. */
	readonly humidificationGPerDay: number;
	/** Share of the water carried out that must be given back [0..1]; null when none is carried out. */
	readonly humidificationShare: number | null;
	/** Relative humidity right after a burst in the mixed chamber [0..1], at chamber temperature; null without bursts. */
	readonly relativeHumidityAfterBurst: number | null;
	/** Relative humidity between bursts, as given [0..1]. */
	readonly relativeHumidityBefore: number;
}

/**
 * Water that the exchanged air carries out of the chamber.
 *
 * The chamber stays at its mean temperature and given humidity. The flow of fan and leakage is taken as the chamber air that
 * it displaces, at chamber temperature and pressure; of the fan's air only the share that mixes in counts, as it does for CO2.
 *
 * @param scenario temperatures [°C], humidities [0..1] and pressure [Pa] of chamber and intake air
 * @param given its model
 * @param schedule when the fan is on
 * @returns water carried out, made by respiration and to add [g/day]; relative humidity before and after a burst [0..1]
 * @throws InputError for a model or schedule that makes no sense
 *
 * Source: mass balance of dry air and vapour (17), (18); water per CO2 from the stoichiometry of glucose.
 * @example
 * const scenario = parseScenario(starterScenario());
 * moistureLoss(scenario, buildModel(scenario), { kind: "off" }).moistureLossGPerDay.toFixed(1) // => "7.6"
 */
export function moistureLoss(
	scenario: Scenario,
	given: Model | CompiledModel,
	schedule: Schedule,
): MoistureLoss {
	const compiled = compile(given);
	const { model } = compiled;
	const { chamber, intake } = scenario;
	const pascal = chamber.pressure.value;
	const inside: MoistAir = {
		celsius: chamber.temperature.mean.value,
		relativeHumidity: chamber.humidity.value,
	};
	const intakeAir: MoistAir = { celsius: intake.temperature.value, relativeHumidity: intake.humidity.value };

	const fanM3PerDay = DAY * (model.mixingEfficiency ?? 1) * meanDeliveredM3PerS(compiled, schedule);
	const exchangedM3PerDay = fanM3PerDay + DAY * model.infiltrationM3PerS;
	const moistureLossGPerDay = 1000 * exchangedM3PerDay * waterCarriedKgPerM3(inside, intakeAir, pascal);
	// As at the level of continuous flow with the same air.
	const ppm = continuousState(compiled, schedule) ?? model.startPpm ?? model.intakePpm;
	const co2KgPerDay = (DAY * meanSourceM3PerS(model, ppm)) / co2VolumeM3(1, inside.celsius, pascal);
	const metabolicWaterGPerDay = 1000 * WATER_PER_CO2.value * co2KgPerDay;
	const humidificationGPerDay = Math.max(0, moistureLossGPerDay - metabolicWaterGPerDay);
	const bursts = burstsPerDay(schedule);
	return {
		moistureLossGPerDay,
		metabolicWaterGPerDay,
		humidificationGPerDay,
		humidificationShare: moistureLossGPerDay > 0 ? humidificationGPerDay / moistureLossGPerDay : null,
		relativeHumidityAfterBurst:
			bursts > 0 ? relativeHumidityAfter(fanM3PerDay / bursts / model.volumeM3, inside, intakeAir) : null,
		relativeHumidityBefore: inside.relativeHumidity,
	};
}
