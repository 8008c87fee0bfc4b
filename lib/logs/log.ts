/** What a column of a log holds. */
export type ChannelKind = "co2" | "fan" | "temperature" | "humidity";

/** One column of a log. */
export interface Channel {
	/** As the header names it; `column 3` for the third where it does not. */
	readonly name: string;
	/** Place in the file, from 0. */
	readonly column: number;
	readonly kind: ChannelKind;
	/** Where a CO2 sensor hangs, as far as the header or an option tells; null for other kinds. */
	readonly place: "chamber" | "intake" | null;
	/** Unit in the file; null or absent where it has none. */
	readonly unit?: "ppm" | "ppb" | "‰" | "%" | "share" | "°C" | "°F" | "K" | null;
	/** CO2 [ppm], temperature [°C], humidity [0..1], fan [0 off, 1 on, between them in part]; NaN where the file has no usable value. */
	readonly values: Float64Array;
}

/** What a reader settled because neither the file nor an option did. */
export type Assumption =
	/** The header does not tell the unit of the elapsed times: read as seconds. */
	| { readonly assumed: "elapsed seconds" }
	/** No time zone is told: local times are read as UTC. */
	| { readonly assumed: "UTC" }
	/** Times are written to the minute, and each minute holds so many rows. */
	| { readonly assumed: "evenly within the minute"; readonly rows: number }
	/** In the other order of day and month the times would jump. */
	| { readonly assumed: "date order"; readonly isMonthFirst: boolean }
	| {
			readonly assumed: "CO2 column";
			readonly column: string;
			readonly because:
				| "only column in ppm"
				| "only CO2 estimate"
				| "only values in range"
				| "only values that vary";
	  };

/** What a reader may meet in a file. */
export type NoteSubject =
	| { readonly kind: "missing value"; readonly column: string }
	/** Rows with the time of another, left out; verbatim: with its values, too. In a file too long to keep, values are not compared. */
	| { readonly kind: "duplicate"; readonly isVerbatim: boolean }
	/** Rows with the time of another and other values: the first is kept. Without a zone they may lie in an hour that came twice. */
	| { readonly kind: "conflicting duplicate"; readonly isZoneKnown: boolean }
	| { readonly kind: "out of order"; readonly outcome: "sorted" | "newest first, reversed" | "left out" }
	| { readonly kind: "event line" | "footer" | "malformed row" }
	/** Rows whose time lies over a year from that of the others: a clock that was not set. */
	| { readonly kind: "stray time" }
	/** What stands now and then in a column that is not read. */
	| { readonly kind: "remark"; readonly column: string; readonly text: string }
	/** Gaps in CO2, which are not filled. */
	| { readonly kind: "gap"; readonly longestSeconds: number }
	/** Rows in an hour that came twice: in its second time, or the file has the hour once and it is read as the first. */
	| { readonly kind: "ambiguous local time"; readonly zone: string; readonly isInFileTwice: boolean }
	/** Rows with a time that the clocks left out. */
	| { readonly kind: "nonexistent local time"; readonly zone: string }
	| { readonly kind: "unused column"; readonly columns: readonly string[] }
	| ({ readonly kind: "assumption" } & Assumption);

/** Something that the reader met, how often and where; its words are in reports/words. */
export type LogNote = NoteSubject & {
	/** How many rows or values it concerns. */
	readonly count: number;
	/** The first few line numbers of the file, from 1. */
	readonly lines: readonly number[];
};

/** How the file was understood. */
export interface LogLayout {
	readonly encoding: "utf-8" | "utf-16le" | "utf-16be" | "latin1";
	readonly delimiter: "," | ";" | "\t" | "|" | " ";
	readonly decimal: "." | ",";
	/** Lines before the header. */
	readonly preambleLines: number;
	/** Header and units rows; 0 when there is none. */
	readonly headerLines: number;
	/** In words: `ISO 8601 with offset`, `day.month.year in two columns`, `elapsed seconds` … */
	readonly timeFormat: string;
	/** IANA name, offset, `UTC` or null when the file has no date. */
	readonly zone: string | null;
	/** Whether the zone stood in the file or was told. */
	readonly zoneFrom: "file" | "option" | null;
}

/** What a reader may be told about a log. */
export interface ReadOptions {
	/** Name under which the file is spoken of. */
	readonly fileName?: string;
	/** Zone of times that name none, and of day and night: an IANA name, `UTC` or an offset such as `+01:00`. */
	readonly zone?: string;
	/** Whether the day or the month stands first in dates such as 04/05/2026. */
	readonly dateOrder?: "dmy" | "mdy";
	/** Sign before decimals, where the file leaves it open. */
	readonly decimal?: "." | ",";
	/** Unit of CO2 where the header does not tell it, or tells it wrong: ppm, ppb, % or ‰. */
	readonly unit?: string;
	/** Values, steps and headers that no log of a chamber has are taken as they stand. */
	readonly acceptImplausible?: boolean;
	/** CO2 column of the chamber, by its name, a part of it, `column 3`, or `CO2#2` for the second of one name. */
	readonly column?: string;
	/** CO2 column of the air drawn in. */
	readonly intake?: string;
	/** Distance of the samples of a log without times [s]. */
	readonly sampleIntervalSeconds?: number;
	/** Time of day of the first sample [s after midnight], of a log without dates. */
	readonly startsAtSeconds?: number;
}

