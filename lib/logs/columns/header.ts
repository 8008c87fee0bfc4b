import { isMissing } from "../decode/numbers.ts";
import { refusal } from "../refusal.ts";
import { fanWord, isPlausible, isUnitCell, kindOf, plainWords, ppmPerUnit, saysTime } from "./columnwords.ts";

/** One record of the first part of a file, as text. */
export interface HeadRecord {
	readonly line: number;
	readonly cells: readonly string[];
}

/** So many lines above the header may look like data. */
const MAX_EARLY = 5;
/** Share of the rows that have a value in a column of values. */
const MOST = 0.9;
/** Most rows above the data that may name the columns. */
const MAX_HEADER_ROWS = 6;
const isBlank = (cell: string): boolean => cell.trim() === "";
/** A number, with a unit or not, a date or a time of day: what stands in rows of data, not in a header. */
const NUMBER =
	/^[\s'"]*[-+−]?[.,]?\d[\d.,'’ \u00a0\u202f]*(?:e[-+]?\d+)?(?:\s*[^\s\d/]{0,5}\s*$|[-/:T]\S*\d)/i;
const NAMED_DATE = /^\s*(?:\d{1,2} [a-z]{3}|[a-z]{3}\w* \d{1,2},? \d)/i;
const isValue = (cell: string): boolean =>
	(NUMBER.test(cell) && !/^\s*\d\/\d\s*$/.test(cell)) || NAMED_DATE.test(cell);
const isStamp = (cell: string): boolean =>
	/^\s*(?:\d{1,4}([-/.])(?:\d{1,2}|[a-z]{3})\1\d|\d{1,4}:\d\d|\d{8}T)/i.test(cell) || NAMED_DATE.test(cell);

/**
 * Rows that look like data, as many fields in each as in most: a value at least, and at least half of what they hold values, codes for
 * none, or states.
 */
export function findDataRows(records: readonly HeadRecord[]): {
	readonly rows: readonly HeadRecord[];
	readonly columns: number;
	/** Where as many rows of another length stand above these, the first of them. */
	readonly other: HeadRecord | null;
} {
	const numeric = records.filter(({ cells }) => {
		const filled = cells.filter((cell) => !isBlank(cell));
		const values = filled.filter(isValue).length;
		const others = filled.filter((cell) => isMissing(cell) || !Number.isNaN(fanWord(cell))).length;
		return values > 1
			? 2 * (values + others) >= filled.length || filled.some(isStamp)
			: values === 1 && (filled.length - others === 1 || (others > 0 && filled.some(isStamp)));
	});
	const counts = new Map<number, number>();
	for (const { cells } of numeric) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
	let columns = 0;
	for (const [length, count] of counts)
		if (count > (counts.get(columns) ?? 0) || (count === counts.get(columns) && length > columns))
			columns = length;
	const rows = numeric.filter(({ cells }) => cells.length === columns);
	const above = numeric.filter(
		({ line, cells }) => rows.length > 0 && line < rows[0]!.line && cells.length > 1,
	);
	const other = above.length >= Math.max(5, 0.2 * rows.length) ? above[0]! : null;
	const header = records.find((record) => namesIn(record) > 100);
	const early = rows.findIndex(({ line }) => header !== undefined && line > header.line);
	if (early <= MAX_EARLY) rows.splice(0, Math.max(0, early));
	// A line of words and figures above the data has none where all rows have one.
	const valued = Array.from({ length: columns }, (_, k) => k).filter(
		(k) => rows.filter(({ cells }) => isValue(cells[k]!)).length > MOST * rows.length,
	);
	return {
		rows: rows.filter(({ cells }) => valued.every((k) => isValue(cells[k]!) || isMissing(cells[k]!))),
		columns,
		other,
	};
}

