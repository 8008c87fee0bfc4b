import { InputError } from "../errors.ts";
import { mainChannel } from "./columns/channels.ts";
import { findEncoding, toAscii } from "./decode/encoding.ts";
import { findLayout, type RowLayout } from "./decode/layout.ts";
import { rowReader } from "./decode/rows.ts";
import { splitter } from "./decode/splitter.ts";
import type { Log, ReadOptions } from "./log.ts";
import { countSamples, type LogSummary } from "./logsummary.ts";
import { createNoteCollector, type NoteCollector } from "./notes.ts";
import { checkPlausible, type LogRead, type RowUnderstood } from "./plausible.ts";
import { refusal } from "./refusal.ts";
import { keepSamples, type Sink } from "./samples.ts";
import { type RowTimes, readRowTimes } from "./times/rowtimes.ts";
import { createTimeReader, type FirstTimes, judgeFirstTimes, type WrittenTime } from "./times/writtentime.ts";

/** So much of a file decides how the whole of it is read [byte]. */
const HEAD_BYTES = 65_536;

/** Reads a file that is given piece by piece, of any size. */
export interface StreamingReader<T> {
	/** Throws InputError as soon as the file proves unreadable. */
	readonly push: (chunk: Uint8Array) => void;
	/** After the last piece. Throws InputError when the file makes no log. */
	readonly end: () => T;
}

/**
 * Reads a logger's file of any common layout: encoding, delimiter, decimal mark, header, times and columns are found by themselves.
 *
 * @param text the file, as text or bytes
 * @param options what the file cannot tell: zone, date order, column, interval [s]
 * @returns samples in order of time: times [s], CO2 [ppm], temperature [°C], humidity [0..1]
 * @throws InputError when it makes no log, or when an option must settle what it means
 *
 * Source: this project.
 * @example readLog("minutes,CO2 (ppm)\n0,500\n1,510\n2,520").rows // => 3
 */
export function readLog(text: string | Uint8Array, options: ReadOptions = {}): Log {
	const reader = logReader(options);
	reader.push(typeof text === "string" ? new TextEncoder().encode(text) : text);
	return reader.end();
}

/**
 * As `readLog`, piece by piece.
 *
 * @param options as of `readLog`
 * @returns a reader: `add` takes the next bytes, `finish` gives the log
 * @throws InputError as `readLog`, from `add` and `finish`
 *
 * Source: this project.
 * @example typeof logReader() // => "object"
 */
export const logReader = (options: ReadOptions = {}): StreamingReader<Log> =>
	createStreamingReader(options, keepSamples);

/**
 * As `logReader`, but keeps the summary only, so that a file of any length passes through in bounded memory.
 *
 * @param options as of `readLog`
 * @returns a reader: `add` takes the next bytes, `finish` gives the summary
 * @throws InputError as `readLog`, from `add` and `finish`
 *
 * Source: this project.
 * @example typeof summaryReader() // => "object"
 */
export const summaryReader = (options: ReadOptions = {}): StreamingReader<LogSummary> =>
	createStreamingReader(options, countSamples);

type MakeSink<T> = (
	layout: RowLayout,
	first: FirstTimes,
	times: RowTimes,
	notes: NoteCollector,
	fileName: string,
) => Sink<T>;

interface Body<T> {
	readonly feed: (chunk: Uint8Array, isLast: boolean) => void;
	readonly end: () => T;
}

function createStreamingReader<T extends LogRead>(
	options: ReadOptions,
	makeSink: MakeSink<T>,
): StreamingReader<T> {
	const { fileName } = options;
	let head: Uint8Array[] = [];
	let length = 0;
	let body: Body<T> | null = null;
	const begin = (isWhole: boolean): Body<T> => {
		const all = joinChunks(head);
		head = [];
		const begun = openBody(all.subarray(0, HEAD_BYTES), isWhole, options, makeSink);
		begun.feed(all, false);
		return begun;
	};
	/** Faults name the file. */
	const inFile = <R>(work: () => R): R => {
		try {
			return work();
		} catch (error) {
			if (!(error instanceof InputError) || fileName === undefined) throw error;
			throw new InputError(error.faults.map((fault) => ({ file: fileName, ...fault })));
		}
	};
	return {
		push: (chunk) =>
			inFile(() => {
				if (body !== null) return body.feed(chunk, false);
				head.push(chunk.slice());
				length += chunk.length;
				if (length >= HEAD_BYTES) body = begin(false);
			}),
		end: () =>
			inFile(() => {
				body ??= begin(true);
				body.feed(new Uint8Array(0), true);
				return body.end();
			}),
	};
}

function openBody<T extends LogRead>(
	rawHead: Uint8Array,
	isWhole: boolean,
	options: ReadOptions,
	makeSink: MakeSink<T>,
): Body<T> {
	if (rawHead.length === 0) throw refusal("data", "the file is empty");
	const found = findEncoding(rawHead);
	if ("refused" in found) throw refusal("encoding", found.refused);
	const text = toAscii(found.encoding, found.markBytes)(rawHead, isWhole);
	const head = isWhole ? text : text.subarray(0, Math.max(text.lastIndexOf(10), text.lastIndexOf(13)) + 1);
	const layout = findLayout(head, found.encoding, options);
	const first = judgeFirstTimes(layout, readFirstTimes(layout, head), options);
	const notes = createNoteCollector();
	const times = readRowTimes(layout, first);
	const sink = makeSink(layout, first, times, notes, options.fileName ?? "log");
	const main = layout.channels.indexOf(mainChannel(layout.channels));
	const understood: RowUnderstood[] = [];
	const rows = rowReader(layout, times, notes, (line, values) => {
		if (understood.length < 3) {
			const read = times.readings.find(({ seconds }) => !Number.isNaN(seconds));
			understood.push({ line, seconds: read?.seconds ?? 0, ppm: values[main]! });
		}
		sink.take(line, values);
	});
	const split = splitter(layout.delimiter.charCodeAt(0), rows.record);
	const decode = toAscii(found.encoding, found.markBytes);
	return {
		feed(chunk, isLast) {
			split.push(decode(chunk, isLast));
			if (isLast) split.end();
		},
		end() {
			const { log, co2 } = sink.end(rows.end().rawRows);
			checkPlausible(layout, first, co2, log, understood);
			return log;
		},
	};
}

/** Times of the first rows, as they stand there; a row that repeats the one before word for word is no row of its own. */
function readFirstTimes(layout: RowLayout, head: Uint8Array): WrittenTime[] {
	const found: WrittenTime[] = [];
	const time: WrittenTime = { seconds: 0, monthFirst: 0, isLocal: false, offset: Number.NaN };
	const read = createTimeReader(layout, time);
	const decode = new TextDecoder();
	let last = "";
	const split = splitter(layout.delimiter.charCodeAt(0), (bytes, starts, ends, count, line) => {
		if (line < layout.firstDataLine || count < layout.columns || !read(bytes, starts, ends)) return;
		const row = decode.decode(bytes.subarray(starts[0], ends[layout.columns - 1]));
		if (row !== last) found.push({ ...time });
		last = row;
	});
	split.push(head);
	split.end();
	return found;
}

function joinChunks(chunks: readonly Uint8Array[]): Uint8Array {
	const all = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
	let at = 0;
	for (const chunk of chunks) {
		all.set(chunk, at);
		at += chunk.length;
	}
	return all;
}
