import { refusal } from "../refusal.ts";

/** Takes one record: the fields lie in `bytes` from `starts[i]` to before `ends[i]`; valid during the call only. */
export type RecordTaker = (
	bytes: Uint8Array,
	starts: Int32Array,
	ends: Int32Array,
	/** Fields of the record; those beyond `MOST_FIELDS` are counted, not given. */
	count: number,
	/** Line of the file in which the record begins, from 1. */
	line: number,
) => void;

export const MAX_FIELDS = 512;
/** Longest line [byte], and most lines that a quoted field may span before its quote is taken for a stray one. */
const MAX_LINE_BYTES = 1_000_000;
const MAX_LINES_IN_QUOTES = 8;

const LF = 10;
const CR = 13;
const SPACE = 32;
const TAB = 9;
const QUOTE = 34;
const EMPTY = new Uint8Array(0);

/**
 * Splits delimited text, given in pieces of any size, into records: RFC 4180 quotes, lines that end in CR, LF or CRLF.
 * With a space for a delimiter, runs of spaces and tabs count as one. A quote that nothing closes is text.
 * Throws InputError for a line that is longer than any record.
 */
export function splitter(
	delimiter: number,
	take: RecordTaker,
): { readonly push: (chunk: Uint8Array) => void; readonly end: () => void } {
	const starts = new Int32Array(MAX_FIELDS);
	const ends = new Int32Array(MAX_FIELDS);
	let rest: Uint8Array = EMPTY;
	let line = 1;

	const run = (buffer: Uint8Array, isLast: boolean): void => {
		const length = buffer.length;
		let start = 0;
		let at = 0;
		let field = 0;
		let count = 0;
		let hasQuote = false;
		/** Where the first line ends of a record whose quoted field goes on in the next. */
		let firstLineEnd = -1;
		let linesInQuotes = 0;
		let lineStart = 0;

		const checkLength = (): void => {
			if (at - lineStart <= MAX_LINE_BYTES) return;
			const message = `a line of over ${MAX_LINE_BYTES} characters is no row of a log`;
			throw refusal("rows", message, line + linesInQuotes);
		};
		const emit = (from: number, to: number): void => {
			if (delimiter === SPACE) count = splitBySpace(buffer, from, to, starts, ends);
			else {
				if (count < MAX_FIELDS) {
					starts[count] = field;
					ends[count] = to;
				}
				count++;
			}
			take(buffer, starts, ends, count, line);
		};
		const begin = (next: number): void => {
			start = at = field = lineStart = next;
			count = 0;
			hasQuote = false;
			firstLineEnd = -1;
			linesInQuotes = 0;
		};
		/** The first line of the record as if its quotes were text; the scan goes on with the second. */
		const giveUpQuotes = (to: number): void => {
			const end = firstLineEnd < 0 ? to : firstLineEnd;
			count = 0;
			field = start;
			if (delimiter !== SPACE)
				for (let i = start; i < end; i++)
					if (buffer[i] === delimiter) {
						if (count < MAX_FIELDS) {
							starts[count] = field;
							ends[count] = i;
						}
						count++;
						field = i + 1;
					}
			emit(start, end);
			line++;
			begin(afterLineEnd(buffer, end));
		};

		for (;;) {
			const byte = at < length ? buffer[at]! : -1;
			if (byte === delimiter) {
				if (count < MAX_FIELDS) {
					starts[count] = field;
					ends[count] = at;
				}
				count++;
				field = ++at;
			} else if (byte === LF || byte === CR || byte === -1) {
				if (byte === -1 && (!isLast || start >= length)) break;
				// Whether a line feed follows is not known yet.
				if (byte === CR && at + 1 === length && !isLast) break;
				checkLength();
				if (!hasQuote) {
					emit(start, at);
					line++;
					begin(afterLineEnd(buffer, at));
					continue;
				}
				const quoted = splitQuoted(buffer, start, at, delimiter, starts, ends);
				if (quoted !== null) {
					take(quoted.bytes, starts, ends, quoted.count, line);
					line += 1 + linesInQuotes;
					begin(afterLineEnd(buffer, at));
				} else if (byte === -1 || linesInQuotes === MAX_LINES_IN_QUOTES || at - start > MAX_LINE_BYTES) {
					giveUpQuotes(at);
				} else {
					if (firstLineEnd < 0) firstLineEnd = at;
					linesInQuotes++;
					at = lineStart = afterLineEnd(buffer, at);
				}
			} else {
				if (byte === QUOTE) hasQuote = true;
				at++;
			}
		}
		if (!isLast) checkLength();
		rest = start < length ? buffer.slice(start) : EMPTY;
	};

	return {
		push(chunk) {
			run(joinBytes(rest, chunk), false);
		},
		end() {
			run(rest, true);
		},
	};
}

const joinBytes = (a: Uint8Array, b: Uint8Array): Uint8Array => {
	if (a.length === 0) return b;
	const both = new Uint8Array(a.length + b.length);
	both.set(a);
	both.set(b, a.length);
	return both;
};

const afterLineEnd = (buffer: Uint8Array, at: number): number =>
	buffer[at] === CR && buffer[at + 1] === LF ? at + 2 : at + 1;

function splitBySpace(
	bytes: Uint8Array,
	from: number,
	to: number,
	starts: Int32Array,
	ends: Int32Array,
): number {
	let count = 0;
	for (let at = from; at < to; ) {
		if (bytes[at] === SPACE || bytes[at] === TAB) {
			at++;
			continue;
		}
		const start = at;
		while (at < to && bytes[at] !== SPACE && bytes[at] !== TAB) at++;
		if (count < MAX_FIELDS) {
			starts[count] = start;
			ends[count] = at;
		}
		count++;
	}
	if (count > 0) return count;
	starts[0] = from;
	ends[0] = from;
	return 1;
}

/** Fields of a record with quotes, without them; null while a quoted field is open. */
function splitQuoted(
	bytes: Uint8Array,
	from: number,
	to: number,
	delimiter: number,
	starts: Int32Array,
	ends: Int32Array,
): { readonly bytes: Uint8Array; readonly count: number } | null {
	const text = new Uint8Array(to - from);
	let length = 0;
	let count = 0;
	let start = 0;
	let isQuoted = false;
	const close = (): void => {
		if (delimiter === SPACE && length === start && !isQuoted) return;
		isQuoted = false;
		if (count < MAX_FIELDS) {
			starts[count] = start;
			ends[count] = length;
		}
		count++;
		start = length;
	};
	const isEnd = (byte: number): boolean => byte === delimiter || (delimiter === SPACE && byte === TAB);
	for (let at = from; at < to; ) {
		// Blanks before a quote are not part of the field.
		let open = at;
		while (open < to && bytes[open] === SPACE && length === start && delimiter !== SPACE) open++;
		if (bytes[open] === QUOTE && length === start) {
			at = open + 1;
			isQuoted = true;
			for (;;) {
				if (at >= to) return null;
				if (bytes[at] !== QUOTE) text[length++] = bytes[at++]!;
				else if (bytes[at + 1] === QUOTE && at + 1 < to) {
					text[length++] = QUOTE;
					at += 2;
				} else {
					at++;
					break;
				}
			}
		}
		while (at < to && !isEnd(bytes[at]!)) text[length++] = bytes[at++]!;
		if (at < to) {
			close();
			at++;
		}
	}
	close();
	return { bytes: text, count };
}
