import { SENSOR_ACCURACY } from "../../sources/constants.ts";

/** Accuracy as a data sheet states it: two parts that add up. */
export interface StatedAccuracy {
	/** Fixed part [ppm]. */
	readonly ppm: number;
	/** Share of the reading [0..1]. */
	readonly share: number;
}

/** That of usual sensors up to 5000 ppm: 50 ppm + 3 %. */
const USUAL: StatedAccuracy = { ppm: SENSOR_ACCURACY.ppm.value, share: SENSOR_ACCURACY.share.value / 100 };

/**
 * Accuracy of a CO2 sensor at a reading:  a = a0 + s C   (29)
 * @param readingPpm C [ppm]
 * @param accuracy a0 [ppm] and s [0..1]; default 50 ppm + 3 %, as data sheets of usual sensors state
 * @returns accuracy [ppm]
 * @throws never
 *
 * Source: data sheets of sensors up to 5000 ppm, 30 to 50 ppm + 2 to 3 % (`lib/sources/constants`).
 * @example sensorAccuracyPpm(1000) // => 80
 */
export const sensorAccuracyPpm = (readingPpm: number, accuracy: StatedAccuracy = USUAL): number =>
	accuracy.ppm + accuracy.share * readingPpm;
