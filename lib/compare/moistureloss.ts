import { co2VolumeM3 } from "../model/air/gaslaws.ts";
import { humidityAfter, type MoistAir, waterCarriedKgPerM3 } from "../model/air/moistair.ts";
import { type Model, sourceM3PerS } from "../model/chamber.ts";
import { burstsPerDay, type Schedule } from "../model/schedule/schedule.ts";
import type { Scenario } from "../scenario/scenario.ts";
import { continuousState, meanFanM3PerS } from "../solve/continuous.ts";
import { WATER_PER_CO2 } from "../sources/water.ts";

/** What the exchanged air costs in moisture. */
export interface MoistureCost {
	/** Water carried out by fan and leak [g/day]; negative when the intake air is the moister. */
	readonly waterOutGPerDay: number;
	/** Water that respiration itself makes [g/day]. */
	readonly waterMadeGPerDay: number;
	/** What a humidifier, or the blocks themselves, must give [g/day], never below 0. */
	readonly waterToGiveGPerDay: number;
	/** Share of the water carried out that must be given back [0..1]; null when none is carried out. */
	readonly shareToGive: number | null;
	/** Relative humidity right after a burst in the mixed chamber [0..1], at chamber temperature; null without bursts. */
	readonly humidityAfterBurst: number | null;
	/** Relative humidity between bursts, as given [0..1]. */
	readonly humidityBefore: number;
}

const DAY = 86_400;

/**
 * What the air that a schedule exchanges costs in moisture.
 *
 * The chamber counts as held at its mean temperature and given humidity. The flow of fan and leak is taken as the chamber air that
 * it displaces, at chamber temperature and pressure; of the fan's air only the share that mixes in counts, as it does for the CO2.
 */
export function moistureCost(scenario: Scenario, model: Model, schedule: Schedule): MoistureCost {
	const { chamber, intake } = scenario;
	const pascal = chamber.pressure.value;
	const inside: MoistAir = {
		celsius: chamber.temperature.mean.value,
		humidity: chamber.humidity.value,
	};
	const supplied: MoistAir = { celsius: intake.temperature.value, humidity: intake.humidity.value };

	const fanM3PerDay = DAY * (model.mixing ?? 1) * meanFanM3PerS(model, schedule);
	const exchangedM3PerDay = fanM3PerDay + DAY * model.leakM3PerS;
	const waterOutGPerDay = 1000 * exchangedM3PerDay * waterCarriedKgPerM3(inside, supplied, pascal);
	const co2KgPerDay = (DAY * meanSourceM3PerS(model, schedule)) / co2VolumeM3(1, inside.celsius, pascal);
	const waterMadeGPerDay = 1000 * WATER_PER_CO2.value * co2KgPerDay;
	const waterToGiveGPerDay = Math.max(0, waterOutGPerDay - waterMadeGPerDay);
	const bursts = burstsPerDay(schedule);
	return {
		waterOutGPerDay,
		waterMadeGPerDay,
		waterToGiveGPerDay,
		shareToGive: waterOutGPerDay > 0 ? waterToGiveGPerDay / waterOutGPerDay : null,
		humidityAfterBurst:
			bursts > 0 ? humidityAfter(fanM3PerDay / bursts / model.volumeM3, inside, supplied) : null,
		humidityBefore: inside.humidity,
	};
}

/** CO2 given off [m3/s], averaged over the times in which it varies, at the level of never-ending flow with the same air. */
function meanSourceM3PerS(model: Model, schedule: Schedule): number {
	const ppm = continuousState(model, schedule) ?? model.startPpm ?? model.supplyPpm;
	const { source } = model;
	if (source === undefined || !source.variesInTime) return sourceM3PerS(model, 0, ppm);
	const parts = 512;
	let sum = 0;
	for (let i = 0; i < parts; i++) sum += source.m3PerS(((i + 0.5) * source.horizonSeconds) / parts, ppm);
	return sum / parts;
}
