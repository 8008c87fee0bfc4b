import { InputError } from "../errors.ts";
import { DAY } from "../time.ts";
import { formatDuration } from "../units/format.ts";
import { isPlausible, PLAUSIBLE_PPM } from "./columns/columnwords.ts";
import type { RowLayout } from "./decode/layout.ts";
import type { LogNote } from "./log.ts";
import { tellsInstants } from "./times/timecolumns.ts";
import type { FirstTimes } from "./times/writtentime.ts";

/** CO2 that nine of ten readings of a chamber keep to on either side [ppm]. */
const MIN_TENTH_PPM = 150;
const MAX_TENTH_PPM = 100_000;
/** So many readings of a sensor are never all the same. */
const MIN_CONSTANT = 10;
/** Steps between readings of a log [s]; of one with dates alone. */
const MIN_STEP = 0.01;
const MAX_STEP = DAY;
const MAX_STEP_OF_DATES = 400 * DAY;
/** Share of the rows that may have the time of the row before and other values. */
const MAX_SAME_TIME = 0.2;

/** The chamber's CO2 as it was read [ppm]. */
export interface Co2Figures {
	readonly name: string;
	readonly count: number;
	readonly min: number;
	/** A tenth of the readings lies below. */
	readonly low: number;
	readonly median: number;
	readonly high: number;
	readonly max: number;
}

/** A row as it was understood. */
export interface RowUnderstood {
	readonly line: number;
	readonly seconds: number;
	readonly ppm: number;
}

/** What was read of a log, as far as it can be implausible. */
export interface LogRead {
	readonly sampleIntervalSeconds: number;
	readonly rawRows: number;
	readonly notes: readonly LogNote[];
}

/** Throws InputError, with the first rows as they were understood, where no log of a chamber looks so. */
export function checkPlausible(
	layout: RowLayout,
	first: FirstTimes,
	co2: Co2Figures,
	log: LogRead,
	rows: readonly RowUnderstood[],
): void {
	if (layout.acceptsImplausible) return;
	const doubts = [...doubtCo2(co2), ...doubtSteps(layout, first, log)];
	if (doubts.length === 0) return;
	const shown = rows.map(({ line, seconds, ppm }) => {
		const time = tellsInstants(layout.time)
			? `${new Date(seconds * 1000).toISOString().slice(0, 19).replace("T", " ")} UTC`
			: formatDuration(Math.abs(seconds));
		return `line ${line}: ${time}, ${Number.isNaN(ppm) ? "no CO2" : `${Number(ppm.toPrecision(7))} ppm`}`;
	});
	throw new InputError(
		doubts.map((doubt) => ({
			path: "plausibility",
			message: `${doubt}; understood as ${shown.join("; ")}. If that is right, --accept-implausible reads it so`,
		})),
	);
}

function doubtCo2({ name, count, min, low, median, high, max }: Co2Figures): readonly string[] {
	const ppm = (value: number): string => `${Number(value.toPrecision(6))} ppm`;
	if (!isPlausible(median))
		return [
			`"${name}" has its middle reading at ${ppm(median)}, and CO2 of a chamber lies between ${PLAUSIBLE_PPM.join(" and ")} ppm`,
		];
	if (low < MIN_TENTH_PPM || high > MAX_TENTH_PPM)
		return [
			`"${name}" has a tenth of its readings ${low < MIN_TENTH_PPM ? `below ${ppm(low)}` : `above ${ppm(high)}`}, which is no air of a chamber`,
		];
	return count >= MIN_CONSTANT && min === max ? [`"${name}" is ${ppm(min)} in all ${count} readings`] : [];
}

function doubtSteps(
	{ time }: RowLayout,
	{ sameShare }: FirstTimes,
	{ sampleIntervalSeconds: step, rawRows, notes }: LogRead,
): readonly string[] {
	const sameTime = notes.reduce(
		(sum, note) =>
			sum +
			(note.kind === "conflicting duplicate" || (note.kind === "duplicate" && !note.isVerbatim)
				? note.count
				: 0),
		0,
	);
	if (rawRows >= MIN_CONSTANT && Math.min(sameTime / rawRows, sameShare) > MAX_SAME_TIME)
		return [
			`${sameTime} of ${rawRows} rows have the time of another row and other values: the times are too coarse, or several logs stand in one file`,
		];
	const most =
		time.kind === "stamp" && time.isDateOnly
			? MAX_STEP_OF_DATES
			: time.kind === "parts" && time.hour === null
				? MAX_STEP_OF_DATES
				: MAX_STEP;
	return step > 0 && (step < MIN_STEP || step > most)
		? [`its readings lie ${formatDuration(step)} apart (${time.words})`]
		: [];
}
