import {
	FRUITING_HUMIDITY,
	INTAKE_CO2,
	INTAKE_HUMIDITY,
	PASSIVE_LEAK,
	pressureAtAltitudePa,
	SENSOR_ACCURACY,
} from "../sources/constants.ts";
import { formatQuantity } from "../units/format.ts";
import {
	assumedQuantity,
	chosenQuantity,
	type Located,
	located,
	publishedDefault,
	zeroQuantity,
} from "./origins.ts";
import type { Accuracy, Quantity, Scenario, Substrate, Temperature } from "./scenario.ts";
import type { Sections } from "./schema.ts";
import { buildCorrelations } from "./sections/correlations.ts";
import { buildSubstrate, cropTolerance } from "./sections/crop.ts";
import { buildDisturbances } from "./sections/disturbances.ts";
import { buildRig, buildTimer, buildWiring } from "./sections/rig.ts";
import { levelsOf } from "./sections/target.ts";
import { buildWater } from "./sections/water.ts";
import type { SourceDocument } from "./text/document.ts";

const DEFAULT_WARMEST_SECONDS = 15 * 3600;

const buildTemperature = (
	given: Located<Exclude<Sections["chamber"]["temperature"], undefined>> | undefined,
	first: Substrate,
): Temperature => {
	if (given !== undefined && "mean" in given) {
		return {
			mean: given.mean,
			amplitude: given.swing,
			warmestSeconds: given.warmest ?? DEFAULT_WARMEST_SECONDS,
		};
	}
	const { reference } = first;
	const mean =
		given ??
		assumedQuantity(
			reference.value,
			"temperature",
			reference.text,
			`reference temperature of the first substrate (${first.species})`,
			"weak",
		);
	return {
		mean,
		amplitude: zeroQuantity("temperature difference", "constant temperature"),
		warmestSeconds: DEFAULT_WARMEST_SECONDS,
	};
};

const buildPressure = (altitude: Quantity | undefined, pressure: Quantity | undefined): Quantity => {
	if (pressure !== undefined) return pressure;
	const formula = "ASHRAE Fundamentals 2017: p = 101325 (1 - 2.25577e-5 Z)^5.2559 [read]";
	if (altitude === undefined) {
		const sea = pressureAtAltitudePa(0);
		return assumedQuantity(
			sea,
			"pressure",
			formatQuantity(sea, "pressure"),
			`altitude 0 m; ${formula}`,
			"moderate",
		);
	}
	const at = (metres: number | null) => (metres === null ? null : pressureAtAltitudePa(metres));
	return {
		...altitude,
		value: pressureAtAltitudePa(altitude.value),
		low: at(altitude.high),
		high: at(altitude.low),
		dimension: "pressure",
		text: `altitude ${altitude.text}`,
	};
};

const DEFAULT_HIGHEST_SECONDS = 19 * 3600;

/** Mean of the intake CO2, and how it goes through the day. */
const buildIntakeCo2 = (
	given: Located<Exclude<Sections["intake"], undefined>>["co2"],
): Pick<Scenario["intake"], "co2" | "daily"> => {
	if (given === undefined) return { co2: publishedDefault(INTAKE_CO2, "concentration"), daily: null };
	if ("dimension" in given) return { co2: given, daily: null };
	if ("mean" in given) {
		const highestSeconds = given.highest ?? DEFAULT_HIGHEST_SECONDS;
		return { co2: given.mean, daily: { shape: "swing", amplitude: given.swing, highestSeconds } };
	}
	const { day, night } = given;
	const value = (day.value + night.value) / 2;
	const text = `mean of ${day.text} by day and ${night.text} by night`;
	return {
		co2: { ...day, value, low: null, high: null, text },
		daily: { shape: "day and night", day, night },
	};
};

const buildRoom = (
	room: Located<Exclude<Sections["intake"], undefined>>["room"],
	outdoorCo2: Quantity,
): Scenario["intake"]["room"] =>
	room === undefined
		? null
		: {
				volume: room.volume,
				ventilation: room.ventilation,
				outdoorCo2,
				people: (room.people ?? []).map(({ met, count = 1, from, to }) => ({
					met: met ?? assumedQuantity(1.4, "number", "1.4", "standing, light work", "moderate"),
					count,
					fromSeconds: from,
					toSeconds: to,
				})),
				chambers: room.chambers ?? 1,
				isStaggered: room.stagger ?? false,
				exhaust: room.exhaust ?? "inside",
			};

