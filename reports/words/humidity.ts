import type { Comparison } from "../../lib/compare/comparison.ts";
import type { WaterBalance } from "../../lib/compare/water.ts";
import type { HumidityFit } from "../../lib/fit/fittypes.ts";
import { formatDuration, formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatGrams, formatTime, orNone, percentCell, roughTime, short } from "./format.ts";

/** Whether the humidity of a comparison was worked out. */
export const hasHumidity = ({ schedules }: Comparison): boolean => schedules[0]?.water.humidity != null;

export const HUMIDITY_HEADS = [
	"schedule",
	"lowest",
	"mean",
	"highest",
	"below floor",
	"recovers in",
	"crop gives",
	"humidifier",
	"wet walls",
];

/** A line of figures a schedule; per day, where they are amounts or times. */
export const humidityRows = ({ schedules }: Comparison): string[][] =>
	schedules.map(({ name, water: { humidity } }) => {
		const h = humidity!;
		return [
			name,
			percentCell(h.lowestPercent),
			percentCell(h.meanPercent),
			percentCell(h.highestPercent),
			h.belowSecondsPerDay >= 86_399 ? "all day" : formatTime(Math.round(h.belowSecondsPerDay)),
			orNone(h.recoverySeconds, (s) => (s === 0 ? "–" : roughTime(s)), "never"),
			formatGrams(h.evaporatedGPerDay),
			formatGrams(h.humidifierGPerDay),
			h.wetWallHoursPerDay === 0 ? "–" : `${short(h.wetWallHoursPerDay)} h`,
		];
	});

export const HEAT_HEADS = [
	"schedule",
	"a burst alone leaves",
	"air takes",
	"vapour takes",
	"crop gives",
	"to add",
];

const watts = (value: number): string => `${short(value)} W`;

/** The air right after a burst, and the heat that the exchange costs. */
export const heatRows = ({ schedules }: Comparison): string[][] =>
	schedules.map(({ name, water }) => [
		name,
		afterBurst(water),
		watts(water.heat.sensibleW),
		watts(water.heat.latentW),
		watts(water.heat.respirationW),
		`${watts(water.heat.heatingW)}, ${short(water.heat.heatingKWhPerDay)} kWh/day`,
	]);

const afterBurst = ({
	celsiusAfterBurst,
	relativeHumidityAfterBurst,
	fogAfterBurstGPerKg,
}: WaterBalance): string =>
	celsiusAfterBurst === null || relativeHumidityAfterBurst === null
		? "–"
		: `${celsiusAfterBurst.toFixed(1)} °C, ${fogAfterBurstGPerKg! > 0 ? "fog" : percentCell(100 * relativeHumidityAfterBurst)}`;

/** What the figures are, and what they rest on. */
export function humidityNote({ scenario, schedules }: Comparison): string {
	const water = scenario.water!;
	const { humidity } = schedules[0]!.water;
	const { kind } = water.evaporation.origin;
	const steady = schedules.flatMap(({ name, water: { heat } }) =>
		heat.steadyCelsius === null ? [] : [`${heat.steadyCelsius.toFixed(1)} °C under “${name}”`],
	);
	return [
		`“Below floor” is time per day under ${short(humidity!.referencePercent)} %; “recovers in” is the longest time under it without a break.`,
		`Evaporation is ${water.evaporation.text}${kind === "default" ? ", a guess by species and stage: measure it with a humidity logger" : ""}.`,
		...(water.humidifier === null
			? []
			: [
					`The humidifier gives ${water.humidifier.output.text}${
						water.humidifier.control.kind === "after burst"
							? ` for ${formatDuration(water.humidifier.control.seconds)} after each burst`
							: ""
					}. Mist that the air cannot hold wets the surfaces and evaporates again.`,
				]),
		...(steady.length === 0 ? [] : [`Without heating or cooling the chamber comes to ${steady.join(", ")}.`]),
		"“To add” is heating, below 0 cooling, that holds the chamber's temperature.",
	].join(" ");
}

/** What the humidity of a log says of its water. */
export function humidityFitWords(found: HumidityFit, units: UnitSystem): string {
	const flow = (m3PerS: number) => formatQuantity(m3PerS, "flow", units);
	const { evaporation, humidifierOutput, shiftPerPercent } = found;
	const error = evaporation.standardError === null ? "" : ` (SE ${flow(evaporation.standardError)})`;
	return [
		`From “${found.channel}”, with the air that CO₂ gave: evaporation ${flow(evaporation.value)}${error}, ${formatGrams(found.evaporatedGPerDay)} of water per day.`,
		...(humidifierOutput === null
			? []
			: [
					`The humidifier gives ${formatQuantity(humidifierOutput.value, "mass flow", units)}, ${formatGrams(found.humidifierGPerDay)} per day.`,
				]),
		`The model misses the humidity by ${percentCell(found.rmsPercent)} (root mean square).`,
		`For each 1 % that the humidity sensor reads too high, evaporation is ${flow(Math.abs(shiftPerPercent))} too ${shiftPerPercent < 0 ? "low" : "high"}: hold it against salt in a jar first.`,
		...(found.isIdentifiable ? [] : ["That is too uncertain to be written down."]),
	].join(" ");
}

export const HUMIDITY_CAUTION =
	"Humid rooms and electricity: keep mains parts out of the mist, on a residual-current device, and leave wiring to a licensed electrician. Mould grows where walls stay wet, and mist carries spores: wear a mask, clean the tank, and follow local rules.";
