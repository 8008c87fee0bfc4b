import { InputError } from "../../errors.ts";
import type { Log } from "../log.ts";
import { findClockStart } from "../times/clockstart.ts";

/** A stretch of a log, ends included [s since the first sample]. */
export interface Stretch {
	readonly fromSeconds: number;
	readonly toSeconds: number;
}

/**
 * The part of a log within a stretch, as a log of its own that begins with its first sample. Views of the arrays, no copies.
 * @throws InputError when no sample lies in it
 */
export function sliceLog(log: Log, { fromSeconds, toSeconds }: Stretch): Log {
	const { timesSeconds, startUtcSeconds } = log;
	const clockStart = findClockStart(log);
	const first = timesSeconds.findIndex((time) => time >= fromSeconds);
	const after = timesSeconds.findIndex((time) => time > toSeconds);
	const end = after < 0 ? timesSeconds.length : after;
	if (first < 0 || first >= end)
		throw new InputError([{ file: log.fileName, message: "has no readings in this part" }]);
	const start = timesSeconds[first]!;
	const last = timesSeconds[end - 1]!;
	return {
		...log,
		startUtcSeconds: startUtcSeconds === null ? null : startUtcSeconds + start,
		// A crop counts its hours from the midnight before the whole log.
		startsAtSeconds: clockStart === null ? null : clockStart + start,
		timesSeconds: timesSeconds.slice(first, end).map((time) => time - start),
		lines: log.lines.subarray(first, end),
		channels: log.channels.map((one) => ({ ...one, values: one.values.subarray(first, end) })),
		rawRows: end - first,
		rows: end - first,
		gaps: log.gaps
			.filter((gap) => gap.fromSeconds >= start && gap.fromSeconds < last)
			.map((gap) => ({ ...gap, fromSeconds: gap.fromSeconds - start })),
	};
}