/** The names of the columns, from the rows above the data. */
export interface Header {
	/** One a column, as the file has it; "" where it has none. */
	readonly names: readonly string[];
	readonly firstLine: number;
	readonly rows: number;
	/** Line from which on rows are data. */
	readonly firstDataLine: number;
}

/** How much a row tells about columns: one that names the gas tells more than any that does not. */
const namesIn = ({ cells }: HeadRecord): number =>
	cells.reduce((sum, cell) => {
		if (isUnitCell(cell)) return sum;
		const kind = kindOf(cell);
		return sum + (kind === "co2" ? 100 : kind !== null || saysTime(plainWords(cell)) ? 1 : 0);
	}, 0);

/**
 * Finds the rows above the data that name the columns: the one that names most, and those below it (units, what was done with the
 * values). Rows of data that hold hardly a value may come before `rows`, the first that look like data.
 * Throws InputError when it has a name too few or too many and nothing tells which.
 */
export function findHeader(
	records: readonly HeadRecord[],
	rows: readonly HeadRecord[],
	columns: number,
	accepts: boolean,
): Header {
	const first = rows.slice(0, 50);
	/** Columns that hold a value in all rows: a header has none there. */
	const valued = Array.from({ length: columns }, (_, k) => k).filter((k) =>
		first.every(({ cells }) => isValue(cells[k]!)),
	);
	const isData = (record: HeadRecord): boolean =>
		record.cells.length === columns
			? namesIn(record) < 2 && valued.some((k) => isValue(record.cells[k]!))
			: record.cells.length < columns && namesIn(record) === 0 && isValue(record.cells[0]!);
	const above = records.filter(({ line, cells }) => line < rows[0]!.line && !cells.every(isBlank));
	let firstDataLine = rows[0]!.line;
	for (let last = above.at(-1); last !== undefined && isData(last); last = above.at(-1)) {
		firstDataLine = last.line;
		above.pop();
	}
	const used = usedColumns(rows);
	const taken: HeadRecord[] = [];
	for (const record of above.slice(-MAX_HEADER_ROWS).map(withoutSign).reverse()) {
		const { length } = record.cells;
		const isWide = Math.min(Math.abs(length - columns), Math.abs(length - used)) <= 1;
		if (!isWide && (length < 2 || namesIn(record) <= 100)) break;
		if ((columns > 1 && length < 2) || 2 * record.cells.filter(isValue).length > length) break;
		taken.unshift(record);
	}
	const best = taken.reduce((best, record) => (namesIn(record) >= namesIn(best) ? record : best), taken[0]!);
	// Of rows that name nothing known, the one above the units is the header.
	const named =
		best !== undefined && namesIn(best) > 0
			? best
			: taken.findLast(
					({ cells }) => cells.length === columns && !cells.every(isUnitCell) && !cells.some(isValue),
				);
	if (named === undefined)
		return {
			names: Array.from({ length: columns }, () => ""),
			firstLine: firstDataLine,
			rows: 0,
			firstDataLine,
		};
	const below = taken.slice(taken.indexOf(named));
	const written = Array.from({ length: Math.max(columns, named.cells.length) }, (_, k) =>
		below
			.map(({ cells }) => (cells[k] ?? "").trim())
			.filter((cell) => cell !== "")
			.join(" "),
	);
	const isShifted = arePushed(written, named.cells.length, rows, accepts);
	const names = (isShifted ? ["", ...written] : written).slice(0, columns);
	return { names, firstLine: named.line, rows: below.length, firstDataLine };
}

/** Columns of the rows without those that are blank in all of them, at the end. */
const usedColumns = (rows: readonly HeadRecord[]): number =>
	rows.reduce((most, { cells }) => Math.max(most, 1 + cells.findLastIndex((cell) => !isBlank(cell))), 0);

