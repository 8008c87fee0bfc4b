import type { Model } from "../../model/chamber.ts";
import { MIDNIGHT, sinceMidnight } from "../../time.ts";

/**
 * The model by which settings are judged by the thousand: without the sensor, which changes nothing, and with the highest
 * source that the run will see held for ever. A source that falls again, or that feels the CO2, gives off no more than that,
 * and more CO2 given off never means less in the chamber; so what holds here holds in the full model.
 *
 * @param looks moments of the run at which the source is looked at
 */
export function withMaximumSource(model: Model, looks = 2048): Model {
	const { source, responseSeconds: _, sensorZone: __, ...rest } = model;
	if (source === undefined) return rest;
	let highest = source.m3PerS(MIDNIGHT, model.intakePpm);
	if (source.isTimeVarying)
		for (const time of [
			...source.breakpointsSeconds,
			...Array.from({ length: looks + 1 }, (_, i) => (i * source.horizonSeconds) / looks),
		])
			highest = Math.max(highest, source.m3PerS(sinceMidnight(time), model.intakePpm));
	return { ...rest, generationM3PerS: highest };
}
