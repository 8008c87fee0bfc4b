import { sensorAccuracyPpm } from "../model/air/sensoraccuracy.ts";
import { DEFAULT_ACCURACY } from "../scenario/build.ts";
import type { Scenario } from "../scenario/scenario.ts";

/** Accuracy by the sensor's data sheet at a reading [ppm]; that of usual sensors where the scenario has none. */
export function statedAccuracyPpm({ sensor }: Scenario, readingPpm: number): number {
	const { ppm, share } = sensor?.accuracy ?? DEFAULT_ACCURACY;
	return sensorAccuracyPpm(readingPpm, { ppm: ppm.value, share: share.value });
}
