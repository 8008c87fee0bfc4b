import type { Model } from "../../model/chamber.ts";
import { MIDNIGHT, sinceMidnight } from "../../time.ts";

/**
 * The model by which settings are judged by the thousand: without the sensor, which changes nothing, and with the highest
 * source and intake CO2 that the run will see held for ever. A source that falls again, or that feels the CO2, gives off no more
 * than that, and more CO2 given off never means less in the chamber; so a ceiling that holds here holds in the full model.
 *
 * @param looks how many moments of the run the source is looked at, beside its breakpoints; or which [s]
 */
export const withMaximumSource = (model: Model, looks: number | readonly number[] = 2048): Model =>
	hold(model, Math.max, looks);

/**
 * The same with the lowest source and intake, so that a floor that holds here holds in the full model.
 * @param highestPpm CO2 that the source feels at most
 */
export const withMinimumSource = (
	model: Model,
	highestPpm: number,
	looks: number | readonly number[] = 2048,
): Model => hold(model, Math.min, looks, highestPpm);

function hold(
	model: Model,
	extreme: (a: number, b: number) => number,
	looks: number | readonly number[],
	feltPpm = model.intakePpm + (model.intakeExcess?.lowestPpm ?? 0),
): Model {
	const { source, intakeExcess, responseSeconds: _, sensorZone: __, ...rest } = model;
	const excess = intakeExcess === undefined ? 0 : extreme(intakeExcess.lowestPpm, intakeExcess.highestPpm);
	const held = { ...rest, intakePpm: rest.intakePpm + excess };
	if (source === undefined) return held;
	const evenly = (count: number) =>
		Array.from({ length: count + 1 }, (_, i) => (i * source.horizonSeconds) / count);
	const times = typeof looks === "number" ? [...source.breakpointsSeconds, ...evenly(looks)] : looks;
	const generationM3PerS = (source.isTimeVarying ? times : []).reduce(
		(held, time) => extreme(held, source.m3PerS(sinceMidnight(time), feltPpm)),
		source.m3PerS(MIDNIGHT, feltPpm),
	);
	return { ...held, generationM3PerS };
}