/** A logger's file, read: samples in order of time, nothing invented, nothing filled. */
export interface Log {
	readonly fileName: string;
	readonly layout: LogLayout;
	/** Instant of the first sample [s since 1970-01-01 UTC]; null when the file has elapsed times only. */
	readonly startUtcSeconds: number | null;
	/** Time of day of the first sample [s after midnight] where the file has times of day without dates, or it was told; of a part of a log, since the midnight before all of it. null or absent: as `startUtcSeconds` has it. */
	readonly startsAtSeconds?: number | null;
	/** Since the first sample [s]; strictly ascending. */
	readonly timesSeconds: Float64Array;
	/** Line of each sample in the file, from 1. */
	readonly lines: Uint32Array;
	/** At least one of kind co2. */
	readonly channels: readonly Channel[];
	/** Usual step between usable CO2 samples, the median [s]; 0 when there is only one. */
	readonly sampleIntervalSeconds: number;
	/** Data lines in the file, malformed ones too. */
	readonly rawRows: number;
	/** Samples with a usable value of the CO2 channel that stands for the chamber; others may have values of other channels. */
	readonly rows: number;
	/** Steps longer than 1.5 usual ones between those samples [s since the first sample]. */
	readonly gaps: readonly { readonly fromSeconds: number; readonly lengthSeconds: number }[];
	readonly notes: readonly LogNote[];
}

/** Why a sample is excluded from a fit. */
export const exclusionReasons = [
	"missing",
	"clipped",
	"warm-up",
	"stuck",
	"door opening",
	"outlier",
	"baseline step",
] as const;
export type ExclusionReason = (typeof exclusionReasons)[number];

/** The rule by which samples are excluded, with its numbers. */
export type ExclusionRule =
	| { readonly reason: "missing" }
	/** At the end of the sensor's range, which only stray readings exceed, in flat runs of so many readings or more. */
	| {
			readonly reason: "clipped";
			readonly limitPpm: number;
			readonly strayReadings: number;
			readonly minReadings: number;
	  }
	/** The first stretch, as asked; or, where `firstSeconds` is null, readings at the start that are below any air. */
	| { readonly reason: "warm-up"; readonly firstSeconds: number | null; readonly belowPpm: number }
	/** The same value for so long, entered or left with a jump. */
	| {
			readonly reason: "stuck";
			readonly minReadings: number;
			readonly minSeconds: number;
			readonly jumpPpm: number;
	  }
	/** Outside what the cycles before and after have at that phase, by all three. */
	| {
			readonly reason: "door opening";
			readonly minReadings: number;
			readonly offPpm: number;
			readonly offShare: number;
			readonly offSigmas: number;
			readonly cycles: number;
	  }
	/** Away from both neighbours by both; or, where cycles are compared, outside them as at a door opening, only shorter. */
	| {
			readonly reason: "outlier";
			readonly maxReadings: number;
			readonly offPpm: number;
			readonly offSigmas: number;
			readonly isOutsideCycles: boolean;
	  }
	/** Beyond a step of all readings at once and for good. */
	| { readonly reason: "baseline step"; readonly stepPpm: number };

/** Samples excluded for one reason. */
export type Exclusion = ExclusionRule & {
	readonly count: number;
	/** Stretches of time [s since the first sample], ends included. */
	readonly intervals: readonly { readonly fromSeconds: number; readonly toSeconds: number }[];
};

/** Why a fan column cannot tell when the fan ran. */
export type FanColumnFault =
	| { readonly fault: "no states" | "always on" | "no whole burst" }
	| { readonly fault: "never on" | "bursts too short for its steps"; readonly everySeconds: number }
	| { readonly fault: "gap"; readonly gapSeconds: number }
	| {
			readonly fault: "number of bursts";
			readonly bursts: number;
			readonly expectedBursts: number;
			readonly expectedBy: "schedule" | "CO2";
	  }
	| { readonly fault: "on-time"; readonly onSeconds: number; readonly scheduledSeconds: number };

/** Doubt about a series. */
export type SeriesWarning =
	/** The fan column is not used. */
	| ({ readonly code: "fan column" } & FanColumnFault)
	/** The lowest reading is the one that a sensor sets as its own baseline, and comes so often. */
	| { readonly code: "automatic baseline"; readonly baselinePpm: number; readonly count: number };

/** What a fan column tells at a sample: the state now, whether the fan ran since the last sample, or the fraction of the interval. */
export const fanStates = ["now", "since", "fraction"] as const;
export type FanState = (typeof fanStates)[number];

/** How well the switch instants of a fan column are known: each shift is as likely anywhere up to so far, either way [s]. */
export interface FanTiming {
	/** What the column tells; null: now or since, nobody knows. */
	readonly state: FanState | null;
	/** Of all switch-ons together. */
	readonly shiftWithinSeconds: number;
	/** Of all switch-offs together; null: they move with the switch-ons. */
	readonly offShiftWithinSeconds: number | null;
}

/** One CO2 channel made ready for a fit. */
export interface CleanSeries {
	readonly log: Log;
	readonly channel: Channel;
	readonly timesSeconds: Float64Array;
	/** As logged [ppm]; NaN where missing. */
	readonly co2Ppm: Float64Array;
	/** 0 where the sample is used, else 1 + the index of its reason in `exclusionReasons`. */
	readonly excluded: Uint8Array;
	readonly exclusions: readonly Exclusion[];
	/** Fan state of a fan column that can be trusted: switch instants, from `on`; null when there is none. */
	readonly fan: {
		readonly onAtStart: boolean;
		readonly switchesSeconds: readonly number[];
		/** How well the instants are known; absent: exactly. */
		readonly timing?: FanTiming;
	} | null;
	readonly warnings: readonly SeriesWarning[];
}
