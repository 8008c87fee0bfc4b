/**
 * Reading piece by piece, cleaning, and what a file holds.
 * @module lullgust/logs
 */

export { type CleanOptions, cleanSeries } from "../logs/clean/clean.ts";
export {
	type Assumption,
	type ExclusionRule,
	exclusionReasons,
	type FanColumnFault,
	type NoteSubject,
	type SeriesWarning,
} from "../logs/log.ts";
export { type ChannelSummary, type LogSummary, summarizeLog } from "../logs/logsummary.ts";
export { logReader, type StreamingReader, summaryReader } from "../logs/read.ts";
