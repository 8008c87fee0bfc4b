import { toleranceOf } from "../sources/ceilings.ts";
import {
	FRUITING_HUMIDITY,
	INTAKE_CO2,
	INTAKE_HUMIDITY,
	PASSIVE_LEAK,
	pressureAtAltitude,
} from "../sources/constants.ts";
import { q10, type SpeciesKey, type StageKey, species, stageFactors } from "../sources/fungi.ts";
import type { Published, Worth } from "../sources/published.ts";
import { type Dimension, formatQuantity, parseValue } from "../units.ts";
import type { Path, Source } from "./document.ts";
import { isMeasured, type Measured } from "./leaves.ts";
import type { Quantity, Scenario, Substrate, Temperature } from "./scenario.ts";
import type { Sections } from "./schema.ts";
import { defaultDigits } from "./timer.ts";

/** The same shape with each measured value replaced by a Quantity that knows its line. */
type Located<T> = T extends Measured
	? Quantity
	: T extends object
		? { readonly [K in keyof T]: Located<T[K]> }
		: T;

const located = <T>(source: Source, value: T, path: Path): Located<T> => {
	if (isMeasured(value)) {
		const { value: number, low, high, dimension, text, fitted, on, source: told } = value;
		const origin =
			fitted !== undefined
				? ({ kind: "fitted", log: fitted, ...(on === undefined ? {} : { on }) } as const)
				: ({
						kind: "given",
						...source.valueAt(path),
						...(told === undefined ? {} : { source: told }),
					} as const);
		return { value: number, low, high, dimension, text, origin } as Located<T>;
	}
	if (Array.isArray(value)) {
		return value.map((item, index) => located(source, item, [...path, index])) as Located<T>;
	}
	if (typeof value === "object" && value !== null) {
		return Object.fromEntries(
			Object.entries(value).map(([key, item]) => [key, located(source, item, [...path, key])]),
		) as Located<T>;
	}
	return value as Located<T>;
};

const assumed = (
	value: number,
	dimension: Dimension,
	text: string,
	source: string,
	worth: Worth,
): Quantity => ({
	value,
	low: null,
	high: null,
	dimension,
	text,
	origin: { kind: "default", source, worth },
});

const none = (dimension: Dimension, source: string): Quantity =>
	assumed(0, dimension, formatQuantity(0, dimension), source, "medium");

/** A published figure as a default. */
const published = (figure: Published, dimension: Dimension): Quantity => {
	const si = (x: number): number => {
		const read = parseValue(`${x} ${figure.unit}`.trim(), [dimension]);
		if ("refused" in read) throw new Error(`published figure in a unit that cannot be read: ${figure.unit}`);
		return read.value;
	};
	const { value, low, high, unit } = figure;
	const span = low === null || high === null ? "" : ` (${low}..${high})`;
	const number = Number(value.toPrecision(3));
	return {
		value: si(value),
		low: low === null ? null : si(low),
		high: high === null ? null : si(high),
		dimension,
		text: `${unit === "" || unit === "ppm" ? number : value}${unit === "" ? "" : ` ${unit}`}${span}`,
		origin: { kind: "default", source: `${figure.source} [${figure.provenance}]`, worth: figure.worth },
	};
};

type Item = Located<Exclude<Sections["substrate"], readonly unknown[]>>;

const volumeOf = (item: Item): Quantity | null => {
	if (item.volume !== undefined) return item.volume;
	const { density, mass } = item;
	if (density === undefined) return null;
	const spread = mass.low !== null || density.low !== null;
	return {
		value: mass.value / density.value,
		low: spread ? (mass.low ?? mass.value) / (density.high ?? density.value) : null,
		high: spread ? (mass.high ?? mass.value) / (density.low ?? density.value) : null,
		dimension: "volume",
		text: `${mass.text} at ${density.text}`,
		origin: density.origin,
	};
};

const buildSubstrate = (item: Item): Substrate => {
	const speciesKey: SpeciesKey = item.species ?? "unknown";
	const stageKey: StageKey = item.stage ?? "fruiting";
	const kind = species[speciesKey];
	const rates = item.rates?.map(({ at, rate }) => ({ timeSeconds: at, rate })) ?? null;
	const ownRate = item.rate ?? rates?.[0]?.rate;
	const { flush } = item;
	return {
		species: speciesKey,
		stage: stageKey,
		stageFactor:
			ownRate === undefined
				? published(stageFactors[stageKey], "number")
				: assumed(1, "number", "1", "a rate that is given holds for the stage as it is", "medium"),
		mass: item.mass,
		rate: ownRate ?? published(kind.rate, "respiration"),
		reference:
			item.reference ??
			assumed(
				kind.referenceC,
				"temperature",
				`${kind.referenceC} °C`,
				`temperature of the prior of ${speciesKey}`,
				kind.rate.worth,
			),
		q10: item.q10 ?? published(q10, "number"),
		inhibition: item.inhibition ?? null,
		volume: volumeOf(item),
		flush:
			flush === undefined
				? null
				: {
						low: flush.low ?? published(stageFactors["between flushes"], "number"),
						high: flush.high ?? published(stageFactors["flush peak"], "number"),
						rise: flush.rise,
						fall: flush.fall,
						width:
							flush.width ?? assumed(86_400, "duration", "1 d", "judgement: pins swell within a day", "soft"),
					},
		rates,
	};
};

