import { InputError } from "../../errors.ts";
import { DAY } from "../../time.ts";
import { findChannels, type LogColumn } from "../columns/channels.ts";
import { plainWords, ppmPerUnit } from "../columns/columnwords.ts";
import { findDataRows, findHeader, type HeadRecord } from "../columns/header.ts";
import type { LogLayout, LogNote, ReadOptions } from "../log.ts";
import { refusal } from "../refusal.ts";
import {
	countFalls,
	findTime,
	type TimeColumns,
	tellsInstants,
	timeColumnsOf,
} from "../times/timecolumns.ts";
import { zoneName } from "../times/zone.ts";
import { type Encoding, textDecoder } from "./encoding.ts";
import { isOneThing, type NumberStyle, POINT, writtenNumber } from "./numbers.ts";
import { MAX_FIELDS, splitter } from "./splitter.ts";

/** How the rows of a file are to be read. */
export interface RowLayout {
	readonly encoding: Encoding;
	readonly delimiter: LogLayout["delimiter"];
	readonly decimal: "." | ",";
	readonly firstDataLine: number;
	readonly preambleLines: number;
	readonly headerLines: number;
	/** Fields of a row. */
	readonly columns: number;
	readonly time: TimeColumns;
	/** How times that are numbers are written. */
	readonly timeStyle: NumberStyle;
	readonly channels: readonly LogColumn[];
	/** Columns that are not read, and blank in most rows. */
	readonly remarks: readonly { readonly name: string; readonly column: number }[];
	/** Zone of local times in the file: what the option says, else the file; null when neither does. */
	readonly zone: string | null;
	readonly zoneFrom: "file" | "option" | null;
	/** Time of day of the first sample as it was told [s after midnight]; null where it was not. */
	readonly startsAtSeconds: number | null;
	/** The values are as they are, however unlikely. */
	readonly acceptsImplausible: boolean;
	readonly notes: readonly LogNote[];
}

const DELIMITERS = ["\t", ";", "|", ",", " "] as const;
/** Rows by which the columns are judged, spread over those seen. */
const MAX_ROWS_JUDGED = 400;

/** Finds the layout of a log from its first part, whole lines. Throws InputError when it cannot be read. */
export function findLayout(head: Uint8Array, encoding: Encoding, options: ReadOptions): RowLayout {
	const decode = textDecoder(encoding);
	const splits = DELIMITERS.map((delimiter) => {
		const records = recordsOf(head, delimiter, decode);
		return { delimiter, records, ...findDataRows(records) };
	});
	// A column of CO2 alone will do where the distance of its rows is told.
	const hasPairs = splits.some(({ rows, columns }) => columns > 1 && rows.length > 0);
	const least = hasPairs || options.sampleIntervalSeconds === undefined ? 2 : 1;
	const most = Math.max(...splits.map(({ rows, columns }) => (columns >= least ? rows.length : 0)));
	const fitting = splits.filter(
		({ rows, columns }) => columns >= least && rows.length > 0 && 4 * rows.length >= most,
	);
	if (fitting.length === 0) {
		if (splits.some(({ rows }) => rows.length > 0)) throw noTime();
		throw refusal("data", "holds no rows of data; a log has a row a sample, with its time and its CO2");
	}
	// A wrong delimiter leaves several things in a cell, or parts of one.
	const quality = new Map(fitting.map((split) => [split, wholeCells(split)]));
	const best = Math.max(...quality.values());
	const likely = fitting
		.filter((split) => quality.get(split)! > best - 0.1)
		.sort((a, b) => quality.get(b)! - quality.get(a)!);
	let first: InputError | undefined;
	for (const split of likely)
		try {
			return layoutOf(split, encoding, options);
		} catch (error) {
			if (!(error instanceof InputError)) throw error;
			first ??= error;
			if (error.faults[0]!.path !== "time column") break;
		}
	throw first!;
}

/** Share of the cells that hold one thing. */
function wholeCells({ rows }: Split): number {
	const cells = spread(rows, 40).flatMap((row) => row.cells);
	return cells.filter(isOneThing).length / cells.length;
}

const noTime = (): InputError =>
	refusal(
		"time column",
		"has no column with the time of each sample; with evenly spaced samples say their distance (--interval 60s)",
	);

