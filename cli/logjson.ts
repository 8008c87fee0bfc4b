import type { CleanSeries, Exclusion, Log, LogNote, SeriesWarning } from "../lib/logs/log.ts";
import { exclusionWords, noteWords, seriesWarningWords } from "../reports/words/logremarks.ts";

/** A code with its numbers, and the sentence that people read. */
type WithMessage<T> = T & { readonly message: string };
export type NoteJson = WithMessage<LogNote>;
export type ExclusionJson = WithMessage<Exclusion>;
export type SeriesWarningJson = WithMessage<SeriesWarning>;

export const noteJson = (note: LogNote): NoteJson => ({ ...note, message: noteWords(note) });
export const exclusionJson = (exclusion: Exclusion): ExclusionJson => ({
	...exclusion,
	message: exclusionWords(exclusion),
});
export const seriesWarningJson = (warning: SeriesWarning): SeriesWarningJson => ({
	...warning,
	message: seriesWarningWords(warning),
});

/** How a log was read and cleaned; its readings are what `--csv` writes. */
export interface ReadLogJson
	extends Pick<
		Log,
		| "fileName"
		| "layout"
		| "startUtcSeconds"
		| "startsAtSeconds"
		| "sampleIntervalSeconds"
		| "rawRows"
		| "rows"
		| "gaps"
	> {
	/** CO2 column that was used. */
	readonly column: string;
	readonly notes: readonly NoteJson[];
	readonly exclusions: readonly ExclusionJson[];
	readonly warnings: readonly SeriesWarningJson[];
}

/** A log in the JSON of what was made of it. */
export const readLogJson = ({ log, channel, exclusions, warnings }: CleanSeries): ReadLogJson => {
	const { fileName, layout, startUtcSeconds, startsAtSeconds = null } = log;
	const { sampleIntervalSeconds, rawRows, rows, gaps, notes } = log;
	return {
		fileName,
		layout,
		startUtcSeconds,
		startsAtSeconds,
		sampleIntervalSeconds,
		rawRows,
		rows,
		gaps,
		column: channel.name,
		notes: notes.map(noteJson),
		exclusions: exclusions.map(exclusionJson),
		warnings: warnings.map(seriesWarningJson),
	};
};
