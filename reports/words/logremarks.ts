import type {
	Assumption,
	ExclusionRule,
	FanColumnFault,
	LogNote,
	SeriesWarning,
} from "../../lib/logs/log.ts";
import { formatDuration } from "../../lib/units/format.ts";
import { countWords } from "./format.ts";

/** What a reader met in a file, and what it did about it. */
export function noteWords(note: LogNote): string {
	const is = note.count === 1 ? "is" : "are";
	const rows = countWords(note.count, "row");
	const lines = countWords(note.count, "line");
	const s = note.count === 1 ? "s" : "";
	const have = note.count === 1 ? "has" : "have";
	switch (note.kind) {
		case "missing value":
			return `"${note.column}" has no usable value in ${rows}`;
		case "duplicate":
			return note.isVerbatim
				? `${rows} repeat${s} another row exactly; left out`
				: `${rows} repeat${s} the time of the row before; left out`;
		case "conflicting duplicate":
			return `${rows} ${have} the time of another row but other values; the first row is kept${note.isZoneKnown ? "" : " (an hour that occurs twice at a clock change needs --zone)"}`;
		case "out of order":
			if (note.outcome === "newest first, reversed")
				return "the newest row comes first; the order is reversed";
			return note.outcome === "sorted"
				? `${rows} ${is} out of order; sorted by time`
				: `${rows} ${is} out of order; left out, because a file this long is not sorted`;
		case "event line":
			return `${lines} among the rows hold${s} no reading; skipped`;
		case "footer":
			return `${lines} after the data hold${s} no reading; skipped`;
		case "malformed row":
			return `${rows} cannot be read (fields missing or too many, or no time); left out`;
		case "stray time":
			return `${rows} ${have} a time over a year from that of the others, as of a clock that was not set; left out`;
		case "remark":
			return `"${note.column}" says "${note.text}" in ${rows}`;
		case "gap":
			return `${countWords(note.count, "gap")} in CO₂, the longest ${formatDuration(note.longestSeconds)}; not filled in`;
		case "ambiguous local time":
			return note.isInFileTwice
				? `${rows} ${is} in the second of two hours with the same local times, at the clock change in ${note.zone}; the order of the rows decides`
				: `${rows} ${is} in an hour that occurs twice in ${note.zone}, but the file has it once; read as the first`;
		case "nonexistent local time":
			return `${rows} show${s} a local time that the clock change in ${note.zone} skips; the logger's clock did not change. If it never does, give its offset (--zone +01:00)`;
		case "unused column":
			return `not read: ${note.columns.map((name) => `"${name}"`).join(", ")}`;
		case "assumption":
			return assumptionWords(note);
	}
}

const CO2_COLUMN_REASONS: Readonly<
	Record<Extract<Assumption, { assumed: "CO2 column" }>["because"], string>
> = {
	"only column in ppm": "it is the only column in ppm",
	"only CO2 estimate":
		"it is the only one, but it is an estimate from other gases, not a reading of a CO₂ sensor",
	"only values that vary":
		"the file has no header, and of the columns with values in the range of CO₂ it alone varies as a chamber's does",
	"only values in range": "the file has no header, and only its values are in the range of CO₂ in ppm",
};

function assumptionWords(assumption: Assumption): string {
	switch (assumption.assumed) {
		case "elapsed seconds":
			return "the header gives no unit for the elapsed time; read as seconds";
		case "UTC":
			return "neither the file nor --zone gives the time zone; times are read as UTC";
		case "evenly within the minute":
			return `times are written to the minute; the ${assumption.rows} rows of each are taken as ${60 / assumption.rows} s apart`;
		case "date order": {
			const [taken, other] = assumption.isMonthFirst
				? ["month-first", "day-first"]
				: ["day-first", "month-first"];
			return `dates are read ${taken}, because the times would jump ${other} (--date-order settles it)`;
		}
		case "CO2 column":
			return `"${assumption.column}" is taken as CO₂: ${CO2_COLUMN_REASONS[assumption.because]}`;
	}
}

/** The rule by which readings are excluded from a fit. */
export function exclusionWords(rule: ExclusionRule): string {
	switch (rule.reason) {
		case "missing":
			return "no usable value in the file";
		case "clipped": {
			const { strayReadings } = rule;
			const higher =
				strayReadings === 0
					? "no reading is higher"
					: `only ${countWords(strayReadings, "stray reading")} ${strayReadings === 1 ? "is" : "are"} higher`;
			return `at the sensor limit of ${rule.limitPpm} ppm, in runs of ${rule.minReadings} or more; ${higher}`;
		}
		case "warm-up":
			return rule.firstSeconds === null
				? `below ${rule.belowPpm} ppm at the start and never again; no air has so little CO₂`
				: `in the first ${formatDuration(rule.firstSeconds)}, as requested`;
		case "stuck":
			return `the same value in ${rule.minReadings} readings or more, over at least ${formatDuration(rule.minSeconds)} and far longer than elsewhere, with a jump of more than ${rule.jumpPpm} ppm before or after`;
		case "door opening":
			return `${rule.minReadings} readings or more outside the range of the ${rule.cycles} cycles before and after at that phase, by more than ${rule.offPpm} ppm, ${100 * rule.offShare} % and ${rule.offSigmas} standard deviations; a door, or breath`;
		case "outlier":
			return `at most ${rule.maxReadings} readings in a row that differ from both neighbours by more than ${rule.offPpm} ppm and ${rule.offSigmas} standard deviations, far more than elsewhere in the log${rule.isOutsideCycles ? ", or that lie as far outside the neighbouring cycles as a door opening" : ""}`;
		case "baseline step":
			return `before or after a step of all readings by more than ${rule.stepPpm} ppm, at once and for good, as when a sensor sets its own baseline; the longest part between steps is kept`;
	}
}

/** Doubt about a series of readings, with what is done or what to do. */
export const seriesWarningWords = (warning: SeriesWarning): string =>
	warning.code === "fan column"
		? `the fan column ${fanColumnWords(warning)}; the programmed schedule must say when the fan ran`
		: `the lowest reading is ${warning.baselinePpm} ppm, ${countWords(warning.count, "time")}: the mark of an automatic baseline correction, which is wrong in a chamber that never sees outdoor air; switch it off and recalibrate outdoors`;

function fanColumnWords(found: FanColumnFault): string {
	switch (found.fault) {
		case "no states":
			return "has no states";
		case "always on":
			return "always shows the fan on, but the CO₂ shows bursts";
		case "no whole burst":
			return "shows no whole burst";
		case "never on":
			return `never shows the fan on: with a row every ${formatDuration(found.everySeconds)} it misses shorter bursts`;
		case "bursts too short for its steps":
			return `shows bursts of one or two rows, with a row every ${formatDuration(found.everySeconds)}: too few to determine their length`;
		case "gap":
			return `has a gap of ${formatDuration(found.gapSeconds)}, which may hide bursts`;
		case "number of bursts":
			return `shows ${found.bursts} bursts where the ${found.expectedBy === "CO2" ? "CO₂" : "schedule"} has ${found.expectedBursts}`;
		case "on-time":
			return `shows bursts of ${formatDuration(found.onSeconds)}; the schedule has ${formatDuration(found.scheduledSeconds)}`;
	}
}