interface Split {
	readonly delimiter: LogLayout["delimiter"];
	readonly records: readonly HeadRecord[];
	readonly rows: readonly HeadRecord[];
	readonly columns: number;
	readonly other: HeadRecord | null;
}

function recordsOf(head: Uint8Array, delimiter: string, decode: (bytes: Uint8Array) => string): HeadRecord[] {
	const records: HeadRecord[] = [];
	const split = splitter(delimiter.charCodeAt(0), (bytes, starts, ends, count, line) => {
		const cells: string[] = [];
		for (let k = 0; k < Math.min(count, MAX_FIELDS); k++)
			cells.push(decode(bytes.subarray(starts[k], ends[k])));
		records.push({ line, cells });
	});
	split.push(head);
	split.end();
	return records;
}

function layoutOf(split: Split, encoding: Encoding, options: ReadOptions): RowLayout {
	const { delimiter, records, rows, columns, other } = split;
	if (other !== null)
		throw refusal(
			"rows",
			`rows have ${other.cells.length} fields from here on, and ${columns} from line ${rows[0]!.line} on: the file changes its layout; split it there`,
			other.line,
		);
	const accepts = options.acceptImplausible === true;
	const header = findHeader(records, rows, columns, accepts);
	const { names, firstDataLine } = header;
	const words = names.map(plainWords);
	const judged = spread(rows, MAX_ROWS_JUDGED);
	const cells = Array.from({ length: columns }, (_, k) => judged.map((row) => row.cells[k]!));
	const notes: LogNote[] = [];
	const time = readTime(cells, words, options, notes);
	if (options.unit !== undefined && !((ppmPerUnit(options.unit) ?? 0) > 0))
		throw refusal("unit", `needs ppm, ppb, % or ‰, got "${options.unit}"`);
	if (time.kind === "stamp" && time.isShortDashed && options.dateOrder === undefined)
		throw refusal(
			"date order",
			`dates such as ${cells[time.column]![0]!.trim()} can begin with the day, the month or the year; say --date-order dmy or mdy, or write years with four digits`,
		);
	const timeColumns = timeColumnsOf(time);
	const numberColumns = [...timeColumns]
		.filter((k) => time.kind === "number" || (time.kind === "parts" && k !== time.date && k !== time.clock))
		.map((k) => {
			const fewest = countFalls(
				cells[k]!.map((cell) => writtenNumber(cell.replace(/[.,](?=\d{3}\b)/g, ""), POINT)),
			);
			return {
				title: names[k]!,
				cells: cells[k]!,
				isRead: true,
				fits: (values: readonly number[]) => countFalls(values) <= fewest || !(countFalls(values) > 1),
			};
		});
	const found = findChannels({
		names,
		words,
		cells,
		series: (k) => rows.map((row) => row.cells[k]!),
		timeColumns,
		numberColumns,
		delimiter,
		options,
	});
	return {
		encoding,
		delimiter,
		decimal: found.decimal,
		firstDataLine,
		preambleLines: header.firstLine - 1,
		headerLines: header.rows,
		columns,
		time,
		timeStyle: found.timeStyle,
		remarks: found.remarks,
		acceptsImplausible: accepts,
		channels: found.channels,
		...readZone(split, names, time, options, notes),
		startsAtSeconds: startOf(time, options),
		notes: [...notes, ...found.notes],
	};
}

function readTime(
	cells: readonly (readonly string[])[],
	words: readonly string[],
	options: ReadOptions,
	notes: LogNote[],
): TimeColumns {
	const { sampleIntervalSeconds } = options;
	if (
		sampleIntervalSeconds !== undefined &&
		!(sampleIntervalSeconds > 0 && Number.isFinite(sampleIntervalSeconds))
	)
		throw refusal("interval", `must be longer than 0 s, got ${sampleIntervalSeconds}`);
	const time = findTime(cells, words, sampleIntervalSeconds !== undefined);
	if (time === null || (time.kind === "number" && time.means === "record")) {
		if (sampleIntervalSeconds === undefined) throw noTime();
		const column = time?.column ?? -1;
		return {
			kind: "number",
			column,
			means: "record",
			secondsPerUnit: sampleIntervalSeconds,
			isAssumed: false,
			words: time === null ? "one row after the other" : "record numbers",
		};
	}
	if (sampleIntervalSeconds !== undefined)
		throw refusal("interval", `the log tells its times itself (${time.words}); leave --interval out`);
	if (time.kind === "number" && time.isAssumed)
		notes.push({ kind: "assumption", assumed: "elapsed seconds", count: 1, lines: [] });
	return time;
}

