import { airDensityKgPerM3, co2VolumeM3 } from "../model/air/gaslaws.ts";
import { airAfterBurst, type MoistAir, waterCarriedKgPerM3 } from "../model/air/moistair.ts";
import { type Model, meanSourceM3PerS } from "../model/chamber.ts";
import { buildHumidity, wallAreaM2 } from "../model/humidity.ts";
import type { Schedule } from "../model/schedule/schedule.ts";
import { burstsPerDay } from "../model/schedule/timeline.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { type CompiledModel, compile } from "../solve/compile.ts";
import { continuousState, meanDeliveredM3PerS } from "../solve/continuous.ts";
import type { HumidityCriterion } from "../solve/criterion.ts";
import { LATENT_HEAT, MOIST_AIR_HEAT, RESPIRATION_HEAT, WATER_PER_CO2 } from "../sources/water.ts";
import { DAY } from "../time.ts";

/** Relative humidity under a schedule [%], and where the water goes. */
export interface HumidityFigures {
	/** Of the pattern that repeats, or of the last day of a run where none was found. */
	readonly basis: "periodic" | "run";
	/** Its start, after time 0 of the schedule, and its length [s]. */
	readonly windowFromSeconds: number;
	readonly windowSeconds: number;
	readonly lowestPercent: number;
	readonly meanPercent: number;
	readonly highestPercent: number;
	/** The level that a burst should not take it below: the target's floor, else the chamber's stated humidity [%]. */
	readonly referencePercent: number;
	readonly belowSecondsPerDay: number;
	/** Longest time below it without a break, so after a burst until it is back [s]; null: it never gets there. */
	readonly recoverySeconds: number | null;
	/** Lost by crop and wet surfaces, given by the humidifier, carried out by air, run off as liquid [g/day]. */
	readonly evaporatedGPerDay: number;
	readonly humidifierGPerDay: number;
	readonly carriedOutGPerDay: number;
	readonly runOffGPerDay: number;
	readonly humidifierStartsPerDay: number;
	readonly humidifierSecondsPerDay: number;
	/** Hours a day in which walls are wet, and in which the air is saturated. */
	readonly wetWallHoursPerDay: number;
	readonly fogHoursPerDay: number;
	/** What the target asks of humidity, and whether it is met; null where it asks nothing. */
	readonly criterion: HumidityCriterion | null;
}

/** What the exchanged air costs in water and heat. */
export interface WaterBalance {
	/** Water carried out by fan and leak [g/day]; negative when the intake air is the moister. */
	readonly moistureLossGPerDay: number;
	/** Water that respiration itself makes [g/day]. */
	readonly metabolicWaterGPerDay: number;
	/** What a humidifier must give to hold the humidity that the file states [g/day]; without `water` in it, a humidifier or the blocks themselves. */
	readonly humidificationGPerDay: number;
	/** Share of the water carried out that must be given back [0..1]; null when none is carried out. */
	readonly humidificationShare: number | null;
	/** Relative humidity right after a burst, before the walls give their heat back [0..1]; null without bursts. */
	readonly relativeHumidityAfterBurst: number | null;
	/** Temperature then [°C], and liquid that hangs in the air as fog [g/kg]. */
	readonly celsiusAfterBurst: number | null;
	readonly fogAfterBurstGPerKg: number | null;
	/** Relative humidity before a burst [0..1]: as given, or the highest of the balance. */
	readonly relativeHumidityBefore: number;
	/** The humidity as it is worked out; null where the file asks for none. */
	readonly humidity: HumidityFigures | null;
	readonly heat: HeatBalance;
}

/** Heat that must be added for the chamber to stay at its temperature, on average. */
export interface HeatBalance {
	/** Taken out by the exchanged air, by evaporation, and through the walls, where the file has them [W]. */
	readonly sensibleW: number;
	readonly latentW: number;
	readonly wallW: number | null;
	/** Given by the crop [W]. */
	readonly respirationW: number;
	/** Heating [W] and [kWh/day]; below 0: cooling. */
	readonly heatingW: number;
	readonly heatingKWhPerDay: number;
	/** Temperature that the chamber comes to by itself [°C]; null where the file has no walls. */
	readonly steadyCelsius: number | null;
}

