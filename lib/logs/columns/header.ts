import { looksNumeric } from "../decode/numbers.ts";
import { isUnitCell, kindOf, plainWords, saysTime } from "./columnwords.ts";

/** One record of the first part of a file, as text. */
export interface HeadRecord {
	readonly line: number;
	readonly cells: readonly string[];
}

/** Most rows above the data that may name the columns. */
const MAX_HEADER_ROWS = 4;

/** Rows that look like data: most of their cells begin with a digit, and they have as many fields as most such rows. */
export function findDataRows(records: readonly HeadRecord[]): {
	readonly rows: readonly HeadRecord[];
	readonly columns: number;
} {
	const numeric = records.filter(({ cells }) => {
		const filled = cells.filter((cell) => cell.trim() !== "");
		return filled.length > 0 && 2 * filled.filter(looksNumeric).length > filled.length;
	});
	const counts = new Map<number, number>();
	for (const { cells } of numeric) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
	let columns = 0;
	for (const [length, count] of counts)
		if (count > (counts.get(columns) ?? 0) || (count === counts.get(columns) && length > columns))
			columns = length;
	return { rows: numeric.filter(({ cells }) => cells.length === columns), columns };
}

/** The names of the columns, from the rows above the data. */
export interface Header {
	/** One a column, as the file has it; "" where it has none. */
	readonly names: readonly string[];
	readonly firstLine: number;
	readonly rows: number;
}

/** Finds the row that names the columns, with a row of units or a second row of names, directly above the data. */
export function findHeader(
	records: readonly HeadRecord[],
	firstDataLine: number,
	columns: number,
): Header | null {
	const above = records
		.filter(({ line, cells }) => line < firstDataLine && cells.some((cell) => cell.trim() !== ""))
		.slice(-MAX_HEADER_ROWS)
		.reverse();
	const taken: HeadRecord[] = [];
	for (const record of above) {
		const { cells } = record;
		if (Math.abs(cells.length - columns) > 1 || (columns > 1 && cells.length < 2)) break;
		if (cells.filter(looksNumeric).length * 2 > cells.length) break;
		// A row that names the gas or the time is the last one looked for.
		const named = taken.filter(({ cells }) => !cells.every(isUnitCell));
		if (named.length > 0 && named.some(namesReadings)) break;
		if (named.length > 0 && !namesReadings(record)) break;
		taken.push(record);
	}
	if (taken.length === 0 || taken.every(({ cells }) => cells.every(isUnitCell))) return null;
	taken.reverse();
	const names = Array.from({ length: columns }, (_, k) =>
		taken
			.map(({ cells }) => (cells[k] ?? "").trim())
			.map((cell, row) => (row === 0 && k === 0 ? cell.replace(/^[#;/\s]+/, "") : cell))
			.filter((cell) => cell !== "")
			.join(" "),
	);
	return { names, firstLine: taken[0]!.line, rows: taken.length };
}

const namesReadings = ({ cells }: HeadRecord): boolean =>
	cells.some((cell) => {
		const words = plainWords(cell);
		return kindOf(words) === "co2" || (saysTime(words) && !isUnitCell(cell));
	});
