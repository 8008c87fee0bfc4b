import type { InputError } from "../../errors.ts";
import { mainChannel, readCell } from "../columns/channels.ts";
import { kindOf, plainWords, saysTime } from "../columns/columnwords.ts";
import type { NoteCollector, NoteCounter } from "../notes.ts";
import { refusal } from "../refusal.ts";
import type { RowTimes } from "../times/rowtimes.ts";
import { timeColumnsOf } from "../times/timecolumns.ts";
import { textDecoder } from "./encoding.ts";
import type { RowLayout } from "./layout.ts";
import { isInOtherStyle, isMissing, plainNumber } from "./numbers.ts";
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
	const main = channels.indexOf(mainChannel(channels));
	const malformed = notes.counter({ kind: "malformed row" });
	const events = notes.counter({ kind: "event line" });
	const footer = notes.counter({ kind: "footer" });
	const strays = notes.counter({ kind: "stray time" });
	let rawRows = 0;
	/** Rows that could be data but for their number of fields, one after the other. */
	let misfits = { count: 0, fields: 0, line: 0 };
	let otherStyle: InputError | null = null;
	let texts = 0;
	let unreadable = 0;
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
			const isText = hasWord(bytes, starts[0]!, ends[Math.min(count, starts.length) - 1]!);
			if (!isText || holdsTime(bytes, starts, count)) watchMisfits(count, line);
			if (isText) {
				checkHeader(bytes, starts, ends, Math.min(count, columns), line);
				setAside(line);
			} else drop(line);
			return;
		}
		misfits.count = 0;
		const hasTime = times.read(bytes, starts, ends, line);
		if (hasTime && times.isStray()) {
			rawRows++;
			strays.add(line);
			return;
		}
		let usable = 0;
		for (let k = 0; k < plans.length; k++) {
			const plan = plans[k]!;
			let from = starts[plan.column]!;
			let to = ends[plan.column]!;
			while (from < to && bytes[from]! <= 32) from++;
			while (to > from && bytes[to - 1]! <= 32) to--;
			let value = plainNumber(bytes, from, to, plan.decimal);
			if (Number.isNaN(value) && from < to) {
				const text = decode(bytes.subarray(from, to));
				value = readCell(text, plan.channel);
				if (Number.isNaN(value) && k === main && hasTime && !isMissing(text)) unreadable++;
				if (Number.isNaN(value) && hasTime && isInOtherStyle(text))
					otherStyle ??= inOtherStyle(text, plan.channel.name, line);
			}
			values[k] = Number.isNaN(value) ? value : plan.convert(value);
			if (!Number.isNaN(values[k]!)) usable++;
		}
		if (hasTime && (usable > 0 || !saysSomething(bytes, starts, ends))) {
			if (pendingCount > 0) settle(events);
			rawRows++;
			times.addSample(line, values);
			take(line, values);
			for (const { name, column } of layout.remarks)
				if (hasWord(bytes, starts[column]!, ends[column]!))
					remark(name, decode(bytes.subarray(starts[column], ends[column])).trim(), line);
		} else if (isBlank(bytes, starts, ends, count)) return;
		else if (
			usable === 0
				? hasWord(bytes, starts[0]!, ends[columns - 1]!)
				: !hasTime && hasWordAsTime(bytes, starts, ends)
		) {
			if (usable === 0) checkHeader(bytes, starts, ends, columns, line);
			setAside(line);
		} else drop(line);
	};

	/** The field of the time, and that of a value, begin with a digit. */
	const holdsTime = (bytes: Uint8Array, starts: Int32Array, count: number): boolean =>
		[timeColumn, ...channels.map(({ column }) => column)].filter(
			(k) => k < Math.min(count, starts.length) && startsWithDigit(bytes, starts, k),
		).length > 1;
	const watchMisfits = (fields: number, line: number): void => {
		if (misfits.fields !== fields) misfits = { count: 0, fields, line };
		if (misfits.count++ === 0) misfits.line = line;
		if (misfits.count === MAX_MISFITS)
			throw changed(misfits.line, `rows have ${fields} fields from here on, and ${columns} before`);
	};
	/** A header that comes again must be the same. */
	const checkHeader = (
		bytes: Uint8Array,
		starts: Int32Array,
		ends: Int32Array,
		length: number,
		line: number,
	): void => {
		// A header in a comment keeps its sign and its quotes.
		const cells = Array.from({ length }, (_, k) =>
			decode(bytes.subarray(starts[k], ends[k]))
				.trim()
				.replace(/^[#%]+ *"?|"$/g, ""),
		);
		const co2 = cells.findIndex((cell) => kindOf(cell) === "co2");
		if (
			co2 < 0 ||
			!cells.some((cell, k) => k !== co2 && (kindOf(cell) !== null || saysTime(plainWords(cell))))
		)
			return;
		const isSame = channels.every(({ name, column }) =>
			name.replace(/#\d+$/, "").includes(cells[column] ?? "?"),
		);
		if (!isSame)
			throw changed(line, `another header comes here (${cells.map((cell) => `"${cell}"`).join(", ")})`);
	};
	const remark = (column: string, text: string, line: number): void => {
		if (isMissing(text) || texts > MAX_TEXTS) return;
		const counter = notes.counter({ kind: "remark", column, text: texts < MAX_TEXTS ? text : "…" });
		if (counter.count() === 0) texts++;
		counter.add(line);
	};

	/** A cell that should hold a value holds words: a door opened, a file begun anew. */
	const saysSomething = (bytes: Uint8Array, starts: Int32Array, ends: Int32Array): boolean =>
		channels.some(({ column }) => {
			const text = decode(bytes.subarray(starts[column], ends[column]));
			return !isMissing(text) && /\p{L}{3}/u.test(text);
		});
	/** `Mean`, `Total` and their like in the place of the time. */
	const timeColumn = Math.min(...timeColumnsOf(layout.time), columns - 1);
	const hasWordAsTime = (bytes: Uint8Array, starts: Int32Array, ends: Int32Array): boolean =>
		hasWord(bytes, starts[timeColumn]!, ends[timeColumn]!);

	const end = (): { readonly rawRows: number } => {
		settle(footer);
		if (otherStyle !== null) throw otherStyle;
		if (!layout.acceptsImplausible && unreadable > Math.max(MAX_MISFITS, 0.1 * rawRows))
			throw refusal(
				"rows",
				`${unreadable} rows hold words where "${channels[main]!.name}" has its values; is it several files in one, or another column?`,
			);
		if (strays.count() > Math.max(10, 0.01 * rawRows))
			throw refusal(
				"time column",
				`${strays.count()} of ${rawRows} rows lie over a year from the others: the clock was set anew, or the file holds several logs; split it`,
			);
		if (2 * malformed.count() > rawRows)
			throw refusal(
				"rows",
				`${malformed.count()} of ${rawRows} rows could not be read as one log; is it several files in one, or damaged?`,
			);
		return { rawRows };
	};
	return { record, end };
}

/** So many rows of another length one after the other are another layout, not rows that were cut. */
const MAX_MISFITS = 5;
/** Different texts that are kept as remarks. */
const MAX_TEXTS = 50;

const changed = (line: number, what: string): InputError =>
	refusal("rows", `${what}: the file changes its layout; split it here`, line);

const inOtherStyle = (text: string, column: string, line: number): InputError =>
	refusal(
		"decimal",
		`"${text.trim()}" in "${column}" is not written as the numbers before it; say which sign stands before decimals (--decimal point or --decimal comma), or split the file where it changes`,
		line,
	);

const startsWithDigit = (bytes: Uint8Array, starts: Int32Array, k: number): boolean => {
	const byte = bytes[starts[k]!]!;
	return byte >= 48 && byte <= 57;
};

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
