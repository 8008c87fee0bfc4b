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
	/** CO2 [ppm], temperature [°C], humidity [0..1], fan [0 or 1]; NaN where the file has no usable value. */
	readonly values: Float64Array;
}

/** Something that the reader met, with where. */
export interface LogNote {
	readonly kind:
		| "missing value"
		| "duplicate"
		| "conflicting duplicate"
		| "out of order"
		| "gap"
		| "event line"
		| "footer"
		| "malformed row"
		| "ambiguous local time"
		| "nonexistent local time"
		| "unused column"
		| "assumption";
	/** How many rows or values it concerns. */
	readonly count: number;
	/** The first few line numbers of the file, from 1. */
	readonly lines: readonly number[];
	/** In one sentence, with the way out where there is one. */
	readonly message: string;
}

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
	/** CO2 column of the chamber, by its name, a part of it, or `column 3`. */
	readonly column?: string;
	/** CO2 column of the air drawn in. */
	readonly intake?: string;
	/** Distance of the samples of a log without times [s]. */
	readonly sampleIntervalSeconds?: number;
}

/** A logger's file, read: samples in order of time, nothing invented, nothing filled. */
export interface Log {
	readonly fileName: string;
	readonly layout: LogLayout;
	/** Instant of the first sample [s since 1970-01-01 UTC]; null when the file has elapsed times only. */
	readonly startUtcSeconds: number | null;
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

/** Why a sample is left out of a fit. */
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

/** Samples left out for one reason. */
export interface Exclusion {
	readonly reason: ExclusionReason;
	/** The rule that found them, with its figures. */
	readonly rule: string;
	readonly count: number;
	/** Stretches of time [s since the first sample], ends included. */
	readonly intervals: readonly { readonly fromSeconds: number; readonly toSeconds: number }[];
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
	} | null;
	readonly warnings: readonly string[];
}
