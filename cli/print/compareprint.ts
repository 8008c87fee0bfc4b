import type { Comparison } from "../../lib/compare/comparison.ts";
import { compareRooms, type RoomComparison } from "../../lib/compare/room.ts";
import { compareSensorSwitches, type SensorSwitchResult } from "../../lib/compare/sensorswitch.ts";
import { burstCount } from "../../lib/model/schedule/inwords.ts";
import type { Summary } from "../../lib/solve/summary.ts";
import { formatQuantity, type UnitSystem } from "../../lib/units/format.ts";
import { formatTime } from "../../reports/words/format.ts";
import {
	HEAT_HEADS,
	HUMIDITY_CAUTION,
	HUMIDITY_HEADS,
	hasHumidity,
	heatRows,
	humidityNote,
	humidityRows,
} from "../../reports/words/humidity.ts";
import {
	exposureWords,
	ROOM_HEADS,
	ROOM_HOUR_HEADS,
	ROOM_NOTE,
	roomHours,
	roomRows,
} from "../../reports/words/room.ts";
import { SWITCH_HEADS, switchRows, switchWords } from "../../reports/words/sensorswitch.ts";
import {
	cropZoneName,
	HEADROOM_NOTE,
	headroomText,
	inOneBreath,
	maxOffTimeWords,
	verdictOf,
} from "../../reports/words/verdict.ts";
import { cell } from "./csv.ts";
import { displayWidth, table, truncate, wrap } from "./print.ts";

/** The answer in a few sentences. */
export const verdictLine = (comparison: Comparison, units: UnitSystem): string =>
	inOneBreath(verdictOf(comparison, units));

interface Column {
	readonly head: string;
	readonly below: string;
	readonly cell: (summary: Summary) => string;
	/** Left out first where the terminal is narrow. */
	readonly spare?: boolean;
}

const whole = (pick: (summary: Summary) => number) => (summary: Summary) => String(Math.round(pick(summary)));

const columnsOf = (units: UnitSystem): Column[] => [
	{ head: "peak", below: "ppm", cell: whole((s) => s.peakPpm) },
	{ head: "mean", below: "ppm", cell: whole((s) => s.meanPpm) },
	{ head: "trough", below: "ppm", cell: whole((s) => s.troughPpm), spare: true },
	{ head: "ripple", below: "ppm", cell: whole((s) => s.ripplePpm), spare: true },
	{ head: "above ceiling", below: "per hour", cell: (s) => formatTime(s.exceedanceSecondsPerHour) },
	{
		head: "fresh air",
		below: "per day",
		cell: (s) => formatQuantity(s.freshAirM3PerDay, "volume", units),
	},
	{ head: "bursts", below: "per day", cell: (s) => burstCount(s.burstsPerDay), spare: true },
	{ head: "headroom", below: "", cell: (s) => headroomText(s.criterion.headroomFactor) },
	{ head: "meets", below: "target", cell: (s) => (s.criterion.isMet ? "✓ yes" : "✗ no") },
];

/** Names are cut down to this before a column is left out [characters]. */
const MIN_NAME_WIDTH = 16;

/** What room and chambers do to each other, a table a schedule, and what people in the room are exposed to. */
const roomText = (room: readonly RoomComparison[], width: number): string =>
	[
		...room.flatMap((one) => {
			const hours = roomHours(one);
			return [
				`\nThe room under ${one.name}\n${table(ROOM_HEADS, roomRows(one), [1, 2, 3, 4, 5])}`,
				hours.length === 0 ? "" : `\n${table(ROOM_HOUR_HEADS, hours, [1, 2])}`,
			];
		}),
		"\n",
		wrap(exposureWords(room), width),
		wrap(ROOM_NOTE, width),
	].join("");

/** A fan that its sensor switches, in all cases. */
const switchText = (one: SensorSwitchResult, units: UnitSystem, width: number): string =>
	`\n“${one.name}”, switched by its sensor; per day\n${table(SWITCH_HEADS, switchRows(one, units), [1, 2, 3, 4, 5, 6, 7])}${wrap(switchWords(one, units), width)}`;

/** Humidity, water and heat of each schedule, with what they rest on. */
const humidityText = (comparison: Comparison, width: number): string =>
	[
		`\nHumidity, and water per day\n${table(HUMIDITY_HEADS, humidityRows(comparison), [1, 2, 3, 4, 5, 6, 7, 8])}`,
		`\nHeat, on average\n${table(HEAT_HEADS, heatRows(comparison), [1, 2, 3, 4, 5])}\n`,
		wrap(humidityNote(comparison), width),
		wrap(HUMIDITY_CAUTION, width),
	].join("");

