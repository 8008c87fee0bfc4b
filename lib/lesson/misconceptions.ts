import { ZERO_CELSIUS } from "../model/air/gaslaws.ts";
import { airAfterBurst } from "../model/air/moistair.ts";
import type { Model } from "../model/chamber.ts";
import type { CycleSchedule } from "../model/schedule/schedule.ts";
import { makeCycleStats } from "../solve/cycles/cyclestats.ts";
import { maxOffSeconds } from "../solve/cycles/maxofftime.ts";
import { OXYGEN_IN_AIR } from "../sources/bench.ts";
import {
	FRUITING_HUMIDITY,
	INTAKE_HUMIDITY,
	MOLAR_MASS_CO2,
	MOLAR_MASS_DRY_AIR,
	pressureAtAltitudePa,
} from "../sources/constants.ts";
import { findBurstNeeded } from "./ceilingsettings.ts";
import { meanPenalty } from "./intermittency.ts";

/** Room temperature, where it hardly matters [°C]. */
const CELSIUS = 20;

/** The numbers that answer what people often get wrong. */
export function misconceptions(model: Model, ceilingPpm: number, longest: CycleSchedule) {
	const { onSeconds, offSeconds } = longest;
	const ripple = (chamber: Model, on: number, off: number): number => {
		const { peakPpm, troughPpm } = makeCycleStats(chamber)({ onSeconds: on, offSeconds: off });
		return peakPpm - troughPpm;
	};
	const humidity = { chamber: FRUITING_HUMIDITY.value / 100, intake: INTAKE_HUMIDITY.value / 100 };
	const moist = (share: number) => ({ celsius: CELSIUS, relativeHumidity: share });
	const morePpm = 1600;
	const atPpm = 5000;
	return {
		/** Bursts that hold the ceiling after a pause, after twice it, and near the longest; none where that makes no sense. */
		pauses: pauses(model, ceilingPpm),
		/** By how much the mean lies above that of continuous flow, by air changes of a burst, where bursts are rare [-]. */
		meanPenalties: [1, 5].map((airChangesPerBurst) => ({
			airChangesPerBurst,
			penalty: meanPenalty(0, airChangesPerBurst),
		})),
		/** Ripple of the longest cycle: as it is, with a fan twice as strong run half as long, and in half the cycle [ppm]. */
		ripple: {
			givenPpm: ripple(model, onSeconds, offSeconds),
			strongerFanPpm: ripple(
				{ ...model, deliveredM3PerS: 2 * model.deliveredM3PerS },
				onSeconds / 2,
				offSeconds + onSeconds / 2,
			),
			halfTheCyclePpm: ripple(model, onSeconds / 2, offSeconds / 2),
		},
		/** Weight that so much more CO2 adds to air, and that a kelvin takes away [-]. */
		weight: {
			morePpm,
			heavier: morePpm * 1e-6 * (MOLAR_MASS_CO2.value / MOLAR_MASS_DRY_AIR.value - 1),
			lighterPerKelvin: 1 / (CELSIUS + ZERO_CELSIUS),
		},
		/** Relative humidity before and after one air change, until water evaporates anew [0..1]. */
		humidity: {
			...humidity,
			after: airAfterBurst(1, moist(humidity.chamber), moist(humidity.intake), pressureAtAltitudePa(0))
				.relativeHumidity,
		},
		/** What crops that breathe in as much oxygen as they breathe out CO2 leave of it at so much CO2 [%]. */
		oxygen: {
			atPpm,
			freshPercent: OXYGEN_IN_AIR.value,
			leftPercent: OXYGEN_IN_AIR.value - (atPpm - model.intakePpm) / 1e4,
		},
	};
}

function pauses(model: Model, ceilingPpm: number): { offSeconds: number; onSeconds: number }[] {
	const longest = maxOffSeconds(model, ceilingPpm);
	if (longest === null) return [];
	const found = [longest / 4, longest / 2, 0.95 * longest].map((seconds) => {
		const offSeconds = seconds < 60 ? seconds : Math.round(seconds / 5) * 5;
		return { offSeconds, onSeconds: findBurstNeeded(model, ceilingPpm, offSeconds) };
	});
	return found.flatMap(({ offSeconds, onSeconds }) =>
		onSeconds === null ? [] : [{ offSeconds, onSeconds }],
	);
}
