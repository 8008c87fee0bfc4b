import { InputError } from "../../errors.ts";
import { readCell } from "../columns/channels.ts";
import type { NoteCollector, NoteCounter } from "../notes.ts";
import type { RowTimes } from "../times/rowtimes.ts";
import { textDecoder } from "./encoding.ts";
import type { RowLayout } from "./layout.ts";
import { isMissing, plainNumber } from "./numbers.ts";
import type { RecordTaker } from "./splitter.ts";

/** Takes a sample: its instants are in the row's times, its values in the channels' units, NaN for none. */
export type SampleTaker = (line: number, values: Float64Array) => void;

/** Tells samples from everything else that stands among the rows. */
export function rowReader(
	layout: RowLayout,
	times: RowTimes,
	notes: NoteCollector,
	take: SampleTaker,
): { readonly record: RecordTaker; readonly end: () => { readonly rawRows: number } } {
	const { channels, columns, firstDataLine } = layout;
	const decode = textDecoder(layout.encoding);
	const values = new Float64Array(channels.length);
	const plans = channels.map((channel) => ({
		channel,
		column: channel.column,
		convert: channel.convert,
		decimal: channel.style.isPlain ? 0 : channel.style.decimal.charCodeAt(0),
	}));
	const malformed = notes.counter({ kind: "malformed row" });
	const events = notes.counter({ kind: "event line" });
	const footer = notes.counter({ kind: "footer" });
	let rawRows = 0;
	/** Lines without a sample since the last one: events if another follows, else the footer. */
	let pending: number[] = [];
	let pendingCount = 0;

	const setAside = (line: number): void => {
		pendingCount++;
		if (pending.length < 5) pending.push(line);
	};
	const settle = (counter: NoteCounter): void => {
		for (let i = 0; i < pendingCount; i++) counter.add(pending[i] ?? 0);
		pending = [];
		pendingCount = 0;
	};
	const drop = (line: number): void => {
		rawRows++;
		malformed.add(line);
	};

	const record: RecordTaker = (bytes, starts, ends, count, line) => {
		if (line < firstDataLine) return;
		const length = surplusIsBlank(bytes, starts, ends, count, columns) ? columns : count;
		if (length !== columns) {
			if (isBlank(bytes, starts, ends, count)) return;
			if (hasWord(bytes, starts[0]!, ends[Math.min(count, starts.length) - 1]!)) setAside(line);
			else drop(line);
			return;
		}
		const hasTime = times.read(bytes, starts, ends, line);
		let usable = 0;
		for (let k = 0; k < plans.length; k++) {
			const plan = plans[k]!;
			let from = starts[plan.column]!;
			let to = ends[plan.column]!;
			while (from < to && bytes[from]! <= 32) from++;
			while (to > from && bytes[to - 1]! <= 32) to--;
			let value = plainNumber(bytes, from, to, plan.decimal);
			if (Number.isNaN(value) && from < to) value = readCell(decode(bytes.subarray(from, to)), plan.channel);
			values[k] = Number.isNaN(value) ? value : plan.convert(value);
			if (!Number.isNaN(values[k]!)) usable++;
		}
		if (hasTime && (usable > 0 || !saysSomething(bytes, starts, ends))) {
			if (pendingCount > 0) settle(events);
			rawRows++;
			times.addSample(line, values);
			take(line, values);
		} else if (isBlank(bytes, starts, ends, count)) return;
		else if (
			usable === 0
				? hasWord(bytes, starts[0]!, ends[columns - 1]!)
				: !hasTime && hasWordAsTime(bytes, starts, ends)
		)
			setAside(line);
		else drop(line);
	};

	/** A cell that should hold a value holds words: a door opened, a file begun anew. */
	const saysSomething = (bytes: Uint8Array, starts: Int32Array, ends: Int32Array): boolean =>
		channels.some(({ column }) => {
			const text = decode(bytes.subarray(starts[column], ends[column]));
			return !isMissing(text) && /\p{L}{3}/u.test(text);
		});
	/** `Mean`, `Total` and their like in the place of the time. */
	const timeColumn = Math.max(0, layout.time.column);
	const hasWordAsTime = (bytes: Uint8Array, starts: Int32Array, ends: Int32Array): boolean =>
		hasWord(bytes, starts[timeColumn]!, ends[timeColumn]!);

	const end = (): { readonly rawRows: number } => {
		settle(footer);
		if (2 * malformed.count() > rawRows)
			throw new InputError([
				{
					path: "rows",
					message: `${malformed.count()} of ${rawRows} rows could not be read as one log; is it several files in one, or damaged?`,
				},
			]);
		return { rawRows };
	};
	return { record, end };
}

function surplusIsBlank(
	bytes: Uint8Array,
	starts: Int32Array,
	ends: Int32Array,
	count: number,
	columns: number,
): boolean {
	if (count <= columns || count > starts.length) return false;
	for (let k = columns; k < count; k++)
		for (let at = starts[k]!; at < ends[k]!; at++) if (bytes[at]! > 32) return false;
	return true;
}

function isBlank(bytes: Uint8Array, starts: Int32Array, ends: Int32Array, count: number): boolean {
	for (let k = 0; k < Math.min(count, starts.length); k++)
		for (let at = starts[k]!; at < ends[k]!; at++) if (bytes[at]! > 32) return false;
	return true;
}

/** Three letters in a row, in any script, or a comment sign in front. */
function hasWord(bytes: Uint8Array, from: number, to: number): boolean {
	if (bytes[from] === 35) return true;
	let run = 0;
	for (let at = from; at < to; at++) {
		const byte = bytes[at]!;
		const small = byte | 32;
		run = (small >= 97 && small <= 122) || byte >= 128 ? run + 1 : 0;
		if (run === 3) return true;
	}
	return false;
}
