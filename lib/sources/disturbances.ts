import { stageFactors } from "./fungi.ts";
import { published } from "./published.ts";

const PRACTICE = "common practice, no source";

/** Chance with which a chosen setting is to meet its target [%]. */
export const CONFIDENCE = published(90, "%", PRACTICE, "judgement", "weak");

/** Pressure drop of a filter in service over the clean one. */
export const FILTER_LOAD = published(
	1.5,
	"",
	`a filter is changed at about twice its clean drop: ${PRACTICE}`,
	"judgement",
	"weak",
	1,
	2,
);
/** How much warmer than written a chamber gets on a warm day. */
export const WARM_DAY = published(1, "K", PRACTICE, "judgement", "weak", 0, 2);
/** How much more CO2 than written the intake air has when people are about. */
export const INTAKE_RISE = published(50, "ppm", PRACTICE, "judgement", "weak", 0, 100);
/** Respiration at the height of a flush over that of a fruiting block. */
export const FLUSH_DUE = published(
	1.4,
	"",
	`1 to the flush peak of the stage table: ${stageFactors["flush peak"].source}`,
	"judgement",
	"weak",
	1,
	1.8,
);
/** Accuracy of the adapter's voltage, of a flow that is told as one value, and of a timer. */
export const VOLTAGE_TOLERANCE = published(5, "%", PRACTICE, "judgement", "weak");
export const FAN_TOLERANCE = published(10, "%", PRACTICE, "judgement", "weak");
export const TIMER_TOLERANCE = published(1, "%", PRACTICE, "judgement", "weak");
