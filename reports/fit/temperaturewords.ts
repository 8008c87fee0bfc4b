import type { CelsiusRange, Fit, FitTemperature } from "../../lib/fit/fittypes.ts";
import type { Verification } from "../../lib/fit/verification.ts";
import { findClockStart } from "../../lib/logs/times/clockstart.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { timeOfDayWords } from "../charts/log/logtime.ts";

const degrees = (celsius: number, units: UnitSystem): string =>
	formatQuantity(Number(celsius.toFixed(1)), "temperature", units);

/** `22.1 °C`, or `22.1 °C on average (18.4 °C to 25 °C)` where it moves. */
function rangeWords({ meanCelsius, lowestCelsius, highestCelsius }: CelsiusRange, units: UnitSystem): string {
	const [mean, low, high] = [meanCelsius, lowestCelsius, highestCelsius].map((one) => degrees(one, units));
	return low === high ? mean! : `${mean} on average (${low} to ${high})`;
}

const isLevel = ({ lowestCelsius, highestCelsius }: CelsiusRange): boolean =>
	lowestCelsius === highestCelsius;

/** Which temperature the respiration follows, and what the other one is; null where a constant one of the scenario leaves nothing to say. */
export function temperatureWords(
	{ temperature, series }: Pick<Fit | Verification, "temperature" | "series">,
	units: UnitSystem,
): string | null {
	const { from, column, logged, scenario, unused } = temperature;
	const expected = rangeWords(scenario, units);
	if (logged !== null && from === "log")
		return `Q10 and gas volume follow the temperature in the log's column “${column}”: ${rangeWords(logged, units)}. The scenario has ${expected}.`;
	if (logged !== null)
		return `Q10 and gas volume follow the scenario's temperature: ${expected}. The log's column “${column}” has ${rangeWords(logged, units)}; it is not used.`;
	const left = unused === null ? "" : ` ${unusedWords(unused)}`;
	if (isLevel(scenario))
		return unused === null
			? null
			: `Q10 and gas volume follow the scenario's temperature, ${expected}.${left}`;
	const start = clockWords(series);
	return `Q10 and gas volume follow the scenario's temperature over the hours of this log: ${expected}.${start === null ? "" : ` The log starts at ${start}.`}${left}`;
}

const unusedWords = ({ reason, columns }: NonNullable<FitTemperature["unused"]>): string =>
	reason === "mostly empty"
		? `The log's column “${columns[0]}” is empty for most of the log, so it is not used.`
		: `Several columns of the log may hold the temperature inside (${columns.map((name) => `“${name}”`).join(", ")}); --temperature NAME uses one.`;

/** `14:00 (Europe/Berlin)`; null where the time of day is not known. */
function clockWords({ log }: Pick<Fit, "series">["series"]): string | null {
	const start = findClockStart(log);
	if (start === null) return null;
	const zone = log.startUtcSeconds === null || log.layout.zone === null ? "" : ` (${log.layout.zone})`;
	return `${timeOfDayWords(start)}${zone}`;
}

/** Whether a crop had its part in a log, so that its temperature is worth a word. */
export const hasCrop = ({ parameters }: Pick<Fit, "parameters">): boolean =>
	parameters.some(({ name, value }) => name.startsWith("generation") && value > 0);
