import { sensorAccuracyPpm } from "../../model/air/sensoraccuracy.ts";
import { DEFAULT_ACCURACY } from "../../scenario/build.ts";
import type { Accuracy, Scenario } from "../../scenario/scenario.ts";

/** What the sensor's data sheet promises; that of usual sensors where the scenario has none. */
export const statedAccuracy = ({ sensor }: Pick<Scenario, "sensor">): Accuracy =>
	sensor?.accuracy ?? DEFAULT_ACCURACY;

/** Accuracy by the sensor's data sheet at a reading [ppm]. */
export function statedAccuracyPpm(scenario: Scenario, readingPpm: number): number {
	const { ppm, share } = statedAccuracy(scenario);
	return sensorAccuracyPpm(readingPpm, { ppm: ppm.value, share: share.value });
}