/** Ceiling and floor that the crop itself asks for: the lowest ceiling, and a floor when every entry has one. */
export const cropTolerance = (
	substrate: Sections["substrate"],
): { readonly ceiling: Quantity; readonly floor: Quantity | null } => {
	const all = [substrate]
		.flat()
		.map((item) => toleranceOf(item.species ?? "unknown", item.stage ?? "fruiting"));
	const ceiling = all.reduce((least, one) => (one.ceiling.value < least.ceiling.value ? one : least)).ceiling;
	const floors = all.map(({ floor }) => floor).filter((floor) => floor !== null);
	const floor =
		floors.length === all.length ? floors.reduce((top, one) => (one.value > top.value ? one : top)) : null;
	// The ends of a tolerance are what one may choose from, not its uncertainty.
	const chosen = (figure: Published) => published({ ...figure, low: null, high: null }, "concentration");
	return {
		ceiling: chosen(ceiling),
		floor: floor === null || floor.value >= ceiling.value ? null : chosen(floor),
	};
};

const warmestByDefault = 15 * 3600;

const buildTemperature = (
	given: Located<Exclude<Sections["chamber"]["temperature"], undefined>> | undefined,
	first: Substrate,
): Temperature => {
	if (given !== undefined && "mean" in given) {
		return { mean: given.mean, swing: given.swing, warmestSeconds: given.warmest ?? warmestByDefault };
	}
	const { reference } = first;
	const mean =
		given ??
		assumed(
			reference.value,
			"temperature",
			reference.text,
			`reference temperature of the first substrate (${first.species})`,
			"soft",
		);
	return {
		mean,
		swing: none("temperature difference", "constant temperature"),
		warmestSeconds: warmestByDefault,
	};
};

const buildPressure = (altitude: Quantity | undefined, pressure: Quantity | undefined): Quantity => {
	if (pressure !== undefined) return pressure;
	const formula = "ASHRAE Fundamentals 2017: p = 101325 (1 - 2.25577e-5 Z)^5.2559 [read]";
	if (altitude === undefined) {
		const sea = pressureAtAltitude(0);
		return assumed(sea, "pressure", formatQuantity(sea, "pressure"), `altitude 0 m; ${formula}`, "medium");
	}
	const at = (metres: number | null) => (metres === null ? null : pressureAtAltitude(metres));
	return {
		...altitude,
		value: pressureAtAltitude(altitude.value),
		low: at(altitude.high),
		high: at(altitude.low),
		dimension: "pressure",
		text: `altitude ${altitude.text}`,
	};
};

/** Everything of a scenario but its schedules, with defaults filled in; the sections must be free of faults. */
export const buildScenario = (
	source: Source,
	text: string,
	sections: Sections,
	schedules: Scenario["schedules"],
): Scenario => {
	const { name, notes, chamber, intake, fan, sensor, timer, limits, target, start, substrate } = located(
		source,
		sections,
		[],
	);
	const items = [substrate].flat().map(buildSubstrate);
	const first = items[0];
	if (first === undefined) throw new Error("a scenario without substrate got past its schema");
	const temperature = buildTemperature(chamber.temperature, first);
	const co2 = intake?.co2 ?? published(INTAKE_CO2, "concentration");
	const crop = cropTolerance(sections.substrate);
	const ceiling = target?.ceiling ?? crop.ceiling;
	const cropFloor = crop.floor !== null && crop.floor.value < ceiling.value ? crop.floor : null;
	return {
		name: name ?? source.fileName.replace(/^.*[\\/]/, "").replace(/\.(ya?ml|json)$/i, ""),
		notes: notes ?? null,
		fileName: source.fileName,
		text,
		chamber: {
			volume: chamber.volume,
			leak: chamber.leak ?? published(PASSIVE_LEAK, "air changes"),
			temperature,
			humidity: chamber.humidity ?? published(FRUITING_HUMIDITY, "fraction"),
			pressure: buildPressure(chamber.altitude, chamber.pressure),
			mixing:
				chamber.mixing ??
				assumed(1, "fraction", "100 %", "perfect mixing; common practice, no source: 30..90 %", "soft"),
			stagnant: chamber.stagnant ?? null,
		},
		intake: {
			co2,
			temperature:
				intake?.temperature ??
				assumed(temperature.mean.value, "temperature", temperature.mean.text, "as in the chamber", "soft"),
			humidity: intake?.humidity ?? published(INTAKE_HUMIDITY, "fraction"),
		},
		substrate: items,
		fan: {
			flow: fan.flow,
			spinUp: fan["spin-up"] ?? none("duration", "speeds up at once"),
			coastDown: fan["coast-down"] ?? none("duration", "stops at once"),
		},
		sensor: sensor === undefined ? null : { response: sensor.response, zone: sensor.zone ?? "mixed" },
		timer:
			timer === undefined
				? null
				: {
						ranges: timer.ranges,
						shared: timer.shared ?? false,
						digits: timer.digits ?? defaultDigits,
						powerUp: timer["power-up"] ?? null,
						contact: timer.contact ?? null,
						operations: timer.operations ?? null,
					},
		limits: {
			burst: limits?.burst ?? null,
			pause: limits?.pause ?? null,
			cycle: limits?.cycle ?? null,
			life: limits?.life ?? null,
			quiet:
				limits?.quiet === undefined
					? null
					: { fromSeconds: limits.quiet.from, toSeconds: limits.quiet.to, cycle: limits.quiet.cycle },
		},
		target: { ceiling, floor: target?.floor ?? cropFloor, on: target?.on ?? "peak" },
		start: start ?? assumed(co2.value, "concentration", co2.text, "as the intake air", "medium"),
		schedules,
	};
};