/** The values of each schedule in a table for people, no wider than `width`, with what its words mean below it. */
export function resultsText(comparison: Comparison, units: UnitSystem, width: number): string {
	const { schedules, model, maxOffSeconds } = comparison;
	const room = compareRooms(comparison.scenario);
	let columns = columnsOf(units);
	const cellsOf = ({ head, below, cell }: Column) => [head, below, ...schedules.map((s) => cell(s.summary))];
	const widthOfRest = () =>
		columns.reduce((sum, column) => sum + 2 + Math.max(...cellsOf(column).map(displayWidth)), 0);
	for (const spare of columns.filter((column) => column.spare))
		if (widthOfRest() + MIN_NAME_WIDTH > width) columns = columns.filter((column) => column !== spare);
	const names = schedules.map(({ name }) => truncate(name, Math.max(MIN_NAME_WIDTH, width - widthOfRest())));
	const rows = schedules.map(({ summary }, i) => [names[i]!, ...columns.map(({ cell }) => cell(summary))]);
	const zone = cropZoneName(comparison);
	const figures = table(
		["schedule", ...columns.map(({ head }) => head)],
		[["", ...columns.map(({ below }) => below)], ...rows],
		columns.slice(0, -1).map((_, i) => i + 1),
	);
	const sensed = schedules.flatMap(({ summary }, i) =>
		summary.sensor === null
			? []
			: [[names[i]!, ...[summary.sensor.peakPpm, summary.sensor.meanPpm].map((x) => String(Math.round(x)))]],
	);
	const where = zone === null ? "" : `, in the ${model.sensorZone ?? "mixed"} zone`;
	return [
		zone === null ? "" : `CO₂ where the crop stands: ${zone}\n`,
		figures,
		sensed.length === 0
			? ""
			: `\nAs the sensor shows it${where}\n${table(["schedule", "peak", "mean"], [["", "ppm", "ppm"], ...sensed], [1, 2])}`,
		...(hasHumidity(comparison) ? [humidityText(comparison, width)] : []),
		...compareSensorSwitches(comparison.scenario).map((one) => switchText(one, units, width)),
		...(room === null ? [] : [roomText(room, width)]),
		"\n",
		wrap(`${HEADROOM_NOTE} ${maxOffTimeWords(maxOffSeconds)}`, width),
	].join("");
}

const csvColumns: readonly (readonly [string, (summary: Summary) => string | number | boolean | null])[] = [
	["is_met", (s) => s.criterion.isMet],
	["statistic", (s) => s.criterion.statistic],
	["value_ppm", (s) => s.criterion.valuePpm],
	["ceiling_ppm", (s) => s.criterion.ceilingPpm],
	["floor_ppm", (s) => s.criterion.floorPpm],
	["headroom_factor", (s) => s.criterion.headroomFactor],
	["peak_ppm", (s) => s.peakPpm],
	["mean_ppm", (s) => s.meanPpm],
	["trough_ppm", (s) => s.troughPpm],
	["ripple_ppm", (s) => s.ripplePpm],
	["max_hourly_mean_ppm", (s) => s.maxHourlyMeanPpm],
	["exceedance_seconds_per_hour", (s) => s.exceedanceSecondsPerHour],
	["exceedance_percent", (s) => s.exceedancePercent],
	["below_floor_seconds_per_hour", (s) => s.belowFloorSecondsPerHour],
	["below_floor_percent", (s) => s.belowFloorPercent],
	["first_exceedance_seconds", (s) => s.firstExceedanceSeconds],
	["settling_seconds", (s) => s.settlingSeconds],
	["bursts_per_day", (s) => s.burstsPerDay],
	["air_changes_per_burst", (s) => s.airChangesPerBurst],
	["replaced_fraction", (s) => s.replacedFraction],
	["air_changes_per_hour", (s) => s.airChangesPerHour],
	["fresh_air_m3_per_day", (s) => s.freshAirM3PerDay],
	["infiltration_m3_per_day", (s) => s.infiltrationM3PerDay],
	["continuous_ppm", (s) => s.continuousPpm],
	["mean_penalty_ppm", (s) => s.meanPenaltyPpm],
	["peak_penalty_ppm", (s) => s.peakPenaltyPpm],
	["sensor_peak_ppm", (s) => s.sensor?.peakPpm ?? null],
	["sensor_mean_ppm", (s) => s.sensor?.meanPpm ?? null],
	["sensor_trough_ppm", (s) => s.sensor?.troughPpm ?? null],
	["zone", (s) => s.zone],
	["basis", (s) => s.basis],
	["window_from_seconds", (s) => s.windowFromSeconds],
	["window_seconds", (s) => s.windowSeconds],
];

/** One line per schedule with all values, in SI; empty where a value does not exist. */
export function comparisonCsv(comparison: Comparison): string {
	const lines = [["schedule", "in_words", ...csvColumns.map(([name]) => name)].join(",")];
	for (const { name, inWords, summary } of comparison.schedules)
		lines.push([cell(name), cell(inWords), ...csvColumns.map(([, pick]) => cell(pick(summary)))].join(","));
	return `${lines.join("\n")}\n`;
}