/** A header row without the sign of a comment. */
function withoutSign({ line, cells }: HeadRecord): HeadRecord {
	const [head = "", ...rest] = cells;
	const isSign = /^[#;/\s]+$/.test(head) && head.trim() !== "" && rest.length > 0;
	return { line, cells: isSign ? rest : [head.replace(/^[#;/\s]+/, ""), ...rest] };
}

/** Whether names stand a column to the left of their values. Throws InputError where they fit neither way. */
function arePushed(
	written: readonly string[],
	length: number,
	rows: readonly HeadRecord[],
	accepts: boolean,
): boolean {
	const columns = rows[0]!.cells.length;
	const names = written.slice(0, 1 + written.findLastIndex((name) => name !== ""));
	const used = usedColumns(rows);
	const ofTime = names.findIndex((name) => saysTime(plainWords(name)));
	const isTimed = (k: number): boolean => rows.slice(0, 50).every((row) => isStamp(row.cells[k] ?? ""));
	const isShort = names.length === used - 1;
	// An index in front of the times, or row numbers where CO2 is CO2 only a column further on.
	if (names.length < columns && ofTime >= 0 && isTimed(ofTime + 1) && !isTimed(ofTime)) return true;
	if (accepts || length === columns || (names.length >= used && names.length <= columns)) return false;
	if (
		isShort &&
		!isTimed(0) &&
		countsRows(rows) &&
		isCo2(names, rows) &&
		(ofTime !== 0 || goesOneWay(rows, 1))
	)
		return true;
	if (names.length === columns + 1 && ofTime >= 0 && isTimed(ofTime)) return false;
	throw refusal(
		"header",
		`it has ${names.length} names (${names.map((name) => `"${name}"`).join(", ")}), and rows have ${used} values, such as line ${rows[0]!.line}: ${rows[0]!.cells.join(" | ")}; mend the header, or have its names read from the left (--accept-implausible)`,
	);
}

/** The first column holds whole numbers, most of them one more than the one before. */
function countsRows(rows: readonly HeadRecord[]): boolean {
	const numbers = rows.map(({ cells }) => Number(cells[0]));
	return (
		numbers.every(Number.isInteger) &&
		numbers.filter((x, i) => i > 0 && Math.abs(x - numbers[i - 1]!) === 1).length >=
			0.8 * (numbers.length - 1)
	);
}

/** What a cell can mean: with a sign before decimals, and with signs between thousands. */
const numbersIn = (cell = ""): readonly number[] => {
	const digits = cell.replace(/[ '’\u00a0\u202f]/g, "");
	const groups = /[.,](?=\d{3}(?:\D|$))/g;
	// Of two signs the last stands before decimals.
	const both = /([.,]).*(?!\1)[.,]/.exec(digits);
	if (both !== null) return [Number(digits.replaceAll(both[1]!, "").replace(",", "."))];
	return [digits, digits.replace(groups, "")].map((text) => Number(text.replace(",", ".")));
};

/** A column hardly ever falls, or hardly ever rises. */
function goesOneWay(rows: readonly HeadRecord[], k: number): boolean {
	return [0, -1].some((reading) => {
		const numbers = rows.map(({ cells }) => numbersIn(cells[k]).at(reading)!);
		return [1, -1].some(
			(way) =>
				numbers.filter((x, i) => i > 0 && !(way * (x - numbers[i - 1]!) >= 0)).length <=
				0.1 * (numbers.length - 1),
		);
	});
}

/** Most values a column behind the name of CO2 can be CO2. */
function isCo2(names: readonly string[], rows: readonly HeadRecord[]): boolean {
	const k = names.findIndex((name) => kindOf(name) === "co2");
	const factors = [1, 1000, ppmPerUnit(names[k] ?? "") ?? 1];
	const values = rows
		.map(({ cells }) => numbersIn(cells[k + 1]))
		.filter((readings) => readings.some((value) => value > 0));
	const fitting = values.filter((readings) =>
		factors.some((factor) => readings.some((value) => isPlausible(value * factor))),
	);
	return k >= 0 && values.length > 0 && 2 * fitting.length > values.length;
}