/** Time of day of the first sample as it was told. Throws InputError beside dates. */
function startOf(time: TimeColumns, { startsAtSeconds }: ReadOptions): number | null {
	if (startsAtSeconds === undefined) return null;
	if (!(startsAtSeconds >= 0 && startsAtSeconds < DAY))
		throw refusal("starts at", `needs a time of day from 0 to below ${DAY} s, got ${startsAtSeconds} s`);
	if (tellsInstants(time))
		throw refusal(
			"starts at",
			`the log has dates (${time.words}), which tell the time of day; leave --starts-at out, or say in which zone its clock stood (--zone)`,
		);
	return startsAtSeconds;
}

/** Time zone of the file's local times. */
function readZone(
	{ records, rows }: Split,
	names: readonly string[],
	time: TimeColumns,
	options: ReadOptions,
	notes: LogNote[],
): Pick<RowLayout, "zone" | "zoneFrom"> {
	const told = options.zone === undefined ? null : zoneName(options.zone);
	const isInstant =
		(time.kind === "stamp" && time.isZoned) || (time.kind === "number" && time.means === "epoch");
	const isDated = tellsInstants(time) && !(time.kind === "number" && isInstant);
	if (told !== null && (isDated || isInstant)) return { zone: told, zoneFrom: "option" };
	if (told !== null)
		throw refusal("zone", `the log has no dates (${time.words}), so no zone applies; leave --zone out`);
	if (isInstant && time.kind === "number") return { zone: "UTC", zoneFrom: "file" };
	if (!isDated || isInstant) return { zone: null, zoneFrom: null };
	for (const column of [...timeColumnsOf(time)].reverse()) {
		const zone = zoneSaid(names[column] ?? "");
		if (zone !== null) return { zone, zoneFrom: "file" };
	}
	for (const { line, cells } of records) {
		if (line >= rows[0]!.line) break;
		const text = cells.join(" ");
		const [, after] =
			/\b(?:time ?zone|zeitzone|fuseau(?: horaire)?|zona horaria|fuso orario|tz|(?:utc|gmt|zone) ?offset|zone|(?:times?|clock|stamps?|zeiten|uhr\w*|heures?)\b.{0,20}?\b(?:in|are|is|as|at|=|:)|(?:local|logger) time)\b\W*?([-+A-Za-z0-9].*)$/i.exec(
				text,
			) ?? [];
		const zone = after === undefined ? null : zoneSaid(after);
		if (zone !== null) return { zone, zoneFrom: "file" };
	}
	notes.push({ kind: "assumption", assumed: "UTC", count: 1, lines: [] });
	return { zone: "UTC", zoneFrom: null };
}

/** The zone that a text names: `UTC+1`, `Europe/Berlin`, `CET`, or an offset at its start; null when it names none. */
function zoneSaid(text: string): string | null {
	const said =
		/\b(?:utc|gmt)(?:\s*[+-]\s*\d{1,2}(?::?\d{2})?)?(?![\w:])/i.exec(text)?.[0] ??
		/\b[A-Z][A-Za-z]+\/[A-Z][\w+-]+(?:\/[A-Z]\w+)?/.exec(text)?.[0] ??
		/^\W*?([+-]\d{1,2}(?::?\d{2})?|[A-Z]{3,4})(?![\w:])/.exec(text)?.[1];
	if (said === undefined) return null;
	try {
		return zoneName(said.replace(/\s/g, ""));
	} catch (error) {
		// A preamble may say anything.
		if (error instanceof InputError) return null;
		throw error;
	}
}

/** At most `most` items, evenly spread. */
function spread<T>(items: readonly T[], most: number): readonly T[] {
	if (items.length <= most) return items;
	return Array.from({ length: most }, (_, i) => items[Math.floor((i * items.length) / most)]!);
}
