import { burstCount } from "../../../lib/model/schedule/inwords.ts";
import { formatQuantity } from "../../../lib/units/format.ts";
import { contactLifeWords } from "../../choose/choosewords.ts";
import { formatGrams, formatPpm, formatTime, orNone, yesNo } from "../../words/format.ts";
import { headroomText } from "../../words/verdict.ts";
import type { Explored } from "../explored.ts";

/** A row of the table: what it is, and its text for each schedule. */
interface ResultRow {
	readonly id: string;
	readonly label: string;
	readonly unit: string;
	readonly cells: readonly string[];
}

/** The values of a state as the page prints them. */
export function resultRows({ comparison, contactMonths, state }: Explored): readonly ResultRow[] {
	const { units } = state;
	const row = (
		id: string,
		label: string,
		unit: string,
		cell: (summary: Explored["comparison"]["schedules"][number]["summary"], place: number) => string,
	): ResultRow => ({
		id,
		label,
		unit,
		cells: comparison.schedules.map(({ summary }, place) => cell(summary, place)),
	});
	return [
		row("within", "meets the target", "", (s) => yesNo(s.criterion.isMet)),
		row("peak", "peak", "", (s) => formatPpm(s.peakPpm)),
		row("mean", "mean", "", (s) => formatPpm(s.meanPpm)),
		row("trough", "trough", "", (s) => formatPpm(s.troughPpm)),
		row("worst-hour", "worst hour", "mean", (s) => formatPpm(s.maxHourlyMeanPpm)),
		row("sensor-peak", "peak", "on the sensor", (s) => orNone(s.sensor, (x) => formatPpm(x.peakPpm))),
		row("sensor-trough", "trough", "on the sensor", (s) => orNone(s.sensor, (x) => formatPpm(x.troughPpm))),
		row("above", "above the ceiling", "per hour", (s) => formatTime(s.exceedanceSecondsPerHour)),
		row("headroom", "headroom", "in CO₂ output", (s) => headroomText(s.criterion.headroomFactor)),
		row("air", "fresh air", "per day", (s) => formatQuantity(s.freshAirM3PerDay, "volume", units)),
		row("continuous", "same air", "without pauses", (s) => orNone(s.continuousPpm, formatPpm)),
		row("bursts", "bursts", "per day", (s) => burstCount(s.burstsPerDay)),
		row("contact", "contact life", "", (_, place) => contactLifeWords(contactMonths[place]!)),
		row("moisture", "water carried out", "per day", (_, place) =>
			formatGrams(comparison.schedules[place]!.water.moistureLossGPerDay),
		),
		row("give-back", "water to add", "per day", (_, place) =>
			formatGrams(comparison.schedules[place]!.water.humidificationGPerDay),
		),
	];
}
