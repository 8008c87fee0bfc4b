import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { expect, test } from "vitest";
import { splitter } from "../../lib/logs/decode/splitter.ts";
import { refusalOf } from "./refusal.ts";

const encoder = new TextEncoder();
const decoder = new TextDecoder();

interface Split {
	readonly line: number;
	readonly fields: readonly string[];
}

/** Records of a text that is pushed in pieces of these sizes, over and over. */
function split(text: string, delimiter = ",", sizes: readonly number[] = [1e9]): Split[] {
	const records: Split[] = [];
	const run = splitter(delimiter.charCodeAt(0), (bytes, starts, ends, count, line) => {
		const fields = Array.from({ length: count }, (_, k) =>
			decoder.decode(bytes.subarray(starts[k], ends[k])),
		);
		records.push({ line, fields });
	});
	const bytes = encoder.encode(text);
	for (let at = 0, k = 0; at < bytes.length; k++) {
		const size = Math.max(1, sizes[k % sizes.length]!);
		run.push(bytes.slice(at, at + size));
		at += size;
	}
	run.end();
	return records;
}
const fieldsOf = (text: string, delimiter?: string) => split(text, delimiter).map(({ fields }) => fields);

const field = fc.oneof(
	{ weight: 4, arbitrary: fc.stringMatching(/^[a-z0-9.:-]{0,6}$/) },
	{
		weight: 1,
		arbitrary: fc.constantFrom("a,b", 'say "on"', "°C", "two\nlines", "two\r\nlines", "", ";", '"'),
	},
);
const quoted = (text: string): string =>
	/[",;\t|\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;

test("splits what csv-parse splits, with every delimiter and line end", () => {
	fc.assert(
		fc.property(
			fc.array(fc.array(field, { minLength: 2, maxLength: 5 }), { minLength: 1, maxLength: 12 }),
			fc.constantFrom(",", ";", "\t", "|"),
			fc.constantFrom("\n", "\r\n", "\r"),
			fc.boolean(),
			(rows, delimiter, lineEnd, endsWithOne) => {
				const text =
					rows.map((row) => row.map(quoted).join(delimiter)).join(lineEnd) + (endsWithOne ? lineEnd : "");
				const reference = parse(text, {
					delimiter,
					record_delimiter: lineEnd,
					relax_column_count: true,
				}) as unknown as string[][];
				expect(fieldsOf(text, delimiter)).toEqual(reference);
				expect(fieldsOf(text, delimiter)).toEqual(rows);
			},
		),
		{ seed: 1, numRuns: 400 },
	);
});

test("gives the same records however the text comes in pieces", () => {
	const piece = fc.constantFrom("a", "12", ",", '"', '""', "\n", "\r\n", "\r", " ", "é", ";", '",');
	fc.assert(
		fc.property(
			fc.array(piece, { maxLength: 60 }),
			fc.array(fc.integer({ min: 1, max: 7 }), { minLength: 1, maxLength: 5 }),
			fc.constantFrom(",", " "),
			(pieces, sizes, delimiter) => {
				const text = pieces.join("");
				expect(split(text, delimiter, sizes)).toEqual(split(text, delimiter));
			},
		),
		{ seed: 2, numRuns: 1000 },
	);
});

test("counts lines as an editor does, through quotes that span them", () => {
	expect(split('a,b\r\n"x\ny",2\rc,d\n\ne')).toEqual([
		{ line: 1, fields: ["a", "b"] },
		{ line: 2, fields: ["x\ny", "2"] },
		{ line: 4, fields: ["c", "d"] },
		{ line: 5, fields: [""] },
		{ line: 6, fields: ["e"] },
	]);
});

test("a quote that nothing closes is text and swallows no row", () => {
	const rows = Array.from({ length: 40 }, (_, k) => `${k},${k}`);
	rows[3] = '3,"oops';
	const records = split(rows.join("\n"));
	expect(records.length).toBe(40);
	expect(records[3]).toEqual({ line: 4, fields: ["3", '"oops'] });
	expect(records[39]).toEqual({ line: 40, fields: ["39", "39"] });
});

test("blanks as delimiters count once, and stand for nothing at the ends of a line", () => {
	expect(fieldsOf('  08:00   1032\t20.1 \n"a b" 2', " ")).toEqual([
		["08:00", "1032", "20.1"],
		["a b", "2"],
	]);
});

test("a line longer than any row is refused, whole or in pieces", () => {
	const text = `a,b\n${"x".repeat(1_000_002)}\n`;
	for (const sizes of [[1e9], [65_536]])
		expect(refusalOf(() => split(text, ",", sizes))[0]).toMatchObject({ line: 2, path: "rows" });
});
