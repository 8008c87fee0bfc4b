import { burstCount } from "../../../lib/model/schedule/inwords.ts";
import { formatDuration, formatQuantity } from "../../../lib/units/units.ts";
import { contactLife, grams } from "../../choose/choosewords.ts";
import { headroomText, ppm, rounded } from "../../words/verdict.ts";
import type { Explored } from "../explored.ts";

/** A row of the table: what it is, and its text for each schedule. */
export interface FigureRow {
	readonly id: string;
	readonly label: string;
	readonly unit: string;
	readonly cells: readonly string[];
}

/** The figures of a state as the page prints them. */
export function figureRows({ comparison, moisture, contactMonths, state }: Explored): readonly FigureRow[] {
	const { units } = state;
	const row = (
		id: string,
		label: string,
		unit: string,
		cell: (summary: Explored["comparison"]["schedules"][number]["summary"], place: number) => string,
	): FigureRow => ({
		id,
		label,
		unit,
		cells: comparison.schedules.map(({ summary }, place) => cell(summary, place)),
	});
	const orNone = <T>(value: T | null, text: (value: T) => string): string =>
		value === null ? "–" : text(value);
	return [
		row("within", "holds", "", (s) => (s.judged.within ? "✓ yes" : "✗ no")),
		row("peak", "peak", "", (s) => ppm(s.peakPpm)),
		row("mean", "mean", "", (s) => ppm(s.meanPpm)),
		row("trough", "trough", "", (s) => ppm(s.troughPpm)),
		row("worst-hour", "worst hour", "mean", (s) => ppm(s.worstHourMeanPpm)),
		row("sensor-peak", "peak", "on the sensor", (s) => orNone(s.sensor, (x) => ppm(x.peakPpm))),
		row("sensor-trough", "trough", "on the sensor", (s) => orNone(s.sensor, (x) => ppm(x.troughPpm))),
		row("above", "above the ceiling", "in an hour", (s) =>
			formatDuration(rounded(s.aboveCeilingSecondsPerHour)),
		),
		row("headroom", "room for", "CO2", (s) => headroomText(s.judged.headroom)),
		row("air", "fresh air", "a day", (s) => formatQuantity(s.freshAirM3PerDay, "volume", units)),
		row("continuous", "the same air", "never stopping", (s) => orNone(s.continuousPpm, ppm)),
		row("bursts", "bursts", "a day", (s) => burstCount(s.burstsPerDay)),
		row("contact", "contact lasts", "", (_, place) => contactLife(contactMonths[place]!)),
		row("moisture", "moisture carried off", "a day", (_, place) => grams(moisture[place]!.waterOutGPerDay)),
		row("give-back", "moisture to give back", "a day", (_, place) =>
			grams(moisture[place]!.waterToGiveGPerDay),
		),
	];
}