/** Accuracy of a sensor whose data sheet is not told. */
export const DEFAULT_ACCURACY: Accuracy = {
	ppm: chosenQuantity(SENSOR_ACCURACY.ppm, "concentration difference"),
	share: chosenQuantity(SENSOR_ACCURACY.share, "fraction"),
};

/** Everything of a scenario but its schedules, with defaults filled in; the sections must be free of faults. */
export const buildScenario = (
	source: SourceDocument,
	text: string,
	sections: Sections,
	schedules: Scenario["schedules"],
	sensorSwitches: Scenario["sensorSwitches"],
): Scenario => {
	const {
		name,
		notes,
		chamber,
		intake,
		fan,
		sensor,
		timer,
		supply,
		wire,
		fuse,
		water,
		limits,
		target,
		start,
		substrate,
		disturbances,
	} = located(source, { ...sections, wiring: undefined }, []);
	const items = [substrate].flat().map(buildSubstrate);
	const first = items[0];
	if (first === undefined) throw new Error("a scenario without substrate got past its schema");
	const temperature = buildTemperature(chamber.temperature, first);
	const pressure = buildPressure(chamber.altitude, chamber.pressure);
	const intakeTemperature =
		intake?.temperature ??
		assumedQuantity(
			temperature.mean.value,
			"temperature",
			temperature.mean.text,
			"as in the chamber",
			"weak",
		);
	const { co2, daily } = buildIntakeCo2(intake?.room === undefined ? intake?.co2 : intake.room.outdoor?.co2);
	const crop = cropTolerance(sections.substrate);
	const [mainCeiling = { on: target?.on ?? "peak", level: crop.ceiling }, ...ceilings] = levelsOf<
		"peak" | "mean" | "worst hour",
		Quantity
	>(target?.ceiling, target?.on ?? "peak");
	const { on, level: ceiling } = mainCeiling;
	const cropFloor = crop.floor !== null && crop.floor.value < ceiling.value ? crop.floor : null;
	const [mainFloor = { on: "mean", level: cropFloor }, ...floors] = levelsOf<
		"mean" | "trough" | "peak",
		Quantity
	>(target?.floor, "mean");
	const told = {
		name: name ?? source.fileName.replace(/^.*[\\/]/, "").replace(/\.(ya?ml|json)$/i, ""),
		notes: notes ?? null,
		fileName: source.fileName,
		text,
		chamber: {
			volume: chamber.volume,
			leak: chamber.leak ?? publishedDefault(PASSIVE_LEAK, "air changes"),
			temperature,
			humidity: chamber.humidity ?? publishedDefault(FRUITING_HUMIDITY, "fraction"),
			pressure,
			mixing:
				chamber.mixing ??
				assumedQuantity(
					1,
					"fraction",
					"100 %",
					"perfect mixing; common practice, no source: 30..90 %",
					"weak",
				),
			stagnant: chamber.stagnant ?? null,
		},
		intake: {
			co2,
			room: buildRoom(intake?.room, co2),
			daily,
			temperature: intakeTemperature,
			humidity: intake?.humidity ?? publishedDefault(INTAKE_HUMIDITY, "fraction"),
		},
		substrate: items,
		...buildRig({ fan, supply, wire, fuse }, buildWiring(source, sections.wiring)),
		water: buildWater(water, target?.humidity !== undefined, items),
		sensor:
			sensor === undefined
				? null
				: {
						response: sensor.response ?? zeroQuantity("duration", "shows at once"),
						zone: sensor.zone ?? "mixed",
						offset: sensor.offset ?? zeroQuantity("concentration difference", "taken to read true"),
						accuracy: sensor.accuracy ?? DEFAULT_ACCURACY,
					},
		timer: timer === undefined ? null : buildTimer(timer),
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
		target: {
			ceiling,
			on,
			floor: mainFloor.level,
			floorOn: mainFloor.on,
			further: [
				...ceilings.map((one) => ({ side: "ceiling", ...one }) as const),
				...floors.map((one) => ({ side: "floor", ...one }) as const),
			],
			humidity:
				target?.humidity === undefined
					? null
					: {
							floor: target.humidity.floor ?? null,
							on: target.humidity.on ?? "trough",
							ceiling: target.humidity.ceiling ?? null,
						},
			confidence: target?.confidence ?? null,
		},
		start: start ?? assumedQuantity(co2.value, "concentration", co2.text, "as the intake air", "moderate"),
		correlations: buildCorrelations(sections.correlations ?? []),
		schedules,
		sensorSwitches,
	} as const;
	return { ...told, disturbances: buildDisturbances(disturbances, told) };
};