/** Water and heat that the exchanged air takes along, of a chamber whose humidity was worked out or, with null, stays as the file says. */
export function balanceWater(
	scenario: Scenario,
	given: Model | CompiledModel,
	schedule: Schedule,
	humidity: HumidityFigures | null,
): WaterBalance {
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
	const heldLossGPerDay = 1000 * exchangedM3PerDay * waterCarriedKgPerM3(inside, intakeAir, pascal);
	// As at the level of continuous flow with the same air.
	const ppm = continuousState(compiled, schedule) ?? model.startPpm ?? model.intakePpm;
	const co2KgPerDay = (DAY * meanSourceM3PerS(model, ppm)) / co2VolumeM3(1, inside.celsius, pascal);
	const metabolicWaterGPerDay = 1000 * WATER_PER_CO2.value * co2KgPerDay;
	const damp = buildHumidity(scenario, model);
	const moistureLossGPerDay = humidity?.carriedOutGPerDay ?? heldLossGPerDay;
	// What evaporates by itself where the humidity is as stated.
	const byItself =
		damp === null
			? metabolicWaterGPerDay
			: DAY *
				(damp.evaporationM3PerS * damp.saturationGPerM3 * (1 - inside.relativeHumidity) +
					damp.heatDrivenGPerS);
	const humidificationGPerDay = Math.max(0, heldLossGPerDay - byItself);
	const bursts = burstsPerDay(schedule);
	const before = humidity === null ? inside.relativeHumidity : humidity.highestPercent / 100;
	const after =
		bursts > 0
			? airAfterBurst(
					fanM3PerDay / bursts / model.volumeM3,
					{ ...inside, relativeHumidity: before },
					intakeAir,
					pascal,
				)
			: null;
	return {
		moistureLossGPerDay,
		metabolicWaterGPerDay,
		humidificationGPerDay,
		humidificationShare: heldLossGPerDay > 0 ? humidificationGPerDay / heldLossGPerDay : null,
		relativeHumidityAfterBurst: after?.relativeHumidity ?? null,
		celsiusAfterBurst: after?.celsius ?? null,
		fogAfterBurstGPerKg: after?.fogGPerKg ?? null,
		relativeHumidityBefore: before,
		humidity,
		heat: heatOf(scenario, exchangedM3PerDay, moistureLossGPerDay, co2KgPerDay),
	};
}

/** No heat is stored: air follows its walls within half a minute, and a day's mean asks nothing of the block. */
function heatOf(
	{ chamber, intake, water }: Scenario,
	exchangedM3PerDay: number,
	evaporatedGPerDay: number,
	co2KgPerDay: number,
): HeatBalance {
	const celsius = chamber.temperature.mean.value;
	const perKelvin =
		(exchangedM3PerDay * airDensityKgPerM3(celsius, chamber.pressure.value) * 1000 * MOIST_AIR_HEAT.dryAir) /
		DAY;
	const latentW = (1000 * LATENT_HEAT.value * evaporatedGPerDay) / DAY;
	const respirationW = (1e6 * RESPIRATION_HEAT.value * co2KgPerDay) / DAY;
	const walls = water?.walls ?? null;
	const kappa = walls === null ? 0 : walls.transmittance.value * wallAreaM2(walls, chamber.volume.value);
	const wallW = walls === null ? null : kappa * (celsius - walls.room.value);
	const sensibleW = perKelvin * (celsius - intake.temperature.value);
	const heatingW = sensibleW + latentW + (wallW ?? 0) - respirationW;
	return {
		sensibleW,
		latentW,
		wallW,
		respirationW,
		heatingW,
		heatingKWhPerDay: (24 * heatingW) / 1000,
		steadyCelsius:
			walls === null || kappa + perKelvin === 0
				? null
				: (respirationW - latentW + kappa * walls.room.value + perKelvin * intake.temperature.value) /
					(kappa + perKelvin),
	};
}
